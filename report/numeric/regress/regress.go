// Package regress fits linear combinations of columns by least squares, with standard
// errors of the coefficients.
//
// It triangulates the columns by reflections (Householder 1958, J. ACM 5:339; Golub &
// Van Loan, Matrix Computations, algorithm 5.2.1) in double-double precision. Columns
// that agree to ten digits still give coefficients to nine digits, which double
// precision does not.
package regress

import (
	"errors"
	"fmt"
	"math"
)

// Fit is the result of least squares.
type Fit struct {
	Coefficients   []float64 // in the order of the columns, after the constant if there is one
	StandardErrors []float64 // as Coefficients; 0 for a perfect fit
	ResidualSD     float64   // in the unit of y, with Free degrees of freedom
	RSS            float64   // sum of squared residuals
	// RSquared is the share of the sum of squares of y that the fit explains, 0 to 1.
	// The sum is around the mean if there is a constant, else around zero. RSquared is
	// 0 if y does not vary.
	RSquared float64
	Free     int // rows minus coefficients, at least 1
}

// Errors a caller may branch on.
var (
	ErrTooFew     = errors.New("too few rows")
	ErrTangled    = errors.New("columns not independent")
	ErrNotANumber = errors.New("not a finite number")
)

// nothing is the relative length below which the remainder of a column, after earlier
// columns are removed, counts as rounding error (chosen: sums of columns with sixteen
// digits are below it, a polynomial of degree ten is far above).
const nothing = 1e-14

// Least fits y by a combination of the columns, each as long as y, and of a constant if
// constant is true.
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

// solve fits y by cols, which it overwrites; constant means that the first column is
// all ones.
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
		// v = c + sign(c_j)·|c|·e_j, stored in place; H = 1 − 2vv'/v'v.
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
		// Row j of the inverse of the triangle, from the transposed system: the
		// variance of x_j is its squared length.
		out.StandardErrors[j] = variance.times(inverseRow(upper, diagonal, j)).root().rounded()
	}
	return out, nil
}

// aboutMean returns the sum of squares of y around its mean, or around zero if constant
// is false.
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

// back solves the triangular system.
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

// inverseRow returns the squared length of row r of the triangle's inverse.
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
