// Package raters makes scores of several eaters comparable. Eaters differ in severity
// and do not all taste every cook, so a cook's plain mean also depends on who tasted
// it. The model is score = mean + cook + eater + noise. The parts for cook and eater
// are shrunk towards zero, more so the fewer scores they have (Searle, Casella &
// McCulloch, Variance Components, 1992, chapters 6 and 7).
package raters

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
)

// Score is one eater's score of one cook; both are numbered from 0.
type Score struct {
	Cook, Eater int
	Value       float64 // points
}

// ErrNone means that there are no scores.
var ErrNone = errors.New("no scores")

// Estimate is the result for one cook or one eater, in points.
type Estimate struct {
	// Adjusted is, for a cook, its mean score if average eaters had tasted it; for an
	// eater, how far above the others they score. 0 without scores.
	Adjusted float64
	SD       float64 // standard deviation of Adjusted
	// Shrunk is the expected value for this cook or eater: closer to the mean the fewer
	// scores there are.
	Shrunk float64
	N      int // number of scores
	Group  int // cooks and eaters connected by scores have the same group; −1 without scores
}

// Result is the result of a fit.
type Result struct {
	Mean   float64 // mean score of all cooks with average eaters, points
	Cooks  []Estimate
	Eaters []Estimate
	// Standard deviations in points: between cooks, between eaters, and of a single
	// score.
	CookSD, EaterSD, NoiseSD float64
	// Agreement is the share of the variance of scores, after correction for severity,
	// that is between cooks, 0 to 1. Near 0 the scores are random.
	Agreement                 float64
	Groups                    int // groups without a common eater or cook; their scores cannot be compared
	CooksDiffer, EatersDiffer Test
}

// Standard deviations assumed before any scores are seen, and their weight, counted in
// scores (chosen: people at one table differ about as much as cooks do, and repeat a
// score to within a point).
const (
	usualNoise   = .9 // points
	noiseWorth   = 4.0
	usualCook    = .8 // of the noise
	usualEater   = .8
	ratioFreedom = .8 // standard deviation of ln of the two ratios
)

// Fit adjusts scores; cooks and eaters are numbered from 0 up to the given counts.
func Fit(scores []Score, cooks, eaters int) (Result, error) {
	if len(scores) == 0 {
		return Result{}, ErrNone
	}
	for _, s := range scores {
		if s.Cook < 0 || s.Cook >= cooks || s.Eater < 0 || s.Eater >= eaters {
			return Result{}, fmt.Errorf("score of cook %d by eater %d: %d cooks and %d eaters expected", s.Cook, s.Eater, cooks, eaters)
		}
		if math.IsNaN(s.Value) || math.IsInf(s.Value, 0) {
			return Result{}, fmt.Errorf("score of cook %d by eater %d: not a finite number", s.Cook, s.Eater)
		}
	}
	t := newTable(scores, cooks, eaters)
	lnCook, lnEater := t.ratios()
	cook := math.Exp(-2 * lnCook)
	e := t.solve(cook, math.Exp(-2*lnEater))
	r := Result{Mean: t.shift + e.mean, Cooks: make([]Estimate, cooks), Eaters: make([]Estimate, eaters)}
	r.NoiseSD = math.Sqrt(e.noise)
	r.CookSD, r.EaterSD = r.NoiseSD*math.Exp(lnCook), r.NoiseSD*math.Exp(lnEater)
	r.Agreement = 1 / (1 + math.Exp(-2*lnCook))
	for j := range eaters {
		r.Eaters[j] = Estimate{Adjusted: e.eaters[j], Shrunk: e.eaters[j], SD: math.Sqrt(e.noise * e.eaterVar[j]), N: t.eaterN[j], Group: -1}
	}
	for i := range cooks {
		c := &r.Cooks[i]
		*c = Estimate{N: t.cookN[i], Group: -1, Shrunk: r.Mean, SD: r.CookSD}
		if c.N == 0 {
			continue
		}
		above, severity, doubt := t.cookSum[i]-float64(c.N)*e.mean, 0.0, 0.0
		for _, cell := range t.byCook[i] {
			above -= cell.n * e.eaters[cell.other]
			share := cell.n / float64(c.N)
			severity += share * e.eaters[cell.other]
			// With many cooks, the severities of two eaters are nearly independent, so
			// their variances are added.
			doubt += share * share * e.eaterVar[cell.other]
		}
		c.Shrunk += above / (float64(c.N) + cook)
		c.Adjusted = t.shift + t.cookSum[i]/float64(c.N) - severity
		c.SD = math.Sqrt(e.noise * (1/float64(c.N) + doubt))
	}
	r.Groups = t.group(r.Cooks, r.Eaters)
	r.CooksDiffer, r.EatersDiffer = t.tests()
	return r, nil
}

// cell is the scores of one cook by one eater.
type cell struct {
	other  int
	n, sum float64
}

// table is the scores minus their mean.
type table struct {
	shift         float64 // the mean that was subtracted
	rows          int
	squares       float64
	cookN, eaterN []int
	cookSum       []float64
	eaterSum      []float64
	byCook        [][]cell
	byNumber      map[int]*block // cooks by the number of their scores
}

// block is what cooks with the same number of scores add to the equations of the
// eaters. The overall mean is one more eater, who has every score.
type block struct {
	cooks, squares float64   // number of cooks; squares of the sums of their scores
	a, b           []float64 // products of two eaters' numbers of scores; of those numbers and the sums
}

func newTable(scores []Score, cooks, eaters int) *table {
	t := &table{rows: len(scores), cookN: make([]int, cooks), eaterN: make([]int, eaters), cookSum: make([]float64, cooks), eaterSum: make([]float64, eaters), byCook: make([][]cell, cooks)}
	for _, s := range scores {
		t.shift += s.Value / float64(len(scores))
		t.cookN[s.Cook]++
	}
	cells := make([]cell, len(scores)) // of all cooks
	for _, s := range scores {
		v := s.Value - t.shift
		t.squares += v * v
		t.eaterN[s.Eater]++
		t.cookSum[s.Cook] += v
		t.eaterSum[s.Eater] += v
		row := t.byCook[s.Cook]
		if n := t.cookN[s.Cook]; row == nil {
			row, cells = cells[:0:n], cells[n:]
		}
		at := 0
		for at < len(row) && row[at].other != s.Eater {
			at++
		}
		if at == len(row) {
			row = append(row, cell{other: s.Eater})
		}
		row[at].n++
		row[at].sum += v
		t.byCook[s.Cook] = row
	}
	w := eaters + 1
	t.byNumber = map[int]*block{}
	var all []cell
	for i, row := range t.byCook {
		n, sum := t.cookN[i], t.cookSum[i]
		if n == 0 {
			continue
		}
		k := t.byNumber[n]
		if k == nil {
			k = &block{a: make([]float64, w*w), b: make([]float64, w)}
			t.byNumber[n] = k
		}
		k.cooks++
		k.squares += sum * sum
		all = append(append(all[:0], row...), cell{other: eaters, n: float64(n)})
		for _, p := range all {
			k.b[p.other] += p.n * sum
			for _, q := range all {
				k.a[p.other*w+q.other] += p.n * q.n
			}
		}
	}
	return t
}

// estimates are the fitted parts of the scores for a given amount of shrinkage.
type estimates struct {
	mean          float64
	eaters        []float64
	eaterVar      []float64 // variances of eaters relative to the noise
	noise         float64   // variance
	logLikelihood float64   // log likelihood of the shrinkage (REML)
}

// solve finds mean, cooks and eaters with Henderson's mixed-model equations (1975,
// Biometrics 31:423): least squares with cook and eater added to the diagonal of their
// parts. Cooks are eliminated, which leaves a system of the mean and the eaters.
func (t *table) solve(cook, eater float64) estimates {
	n := len(t.eaterN)
	w := n + 1 // eaters, then the mean
	s := newSystem(w)
	for j := range n {
		s.a[j*w+j] = float64(t.eaterN[j])
		s.b[j] = t.eaterSum[j]
		s.add(j, n, float64(t.eaterN[j]))
	}
	s.a[n*w+n] = float64(t.rows)
	fitted, volume := 0.0, 0.0
	for _, number := range slices.Sorted(maps.Keys(t.byNumber)) {
		k, d := t.byNumber[number], float64(number)+cook
		volume += k.cooks * math.Log(d/cook)
		fitted += k.squares / d
		for i, v := range k.b {
			s.b[i] -= v / d
		}
		for i, v := range k.a {
			s.a[i] -= v / d
		}
	}
	for j := range n {
		s.a[j*w+j] += eater
		volume -= math.Log(eater)
	}
	inverse := s.invert()
	volume += s.logDet
	e := estimates{eaters: s.b[:n], mean: s.b[n], eaterVar: make([]float64, n)}
	for j := range n {
		e.eaterVar[j] = inverse[j*w+j]
	}
	rss := t.squares - fitted - s.explained
	free := float64(t.rows-1) + noiseWorth
	e.noise = (math.Max(0, rss) + noiseWorth*usualNoise*usualNoise) / free
	e.logLikelihood = -.5 * (free*math.Log(e.noise) + volume)
	return e
}

// ratios returns the most probable standard deviations of cooks and of eaters, as ln of
// their ratio to the noise. It searches downhill and halves the step when no direction
// improves.
func (t *table) ratios() (lnCook, lnEater float64) {
	startCook, startEater := math.Log(usualCook), math.Log(usualEater)
	worth := func(c, e float64) float64 {
		dc, de := (c-startCook)/ratioFreedom, (e-startEater)/ratioFreedom
		return t.solve(math.Exp(-2*c), math.Exp(-2*e)).logLikelihood - (dc*dc+de*de)/2
	}
	lnCook, lnEater = startCook, startEater
	best := worth(lnCook, lnEater)
	for step := .8; step > .01; step /= 2 {
		for moved := true; moved; {
			moved = false
			for _, d := range [][2]float64{{step, 0}, {-step, 0}, {0, step}, {0, -step}} {
				if v := worth(lnCook+d[0], lnEater+d[1]); v > best+1e-9 {
					best, lnCook, lnEater, moved = v, lnCook+d[0], lnEater+d[1], true
				}
			}
		}
	}
	return lnCook, lnEater
}

// group numbers the groups of cooks and eaters connected by scores, and returns their
// number.
func (t *table) group(cooks, eaters []Estimate) int {
	parent := make([]int, len(cooks)+len(eaters))
	for i := range parent {
		parent[i] = i
	}
	var root func(int) int
	root = func(i int) int {
		if parent[i] != i {
			parent[i] = root(parent[i])
		}
		return parent[i]
	}
	for i, cells := range t.byCook {
		for _, c := range cells {
			parent[root(i)] = root(len(cooks) + c.other)
		}
	}
	number := map[int]int{}
	mark := func(i int, e *Estimate) {
		if e.N == 0 {
			return
		}
		k, ok := number[root(i)]
		if !ok {
			k = len(number)
			number[root(i)] = k
		}
		e.Group = k
	}
	for i := range cooks {
		mark(i, &cooks[i])
	}
	for j := range eaters {
		mark(len(cooks)+j, &eaters[j])
	}
	return len(number)
}
