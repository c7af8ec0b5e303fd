package journal

import (
	"fmt"
	"strconv"
	"strings"

	"ashbook/journal/measure"
)

// Grate is the size of a grate.
type Grate struct {
	// diameter of a round grate or one side of a rectangle; not recorded if unknown
	Across measure.Length
	Deep   measure.Length // the other side of a rectangle; not recorded for a round grate
}

var timesSign = strings.NewReplacer("×", "x", "X", "x", " by ", "x")

// ParseGrate parses "57 cm", a round grate, and "100 x 50 cm", a rectangle. If only the
// second side has a unit, it is that of both.
func ParseGrate(s string, sys measure.System) (g Grate, err error) {
	sides := strings.Split(timesSign.Replace(s), "x")
	if len(sides) > 2 {
		return Grate{}, fmt.Errorf("%q: expected 57 cm across, or two sides such as 100 x 50 cm", s)
	}
	if len(sides) == 2 {
		if err := measure.Read(&g.Deep, sides[1], sys); err != nil {
			return Grate{}, err
		}
		if _, err := strconv.ParseFloat(strings.TrimSpace(sides[0]), 64); err == nil {
			sides[0] = strings.TrimSpace(sides[0]) + " " + g.Deep.Unit.Symbol
		}
	}
	if err := measure.Read(&g.Across, strings.TrimSpace(sides[0]), sys); err != nil {
		return Grate{}, err
	}
	return g, nil
}

// In formats the grate in the units of sys: "57 cm across", "100 cm × 50 cm".
func (g Grate) In(sys measure.System) string {
	switch {
	case !g.Across.Known:
		return ""
	case !g.Deep.Known:
		return g.Across.In(sys) + " across"
	}
	return g.Across.In(sys) + " × " + g.Deep.In(sys)
}

// Fits is how many pieces of a cut a pit takes at once, as its owner says. The zero
// value means not recorded.
type Fits struct {
	Pieces int
	Each   measure.Mass // raw weight of a piece
	Cut    string
}

// mostFit is more than any pit on a trailer takes (chosen).
const mostFit = 500

// ParseFits parses "6 of 4.7 kg pork shoulder".
func ParseFits(s string, sys measure.System) (Fits, error) {
	wrong := fmt.Errorf("%q: expected how many of which piece, such as 6 of 4.7 kg pork shoulder", s)
	words := strings.Fields(s)
	if len(words) < 3 {
		return Fits{}, wrong
	}
	n, err := strconv.Atoi(words[0])
	if err != nil || n < 1 || n > mostFit {
		return Fits{}, wrong
	}
	if words = words[1:]; strings.EqualFold(words[0], "of") || words[0] == "x" || words[0] == "×" {
		words = words[1:]
	}
	const longest = 4 // most words of a weight: 11 lb 4 oz
	for i := min(longest, len(words)-1); i > 0; i-- {
		each, err := measure.ParseMass(strings.Join(words[:i], " "), sys)
		if err == nil && !each.Assumed && each.Base > 0 {
			return Fits{n, each, strings.Join(words[i:], " ")}, nil
		}
	}
	return Fits{}, wrong
}

// String formats it so that ParseFits reads it back; "" for the zero value.
func (f Fits) String() string {
	if f.Pieces == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %s %s", f.Pieces, f.Each, f.Cut)
}
