package score

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t interface{ Errorf(string, ...any) }, what string, got, want, tol float64) {
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %g, want %g ± %g", what, got, want, tol)
	}
}

// The score of a standard normal forecast at 0 is (√2−1)/√π = .2337 (Gneiting & Raftery
// 2007, eq. 20). A large sample of quantiles is close to it.
func TestCRPSOfANormal(t *testing.T) {
	var sample []float64
	const n = 2000
	for i := range n {
		sample = append(sample, math.Sqrt2*math.Erfinv(2*(float64(i)+.5)/n-1))
	}
	near(t, "at the centre", CRPS(sample, 0), (math.Sqrt2-1)/math.Sqrt(math.Pi), 1e-3)
	// y(2Φ(y)−1) + 2φ(y) − 1/√π at y = 1.
	want := 1*(2*.8413447461-1) + 2*.2419707245 - 1/math.Sqrt(math.Pi)
	near(t, "one standard deviation out", CRPS(sample, 1), want, 1e-3)
	near(t, "sample of one", CRPS([]float64{3}, 5), 2, 0)
}

// The score is twice the integral of the pinball loss over all quantiles.
func TestCRPSIsMeanPinball(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-50, 50), 1, 30).Draw(t, "sample")
		y := rapid.Float64Range(-60, 60).Draw(t, "value")
		n, mean := len(x), 0.0
		for i := range n {
			// The step function's quantile is constant over each 1/n.
			q := (float64(i) + .5) / float64(n)
			sorted := Quantile(x, float64(i)/math.Max(1, float64(n-1)))
			mean += 2 * Pinball(q, sorted, y) / float64(n)
		}
		near(t, "score", CRPS(x, y), mean, 1e-9*(1+mean))
		if CRPS(x, y) < -1e-9 {
			t.Errorf("negative score")
		}
	})
}

// R 4.2: quantile(c(1, 2, 4, 8), c(0, .1, .5, .9, 1)) is 1.0 1.3 3.0 6.8 8.0.
func TestQuantile(t *testing.T) {
	x := []float64{8, 1, 4, 2}
	for q, want := range map[float64]float64{0: 1, .1: 1.3, .5: 3, .9: 6.8, 1: 8} {
		near(t, "quantile", Quantile(x, q), want, 1e-12)
	}
	near(t, "of nothing", Quantile(nil, .5), 0, 0)
}

func TestPinball(t *testing.T) {
	near(t, "late", Pinball(.9, 10, 12), 1.8, 1e-12)
	near(t, "early", Pinball(.9, 12, 10), .2, 1e-12)
}

func TestSummarise(t *testing.T) {
	s := Summarise([]Case{
		{Forecast: 10, Value: 12, Lo: 8, Hi: 11, Sample: []float64{8, 10, 11}},
		{Forecast: 10, Value: 8, Lo: 7, Hi: 13, Sample: []float64{7, 10, 13}},
		{Forecast: 5, Value: 4},
	})
	near(t, "mean", s.Mean, 5./3, 1e-12)
	near(t, "median", s.Median, 2, 1e-12)
	near(t, "worst", s.Worst, 2, 0)
	near(t, "bias", s.Bias, 1./3, 1e-12)
	near(t, "covered", s.Covered, .5, 0)
	near(t, "width", s.Width, 4.5, 1e-12)
	near(t, "relative", s.Relative, (2./12+2./8+1./4)/3, 1e-12)
	if s.N != 3 || s.Banded != 2 {
		t.Errorf("N %d, banded %d", s.N, s.Banded)
	}
	if (Summarise(nil) != Summary{}) {
		t.Error("no cases gave a summary")
	}
}
