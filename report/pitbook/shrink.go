package pitbook

import (
	"math"

	"ashbook/report/numeric/bayes"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// The share of cooks a range holds, and its tails.
const (
	held = .8
	tail = (1 + held) / 2
)

// start is what a pit of its kind is taken to do before a cook has shown it:
// a middle, how far pits of one kind lie apart, and how far the cooks of one
// pit do, as standard deviations; in ln where log is set. All are chosen.
type start struct {
	middle, between, within float64
	log                     bool
}

// priorCooks is how many cooks the chosen spread within a pit weighs as: few,
// since pits and hands differ in it more than in anything (chosen).
const priorCooks = 2.0

// belief is what is believed of a straight combination of columns, the first of
// which is the constant: what was chosen, made over by what was seen. The
// coefficients are normal, their prior is in their own unit, and the scatter is
// found beside them (the mean-field form of Gelman et al., Bayesian Data
// Analysis, 3rd ed., sections 13.7 and 14.8).
//
// Note: with the conjugate prior, which counts the coefficients in units of the
// scatter, cooks that scatter little drew the slopes towards what was chosen:
// the more they agreed, the less they were believed.
type belief struct {
	log      bool
	prior    []bayes.Prior // of each coefficient, before any cook
	mean     []float64     // coefficients
	cov      *mat.SymDense // of the coefficients
	freedom  float64
	variance float64 // of a cook about the combination
}

// learn starts from before: its middle and between for the constant, slopes
// and their standard deviations for the other columns. rows hold the columns
// without the constant. Values that are no numbers, or not above zero where
// logarithms are taken, are left out.
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
	const rounds = 30 // it settles to four digits in ten
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

// normal is the quantile of the normal distribution at the upper tail.
var normal = distuv.UnitNormal.Quantile(tail)

// next is the value of one more cook with these columns: its middle and the
// range that holds 8 in 10. The two halves, of the cook about the combination
// and of the combination, are added as spreads are, which is near enough: the
// first has the wide tails of few cooks, the second is normal.
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

// slope is the coefficient of a column, from 1, with the range that holds 8 in
// 10, and the share of what is known of it that cooks have shown, 0 to 1.
func (b belief) slope(j int) (likely, low, high, shown float64) {
	half := b.quantile() * math.Sqrt(b.cov.At(j, j))
	return b.mean[j], b.mean[j] - half, b.mean[j] + half, 1 - b.cov.At(j, j)/(b.prior[j].SD*b.prior[j].SD)
}

func (b belief) quantile() float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: b.freedom}.Quantile(tail)
}
