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

// trial is a cook that was never cooked: what the physics is asked about.
type trial struct {
	cut                              string
	kg, thick, pit, start, off, wrap float64 // m; °C; wrap: core at which it is wrapped; thick 0: as the weight gives
	kind                             journal.Wrap
	pan                              string
}

// lnHours is ln of the hours the physics gives a trial; ok is false where it
// sees no end.
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

// belief is what is known of a cause of time before the person's cooks are seen:
// the physics has its middle, but for misses.
type belief struct {
	miss    float64 // what people showed the physics to have wrong, ln a step: added to it
	sd      float64 // of the whole, ln a step
	include float64 // probability that it does anything; 1: it certainly does
}

// beliefs by column. Misses and spreads of weight, pit and off core are from 46
// cooks of 44 people, public notes, as the slope of ln(hours / physics) with
// people as groups: −.16 ± .15 a ln kg, +.14 ± .06 a 10 K, each shrunk by a belief
// of 0 ± .15 (chosen). The rest is chosen: what opens the pit certainly does
// something, how much depends on how long it is open; another pit or a pan more
// often does something than not; of what is only near the meat some third does.
//
// Note: 7 of those cooks were wrapped and took +.13 ± .17 longer than the physics
// gives them. That is not believed: people wrap meat that is late, so cooks side by
// side show less than a wrap saves.
//
// Note: the off core is held near what the readings, or the physics, make of it.
// Slow meat is lifted cooler, by feel, so cooks side by side show next to nothing
// of what a cooler core saves.
var beliefs = map[string]belief{
	frame.HeaviestPiece: {-.08, .22, 1}, // a ln kg
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

// nearby is the belief about all others.
var nearby = belief{0, .06, .2}

// lidCost is what an opened lid costs, ln: the pit is 30 K down for .2 h (chosen,
// as probes in pits show), of a course of 12 h.
const lidCost = 30 * .2 / 12 / 10

// usual is the middle of the cooks as a trial.
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

// lightest is the least weight the physics is asked about, kg (chosen).
const lightest = .3

// coolest is the pit below which the physics is not asked, °C: nearer to where water
// boils it soon sees no end, where people's cooks end all the same (chosen: five
// kelvins above 107 °C, the coolest pit in which people smoke; common practice, no
// source).
const coolest = 112.0

// slope is what the physics makes of one step of a column, or of a value, ln; ok is
// false where it knows nothing of it, or sees no end.
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
	case frame.LidOpened, frame.Spritzed: // to spritz is to open the lid
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

// wrapKind is the first wrap that a word of the column names.
func wrapKind(word string) journal.Wrap {
	for _, k := range journal.Wraps {
		if strings.HasPrefix(word, string(k)) && !strings.Contains(word, "loose") {
			return k
		}
	}
	return journal.NoWrap
}

// scatterOf is how much cooks of one person scatter, ln, and how many cooks'
// worth that is (chosen between .12 in one's own pit and .20 over pits).
const scatterOf, scatterWorth = .15, 5.0

// people is how far the physics' level is off for a person, ln: 46 cooks of 44
// people scatter by .31.
const people = .31

// problem is ln of the whole times on all causes, the middle of each coefficient
// where the physics has it, so that what comes of it is the whole effect.
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

// sureOf is how sure it is that the answer moves in one direction by more than
// least.
func sureOf(effect bayes.Combination, least float64) float64 {
	return math.Max(effect.Above(least), 1-effect.Above(-least))
}

// unnoticed is what nobody would notice over what most cooks differ by, as a
// share of what is worth knowing: some seven minutes of twelve hours (chosen).
const unnoticed = .2

// From how sure on a direction is told (chosen): wrong once in ten at the most.
const likelySure, maybeSure = .9, .8
