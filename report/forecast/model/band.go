package model

import (
	"math"
	"math/rand/v2"

	"ashbook/report/numeric/fit"
	"ashbook/report/numeric/score"
)

// BandPoint is the expected core of the slowest piece at one time.
type BandPoint struct {
	Hours       float64 // since the first piece went on
	Lo, Mid, Hi float64 // °C: 10th, 50th and 90th percentile
}

// Loss returns the share of the raw weight lost when the slowest piece is done, 0 to 1;
// accurate to .05.
func (e *Engine) Loss(post fit.Posterior) float64 {
	i := e.slowest(post)
	e.Curve(post.Mean, i, e.j.Pieces[i].Target, 0, MaxSteps)
	return e.sim.Loss()
}

// slowest returns the index of the piece that is done last.
func (e *Engine) slowest(post fit.Posterior) int {
	worst, at := math.Inf(-1), 0
	for i := range e.j.Pieces {
		p := &e.j.Pieces[i]
		if !p.Waits() {
			continue
		}
		h, ok := e.Remaining(e.Curve(post.Mean, i, p.Target, 0, MaxSteps), i, 0)
		if !ok {
			h = Longest
		}
		if h > worst {
			worst, at = h, i
		}
	}
	return at
}

// bandCourses is the number of simulations for the band.
const bandCourses = 40

// Band returns the expected core of the slowest piece, one point every quarter of an
// hour until it is done. Times after now are multiplied by stretch, so that the median
// ends with the forecast.
func (e *Engine) Band(post fit.Posterior, stretch float64) []BandPoint {
	i := e.slowest(post)
	p := &e.j.Pieces[i]
	now := math.Max(0, e.j.Elapsed-p.Start)
	end := now
	middle := e.Curve(post.Mean, i, p.Target, 0, MaxSteps)
	if h, ok := e.Remaining(middle, i, 0); ok {
		end = now + h*stretch
	} else {
		end = Longest
	}
	courses := e.courses(post, i, bandCourses)
	residual := 0.0
	last, seen := p.Last()
	if seen {
		residual = last.C - at(e.Curve(post.Mean, i, math.Inf(1), 0, int(last.H/stepHour)+2), last.H, p.Meat.Start)
	}
	var out []BandPoint
	values := make([]float64, len(courses))
	for h := 0.0; h <= end+.125 && len(out) < 4*int(Longest)+1; h += .25 {
		simulated := h
		if h > now && stretch > 0 {
			simulated = now + (h-now)/stretch
		}
		for k, c := range courses {
			values[k] = at(c, simulated, p.Meat.Start)
			if seen && h >= last.H {
				values[k] += residual * math.Exp(-(h-last.H)/errorMemory)
			}
		}
		out = append(out, BandPoint{h + p.Start, score.Quantile(values, .1) - readingSD/2, score.Quantile(values, .5), score.Quantile(values, .9) + readingSD/2})
	}
	return out
}

// courses returns n simulated curves of one piece, with parameters drawn at random.
func (e *Engine) courses(post fit.Posterior, piece, n int) [][]float64 {
	source := rand.New(rand.NewPCG(4, 26))
	d := e.parameters()
	normals, z := make([]float64, d), make([]float64, d)
	var out [][]float64
	for range n {
		for i := range normals {
			normals[i] = source.NormFloat64()
		}
		post.Draw(normals, z)
		curve := e.Curve(z, piece, e.j.Pieces[piece].Target, e.j.Pit.SD*source.NormFloat64(), MaxSteps)
		out = append(out, append([]float64(nil), curve...))
	}
	return out
}
