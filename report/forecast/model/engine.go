package model

import (
	"math"
	"math/rand/v2"
	"sync"

	"ashbook/report/numeric/fit"
	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/thermo"
)

// The grid of the simulation: the finish time is within .4 % of that with an infinitely
// fine grid.
const (
	cells    = 10
	stepTime = 180.0 // s
	stepHour = stepTime / 3600
	MaxSteps = int(Longest / stepHour)
)

// sdTransfer is the standard deviation of ln(surface heat transfer) assumed before
// readings: published values, from half to twice the usual, are within 2.5 standard
// deviations. Only the surface transfer and the half thickness of each piece are
// fitted.
//
// Note: fitting the supply of water and the growth of the crust too made forecasts for
// people not fitted on only .1 % better.
const (
	sdTransfer = .25
	common     = 1 // parameters shared by the pieces of a cook
)

// Errors of readings (chosen on real notes and logs): depth of the probe and error of the
// model, 2.6 K, correlated over about two hours.
//
// Note: a larger error where the core rises fast was tried. It made forecasts 2 %
// better for people not fitted on, and at least 2 % worse for a known person. The
// readings above 60 °C of 15 strangers' cooks differ from the model by 4.6 K in the
// median; using 4.6 K as the error made forecasts 7 % worse for a known person and no
// better for people not fitted on.
const (
	readingSD   = 2.6 // K
	whiteSD     = .15 // K, uncorrelated part
	errorMemory = 2.0 // h, time constant of the correlation
	targetSD    = 1.2 // K: people do not take meat off exactly at the aim
)

var model = sync.OnceValue(func() *heat.Model { return heat.NewModel(heat.Default, thermo.SaturationPressure) })

// Engine simulates the pieces of one cook. It is not safe for concurrent use.
type Engine struct {
	j     *State
	sim   heat.Sim
	pits  [][]float64 // pit of each piece at each step, °C
	known []int       // number of steps of each piece for which the pit is known
	moves [][]heat.Change
	core  []float64
	ways  []way // possible wraps
	way   way   // the wrap being simulated
}

// New returns an Engine for j.
func New(j *State) *Engine {
	e := &Engine{j: j, core: make([]float64, 0, MaxSteps), ways: j.ways()}
	e.way = e.ways[0]
	for i := range j.Pieces {
		p := &j.Pieces[i]
		pits := make([]float64, MaxSteps)
		e.known = append(e.known, j.Pit.sample(pits, p.Start, stepHour, j.Elapsed))
		e.pits = append(e.pits, pits)
		moves := make([]heat.Change, 0, len(j.Changes))
		for _, c := range j.Changes {
			c.At -= p.Start * 3600
			if c.At >= 0 || c.Cover != heat.Bare {
				c.At = math.Max(0, c.At)
				moves = append(moves, c)
			}
		}
		e.moves = append(e.moves, moves)
	}
	return e
}

// parameters returns the number of fitted parameters.
func (e *Engine) parameters() int { return common + len(e.j.Pieces) }

// Factors returns the factors of one piece for standardised parameters z.
func (e *Engine) Factors(z []float64, piece int) heat.Factors {
	return heat.Factors{
		Transfer: math.Exp(e.j.transferSD * z[0]),
		Supply:   1, Crust: 1, Leak: 1,
		Shape: math.Exp(e.j.Pieces[piece].ShapeSD * z[common+piece]),
	}
}

// Curve returns the core of a piece after each step until it is above target, for at
// most steps steps. The next call overwrites the result. offset, in K, is added to the
// pit from now on.
func (e *Engine) Curve(z []float64, piece int, target, offset float64, steps int) []float64 {
	return e.Run(e.Factors(z, piece), piece, target, offset, steps)
}

// Run does what Curve does, for given factors.
func (e *Engine) Run(f heat.Factors, piece int, target, offset float64, steps int) []float64 {
	j := e.j
	model().Start(&e.sim, j.Pieces[piece].Meat, f, j.air, cells, stepTime)
	c := heat.Course{
		Pit: e.pits[piece], Offset: offset, Known: e.known[piece], Changes: e.moves[piece],
		Plan: e.way.cover, PlanAt: e.way.at, PlanNow: e.known[piece], Target: target, Steps: min(steps, MaxSteps),
	}
	e.core = c.Run(&e.sim, e.core[:0])
	return e.core
}

// at returns a curve's value h hours after the piece went on, by interpolation.
func at(curve []float64, h, start float64) float64 {
	u := h / stepHour
	i := int(math.Floor(u)) - 1
	switch {
	case len(curve) == 0 || u <= 0:
		return start
	case i < 0:
		return start + u*(curve[0]-start)
	case i >= len(curve)-1:
		return curve[len(curve)-1]
	}
	return curve[i] + (u-float64(i)-1)*(curve[i+1]-curve[i])
}

// Remaining returns the time from now until a piece is extra K above its target, h; it
// is negative if the curve is already past that. ok is false if it takes longer than
// Longest. The difference between the last reading and the curve is added to the curve;
// it fades with the time constant errorMemory.
//
// Note: starting from the point at which the fitted or the usual curve has today's core
// was tried. It was no better, with many readings or with few.
func (e *Engine) Remaining(curve []float64, piece int, extra float64) (hours float64, ok bool) {
	p := &e.j.Pieces[piece]
	target, wait := p.end()
	target += extra
	now := e.j.Elapsed - p.Start - wait // negative: not yet on
	last, seen := p.Last()
	if !seen {
		h, ok := Crossing(curve, target)
		return h - now, ok
	}
	if h, ok := p.passed(target); ok && wait > 0 {
		return h - now, true
	}
	residual := last.C - at(curve, last.H, p.Meat.Start)
	for i := max(0, int(last.H/stepHour)-1); i < len(curve); i++ {
		h := float64(i+1) * stepHour
		if curve[i]+residual*math.Exp(-math.Max(0, h-last.H)/errorMemory) >= target {
			return h - now, true
		}
	}
	// The curve is past the target, but with the difference added it is not.
	n := len(curve)
	if n < 2 || n >= MaxSteps || curve[n-1] < target {
		return 0, false
	}
	h := float64(n) * stepHour
	rate := math.Max(.3, (curve[n-1]-curve[n-2])/stepHour)
	return h + (target-curve[n-1]-residual*math.Exp(-math.Max(0, h-last.H)/errorMemory))/rate - now, true
}

// Fit fits the parameters to the readings; without any, it returns the prior.
func (e *Engine) Fit() fit.Posterior {
	type place struct{ piece, reading int }
	var index []place
	var hours, scale, want []float64
	const apart = 1000.0 // h added between pieces, so that their errors are independent
	for i := range e.j.Pieces {
		for k, x := range e.j.Pieces[i].Readings {
			if e.j.Pieces[i].aside {
				continue
			}
			index = append(index, place{i, k})
			hours = append(hours, x.H+apart*float64(i))
			scale = append(scale, readingSD)
			want = append(want, x.C)
		}
	}
	noise, err := fit.AR1(hours, scale, errorMemory, whiteSD)
	problem := fit.Problem{Parameters: e.parameters(), Readings: len(want), Noise: noise}
	if err != nil || len(want) == 0 {
		problem.Readings, problem.Noise = 0, &fit.Noise{}
		problem.Residuals = func(z, out []float64) {}
		return fit.Laplace(problem)
	}
	// The fit changes the parameters of one piece at a time, so the curves of the
	// others are cached.
	cache := make([]struct {
		z   [common + 1]float64
		out []float64
		ok  bool
	}, len(e.j.Pieces))
	problem.Residuals = func(z, out []float64) {
		for i := range e.j.Pieces {
			p := &e.j.Pieces[i]
			if len(p.Readings) == 0 || p.aside {
				continue
			}
			c := &cache[i]
			key := [common + 1]float64{z[0], z[common+i]}
			if c.ok && c.z == key {
				continue
			}
			steps := int(p.Readings[len(p.Readings)-1].H/stepHour) + 2
			curve := e.Curve(z, i, math.Inf(1), 0, steps)
			c.z, c.ok, c.out = key, true, c.out[:0]
			for _, r := range p.Readings {
				c.out = append(c.out, at(curve, r.H, p.Meat.Start))
			}
		}
		for k, x := range index {
			out[k] = cache[x.piece].out[x.reading] - want[k]
		}
	}
	return fit.Laplace(problem)
}

// Point returns the most probable time to go of the cook, h: the geometric mean over
// the possible wraps, weighted by their chances. If no simulation is done within
// Longest, it returns what is left of Longest, and ok is false.
func (e *Engine) Point(post fit.Posterior) (hours float64, ok bool) {
	ln := 0.0
	for _, e.way = range e.ways {
		h, reached := e.point(post)
		ln += e.way.chance * math.Log(math.Max(h, Soonest))
		ok = ok || reached
	}
	e.way = e.ways[0]
	return math.Exp(ln), ok
}

func (e *Engine) point(post fit.Posterior) (hours float64, ok bool) {
	ok = true
	for i := range e.j.Pieces {
		p := &e.j.Pieces[i]
		if !p.Waits() {
			continue
		}
		h, reached := e.Remaining(e.Curve(post.Mean, i, p.Target, 0, MaxSteps), i, 0)
		if !reached {
			h, ok = math.Max(.5, Longest-e.j.Elapsed), false
		}
		hours = math.Max(hours, h)
	}
	return hours, ok
}

// Whole returns the simulated length of the cook with pit and wraps as known, h; readings
// are ignored. It is Longest if it does not end.
func (e *Engine) Whole() (hours float64) {
	ln := 0.0
	for _, e.way = range e.ways {
		longest := 0.0
		for i := range e.j.Pieces {
			p := &e.j.Pieces[i]
			h, reached := p.Finish(e.Run(heat.Usual, i, p.Target, 0, MaxSteps))
			if !reached {
				h = Longest
			}
			longest = math.Max(longest, p.Start+h)
		}
		ln += e.way.chance * math.Log(math.Max(longest, Soonest))
	}
	e.way = e.ways[0]
	return math.Exp(ln)
}

// Misses returns the share, 0 to 1, of simulations in which a piece is not done within
// Longest. It makes draws simulations, with random parameters from the fit.
func (e *Engine) Misses(post fit.Posterior, draws int) float64 {
	source := rand.New(rand.NewPCG(20, 26)) // fixed seed: the same cook gives the same answer
	d := e.parameters()
	normals, z := make([]float64, d), make([]float64, d)
	missed := 0
	for range draws {
		for i := range normals {
			normals[i] = source.NormFloat64()
		}
		post.Draw(normals, z)
		offset := e.j.Pit.SD * source.NormFloat64()
		extra := targetSD * source.NormFloat64()
		e.draw(source)
		for i := range e.j.Pieces {
			p := &e.j.Pieces[i]
			if !p.Waits() {
				continue
			}
			curve := e.Curve(z, i, p.Target+extra, offset, MaxSteps)
			if _, reached := e.Remaining(curve, i, extra); !reached {
				missed++
				break
			}
		}
	}
	e.way = e.ways[0]
	return float64(missed) / float64(draws)
}

// draw chooses one of the possible wraps at random.
func (e *Engine) draw(source *rand.Rand) {
	if len(e.ways) == 1 {
		return
	}
	u := source.Float64()
	for _, e.way = range e.ways {
		if u -= e.way.chance; u < 0 {
			return
		}
	}
}

// Crossing returns when a curve first reaches target, h after the piece went on; ok is
// false if it never does.
func Crossing(curve []float64, target float64) (hours float64, ok bool) {
	s, ok := heat.Crossing(curve, stepTime, target)
	return s / 3600, ok
}

// Soonest is the least time to go, h.
const Soonest = .2
