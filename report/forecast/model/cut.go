package model

import (
	"slices"
	"strings"

	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/thermo"
)

// cut is what is known of a cut before it is weighed: composition (mass
// fractions), width and length over thickness, share of the bounding box
// filled, readiness to give off water, usual core when it comes off and usual
// weight of a piece. All from memory of butchers' tables and nutrient tables;
// the proportions stand for a whole trimmed cut.
type cut struct {
	words                    []string // any of these, in lower case, names it
	food                     thermo.Composition
	width, length, fill      float64
	supply, off, usualWeight float64
	thin                     bool // tender by its hours, not by its core
}

// The first match counts, so the narrower words come first.
var cuts = []cut{
	{[]string{"flat"}, thermo.Composition{Water: .68, Protein: .21, Fat: .10, Ash: .01}, 3.5, 6.0, .75, 1, 93, 2.5, false},
	{[]string{"brisket", "point"}, thermo.Composition{Water: .64, Protein: .19, Fat: .16, Ash: .01}, 3.0, 4.6, .62, 1, 94, 5.5, false},
	{[]string{"plate rib", "beef rib", "short rib"}, thermo.Composition{Water: .58, Protein: .17, Fat: .24, Ash: .01}, 3.2, 4.5, .80, 1, 95, 2.5, true},
	{[]string{"spare rib", "ribs", "rack"}, thermo.Composition{Water: .60, Protein: .17, Fat: .22, Ash: .01}, 5.0, 12, .75, 1, 93, 1.3, true},
	{[]string{"turkey", "chicken", "goose", "duck", "bird"}, thermo.Composition{Water: .73, Protein: .235, Fat: .025, Ash: .01}, 1.8, 2.4, .70, .25, 74, 3, false},
	{[]string{"lamb", "mutton", "goat"}, thermo.Composition{Water: .65, Protein: .175, Fat: .165, Ash: .01}, 2.3, 3.0, .75, 1, 92, 2.5, false},
	{[]string{"chuck", "beef"}, thermo.Composition{Water: .66, Protein: .19, Fat: .14, Ash: .01}, 1.8, 2.4, .80, 1, 94, 3, false},
	{[]string{"pork", "shoulder", "butt", "neck", "picnic"}, thermo.Composition{Water: .65, Protein: .175, Fat: .165, Ash: .01}, 1.6, 2.3, .80, 1, 94, 3.5, false},
}

// findCut finds a cut by name; known is false when the pork shoulder stands in
// for it.
func findCut(name string) (c cut, known bool) {
	name = strings.ToLower(name)
	for _, c := range cuts {
		for _, w := range c.words {
			if strings.Contains(name, w) {
				return c, true
			}
		}
	}
	return cuts[len(cuts)-1], false
}

// meat gives the piece for the heat model. Properties are taken at 60 °C, the
// middle of a long cook; the conductivity is that of fibres along the heat
// flow.
func (c cut) meat(kg, thickness, start float64) heat.Meat {
	const at = 60
	return heat.Meat{
		Mass: kg, Thickness: thickness, Width: c.width, Length: c.length, Fill: c.fill,
		Supply: c.supply, Start: start, Water: c.food.Water, Fat: c.food.Fat,
		Density: c.food.Density(at), HeatCapacity: c.food.HeatCapacity(at), Conductivity: c.food.ConductivityParallel(at),
	}
}

// UsualOff is the core at which a cut usually comes off, °C.
func UsualOff(cut string) float64 {
	c, _ := findCut(cut)
	return c.off
}

// Bird reports whether a cut is poultry.
func Bird(cut string) bool {
	c, known := findCut(cut)
	return known && slices.Contains(c.words, "bird")
}
