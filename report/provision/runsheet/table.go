package runsheet

import (
	"fmt"
	"math"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/page"
)

// What is served with the meat, for each guest (common practice, no source): kg of
// sauce and slaw, number of buns.
const (
	sauceEach = .045
	slawEach  = .090
	bunsEach  = 1.25
)

// sides are two side dishes of one helping each: 4 oz of a hot one and of a salad ("hot
// sides 4 oz", "ready-made salads approx. 4 oz per person": a grocer's portion guide;
// "2-3 side dishes (4 oz. each)": a guide for caterers; public pages).
var sides = []struct {
	what string
	each float64 // kg
}{
	{"baked beans, or another hot side", .113},
	{"potato salad, or another salad", .113},
}

// drinkEach is what each guest drinks at a meal, l: "about 3 beverages per person", of
// 8 oz (same guide for caterers).
const drinkEach = 3 * .237

// helpings returns the amount for all guests, kg: each for an adult, half of it for a
// child.
func (p *Sheet) helpings(each float64) float64 {
	return each * (float64(p.Request.Party.Heads) - float64(p.Request.Party.Children)/2)
}

// drinks returns what all guests drink.
func (p *Sheet) drinks() string {
	litres := drinkEach * float64(p.Request.Party.Heads)
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.0f qt", math.Ceil(litres/measure.Quart))
	}
	return fmt.Sprintf("%.0f l", math.Ceil(litres))
}

// gluten14 is the allergen in buns, named as in Regulation (EU) 1169/2011, Annex II.
const gluten14 = "gluten"

// without returns, for each allergen that guests must avoid, what contains it and what
// to do.
func (p *Sheet) without() (out []page.Fact) {
	for _, w := range p.Request.Party.Without {
		in := ""
		for _, held := range p.mixes.Hold {
			if name, mixes, _ := strings.Cut(held, " ("); name == w.Allergen {
				in = strings.TrimSuffix(mixes, ")")
			}
		}
		var value string
		switch {
		case in != "":
			value = "it is in " + in + ": season one piece separately, cook it above the others, and serve these guests something else"
		case w.Allergen == gluten14 && !p.Request.Serving.Plated:
			value = "it is in the buns: buy separate buns for them"
		default:
			value = "the names of the ingredients do not show it"
		}
		out = append(out, page.Fact{Name: "no " + w.Allergen, Value: fmt.Sprintf("%d: %s; read every label, and ask them", w.Heads, value)})
	}
	return out
}
