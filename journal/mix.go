package journal

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ashbook/journal/measure"
)

// Mix is one mix, such as a rub, a sauce or a slaw, as its file describes it.
type Mix struct {
	Name  string // file name without its extension
	Title string // its first heading; "" for none
	For   Portion
	Parts []Part
	Salt  measure.Mass // stated weight of salt in the amount For, not summed from the parts
	Sugar measure.Mass
	Acid  measure.Mass
	Prose string // the body, as written
}

// Part is one ingredient of a mix.
type Part struct {
	Name   string
	Mass   measure.Mass   // not recorded if the text is not a weight
	Volume measure.Volume // if written as a volume; its weight depends on the ingredient
	Text   string         // as written
}

// Portion is the amount for which a mix's parts are given. The zero value means "not
// recorded".
type Portion struct {
	Of     PortionKind
	Amount float64 // kg of meat, people, or litres of the mix; above zero
}

// PortionKind is the unit of a portion.
type PortionKind uint8

// The kinds of portion.
const (
	NoPortion PortionKind = iota
	ForMeat               // kg of meat on the grate
	ForHeads              // people
	ForVolume             // litres of the mix itself
)

// ParsePortion parses "1 kg meat", "1 head", "12 heads", "2 l".
func ParsePortion(s string, sys measure.System) (Portion, error) {
	text := strings.Join(strings.Fields(s), " ")
	lower := strings.ToLower(text)
	var p Portion
	head, meat := strings.CutSuffix(lower, " meat")
	number, heads := strings.CutSuffix(strings.TrimSuffix(lower, "s"), " head")
	switch {
	case meat:
		m, err := measure.ParseMass(strings.TrimSuffix(head, " of"), sys)
		if err == nil && !m.Assumed {
			p = Portion{ForMeat, m.Base}
		}
	case heads:
		if n, err := strconv.ParseFloat(number, 64); err == nil {
			p = Portion{ForHeads, n}
		}
	default:
		v, err := measure.ParseVolume(lower, sys)
		if err == nil && !v.Assumed {
			p = Portion{ForVolume, v.Base}
		}
	}
	if !(p.Amount > 0) || math.IsInf(p.Amount, 0) {
		return Portion{}, fmt.Errorf("%q: expected one amount above zero, such as 1 kg meat, 1 head or 1 l", s)
	}
	return p, nil
}
