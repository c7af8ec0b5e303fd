package forecast

import (
	"math"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
)

// Where nothing is said of a wrap the meat stays bare, unless the person's other
// cooks that said nothing were wrapped. One cook counts as much as knowing none; a
// bird says nothing of a tough cut.
//
// Note: to take foil or paper for as likely as bare before any cook is known made
// forecasts for people left out worse by a hundredth before the cook and by three
// when they looked.

// wrapOf is how a finished cook was wrapped: in what first, loose wraps left out,
// and the core of its coolest piece then; no kind when it stayed bare.
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

// unsaid reports whether nothing was said of a wrap beforehand.
func unsaid(c *journal.Cook) bool { return c.Aim.Wrap == journal.WrapPlan{} }

// asDone is a cook with the wrap planned that it came to, if it said nothing of
// one. What it teaches of the physics is then not muddled with whether it was
// foreseen.
func asDone(c *journal.Cook, came journal.WrapPlan) *journal.Cook {
	if !unsaid(c) {
		return c
	}
	done := *c
	done.Aim.Wrap = came
	return &done
}

// mayWrap is how a cook that says nothing of a wrap may be wrapped, as the
// person's others that said nothing were.
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
