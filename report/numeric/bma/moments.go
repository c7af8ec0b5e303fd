package bma

import (
	"errors"
	"fmt"
	"math"
)

// Errors a caller may branch on.
var (
	ErrTooFew     = errors.New("too few rows")
	ErrAlike      = errors.New("nothing to explain: all values are alike")
	ErrNotANumber = errors.New("not a finite number")
)

// fewest rows from which anything can be told: a mean, a spread and a row that
// could contradict them.
const fewest = 3

// Moments are the sums over rows that everything is worked out from, so that
// the work no longer depends on how many rows there were.
type Moments struct {
	rows    int
	columns int
	scale   []float64 // root mean square about the mean, by column, y last; 0: all alike
	mean    []float64
	cross   []float64 // of the constant, the standardised columns and y: (columns+2)²
}

// Gather sums up rows; each column is as long as y, and so are the weights,
// which tell how much each row is worth beside the others (in inverse
// proportion to its variance; nil: all alike). Sums are about the means, in
// units of the spread, so that large numbers close together lose nothing.
func Gather(columns [][]float64, y, weights []float64) (*Moments, error) {
	n, p := len(y), len(columns)
	if n < fewest {
		return nil, fmt.Errorf("%d rows, at least %d expected: %w", n, fewest, ErrTooFew)
	}
	root, err := roots(weights, n)
	if err != nil {
		return nil, err
	}
	m := &Moments{rows: n, columns: p, scale: make([]float64, p+1), mean: make([]float64, p+1)}
	all := append(columns[:p:p], y)
	for j, c := range all {
		if len(c) != n {
			return nil, fmt.Errorf("column %d has %d rows, %d expected", j, len(c), n)
		}
		largest := math.SmallestNonzeroFloat64
		for i, v := range c {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, fmt.Errorf("column %d, row %d: %w", j, i, ErrNotANumber)
			}
			m.mean[j] += v * root[i] * root[i] / float64(n)
			largest = math.Max(largest, math.Abs(v))
		}
		squares := 0.0
		for i, v := range c {
			d := root[i] * (v - m.mean[j]) / largest
			squares += d * d
		}
		if s := math.Sqrt(squares / float64(n)); s > 1e-13 {
			m.scale[j] = s * largest
		}
	}
	if m.scale[p] == 0 {
		return nil, ErrAlike
	}
	w := p + 2
	m.cross = make([]float64, w*w)
	row := make([]float64, w)
	for i := range n {
		row[0] = root[i]
		for j, c := range all {
			row[j+1] = 0
			if m.scale[j] > 0 {
				row[j+1] = root[i] * (c[i] - m.mean[j]) / m.scale[j]
			}
		}
		for a, v := range row {
			for b, u := range row[:a+1] {
				m.cross[a*w+b] += v * u
			}
		}
	}
	for a := range w {
		for b := range a {
			m.cross[b*w+a] = m.cross[a*w+b]
		}
	}
	return m, nil
}

// roots are the square roots of weights brought to a mean of one.
func roots(weights []float64, n int) ([]float64, error) {
	root := make([]float64, n)
	if weights != nil && len(weights) != n {
		return nil, fmt.Errorf("%d weights, %d expected", len(weights), n)
	}
	total := float64(n)
	if weights != nil {
		total = 0
	}
	for i, w := range weights {
		if !(w > 0) || math.IsInf(w, 0) {
			return nil, fmt.Errorf("weight %d is %g, a positive number expected", i, w)
		}
		total += w
	}
	for i := range root {
		root[i] = 1
		if weights != nil {
			root[i] = math.Sqrt(weights[i] * float64(n) / total)
		}
	}
	return root, nil
}

// sweep solves column k of the symmetric w×w matrix a out of the others, in
// place (Beaton 1964; Goodnight 1979, Am. Stat. 33:149): what was swept stands
// as minus the inverse, the rest as what is left after regression on it. What
// little is left of a column that the swept ones hold already is passed over.
// It returns the pivot, 0 when nothing was left.
func sweep(a []float64, w, k int, whole float64) (pivot float64) {
	const nothing = 1e-9
	d := a[k*w+k]
	if !(d > nothing*whole) {
		return 0
	}
	row := a[k*w : k*w+w]
	for i := range w {
		f := a[i*w+k] / d
		if i == k || f == 0 {
			continue
		}
		to := a[i*w : i*w+w]
		for j, v := range row {
			to[j] -= f * v
		}
		to[k] = f
	}
	for j := range row {
		row[j] /= d
	}
	row[k] = -1 / d
	return d
}
