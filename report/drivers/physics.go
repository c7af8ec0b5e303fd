package drivers

import (
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/numeric/bayes"
	"ashbook/report/numeric/heat"
)

// trial is an invented cook to be simulated.
type trial struct {
	cut                              string
	kg, thick, pit, start, off, wrap float64 // thick in m, 0: by the weight; temperatures in °C, wrap is the core when wrapped
	kind                             journal.Wrap
	pan                              string
}

// lnHours returns ln of the simulated hours; ok is false if the simulation does not end.
func (t trial) lnHours(w *model.Context) (ln float64, ok bool) {
	c := journal.Cook{Cut: t.cut, Pan: t.pan, Pieces: []journal.Piece{{Trimmed: measure.Kilograms(t.kg), Core: measure.Degrees(t.start, measure.Metric)}}}
	c.Pieces[0].Thick = measure.Length{Base: t.thick, Known: t.thick > 0}
	c.Aim.Pit, c.Aim.Core = measure.Degrees(t.pit, measure.Metric), measure.Degrees(t.off, measure.Metric)
	if c.Aim.Wrap.Kind = t.kind; t.kind == journal.NoWrap {
		c.Aim.Wrap.Bare = true
	} else {
		c.Aim.Wrap.At = measure.Degrees(t.wrap, measure.Metric)
	}
	h, ok := model.Crossing(model.New(w.Read(&c, time.Time{})).Run(heat.Usual, 0, t.off, 0, model.MaxSteps), t.off)
	return math.Log(h), ok && h > 0
}

// belief is what is assumed about an effect on time before the person's cooks are seen:
// the effect that the physics gives, plus miss.
type belief struct {
	miss    float64 // correction of the physics' effect of one step, from people's cooks, ln hours
	sd      float64 // standard deviation of the effect of one step, ln hours
	include float64 // probability of any effect; 1: certain
}

// beliefs has the belief for each column. Misses and deviations of weight, pit and off
// core are from 46 cooks of 44 people (public notes): the slopes of ln(hours /
// physics), fitted with people as groups, are −.16 ± .15 for 1 in ln kg and +.14 ± .06
// for 10 K; each is combined with a prior of 0 ± .15 (chosen). The rest is chosen:
// opening the pit certainly has an effect, which depends on how long it is open;
// another pit or a water pan probably has one; of the things that do not touch the
// meat, one in three has.
//
// Note: 7 of those cooks were wrapped and took +.13 ± .17 longer than by the physics. This
// is not used: people wrap meat that is late, so comparing cooks shows less than a wrap
// saves.
//
// Note: the prior of the off core is narrow around the readings or the physics. People
// take slow meat off cooler, by feel, so comparing cooks shows almost nothing of what a
// cooler core saves.
var beliefs = map[string]belief{
	frame.HeaviestPiece: {-.08, .22, 1}, // for 1 in ln kg
	frame.ThickestPiece: {0, .06, 1},
	frame.PitMean:       {.12, .10, 1},
	frame.CoreOff:       {0, .05, 1},
	frame.CoreOn:        {0, .03, 1},
	frame.Wrap:          {0, .15, .9},
	frame.Cut:           {0, .25, .9},
	frame.LidOpened:     {0, .03, 1},
	frame.Spritzed:      {0, .015, 1},
	frame.WaterPan:      {0, .10, .6},
	frame.Pit:           {0, .12, .6},
	frame.Pieces:        {0, .08, .4},
}

// nearby is the belief for every column that is not in beliefs.
var nearby = belief{0, .06, .2}

// lidCost is the effect of one lid opening as a multiple of that of a pit 10 K cooler: 30 K
// for .2 h of a 12 h cook (chosen after probes in pits).
const lidCost = 30 * .2 / 12 / 10

// usual returns the median cook as a trial.
func (d *design) usual() trial {
	t := trial{cut: "pork shoulder", start: 5, pit: model.UsualPit, kg: 3.5, wrap: model.UsualWrapAt}
	if cut := strings.TrimPrefix(d.usualCut(), "a "); cut != "cook" {
		t.cut = cut
	}
	t.off = model.UsualOff(t.cut)
	for name, to := range map[string]*float64{frame.HeaviestPiece: &t.kg, frame.PitMean: &t.pit, frame.CoreOn: &t.start, frame.CoreOff: &t.off, frame.ThickestPiece: &t.thick} {
		var known []float64
		for _, c := range d.cooks {
			if v := c.Of(frame.Named(name)); v.Known {
				known = append(known, v.Number)
			}
		}
		for _, row := range d.rows {
			if v := row(frame.Named(name)); v.Known && len(d.cooks) == 0 {
				known = append(known, v.Number)
			}
		}
		if len(known) > 0 {
			slices.Sort(known)
			*to = known[len(known)/2]
		}
	}
	t.pit, t.kg = math.Max(t.pit, coolest), math.Max(t.kg, lightest)
	return t
}

// lightest is the least simulated weight, kg (chosen).
const lightest = .3

// coolest is the least simulated pit, °C: closer to the boiling point of water simulations
// do not end, although people's cooks do (chosen: 5 K above 107 °C, the coolest pit in which
// people smoke; common practice, no source).
const coolest = 112.0

// slope returns the simulated effect on ln(hours) of one step of a number, or of a
// value of a word; ok is false if the simulation does not model it or does not end.
func (d *design) slope(w *model.Context, at trial, f *field, v value) (ln float64, ok bool) {
	step, b, a := f.spec.step, at, at
	switch f.spec.column.Name {
	case frame.HeaviestPiece:
		b.kg, a.thick, b.thick = at.kg+step, 0, 0
	case frame.ThickestPiece:
		a.thick, b.thick = at.thick-step/2, at.thick+step/2
	case frame.PitMean:
		a.pit, b.pit = at.pit-step/2, at.pit+step/2
	case frame.CoreOn:
		b.start += step
	case frame.CoreOff:
		a.off, b.off = at.off-step/2, at.off+step/2
	case frame.Wrap:
		a.kind, b.kind = wrapKind(f.base), wrapKind(v.word)
	case frame.Cut:
		b.cut, b.off, a.thick, b.thick = v.word, model.UsualOff(v.word), 0, 0
	case frame.WaterPan:
		a.pan, b.pan = f.base, v.word
	case frame.LidOpened, frame.Spritzed: // spritzing opens the lid
		b.pit += 10
		before, ok1 := a.lnHours(w)
		after, ok2 := b.lnHours(w)
		return math.Max(0, lidCost*(before-after-beliefs[frame.PitMean].miss)), ok1 && ok2
	default:
		return 0, false
	}
	before, ok1 := a.lnHours(w)
	after, ok2 := b.lnHours(w)
	return after - before, ok1 && ok2
}

// wrapKind returns the first wrap named by a word of the wrap column.
func wrapKind(word string) journal.Wrap {
	for _, k := range journal.Wraps {
		if strings.HasPrefix(word, string(k)) && !strings.Contains(word, "loose") {
			return k
		}
	}
	return journal.NoWrap
}

// scatterOf is the standard deviation of ln(hours) assumed for a person's cooks around
// the prediction (chosen between .12 in one pit and .20 over several pits), and
// scatterWorth its weight, counted in cooks.
const scatterOf, scatterWorth = .15, 5.0

// people is how much the error of the physics differs from person to person: a standard
// deviation, in ln(hours) (46 cooks of 44 people).
const people = .31

// problem returns the regression of ln(hours) on all causes. The priors are centred on
// the effects that the physics gives, so a coefficient is the whole effect, not a
// correction.
func (d *design) problem(y []float64, w *model.Context) bayes.Problem {
	at := d.usual()
	level, ok := at.lnHours(w)
	p := bayes.Problem{Y: y, Constant: bayes.Prior{Mean: level, SD: people}, Noise: scatterOf, NoiseRows: scatterWorth}
	if !ok {
		p.Constant = bayes.Prior{Mean: math.Log(12), SD: 2 * people}
	}
	p.Columns, p.Priors = d.centred(len(y)), make([]bayes.Prior, len(d.columns))
	if d.hurried >= 0 {
		p.Priors[d.hurried] = bayes.Prior{SD: hurry}
		p.Terms = append(p.Terms, bayes.Term{Columns: []int{d.hurried}, Include: 1})
	}
	optional := 0
	for _, f := range d.fields {
		b, known := beliefs[f.spec.column.Name]
		if !known {
			b = nearby
		}
		if optional++; b.include >= 1 {
			optional--
		} else if optional > bayes.MostOptional {
			b.include = 1
		}
		t := bayes.Term{Include: b.include}
		for i, v := range f.values {
			share := 1.0
			if f.spec.column.Name == frame.HeaviestPiece {
				share = math.Log1p(f.spec.step / at.kg)
			} else if step, ok := steps[f.spec.column.Name]; ok && step.by > 0 {
				share = f.spec.step / step.by
			}
			mean, sd := 0.0, b.sd*share
			if s, ok := d.slope(w, at, f, v); ok {
				mean = s + b.miss*share
			}
			if f.spec.column.Name == frame.CoreOff {
				if ln, own, ok := d.lastKelvins(f.spec.step); ok {
					mean, sd = ln, own
				}
			}
			f.values[i].expected = mean
			p.Priors[v.at] = bayes.Prior{Mean: mean, SD: sd}
			t.Columns = append(t.Columns, v.at)
		}
		p.Terms = append(p.Terms, t)
	}
	return p
}

// sureOf returns the greater of two probabilities: that the effect is above least, and
// that it is below −least.
func sureOf(effect bayes.Combination, least float64) float64 {
	return math.Max(effect.Above(least), 1-effect.Above(-least))
}

// unnoticed is the effect over the usual range of a cause that nobody notices, as a share of
// Target.worth: about seven minutes in twelve hours (chosen).
const unnoticed = .2

// Least sureOf for Likely and Maybe (chosen: the sign is wrong at most once in ten).
const likelySure, maybeSure = .9, .8
