package finish

import (
	"math"

	"ashbook/report/finish/course"
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
	byEngine = iota
	byAlike
	byPlan
	partners
)

// Blending (all chosen, on real cooks, leaving one out): see blend.
const (
	givenCooks  = 4.0 // pseudo-cooks for the spreads both claim
	spreadCooks = 3.0 // pseudo-cooks for the spread given beforehand
	alikeCooks  = 4.0 // look-alikes keep half of their share when as many cooks of full standing have them
	apart       = .5  // of ln hours: an answer so far from the middle one counts half
	shareOfRMS  = .8  // two half-independent answers are better than either
	floorKnown  = .25 // smallest spread given beforehand, with enough own cooks on the pit
	floorNew    = .55 // the same on a pit hardly known
	floorEarly  = .65 // of the floor, before the cook; all of it from half way
	enoughCooks = 5
	usualClaim  = .22 // spread of ln time among simulations of a cook well planned
	otherPit    = .3  // standing of a cook on another pit among look-alikes
	otherCut    = .6
)

func (f *Forecaster) learn(lessons []lesson) {
	f.correction = newCorrection(lessons)
	if f.correction.alpha == nil {
		return
	}
	plan := -1
	without := f.correction.without()
	for i := range f.correction.lessons {
		l := &f.correction.lessons[i]
		if math.IsNaN(l.situation.left) && l.situation.elapsed == 0 {
			plan = i
		}
		actual := math.Log(math.Max(l.took, course.Soonest))
		d := judged{situation: l.situation, cook: l.cook, miss: [partners]float64{byAlike: math.NaN(), byPlan: math.NaN()}}
		d.miss[byEngine] = math.Log(l.situation.engine) + without[i] + l.situation.expected() - actual
		if !math.IsNaN(l.situation.left) {
			if a, ok := f.alike(&l.situation, l.cook); ok {
				d.miss[byAlike] = math.Log(a.Hours) - actual
			}
			if plan >= 0 && f.correction.lessons[plan].cook == l.cook {
				p := &f.correction.lessons[plan].situation
				total := p.engine * math.Exp(without[plan]+p.expected())
				d.miss[byPlan] = math.Log(course.CutOff(total, sigmaCook, l.situation.elapsed)) - actual
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
		w := 1.0
		if f.past[i].Pit != s.pit {
			w *= otherPit
		}
		if !equalCut(f.past[i].Cut, s.cut) {
			w *= otherCut
		}
		return w
	})
	if ok {
		a.Hours = course.CutOff(a.Hours, a.Spread, s.leftAt)
	}
	return a, ok
}

// blend joins the corrected engine, the look-alikes and what is left of the
// planned time, and says how wide.
//
// The middle is their geometric mean; each counts by what it claims of its
// misses and by what they were on past cooks at a like moment, less when it
// stands apart from the others. The spread starts from what they claim, never
// under a floor, and moves to what the blend's own misses were.
func (f *Forecaster) blend(s situation, claimed float64, planned plan) (lnHours, sd float64, weights [partners]float64, a LookAlike) {
	mean, sdEngine := f.correct(s)
	var answer, own [partners]float64
	var has [partners]bool
	answer[byEngine], own[byEngine], has[byEngine] = math.Log(s.engine)+mean, sdEngine, true
	if !math.IsNaN(s.left) {
		own[byEngine] = math.Max(sdEngine, claimed)
	}
	if a, has[byAlike] = f.alike(&s, -1); has[byAlike] {
		answer[byAlike], own[byAlike] = math.Log(a.Hours), a.Spread
	}
	if planned.hours > 0 && !math.IsNaN(s.left) {
		left := course.CutOff(planned.hours, planned.sd, s.elapsed)
		// A plan is off by so many hours: much against a little time to go,
		// whichever of the two sees the less.
		spread := planned.sd * (s.elapsed + left) / math.Min(left, math.Exp(answer[byEngine]))
		answer[byPlan], own[byPlan], has[byPlan] = math.Log(left), spread, true
	}
	standing := f.standing(&s)
	weights = f.weigh(standing, own, has, a.weight/(a.weight+alikeCooks))
	discount(&weights, answer, has)
	for i := range partners {
		lnHours += weights[i] * answer[i]
		sd += weights[i] * own[i] * own[i]
	}
	sd = math.Sqrt(sd)
	if has[byAlike] || has[byPlan] {
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
	return lnHours, math.Sqrt((squares + spreadCooks*sd*sd) / (n + spreadCooks)), weights, a
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

// weigh shares the blend out: in inverse proportion to the squared misses,
// claimed (as so many cooks) and seen. Alike is what the look-alikes keep of
// their share: a dozen cooks that differ in size and fire say little.
//
// Note: shares by the covariance of the misses were no better; core fraction ×
// plan as a further partner made it worse.
func (f *Forecaster) weigh(standing []float64, own [partners]float64, has [partners]bool, alike float64) (w [partners]float64) {
	var squares, n [partners]float64
	for i, k := range standing {
		for p, miss := range f.judged[i].miss {
			if !math.IsNaN(miss) {
				squares[p] += k * miss * miss
				n[p] += k
			}
		}
	}
	total := 0.0
	for p := range w {
		if has[p] {
			w[p] = (n[p] + givenCooks) / (squares[p] + givenCooks*own[p]*own[p])
		}
	}
	w[byAlike] *= alike
	for p := range w {
		total += w[p]
	}
	for p := range w {
		w[p] /= total
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
