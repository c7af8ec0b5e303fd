package model

import (
	"math"
	"math/rand/v2"
	"sync"

	"ashbook/report/numeric/fit"
	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/thermo"
)

// Grid of the simulations: finish time is within .4 % of the limit.
const (
	cells    = 10
	stepTime = 180.0 // s
	stepHour = stepTime / 3600
	MaxSteps = int(Longest / stepHour)
)

// sdTransfer is the prior standard deviation of ln surface transfer: published
// spread (half to twice) is within two and a half of them. Beside it only the half
// thickness of each piece is free.
//
// Note: free supply of water and growth of the crust paid .1 % with people left out.
const (
	sdTransfer = .25
	common     = 1 // parameters shared by the pieces of a cook
)

// Reading error (chosen on real hand notes and logs): probe depth and model
// error of 2.6 K fading over two hours.
//
// Note: more of it where the core moves fast paid 2 % with people left out, and cost
// that and more where a person is known. The fit leaves 4.6 K of readings above 60 °C
// in the middle of 15 strangers' cooks, and 4.6 is the likeliest; but with it forecasts
// of a person who is known are worse by 7 %, those of people left out no better.
const (
	readingSD   = 2.6 // K
	whiteSD     = .15 // K
	errorMemory = 2.0 // h
	targetSD    = 1.2 // K: nobody takes meat off at exactly the aim
)

var model = sync.OnceValue(func() *heat.Model { return heat.NewModel(heat.Default, thermo.SaturationPressure) })

// Engine simulates the pieces of one job. It is not for several goroutines.
type Engine struct {
	j     *State
	sim   heat.Sim
	pits  [][]float64 // by piece, one value a step
	known []int
	moves [][]heat.Change
	core  []float64
	ways  []way // how the wrap may go on
	way   way   // the one simulated
}

// New makes an engine.
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

// parameters is how many the pieces of the job have together.
func (e *Engine) parameters() int { return common + len(e.j.Pieces) }

// Factors turns standardised parameters into those of one piece.
func (e *Engine) Factors(z []float64, piece int) heat.Factors {
	return heat.Factors{
		Transfer: math.Exp(e.j.transferSD * z[0]),
		Supply:   1, Crust: 1, Leak: 1,
		Shape: math.Exp(e.j.Pieces[piece].ShapeSD * z[common+piece]),
	}
}

// Curve is the core of a piece after each step until it is past target, valid
// until the next call. Offset is added to the unknown pit.
func (e *Engine) Curve(z []float64, piece int, target, offset float64, steps int) []float64 {
	return e.Run(e.Factors(z, piece), piece, target, offset, steps)
}

// Run is Curve for given factors.
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

// at reads a curve h hours after the piece went on.
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

// Remaining is how long from now until a piece is done, extra K beyond its target,
// h, negative when by its curve it should have been; ok is false when it is not
// within sight. What the fit leaves of the last reading is carried on and fades.
//
// Note: looking up the fitted or the usual curve at the present core instead
// was no better, with many readings or with few.
func (e *Engine) Remaining(curve []float64, piece int, extra float64) (hours float64, ok bool) {
	p := &e.j.Pieces[piece]
	target, wait := p.end()
	target += extra
	now := e.j.Elapsed - p.Start - wait // negative: goes on later
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
	// The curve ends past the target, but what is carried on still hangs below.
	n := len(curve)
	if n < 2 || n >= MaxSteps || curve[n-1] < target {
		return 0, false
	}
	h := float64(n) * stepHour
	rate := math.Max(.3, (curve[n-1]-curve[n-2])/stepHour)
	return h + (target-curve[n-1]-residual*math.Exp(-math.Max(0, h-last.H)/errorMemory))/rate - now, true
}

// Fit finds the parameters from the readings; without any it is the prior.
func (e *Engine) Fit() fit.Posterior {
	type place struct{ piece, reading int }
	var index []place
	var hours, scale, want []float64
	const apart = 1000.0 // h between pieces, so that their errors are independent
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
	// One piece's parameters change while the others stay: keep what
	// was simulated last for each.
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

// Point is the most probable time to go for the whole cook, h: the geometric mean
// over how the wrap may go on, each by its chance. Where no simulation gets there
// it is what is left of Longest, and ok is false.
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

// Whole is how long the simulation gives the whole cook with pit and wraps as
// they are known, readings of the core not looked at, h; Longest where it sees no
// end.
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

// Misses is the share of so many simulated courses, drawn from the posterior, in
// which some piece does not get there, 0 to 1.
func (e *Engine) Misses(post fit.Posterior, draws int) float64 {
	source := rand.New(rand.NewPCG(20, 26)) // fixed: the same cook gives the same answer
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

// draw chooses how the wrap goes on.
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

// Crossing is when a curve of Run first reaches the target, h after the piece
// went on; ok is false when it never does.
func Crossing(curve []float64, target float64) (hours float64, ok bool) {
	s, ok := heat.Crossing(curve, stepTime, target)
	return s / 3600, ok
}

// Soonest is the shortest time to go that is told apart from now, h.
const Soonest = .2
