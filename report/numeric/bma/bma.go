// Package bma says which of up to fifteen things go with a value, by
// averaging over every set of them: each set is fitted and counts by how
// probable the values make it (Hoeting et al. 1999, Stat. Sci. 14:382). The
// answer is exact for its prior, and admits what a few rows cannot tell.
package bma

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Most is how many terms are averaged over: 2^15 sets (chosen, for half a
// second).
const Most = 15

// Term is something that is in or out as a whole: one column, or the columns of
// a word with several values.
type Term struct {
	Columns []int
	// Shrunk, if positive, makes the columns members of a family, such as the
	// pits: their effects come from one normal distribution of this standard
	// deviation, in units of that of the rows about the fit. 0: effects of their
	// own.
	Shrunk float64
}

// Options of an averaging.
type Options struct {
	Prior   Prior
	Include float64 // probability of each term before the rows are seen; 0 = ½
	Level   float64 // of the intervals; 0 = .8
}

// Effect is that of one column on y, in units of y for one unit of the column.
type Effect struct {
	Average float64 // over all sets, 0 counted where it is out
	// Mean, Lo and Hi hold where it is in: the middle and the interval.
	Mean, Lo, Hi float64
	Told         bool // false: the column is all alike, or held by others
}

// Result is what came of it.
type Result struct {
	Inclusion []float64 // by term: the probability that it belongs in, 0 to 1
	Effects   []Effect  // by column
	// ResidualSD is the spread of the rows about the fit, averaged, in units of
	// y.
	ResidualSD float64
	Explained  float64 // share of the sum of squares, averaged, 0 to 1
	Sets       int     // averaged over
	TooLarge   int     // sets passed over: more columns than rows can bear
	Perfect    bool    // the likeliest set explains all: rows too few or too neat
}

// negligible is the weight of a set that moves no printed digit.
const negligible = 1e-10

// search walks through the sets.
type search struct {
	done  context.Context // ends the search
	m     *Moments
	terms []Term
	judge judge
	width int
	work  [][]float64 // a matrix for every depth
	in    []bool

	total    float64   // sum of squares about the mean, in the base
	logBase  float64   // ln marginal likelihood of the base's constant alone
	baseZero []float64 // coefficients of the base, by column

	logs  []float64 // ln weight, by set
	sets  []uint16  // terms in, as bits
	parts []part    // of each column, by set; weight unused
	rss   []float64 // share of the sum of squares left, by set
	noise []float64 // expected variance of the rows about the fit, by set
	table map[float64]*student
}

// Over averages over all sets of the terms; columns of no term stay out. It stops
// with ctx's error when that is done.
func (m *Moments) Over(ctx context.Context, terms []Term, o Options) (Result, error) {
	if len(terms) > Most {
		return Result{}, fmt.Errorf("%d terms, at most %d expected", len(terms), Most)
	}
	for i, t := range terms {
		for _, c := range t.Columns {
			if c < 0 || c >= m.columns {
				return Result{}, fmt.Errorf("term %d: column %d of %d", i, c, m.columns)
			}
		}
	}
	if o.Include == 0 {
		o.Include = .5
	}
	if o.Level == 0 {
		o.Level = .8
	}
	s := &search{done: ctx, m: m, terms: terms, judge: newJudge(o.Prior, m.rows), width: m.columns + 2, in: make([]bool, len(terms)), baseZero: make([]float64, m.columns), table: map[float64]*student{}}
	for range len(terms) + 2 {
		s.work = append(s.work, make([]float64, s.width*s.width))
	}
	s.parts = make([]part, 0, m.columns<<len(terms))
	s.bases(0, m.cross, 0, 0, math.Log(o.Include/(1-o.Include)))
	r := s.result(o)
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	return r, nil
}

// bases decides the shrunken terms, then walks through the sets of the others
// on each. A family's effects are solved out against their own spread, which
// leaves the moments of rows that have these effects in common; volume is
// −½·ln|I + ZZ'τ²|.
func (s *search) bases(k int, a []float64, volume, logPrior, logOdds float64) {
	for k < len(s.terms) && s.terms[k].Shrunk <= 0 {
		k++
	}
	if k < len(s.terms) {
		s.bases(k+1, a, volume, logPrior, logOdds)
		b := slices.Clone(a)
		for _, c := range s.terms[k].Columns {
			if unit := s.terms[k].Shrunk * s.m.scale[c]; unit > 0 {
				at, ridge := c+1, 1/(unit*unit)
				b[at*s.width+at] += ridge
				volume -= .5 * math.Log(sweep(b, s.width, at, 0)/ridge)
			}
		}
		s.in[k] = true
		s.bases(k+1, b, volume, logPrior+logOdds, logOdds)
		s.in[k] = false
		return
	}
	base := s.work[0]
	copy(base, a)
	pivot := sweep(base, s.width, 0, 0)
	last := s.width - 1
	s.total = base[last*s.width+last]
	s.logBase = volume - .5*math.Log(pivot) - .5*float64(s.m.rows-1)*math.Log(s.total)
	for c := range s.baseZero {
		s.baseZero[c] = base[(c+1)*s.width+last]
	}
	s.walk(0, 0, 0, logPrior, logOdds)
}

// walk decides the other terms, depth by depth; a set copies the matrix of the
// one it grew from, so that no rounding gathers.
func (s *search) walk(k, depth, rank int, logPrior, logOdds float64) {
	for k < len(s.terms) && (s.terms[k].Shrunk > 0 || len(s.terms[k].Columns) == 0) {
		k++
	}
	if s.done.Err() != nil {
		return
	}
	if k == len(s.terms) {
		s.take(s.work[depth], rank, logPrior)
		return
	}
	s.walk(k+1, depth, rank, logPrior, logOdds)
	copy(s.work[depth+1], s.work[depth])
	s.in[k] = true
	for _, c := range s.terms[k].Columns {
		at := c + 1
		if sweep(s.work[depth+1], s.width, at, s.m.cross[at*s.width+at]) > 0 {
			rank++
		}
	}
	s.walk(k+1, depth+1, rank, logPrior+logOdds, logOdds)
	s.in[k] = false
}

// take weighs one set.
func (s *search) take(a []float64, rank int, logPrior float64) {
	if rank > s.m.rows-fewest {
		s.logs, s.sets, s.rss, s.noise = append(s.logs, math.Inf(-1)), append(s.sets, 0), append(s.rss, 1), append(s.noise, 1)
		s.parts = append(s.parts, make([]part, s.m.columns)...)
		return
	}
	w, last := s.width, s.width-1
	unexplained := math.Max(0, a[last*w+last]/s.total)
	v := s.judge.of(rank, unexplained)
	s.logs = append(s.logs, s.logBase+v.logBayes+logPrior)
	s.rss = append(s.rss, unexplained*s.total/float64(s.m.rows))
	s.noise = append(s.noise, v.noise*s.total)
	of := s.table[v.free]
	if of == nil {
		of = newStudent(v.free)
		s.table[v.free] = of
	}
	var set uint16
	first := len(s.parts)
	s.parts = append(s.parts, make([]part, s.m.columns)...)
	for i, in := range s.in {
		if !in {
			continue
		}
		set |= 1 << i
		for _, c := range s.terms[i].Columns {
			at := c + 1
			inverse := -a[at*w+at]
			if !(inverse > 0) || s.m.scale[c] == 0 {
				continue // passed over by sweep
			}
			p := part{middle: a[at*w+last], of: of}
			if s.terms[i].Shrunk > 0 {
				p.middle = s.baseZero[c] + v.keep*(p.middle-s.baseZero[c])
				p.scale = math.Sqrt(v.noise * s.total * inverse)
			} else {
				p.scale = math.Hypot(math.Sqrt(v.spread*s.total*inverse), v.keepSD*p.middle)
				p.middle *= v.keep
			}
			s.parts[first+c] = p
		}
	}
	s.sets = append(s.sets, set)
}

// result sums the sets up; part of it when ctx has ended.
func (s *search) result(o Options) Result {
	if s.done.Err() != nil {
		return Result{}
	}
	k, p := len(s.terms), s.m.columns
	r := Result{Inclusion: make([]float64, k), Effects: make([]Effect, p)}
	most := slices.Max(s.logs)
	total := 0.0
	weights := make([]float64, len(s.logs))
	for i, l := range s.logs {
		if math.IsInf(l, -1) {
			r.TooLarge++
			continue
		}
		r.Sets++
		weights[i] = math.Exp(l - most)
		total += weights[i]
		r.Perfect = r.Perfect || l == most && s.rss[i] <= perfect
	}
	variance := 0.0
	for i, set := range s.sets {
		w := weights[i] / total
		weights[i] = w
		if w == 0 {
			continue
		}
		r.Explained += w * (1 - s.rss[i])
		variance += w * s.noise[i]
		for a := range k {
			if set>>a&1 == 1 {
				r.Inclusion[a] += w
			}
		}
	}
	for a := range k {
		r.Inclusion[a] = math.Min(1, r.Inclusion[a])
	}
	yScale := s.m.scale[p]
	r.ResidualSD = yScale * math.Sqrt(variance)
	var parts []part
	for c := range p {
		if s.done.Err() != nil {
			break
		}
		parts = parts[:0]
		in, sum := 0.0, 0.0
		for i, w := range weights {
			q := s.parts[i*p+c]
			if q.of == nil || w < negligible {
				continue
			}
			q.weight = w
			in += w
			sum += w * q.middle
			parts = append(parts, q)
		}
		if in == 0 {
			continue
		}
		unit := yScale / s.m.scale[c]
		r.Effects[c] = Effect{
			Average: unit * sum, Mean: unit * sum / in, Told: true,
			Lo: unit * quantile(parts, in, (1-o.Level)/2), Hi: unit * quantile(parts, in, (1+o.Level)/2),
		}
	}
	return r
}
