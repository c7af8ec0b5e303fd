package pitbook

import (
	"math"

	"ashbook/report/numeric/bayes"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// The share of cooks inside a range, and the share on each side.
const (
	held = .8
	tail = (1 + held) / 2
)

// start is what a kind of pit is assumed to do before any cook: a middle, and the
// standard deviations between pits of the kind and between cooks of one pit, in ln if
// log is set. All are chosen.
type start struct {
	middle, between, within float64
	log                     bool
}

// priorCooks is the weight of the chosen spread within a pit, counted in cooks: few,
// since pits and people differ most in that spread (chosen).
const priorCooks = 2.0

// belief is what is known about a linear combination of columns, of which the first is
// the constant, after the cooks are counted. The coefficients have normal distributions
// with priors in their own units; the scatter is estimated at the same time (mean-field
// form of Gelman et al., Bayesian Data Analysis, 3rd ed., sections 13.7 and 14.8).
//
// Note: the conjugate prior measures coefficients in units of the scatter. It was tried
// and lost: cooks that scatter little had their slopes pulled towards the prior, so the
// more they agreed, the less they counted.
type belief struct {
	log      bool
	prior    []bayes.Prior // of each coefficient, before any cook
	mean     []float64     // coefficients
	cov      *mat.SymDense // of the coefficients
	freedom  float64
	variance float64 // of a cook around the combination
}

// learn computes the posterior. The prior of the constant is before's middle and
// between; slopes and sds are those of the other columns. rows have the columns without
// the constant. Values that are not numbers, or not above zero when logarithms are
// used, are left out.
func learn(before start, slopes, sds []float64, rows [][]float64, values []float64) belief {
	p := 1 + len(slopes)
	b := belief{log: before.log, prior: []bayes.Prior{{Mean: before.middle, SD: before.between}}, freedom: priorCooks}
	if b.log {
		b.prior[0].Mean = math.Log(before.middle)
	}
	for j, slope := range slopes {
		b.prior = append(b.prior, bayes.Prior{Mean: slope, SD: sds[j]})
	}
	var x [][]float64
	var y []float64
	for i, v := range values {
		if b.log {
			v = math.Log(v)
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			continue
		}
		row := []float64{1}
		if p > 1 {
			row = append(row, rows[i]...)
		}
		x, y = append(x, row), append(y, v)
	}
	b.freedom += float64(len(y))
	chosen := priorCooks * before.within * before.within
	b.variance = before.within * before.within
	const rounds = 30 // enough for four digits
	for range rounds {
		mean, cov, ok := bayes.Update(b.prior, x, y, math.Sqrt(b.variance))
		if !ok {
			break
		}
		squares := chosen
		for i, row := range x {
			miss := y[i]
			for a, v := range row {
				miss -= v * mean[a]
				for b, w := range row {
					squares += v * cov.At(a, b) * w
				}
			}
			squares += miss * miss
		}
		b.mean, b.cov, b.variance = mean, cov, squares/b.freedom
	}
	return b
}

// normal is the quantile of the normal distribution at the upper end of the range.
var normal = distuv.UnitNormal.Quantile(tail)

// next predicts one more cook with these columns: its middle and the range that holds 8
// in 10. Its variance is the sum of the variance between cooks and that of the
// combination. This is an approximation, since with few cooks the first has wider tails
// than a normal distribution.
func (b belief) next(row ...float64) (likely, low, high float64) {
	p := len(b.mean)
	x := mat.NewVecDense(p, nil)
	x.SetVec(0, 1)
	for j, v := range row {
		x.SetVec(j+1, v)
	}
	middle := mat.Dot(x, mat.NewVecDense(p, b.mean))
	half := math.Hypot(b.quantile()*math.Sqrt(b.variance), normal*math.Sqrt(mat.Inner(x, b.cov, x)))
	if b.log {
		return math.Exp(middle), math.Exp(middle - half), math.Exp(middle + half)
	}
	return middle, middle - half, middle + half
}

// slope returns the coefficient of column j, counted from 1, with its range of 8 in 10.
// shown is the share of the knowledge about it that comes from cooks and not from the
// prior, 0 to 1.
func (b belief) slope(j int) (likely, low, high, shown float64) {
	half := b.quantile() * math.Sqrt(b.cov.At(j, j))
	return b.mean[j], b.mean[j] - half, b.mean[j] + half, 1 - b.cov.At(j, j)/(b.prior[j].SD*b.prior[j].SD)
}

func (b belief) quantile() float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: b.freedom}.Quantile(tail)
}
