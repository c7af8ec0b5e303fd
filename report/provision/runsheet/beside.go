package runsheet

import (
	"fmt"
	"math"
	"slices"

	"ashbook/report/provision"
	"ashbook/report/safety"
)

// nothing reports whether no load of the plan is in time.
func (p *Sheet) nothing() bool {
	return p.Lost() && !slices.ContainsFunc(p.Loads, func(l provision.Load) bool { return l.Missed.IsZero() })
}

// lost returns what to make ready for a meal that no fire can save any more.
func (p *Sheet) lost() []Task {
	cooked := 0.0
	for _, m := range p.Meats {
		cooked += m.Cooked
	}
	return []Task{
		{MakeReady, fmt.Sprintf("%s free to reheat to %s all through, within two hours", several(provision.Ovens(cooked), "oven", "ovens"), p.Temp(safety.ReheatTo))},
		{Shopping, fmt.Sprintf("bought meat that is already cooked, %s; hot, or cold and reheated", p.Mass(cooked))},
	}
}

// beside returns what to buy to go with the meat.
func (p *Sheet) beside() (out []Task) {
	buy := func(format string, args ...any) { out = append(out, Task{Shopping, fmt.Sprintf(format, args...)}) }
	heads := float64(p.Request.Party.Heads)
	about := func(what string, kg float64) string { return what + ", " + p.Mass(kg) }
	buy("%s", named(p.mixes.Sauce, about("sauce", math.Ceil(heads*sauceEach*10)/10)))
	buy("%s", named(p.mixes.Slaw, about("slaw", math.Ceil(heads*slawEach*10)/10)))
	if n := p.Request.Party.Vegetarians; n > 0 {
		buy("a dish without meat for %d, cooked and served with things of its own", n)
	}
	for _, s := range sides {
		buy("%s", about(s.what, math.Ceil(p.helpings(s.each)*10)/10))
	}
	buy("%s", "drinks without alcohol, "+p.drinks())
	if !p.Request.Serving.Plated {
		buns, gluten := math.Ceil(heads*bunsEach), 0.0
		for _, w := range p.Request.Party.Without {
			if w.Allergen == gluten14 {
				gluten = math.Ceil(float64(w.Heads) * bunsEach)
			}
		}
		buy("%.0f buns", buns-gluten)
		if gluten > 0 {
			buy("%.0f buns without gluten, kept apart", gluten)
		}
	}
	return out
}
