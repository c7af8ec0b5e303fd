package model

import (
	"slices"
	"strings"
	"unicode"

	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/thermo"
)

// cut describes a cut: composition (mass fractions), width and length as multiples of the
// thickness, filled share of the bounding box, water supply for drying, core when it comes
// off, °C, and usual weight of a piece, kg. All are from memory of butchers' and nutrient
// tables; the proportions are those of a whole trimmed cut.
type cut struct {
	words                    []string // any of these begins a word of the name, lower case
	food                     thermo.Composition
	width, length, fill      float64
	supply, off, usualWeight float64
	kind                     kind
}

// kind says when a cut is done.
type kind uint8

const (
	byCore  kind = iota // done at a core temperature
	byHours             // thin: done after some hours, not at a core temperature
	asks                // tender when raw, or a name for several cuts: the person must give a core; off is the default
)

// Defaults for meat that is tender raw, °C: the USDA-FSIS minimum internal temperatures are
// 62.8 for whole cuts and fish, 71.1 for minced meat and game (from memory).
const whole, minced = 63, 71

var (
	lean = thermo.Composition{Water: .72, Protein: .21, Fat: .06, Ash: .01}
	fair = thermo.Composition{Water: .65, Protein: .175, Fat: .165, Ash: .01}
	beef = thermo.Composition{Water: .66, Protein: .19, Fat: .14, Ash: .01}
	ribs = thermo.Composition{Water: .60, Protein: .17, Fat: .22, Ash: .01}
	rich = thermo.Composition{Water: .58, Protein: .17, Fat: .24, Ash: .01}
)

// cuts are tried in this order, so narrower words come first.
var cuts = []cut{
	{[]string{"flat"}, thermo.Composition{Water: .68, Protein: .21, Fat: .10, Ash: .01}, 3.5, 6.0, .75, 1, 93, 2.5, byCore},
	{[]string{"brisket", "point"}, thermo.Composition{Water: .64, Protein: .19, Fat: .16, Ash: .01}, 3.0, 4.6, .62, 1, 94, 5.5, byCore},
	{[]string{"rib roast", "ribroast", "prime rib", "standing rib", "rib eye", "ribeye"}, thermo.Composition{Water: .60, Protein: .175, Fat: .215, Ash: .01}, 1.3, 1.5, .75, .5, whole, 3, asks},
	{[]string{"rack of lamb", "lamb rack"}, fair, 2.2, 5.0, .60, .5, whole, .8, asks},
	{[]string{"plate rib", "beef rib", "short rib"}, rich, 3.2, 4.5, .80, 1, 95, 2.5, byHours},
	{[]string{"rib", "sparerib"}, ribs, 5.0, 12, .75, 1, 93, 1.3, byHours},
	{[]string{"tenderloin", "fillet"}, lean, 1.2, 5.5, .75, .5, whole, .5, asks},
	{[]string{"sirloin", "tri tip", "tritip", "picanha"}, lean, 3.0, 5.0, .55, .5, whole, 1.1, asks},
	{[]string{"loin"}, lean, 1.6, 4.4, .80, .5, whole, 2.5, asks},
	{[]string{"rack"}, ribs, 5.0, 12, .75, 1, 93, 1.3, byHours},
	{[]string{"salmon", "trout", "fish", "mackerel", "eel"}, thermo.Composition{Water: .68, Protein: .20, Fat: .11, Ash: .01}, 5.0, 14, .60, .5, whole, 1.2, asks},
	{[]string{"sausage", "burger", "hamburger", "mince"}, fair, 1.0, 5.0, .75, .5, minced, .12, asks},
	{[]string{"steak", "chop"}, lean, 3.0, 4.0, .80, .5, whole, .4, asks},
	{[]string{"belly", "bacon"}, thermo.Composition{Water: .50, Protein: .14, Fat: .35, Ash: .01}, 5.0, 7.0, .90, .5, whole, 2.5, asks},
	{[]string{"turkey", "chicken", "goose", "duck", "bird"}, thermo.Composition{Water: .73, Protein: .235, Fat: .025, Ash: .01}, 1.8, 2.4, .70, .25, 74, 3, byCore},
	{[]string{"venison", "deer", "boar", "game", "rabbit", "hare"}, lean, 1.8, 2.4, .80, .5, minced, 2.5, asks},
	{[]string{"leg", "ham", "jowl"}, fair, 1.6, 2.3, .80, .5, whole, 3.5, asks},
	{[]string{"mushroom", "cabbage", "cheese", "tofu"}, thermo.Composition{Water: .92, Protein: .04, Fat: .02, Ash: .01}, 1.5, 1.5, .60, 1, whole, .5, asks},
	{[]string{"lamb", "mutton", "goat"}, fair, 2.3, 3.0, .75, 1, 92, 2.5, byCore},
	{[]string{"chuck"}, beef, 1.8, 2.4, .80, 1, 94, 3, byCore},
	{[]string{"beef"}, beef, 1.8, 2.4, .80, 1, 94, 3, asks},
	{[]string{"pork", "shoulder", "butt", "neck", "picnic"}, fair, 1.6, 2.3, .80, 1, 94, 3.5, byCore},
}

// findCut returns the cut of that name; known is false if none matches, and c is then pork
// shoulder.
func findCut(name string) (c cut, known bool) {
	name = " " + strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return unicode.ToLower(r)
		}
		return ' '
	}, name)
	for _, c := range cuts {
		for _, w := range c.words {
			if strings.Contains(name, " "+w) {
				return c, true
			}
		}
	}
	return cuts[len(cuts)-1], false
}

// meat returns the piece for the heat model, with its properties at 60 °C, the middle of a
// long cook, and conductivity along the fibres. Thickness 0: estimated from the mass.
func (c cut) meat(kg, thickness, start float64) heat.Meat {
	const at = 60
	return heat.Meat{
		Mass: kg, Thickness: thickness, Width: c.width, Length: c.length, Fill: c.fill,
		Supply: c.supply, Start: start, Water: c.food.Water, Fat: c.food.Fat,
		Density: c.food.Density(at), HeatCapacity: c.food.HeatCapacity(at), Conductivity: c.food.ConductivityParallel(at),
	}
}

// Usual reports whether a cut has a usual core at which it comes off. Cuts that are tender
// raw and unknown cuts have none.
func Usual(cut string) bool {
	c, known := findCut(cut)
	return known && c.kind != asks
}

// UsualOff returns the core at which a cut usually comes off, °C, or the default if it has
// no usual one.
func UsualOff(cut string) float64 {
	c, _ := findCut(cut)
	return c.off
}

// Bird reports whether a cut is poultry.
func Bird(cut string) bool {
	c, known := findCut(cut)
	return known && slices.Contains(c.words, "bird")
}
