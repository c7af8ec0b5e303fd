package journal

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ashbook/journal/measure"
)

// Mix is one mix file: a rub, a sauce, a slaw.
type Mix struct {
	Name  string // file name without its ending
	Title string // its first heading; "" none
	For   Portion
	Parts []Part
	Salt  measure.Mass // stated of what For names, not counted from the parts
	Sugar measure.Mass
	Acid  measure.Mass
	Prose string // the body, as written
}

// Part is one thing in a mix.
type Part struct {
	Name   string
	Mass   measure.Mass   // not recorded: the text is not a weight
	Volume measure.Volume // where it is written as a volume; its weight depends on the ingredient
	Text   string         // as written
}

// Portion is the amount that the parts of a mix are made for. The zero value means "not
// recorded".
type Portion struct {
	Of     PortionKind
	Amount float64 // kg of meat, heads, or litres of the mix; above zero
}

// PortionKind says what a mix is measured by.
type PortionKind uint8

// The kinds of portion.
const (
	NoPortion PortionKind = iota
	ForMeat               // kg of meat on the grate
	ForHeads              // people
	ForVolume             // litres of the mix itself
)

// ParsePortion reads "1 kg meat", "1 head", "12 heads", "2 l".
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
