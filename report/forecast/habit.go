package forecast

import (
	"math"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
)

// If the plan does not mention a wrap, the meat is assumed to stay bare, unless the
// person wrapped other cooks whose plan did not mention one. Having no cooks counts as
// one bare cook. Poultry and other cuts are counted apart.
//
// Note: assuming foil or paper as likely as bare without any cook was tried. In tests
// on people whose cooks were not used for fitting, forecasts got 1 % worse before the
// cook and 3 % worse at readings.

// wrapOf returns the first wrap of a finished cook that is not loose, with the core of
// the coolest piece at that time. The wrap has no kind if the meat stayed bare.
func wrapOf(c *journal.Cook) (plan journal.WrapPlan) {
	for _, w := range c.Wrappings() {
		if w.Loose {
			continue
		}
		plan.Kind = w.Kind
		if core := frame.CoolestAt(c, w.From); core.Known {
			plan.At = measure.Degrees(core.Number, measure.Metric)
		}
		break
	}
	return plan
}

// unsaid reports whether the plan does not mention a wrap.
func unsaid(c *journal.Cook) bool { return c.Aim.Wrap == journal.WrapPlan{} }

// asDone returns the cook as if the wrap it got had been planned, if its plan mentions
// none. What is learned from the cook is then about the physics, not about whether the
// wrap was expected.
func asDone(c *journal.Cook, came journal.WrapPlan) *journal.Cook {
	if !unsaid(c) {
		return c
	}
	done := *c
	done.Aim.Wrap = came
	return &done
}

// mayWrap returns the possible wraps of a cook whose plan mentions none. Their chances
// come from how the person wrapped other such cooks.
func (f *Forecaster) mayWrap(c *journal.Cook) []model.MayWrap {
	weight := map[journal.Wrap]float64{journal.NoWrap: 1}
	total := 1.0
	read, core := map[journal.Wrap]float64{}, map[journal.Wrap]float64{}
	for i := range f.past {
		p := &f.past[i]
		if !unsaid(p) || model.Bird(p.Cut) != model.Bird(c.Cut) {
			continue
		}
		wrap := f.taught[i].Wrap
		weight[wrap.Kind]++
		total++
		if wrap.At.Known {
			read[wrap.Kind]++
			core[wrap.Kind] += wrap.At.Base
		}
	}
	var all []model.MayWrap
	for _, k := range journal.Wraps {
		if weight[k] > 0 {
			at := (core[k] + model.UsualWrapAt) / (read[k] + 1)
			all = append(all, model.MayWrap{Kind: k, At: math.Max(55, math.Min(92, at)), Chance: weight[k] / total})
		}
	}
	return all
}
