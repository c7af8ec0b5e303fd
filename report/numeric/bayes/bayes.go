// Package bayes fits a linear combination of columns to data, starting from prior
// knowledge of the coefficients: each has a normal distribution, and some may be
// exactly zero. It tries every set of non-zero terms, and weights each set by how
// probable it makes the data (Bayesian model averaging: Raftery, Madigan & Hoeting
// 1997, JASA 92:179). The scatter of the rows is integrated numerically. For a given
// set and scatter the result has a closed form (Lindley & Smith 1972, J. R. Stat. Soc.
// B 34:1). Without rows the result is the prior.
package bayes

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Prior is what is known about a number before the data: a normal distribution.
type Prior struct{ Mean, SD float64 } // SD > 0

// Term is one or more columns whose coefficients are either all zero or all not zero.
type Term struct {
	Columns []int
	Include float64 // prior probability that it is not zero, above 0; 1 or more: always in
}

// Problem holds the data and the priors of a fit.
type Problem struct {
	Columns  [][]float64 // each as long as Y, one value a row
	Y        []float64
	Weights  []float64 // by row, above 0; only their ratios matter; nil: equal
	Constant Prior
	Priors   []Prior // by column, given that its term is not zero
	Terms    []Term  // each column is in exactly one
	// Noise is the standard deviation assumed for a row around the combination; this
	// assumption has the weight of NoiseRows rows.
	Noise, NoiseRows float64
}

// MostOptional is the largest number of terms that may be zero (chosen: 2^15 sets take
// a twentieth of a second).
const MostOptional = 15

// Posterior is the result of a fit.
type Posterior struct {
	Inclusion []float64 // by term: probability that it is not zero, 0 to 1
	Noise     float64   // expected standard deviation of a row around the combination
	parts     []part
}

// part is the result for one set of terms and one value of the scatter.
type part struct {
	weight float64
	at     []int     // positions: the constant is 0, column k is k+1; ascending
	mean   []float64 // by at
	cov    []float64 // len(at)²
}

// ErrNotANumber means that a value is not finite.
var ErrNotANumber = errors.New("not a finite number")

// nodes are the values of ln(scatter) at which the integral is evaluated, in standard
// deviations from the most likely value (chosen: less than a hundredth of the weight is
// beyond them).
var nodes = []float64{-2.1, -1.2, -.4, .4, 1.2, 2.1, 3.2}

// The parts with the most weight are kept until the rest has less than this share, but
// at most mostParts (chosen: the rest changes no printed digit).
const (
	leftOut   = .002
	mostParts = 600
)

// fit is a fit in progress.
type fit struct {
	*Problem
	order    []int // positions in the matrix: 0 the constant, k+1 column k, y last
	optional []int // indexes of the terms that may be zero
	from     []int // index in order at which each optional term begins, and the end
	w        int
	cross    []float64 // cross products of constant, columns and y, in order
	logs     []leaf    // weight of every set at every scatter
}

type leaf struct {
	log   float64
	set   uint16
	sigma float64
}

// Fit computes the posterior. It returns ctx's error when ctx is done.
func Fit(ctx context.Context, p Problem) (Posterior, error) {
	f := &fit{Problem: &p}
	if err := f.check(); err != nil {
		return Posterior{}, err
	}
	f.arrange()
	middle, sd := f.scatter()
	f.logs = make([]leaf, 0, len(nodes)<<len(f.optional))
	for _, z := range nodes {
		if err := ctx.Err(); err != nil {
			return Posterior{}, err
		}
		f.sets(middle * math.Exp(z*sd))
	}
	return f.posterior(), nil
}

func (f *fit) check() error {
	n := len(f.Y)
	if len(f.Priors) != len(f.Columns) {
		return fmt.Errorf("%d priors for %d columns", len(f.Priors), len(f.Columns))
	}
	if f.Weights != nil && len(f.Weights) != n {
		return fmt.Errorf("%d weights for %d rows", len(f.Weights), n)
	}
	for i, v := range f.Weights {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("the weight of row %d is %v: above 0 expected", i, v)
		}
	}
	seen, optional := make([]bool, len(f.Columns)), 0
	for i, t := range f.Terms {
		if !(t.Include > 0) {
			optional = MostOptional + 1
		} else if t.Include < 1 {
			optional++
		}
		if optional > MostOptional {
			return fmt.Errorf("term %d: expected a probability above 0, and at most %d terms below 1", i, MostOptional)
		}
		for _, c := range t.Columns {
			if c < 0 || c >= len(seen) || seen[c] {
				return fmt.Errorf("term %d: column %d does not exist, or is in two terms", i, c)
			}
			seen[c] = true
		}
	}
	if slices.Contains(seen, false) {
		return fmt.Errorf("column %d is in no term", slices.Index(seen, false))
	}
	for j, c := range append(slices.Clone(f.Columns), f.Y) {
		if len(c) != n {
			return fmt.Errorf("column %d has %d rows, %d expected", j, len(c), n)
		}
		for i, v := range c {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("column %d, row %d: %w", j, i, ErrNotANumber)
			}
		}
	}
	for j, p := range append(slices.Clone(f.Priors), f.Constant, Prior{0, f.Noise}, Prior{0, f.NoiseRows}) {
		if !(p.SD > 0) || math.IsInf(p.SD, 0) || math.IsNaN(p.Mean) || math.IsInf(p.Mean, 0) {
			return fmt.Errorf("prior %d is %v: a spread above 0 expected", j, p)
		}
	}
	return nil
}

// arrange orders the columns, first those of terms that are always in, and sums the
// products of columns over the rows.
func (f *fit) arrange() {
	f.order = []int{0}
	for i, t := range f.Terms {
		if t.Include >= 1 {
			for _, c := range t.Columns {
				f.order = append(f.order, c+1)
			}
		} else {
			f.optional = append(f.optional, i)
		}
	}
	for _, i := range f.optional {
		f.from = append(f.from, len(f.order))
		for _, c := range f.Terms[i].Columns {
			f.order = append(f.order, c+1)
		}
	}
	f.from = append(f.from, len(f.order))
	f.w = len(f.order) + 1
	f.cross = make([]float64, f.w*f.w)
	row, all := make([]float64, f.w), 0.0
	for _, v := range f.Weights {
		all += v / float64(len(f.Y))
	}
	for i, y := range f.Y {
		weight := 1.0
		if f.Weights != nil {
			weight = f.Weights[i] / all
		}
		for k, at := range f.order {
			row[k] = 1
			if at > 0 {
				row[k] = f.Columns[at-1][i]
			}
		}
		row[f.w-1] = y
		for a, v := range row {
			for b := a; b < f.w; b++ {
				f.cross[a*f.w+b] += weight * v * row[b]
			}
		}
	}
}

func (f *fit) prior(at int) Prior {
	if at == 0 {
		return f.Constant
	}
	return f.Priors[at-1]
}

// take adds the column at position k to the set: it adds the prior of that column to
// the sums and eliminates the column from those after it (one step of Gaussian
// elimination). It returns the change of the log determinant.
func (f *fit) take(a []float64, k int) (volume float64) {
	w, last := f.w, f.w-1
	p := f.prior(f.order[k])
	ridge := 1 / (p.SD * p.SD)
	a[k*w+k] += ridge
	a[k*w+last] += ridge * p.Mean
	a[last*w+last] += ridge * p.Mean * p.Mean
	pivot := a[k*w+k]
	for i := k + 1; i < w; i++ {
		g := a[k*w+i] / pivot
		if g == 0 {
			continue
		}
		for j := i; j < w; j++ {
			a[i*w+j] -= g * a[k*w+j]
		}
	}
	return math.Log(pivot / ridge)
}

// over returns the sums of products divided by σ².
func (f *fit) over(sigma float64) []float64 {
	a := slices.Clone(f.cross)
	for i := range a {
		a[i] /= sigma * sigma
	}
	return a
}

// evidence returns the part of the log probability of the rows that depends on σ alone;
// the caller subtracts half of the log determinant and half of the remaining sum of
// squares.
func (f *fit) evidence(sigma float64) float64 {
	v := f.Noise * f.Noise / (sigma * sigma)
	return .5*f.NoiseRows*(math.Log(v)-v) - float64(len(f.Y))*math.Log(sigma)
}

// scatter returns the most likely σ if all terms are in, and the standard deviation of
// ln σ.
func (f *fit) scatter() (middle, sd float64) {
	of := func(ln float64) float64 {
		sigma := math.Exp(ln)
		a, volume := f.over(sigma), 0.0
		for k := range f.order {
			volume += f.take(a, k)
		}
		return f.evidence(sigma) - .5*(a[len(a)-1]+volume)
	}
	at := math.Log(f.Noise)
	best := of(at)
	for step := .5; step > .02; {
		if up := of(at + step); up > best {
			at, best = at+step, up
		} else if down := of(at - step); down > best {
			at, best = at-step, down
		} else {
			step /= 2
		}
	}
	const h = .1
	bend := (2*best - of(at+h) - of(at-h)) / (h * h)
	return math.Exp(at), 1 / math.Sqrt(math.Max(bend, 2))
}

// sets computes the weight of every set at one σ.
func (f *fit) sets(sigma float64) {
	a, volume := f.over(sigma), 0.0
	for k := range f.from[0] {
		volume += f.take(a, k)
	}
	work := make([][]float64, len(f.optional)+1)
	work[0] = a
	for i := range f.optional {
		work[i+1] = make([]float64, len(a))
	}
	in, out := make([]float64, len(f.optional)), make([]float64, len(f.optional)) // ln of the prior probabilities
	for i, t := range f.optional {
		in[i], out[i] = math.Log(f.Terms[t].Include), math.Log(1-f.Terms[t].Include)
	}
	var walk func(i, depth int, volume, log float64, set uint16)
	walk = func(i, depth int, volume, log float64, set uint16) {
		a := work[depth]
		if i == len(f.optional) {
			f.logs = append(f.logs, leaf{log - .5*(a[len(a)-1]+volume), set, sigma})
			return
		}
		walk(i+1, depth, volume, log+out[i], set)
		b := work[depth+1]
		copy(b[f.from[i]*f.w:], a[f.from[i]*f.w:])
		for k := f.from[i]; k < f.from[i+1]; k++ {
			volume += f.take(b, k)
		}
		walk(i+1, depth+1, volume, log+in[i], set|1<<i)
	}
	walk(0, 0, volume, f.evidence(sigma), 0)
}

func (f *fit) posterior() Posterior {
	out := Posterior{Inclusion: make([]float64, len(f.Terms))}
	best := math.Inf(-1)
	for _, l := range f.logs {
		best = max(best, l.log)
	}
	weights, total := make([]float64, len(f.logs)), 0.0 // relative to the best leaf
	for i, l := range f.logs {
		weights[i] = math.Exp(l.log - best)
		total += weights[i]
	}
	for i, t := range f.Terms {
		if t.Include >= 1 {
			out.Inclusion[i] = 1
		}
	}
	variance := 0.0
	for i, l := range f.logs {
		weight := weights[i] / total
		for k, t := range f.optional {
			if l.set>>k&1 == 1 {
				out.Inclusion[t] += weight
			}
		}
		variance += weight * l.sigma * l.sigma
	}
	for _, t := range f.optional {
		out.Inclusion[t] = min(1, out.Inclusion[t])
	}
	in := 0.0
	for _, l := range f.likeliest(best) {
		if in >= 1-leftOut {
			break
		}
		weight := math.Exp(l.log-best) / total
		out.parts = append(out.parts, f.part(l, weight))
		in += weight
	}
	for i := range out.parts {
		out.parts[i].weight /= in
	}
	out.Noise = math.Sqrt(variance)
	return out
}

// likeliest returns the mostParts leaves with the largest weights, largest first. Only
// those close to the best are sorted, because sorting all would take most of the time.
func (f *fit) likeliest(best float64) []leaf {
	const perLog, bins = 16, 1 << 10
	bin := func(l leaf) int {
		if below := (best - l.log) * perLog; below < bins-1 {
			return int(below)
		}
		return bins - 1
	}
	var count [bins]int
	for _, l := range f.logs {
		count[bin(l)]++
	}
	last, n := 0, count[0]
	for n < mostParts && last < bins-1 {
		last++
		n += count[last]
	}
	near := make([]leaf, 0, n)
	for _, l := range f.logs {
		if bin(l) <= last {
			near = append(near, l)
		}
	}
	slices.SortFunc(near, func(a, b leaf) int {
		return cmp.Or(cmp.Compare(b.log, a.log), cmp.Compare(a.set, b.set), cmp.Compare(a.sigma, b.sigma))
	})
	return near[:min(len(near), mostParts)]
}

// part computes the result for one set: precision A = X'X/σ² + 1/SD², mean A⁻¹(X'y/σ² +
// Mean/SD²).
func (f *fit) part(l leaf, weight float64) part {
	p := part{weight: weight}
	for k := range f.order {
		i := 0
		for i < len(f.optional) && k >= f.from[i+1] {
			i++
		}
		if k < f.from[0] || l.set>>i&1 == 1 {
			p.at = append(p.at, k)
		}
	}
	n := len(p.at)
	a, b := make([]float64, n*n), make([]float64, n)
	s := 1 / (l.sigma * l.sigma)
	for i, k := range p.at {
		q := f.prior(f.order[k])
		ridge := 1 / (q.SD * q.SD)
		for j, m := range p.at {
			a[i*n+j] = s * f.cross[min(k, m)*f.w+max(k, m)]
		}
		a[i*n+i] += ridge
		b[i] = s*f.cross[k*f.w+f.w-1] + ridge*q.Mean
	}
	p.cov = inverse(a, n)
	p.mean = make([]float64, n)
	for i := range n {
		for j := range n {
			p.mean[i] += p.cov[i*n+j] * b[j]
		}
		p.at[i] = f.order[p.at[i]]
	}
	return p
}

// inverse inverts a symmetric positive definite n×n matrix in place (Gauss–Jordan; the
// priors make the diagonal large enough, so no pivot is near 0).
func inverse(a []float64, n int) []float64 {
	for k := range n {
		d := 1 / a[k*n+k]
		a[k*n+k] = 1
		for j := range n {
			a[k*n+j] *= d
		}
		for i := range n {
			if i == k {
				continue
			}
			g := a[i*n+k]
			a[i*n+k] = 0
			for j := range n {
				a[i*n+j] -= g * a[k*n+j]
			}
		}
	}
	return a
}
