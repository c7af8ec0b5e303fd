// Package regress fits straight combinations of columns by least squares, with
// the standard errors of the coefficients.
//
// It reflects the columns into a triangle (Householder 1958, J. ACM 5:339;
// Golub & Van Loan, Matrix Computations, algorithm 5.2.1) in twice the usual
// precision: columns that are alike to ten digits still give the coefficients
// to nine, which the usual precision does not.
package regress

import (
	"errors"
	"fmt"
	"math"
)

// Fit is what least squares found.
type Fit struct {
	Coefficients   []float64 // as the columns, the constant first where there is one
	StandardErrors []float64 // as Coefficients; 0 for a perfect fit
	ResidualSD     float64   // in the unit of y, on Free degrees of freedom
	RSS            float64   // sum of squared residuals
	// RSquared is the share of the sum of squares explained, 0 to 1: about the
	// mean with a constant, about zero without; 0 where y has nothing to
	// explain.
	RSquared float64
	Free     int // rows less coefficients, at least 1
}

// Errors a caller may branch on.
var (
	ErrTooFew     = errors.New("too few rows")
	ErrTangled    = errors.New("columns not independent")
	ErrNotANumber = errors.New("not a finite number")
)

// nothing is the share of a column's length below which what the columns
// before it leave of it counts as rounding (chosen: sums of columns held in
// sixteen digits stay below it, a polynomial of degree ten far above).
const nothing = 1e-14

// Least fits y by the columns, each as long as y, and a constant where
// constant is set.
func Least(columns [][]float64, y []float64, constant bool) (Fit, error) {
	var cols [][]double
	if constant {
		one := make([]double, len(y))
		for i := range one {
			one[i] = exactly(1)
		}
		cols = append(cols, one)
	}
	for j, c := range columns {
		if len(c) != len(y) {
			return Fit{}, fmt.Errorf("column %d has %d rows, %d expected", j, len(c), len(y))
		}
		d := make([]double, len(c))
		for i, v := range c {
			d[i] = exactly(v)
		}
		cols = append(cols, d)
	}
	return solve(cols, y, constant)
}

// solve overwrites cols; constant says that the first is all ones.
func solve(cols [][]double, y []float64, constant bool) (Fit, error) {
	n, p := len(y), len(cols)
	if n <= p {
		return Fit{}, fmt.Errorf("%d rows for %d coefficients: %w", n, p, ErrTooFew)
	}
	b := make([]double, n)
	for i, v := range y {
		b[i] = exactly(v)
	}
	for j, c := range append(cols[:p:p], b) {
		for i := range c {
			if v := c[i].rounded(); math.IsNaN(v) || math.IsInf(v, 0) {
				return Fit{}, fmt.Errorf("column %d, row %d: %w", j, i, ErrNotANumber)
			}
		}
	}
	total := aboutMean(b, constant)
	diagonal := make([]double, p)
	for j, c := range cols {
		whole := dot(c, c)
		rest := dot(c[j:], c[j:])
		if !(rest.hi > whole.hi*nothing*nothing) {
			return Fit{}, fmt.Errorf("column %d adds nothing to those before it: %w", j, ErrTangled)
		}
		// v = c + sign(c_j)·|c|·e_j, kept in place; H = 1 − 2vv'/v'v.
		norm := rest.root()
		if c[j].hi < 0 {
			norm = double{-norm.hi, -norm.lo}
		}
		c[j] = c[j].plus(norm)
		diagonal[j] = double{-norm.hi, -norm.lo}
		vv := dot(c[j:], c[j:])
		for _, other := range append(cols[j+1:p:p], b) {
			f := dot(c[j:], other[j:])
			f = f.plus(f).over(vv)
			for i := j; i < n; i++ {
				other[i] = other[i].minus(f.times(c[i]))
			}
		}
	}
	rss := dot(b[p:], b[p:])
	out := Fit{Free: n - p, RSS: rss.rounded(), Coefficients: make([]float64, p), StandardErrors: make([]float64, p)}
	variance := rss.over(exactly(float64(n - p)))
	out.ResidualSD = variance.root().rounded()
	if total.hi > 0 {
		out.RSquared = exactly(1).minus(rss.over(total)).rounded()
	}
	upper := func(i, j int) double { return cols[j][i] } // i < j
	x := back(upper, diagonal, b[:p])
	for j := range p {
		out.Coefficients[j] = x[j].rounded()
		// Row j of the inverse of the triangle, by the transposed system:
		// the variance of x_j is its squared length.
		out.StandardErrors[j] = variance.times(inverseRow(upper, diagonal, j)).root().rounded()
	}
	return out, nil
}

// aboutMean is the sum of squares about the mean, or about zero.
func aboutMean(b []double, mean bool) double {
	if !mean {
		return dot(b, b)
	}
	var sum, squares double
	for _, v := range b {
		sum = sum.plus(v)
	}
	m := sum.over(exactly(float64(len(b))))
	for _, v := range b {
		d := v.minus(m)
		squares = squares.plus(d.times(d))
	}
	return squares
}

func dot(a, b []double) double {
	var sum double
	for i := range a {
		sum = sum.plus(a[i].times(b[i]))
	}
	return sum
}

// back solves the triangle.
func back(upper func(i, j int) double, diagonal, b []double) []double {
	p := len(diagonal)
	x := make([]double, p)
	for i := p - 1; i >= 0; i-- {
		sum := b[i]
		for j := i + 1; j < p; j++ {
			sum = sum.minus(upper(i, j).times(x[j]))
		}
		x[i] = sum.over(diagonal[i])
	}
	return x
}

// inverseRow is the squared length of row r of the triangle's inverse.
func inverseRow(upper func(i, j int) double, diagonal []double, r int) double {
	p := len(diagonal)
	row := make([]double, p)
	var squares double
	for j := r; j < p; j++ {
		sum := double{}
		if j == r {
			sum = exactly(1)
		}
		for i := r; i < j; i++ {
			sum = sum.minus(row[i].times(upper(i, j)))
		}
		row[j] = sum.over(diagonal[j])
		squares = squares.plus(row[j].times(row[j]))
	}
	return squares
}
