package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %g, want %g ± %g", what, got, want, tol)
	}
}

// spread returns the standard deviation of each parameter.
func spread(p Posterior) []float64 {
	d := len(p.Mean)
	out := make([]float64, d)
	e := make([]float64, d)
	for i := range d {
		clear(e)
		e[i] = 1
		blas64.Trsv(blas.NoTrans, p.root, vector(e))
		blas64.Trsv(blas.Trans, p.root, vector(e))
		out[i] = math.Sqrt(e[i])
	}
	return out
}

// A straight line with a normal prior has a closed form (Bayesian linear regression):
// precision XᵀX/σ² + I, and mean its inverse times Xᵀy/σ².
func TestLinearIsExact(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4}
	y := []float64{1.1, 1.9, 3.2, 3.8, 5.1}
	const sigma = .5
	white, err := AR1(x, []float64{0, 0, 0, 0, 0}, 1, sigma)
	if err != nil {
		t.Fatal(err)
	}
	post := Laplace(Problem{Parameters: 2, Readings: 5, Noise: white, Residuals: func(z, out []float64) {
		for i := range x {
			out[i] = z[0] + z[1]*x[i] - y[i]
		}
	}})
	s0, s1, s2, t0, t1 := 5/sigma/sigma+1, 0.0, 1.0, 0.0, 0.0
	for i := range x {
		s1 += x[i] / sigma / sigma
		s2 += x[i] * x[i] / sigma / sigma
		t0 += y[i] / sigma / sigma
		t1 += x[i] * y[i] / sigma / sigma
	}
	det := s0*s2 - s1*s1
	near(t, "level", post.Mean[0], (s2*t0-s1*t1)/det, 1e-9)
	near(t, "slope", post.Mean[1], (s0*t1-s1*t0)/det, 1e-9)
	sd := spread(post)
	near(t, "sd of level", sd[0], math.Sqrt(s2/det), 1e-9)
	near(t, "sd of slope", sd[1], math.Sqrt(s0/det), 1e-9)

	r := rand.New(rand.NewPCG(1, 2))
	var sum, squares, cross float64
	const draws = 40000
	out := make([]float64, 2)
	for range draws {
		post.Draw([]float64{r.NormFloat64(), r.NormFloat64()}, out)
		a, b := out[0]-post.Mean[0], out[1]-post.Mean[1]
		sum, squares, cross = sum+a, squares+a*a, cross+a*b
	}
	near(t, "mean of draws", sum/draws, 0, 4*sd[0]/math.Sqrt(draws))
	near(t, "variance of draws", squares/draws, s2/det, .05*s2/det)
	near(t, "covariance of draws", cross/draws, -s1/det, .05*s2/det)
}

// Whitened AR(1) noise at even steps has the textbook form (r_i −
// φ·r_{i−1})/(σ·√(1−φ²)).
func TestWhiten(t *testing.T) {
	hours := []float64{0, .5, 1, 1.5}
	scale := []float64{2, 2, 2, 2}
	e, err := AR1(hours, scale, 2, 1e-6)
	if err != nil {
		t.Fatal(err)
	}
	r := []float64{1, -1, .5, 2}
	want := append([]float64(nil), r...)
	phi := math.Exp(-.25)
	for i := len(want) - 1; i > 0; i-- {
		want[i] = (want[i] - phi*want[i-1]) / 2 / math.Sqrt(1-phi*phi)
	}
	want[0] /= 2
	e.Whiten(r)
	for i := range r {
		near(t, "whitened", r[i], want[i], 1e-6)
	}
	if _, err := AR1(hours, scale[:2], 2, 1); err == nil {
		t.Error("scales of another length: no error")
	}
	if _, err := AR1([]float64{0, 0}, []float64{1, 1}, 2, 0); err == nil {
		t.Error("two equal readings without white error: no error")
	}
}

func TestCurvedProblem(t *testing.T) {
	// The rate exp(z) of an exponential decay exp(−rate·t).
	hours := []float64{1, 2, 3}
	const truth = .8
	white, err := AR1(hours, []float64{0, 0, 0}, 1, .005)
	if err != nil {
		t.Fatal(err)
	}
	post := Laplace(Problem{Parameters: 1, Readings: 3, Noise: white, Residuals: func(z, out []float64) {
		for i, h := range hours {
			out[i] = math.Exp(-math.Exp(z[0])*h) - math.Exp(-math.Exp(truth)*h)
		}
	}})
	near(t, "log rate", post.Mean[0], truth, .05)
}

func TestNoNumbersGivesThePrior(t *testing.T) {
	white, _ := AR1([]float64{0}, []float64{1}, 1, 1)
	post := Laplace(Problem{Parameters: 2, Readings: 1, Noise: white, Residuals: func(z, out []float64) { out[0] = math.NaN() }})
	if post.Mean[0] != 0 || spread(post)[0] != 1 {
		t.Errorf("got %v ± %v, want the prior", post.Mean, spread(post))
	}
}
