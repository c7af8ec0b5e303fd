package bayes

import (
	"gonum.org/v1/gonum/mat"
)

// Update returns the mean and covariance of the coefficients after rows of data are
// added to the priors (Lindley & Smith 1972). The values scatter around the combination
// with the known standard deviation sd > 0. Each row is as long as priors; there may be
// no rows. ok is false if a row or a prior is not a finite number.
func Update(priors []Prior, rows [][]float64, y []float64, sd float64) (mean []float64, cov *mat.SymDense, ok bool) {
	p := len(priors)
	precision, moment := mat.NewSymDense(p, nil), mat.NewVecDense(p, nil)
	for j, prior := range priors {
		known := 1 / (prior.SD * prior.SD)
		precision.SetSym(j, j, known)
		moment.SetVec(j, prior.Mean*known)
	}
	cross, with := make([]float64, p*p), make([]float64, p)
	for i, row := range rows {
		for a, v := range row {
			with[a] += v * y[i]
			for b, w := range row[:a+1] {
				cross[a*p+b] += v * w
			}
		}
	}
	for a := range p {
		moment.SetVec(a, moment.AtVec(a)+with[a]/(sd*sd))
		for b := range a + 1 {
			precision.SetSym(a, b, precision.At(a, b)+cross[a*p+b]/(sd*sd))
		}
	}
	var root mat.Cholesky
	if !root.Factorize(precision) {
		return nil, nil, false
	}
	// The errors of these two calls only warn that the matrix is nearly singular; the
	// results are valid.
	at, cov := mat.NewVecDense(p, nil), mat.NewSymDense(p, nil)
	_ = root.SolveVecTo(at, moment)
	_ = root.InverseTo(cov)
	return at.RawVector().Data, cov, true
}
