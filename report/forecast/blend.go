package forecast

import (
	"math"

	"ashbook/report/forecast/model"
	"ashbook/report/numeric/score"
)

// judged is a replayed moment with the misses of all answers as they would have
// been without that cook.
type judged struct {
	situation situation
	cook      int
	miss      [partners]float64 // ln(answer / actual); NaN: no answer
}

// Partners of the blend.
const (
	byEngine = iota // simulation, corrected by past cooks
	byAlike         // how long past cooks took from a like core
	byPlan          // what was expected when it went on, less the time so far
	byKilos         // hours per kg of past cooks, less the time so far
	byPace          // on as the core last rose
	partners
)

// Blending (all chosen, on real and invented cooks, leaving one out): see blend.
const (
	givenCooks  = 4.0 // pseudo-cooks for the spreads both claim
	givenShare  = .3  // correlation of their misses
	spreadCooks = 3.0 // pseudo-cooks for the spread given beforehand
	alikeCooks  = 8.0 // look-alikes' squared misses count double when as many cooks of full standing have them
	farthest    = 1.5 // of ln hours: no miss counts for more
	apart       = .5  // of ln hours: an answer so far from the middle one counts half
	shareOfRMS  = .6  // two half-independent answers are better than either
	floorKnown  = .20 // smallest spread given beforehand, with enough own cooks on the pit
	floorNew    = .50 // the same on a pit hardly known
	floorEarly  = .65 // of the floor, before the cook; all of it from half way
	enoughCooks = 5
	usualClaim  = .22 // spread of ln time among simulations of a cook well planned
	sdKilos     = .25 // spread of ln hours per kg among cooks
	otherPit    = .1  // standing of a cook on another pit: it may be another person's, whose cooks teach little
	otherCut    = .6  // and of another cut, among look-alikes
)

// answers are what the partners say at one moment: ln hours to go, and the
// spread each claims of it.
type answers struct {
	ln, own [partners]float64
	has     [partners]bool
	alike   LookAlike
}

func (v *answers) give(p int, hours, own float64) {
	v.ln[p], v.own[p], v.has[p] = math.Log(hours), own, true
}

// ask asks every partner, leaving a cook out (-1: none). Engine is the
// corrected simulation, h, and sd what it claims. Without a reading there is
// but the engine.
func (f *Forecaster) ask(s *situation, except int, engine, sd float64, planned plan) (v answers) {
	v.give(byEngine, engine, sd)
	if math.IsNaN(s.left) {
		return v
	}
	if a, ok := f.alike(s, except); ok {
		v.alike = a
		v.give(byAlike, a.Hours, a.Spread)
	}
	// A time told for the whole is off by so many hours: much against a little
	// time to go, whichever of the two sees the less.
	whole := func(p int, hours, spread float64) {
		left := model.CutOff(hours, spread, s.elapsed)
		v.give(p, left, spread*(s.elapsed+left)/math.Min(left, engine))
	}
	if planned.hours > 0 {
		whole(byPlan, planned.hours, planned.sd)
	}
	if h, ok := f.perKilo(except); ok && s.kg > 0 {
		whole(byKilos, h*s.kg, sdKilos)
	}
	if s.pace > 0 {
		v.give(byPace, math.Max(model.Soonest, s.pace), paceSpread(s.left))
	}
	return v
}

// usualHeat is the mean heat of the pits of past cooks; that of the middle pit
// without any.
func usualHeat(lessons []lesson) float64 {
	sum, n := 0.0, 0.0
	for i := range lessons {
		if s := &lessons[i].situation; s.fired && (i == 0 || lessons[i].cook != lessons[i-1].cook) {
			sum, n = sum+s.heat, n+1
		}
	}
	return sum / math.Max(1, n)
}

// learn replays what the partners would have said on each past cook had it not
// been there.
func (f *Forecaster) learn(lessons []lesson) {
	f.correction = newCorrection(lessons, usualHeat(lessons))
	if f.correction.alpha == nil {
		return
	}
	without := f.correction.without()
	var planned plan
	for i := range f.correction.lessons {
		l := &f.correction.lessons[i]
		s := &l.situation
		engine := s.engine * math.Exp(without[i])
		if i == 0 || f.correction.lessons[i-1].cook != l.cook {
			planned = plan{}
		}
		if math.IsNaN(s.left) && s.elapsed == 0 {
			planned = plan{engine, sigmaCook}
		}
		v := f.ask(s, l.cook, engine, 0, planned)
		d := judged{situation: *s, cook: l.cook}
		for p := range d.miss {
			d.miss[p] = math.NaN()
			if v.has[p] {
				d.miss[p] = clamp(v.ln[p]-math.Log(math.Max(l.took, model.Soonest)), farthest)
			}
		}
		f.judged = append(f.judged, d)
	}
}

// alike asks the past cooks, leaving one out (-1: none).
func (f *Forecaster) alike(s *situation, except int) (LookAlike, bool) {
	a, ok := lookAlikes(f.taught, s.left, s.elapsed-s.leftAt, func(i int) float64 {
		if i == except {
			return 0
		}
		return kinship(&f.past[i], s.pit, s.cut)
	})
	if ok {
		a.Hours = model.CutOff(a.Hours, a.Spread, s.leftAt)
	}
	return a, ok
}

// blend joins the partners' answers and says how wide.
//
// The middle is their geometric mean; each counts by what it claims of its
// misses and by what they were on past cooks at a like moment, less when it
// stands apart from the others. The spread starts from what they claim, never
// under a floor, and moves to what the blend's own misses were.
func (f *Forecaster) blend(s situation, claimed float64, planned plan) (lnHours, sd float64, weights [partners]float64, a LookAlike) {
	mean, sdEngine := f.correct(s)
	if !math.IsNaN(s.left) {
		sdEngine = math.Max(sdEngine, claimed)
	}
	v := f.ask(&s, -1, s.engine*math.Exp(mean), sdEngine, planned)
	standing := f.standing(&s)
	weights = f.weigh(standing, &v)
	discount(&weights, v.ln, v.has)
	for i := range partners {
		lnHours += weights[i] * v.ln[i]
		sd += weights[i] * v.own[i] * v.own[i]
	}
	sd = math.Sqrt(sd)
	if weights[byEngine] < 1 {
		sd *= shareOfRMS
	}
	floor := floorNew
	if f.ownOn(s.pit) >= enoughCooks {
		floor = floorKnown
	}
	floor *= floorEarly + (1-floorEarly)*math.Min(1, 2*s.progress)
	// What is missing from the plan spreads the simulations; no other cook can
	// speak for that. Once a core is read, the fit has it.
	missing := 0.0
	if math.IsNaN(s.left) {
		missing = math.Max(0, claimed*claimed-usualClaim*usualClaim)
	}
	sd = math.Sqrt(math.Max(sd*sd, floor*floor) + missing)
	squares, n := 0.0, 0.0
	for i, k := range standing {
		miss, total := 0.0, 0.0
		for p, m := range f.judged[i].miss {
			if !math.IsNaN(m) {
				miss += weights[p] * m
				total += weights[p]
			}
		}
		if total > 0 {
			miss /= total
			squares += k * miss * miss
			n += k
		}
	}
	return lnHours, math.Sqrt((squares + spreadCooks*sd*sd) / (n + spreadCooks)), weights, v.alike
}

// standing is how much each judged moment counts at a moment like s: all of one
// cook together as much as its likest, less on another pit.
func (f *Forecaster) standing(s *situation) []float64 {
	out := make([]float64, len(f.judged))
	for i := 0; i < len(out); {
		k, sum, most := i, 0.0, 0.0
		for ; k < len(out) && f.judged[k].cook == f.judged[i].cook; k++ {
			out[k] = like(s, &f.judged[k].situation)
			if f.judged[k].situation.pit != s.pit {
				out[k] *= otherPit
			}
			sum, most = sum+out[k], math.Max(most, out[k])
		}
		for ; i < k; i++ {
			if sum > 0 {
				out[i] *= most / sum
			}
		}
	}
	return out
}

// weigh shares the blend out so that its squared miss is least, no share
// negative: given the misses the partners claim, as so many cooks, and those
// seen side by side on past cooks. Look-alikes that are few or differ in size
// and fire say little.
//
// Note: core fraction × plan as a further partner made it worse; shares by
// each one's own squared misses alone cost 4 % on real cooks.
func (f *Forecaster) weigh(standing []float64, v *answers) (w [partners]float64) {
	var c [partners][partners]float64
	most, n := 0.0, 0.0
	for p := range partners {
		if !v.has[p] {
			continue
		}
		w[p], n = 1, n+1
		for q := range p + 1 {
			if !v.has[q] {
				continue
			}
			share := givenShare
			if p == q {
				share = 1
			}
			sum, cooks := givenCooks*share*v.own[p]*v.own[q], givenCooks
			for i, k := range standing {
				if both := f.judged[i].miss[p] * f.judged[i].miss[q]; !math.IsNaN(both) {
					sum, cooks = sum+k*both, cooks+k
				}
			}
			c[p][q] = sum / cooks
			c[q][p] = c[p][q]
		}
		if p == byAlike {
			c[p][p] *= 1 + alikeCooks/math.Max(.1, v.alike.weight)
		}
		most = math.Max(most, c[p][p])
	}
	if n == 1 || !(most > 0) {
		for p := range w {
			w[p] /= n
		}
		return w
	}
	// Exponentiated gradient (Kivinen & Warmuth 1997, Information and
	// Computation 132:1) stays where shares are positive and sum to 1.
	for p := range w {
		w[p] /= n
	}
	var next [partners]float64
	for range 300 {
		total := 0.0
		for p := range w {
			g := 0.0
			for q := range w {
				g += c[p][q] * w[q]
			}
			next[p] = w[p] * math.Exp(-2*g/most)
			total += next[p]
		}
		for p := range w {
			w[p] = next[p] / total
		}
	}
	return w
}

// discount takes weight from an answer that stands far from the middle one: a
// simulation that hangs below its target, or a plan long overrun, is no partner.
func discount(weights *[partners]float64, answer [partners]float64, has [partners]bool) {
	var all []float64
	for p, ok := range has {
		if ok {
			all = append(all, answer[p])
		}
	}
	middle, total := score.Quantile(all, .5), 0.0
	for p := range weights {
		d := (answer[p] - middle) / apart
		weights[p] /= 1 + d*d
		total += weights[p]
	}
	for p := range weights {
		weights[p] /= total
	}
}

func (f *Forecaster) correct(s situation) (mean, sd float64) {
	c := f.correction
	if c == nil {
		c = &correction{}
	}
	return c.at(s)
}

func (f *Forecaster) ownOn(pit string) int {
	n := 0
	for i := range f.past {
		if f.past[i].Pit == pit {
			n++
		}
	}
	return n
}
