package bayes

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %g, want %g ± %g", what, got, want, within)
	}
}

// Without rows the result is the prior.
func TestPriorAlone(t *testing.T) {
	p, err := Fit(t.Context(), Problem{
		Columns: [][]float64{{}, {}}, Constant: Prior{2, .5}, Priors: []Prior{{1, .3}, {-1, .2}},
		Terms: []Term{{[]int{0}, 1}, {[]int{1}, .25}}, Noise: .2, NoiseRows: 4,
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "chance", p.Inclusion[1], .25, 1e-9)
	c := p.Of(0, []float64{1, 0})
	near(t, "mean", c.Mean(), 1, 1e-9)
	near(t, "spread", c.SD(), .3, 1e-9)
	near(t, "tenth", c.Quantile(.1), 1-1.28155*.3, 1e-4)
	near(t, "in", p.Of(0, []float64{0, 1}).In().Mean(), -1, 1e-9)
	near(t, "averaged", p.Of(0, []float64{0, 1}).Mean(), -.25, 2*leftOut)
	near(t, "constant", p.Of(1, []float64{0, 0}).Mean(), 2, 1e-9)
}

// The mean of rows with known scatter is the precision-weighted average of prior and
// rows (Gelman et al., Bayesian Data Analysis, section 2.5, from memory).
func TestNormalMean(t *testing.T) {
	y := []float64{1.1, .9, 1.3, .7}
	p, err := Fit(t.Context(), Problem{Y: y, Constant: Prior{0, .5}, Noise: .4, NoiseRows: 1e7})
	if err != nil {
		t.Fatal(err)
	}
	prior, data := 1/(.5*.5), 4/(.4*.4)
	c := p.Of(1, nil)
	near(t, "mean", c.Mean(), data*1/(prior+data), 1e-3)
	near(t, "spread", c.SD(), 1/math.Sqrt(prior+data), 1e-3)
}

// A row of weight 3 counts like three rows, apart from the number of rows.
func TestWeights(t *testing.T) {
	fit := func(p Problem) Combination {
		p.Constant, p.Noise, p.NoiseRows = Prior{0, .5}, .4, 1e7
		post, err := Fit(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		return post.Of(1, nil)
	}
	// Only the ratios of weights matter: these are two rows with a mean weight of 1.
	got := fit(Problem{Y: []float64{1, 0}, Weights: []float64{6, 2}})
	prior, data := 1/(.5*.5), 1/(.4*.4)
	near(t, "mean", got.Mean(), 1.5*data/(prior+2*data), 1e-3)
	near(t, "spread", got.SD(), 1/math.Sqrt(prior+2*data), 1e-3)
}

// Coefficients drawn from their priors are inside their ranges as often as the ranges
// claim, and terms that are zero get a low probability.
func TestRangesHold(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	held, asked, none, some := 0, 0, 0.0, 0.0
	for range 150 {
		const n = 25
		p := Problem{Constant: Prior{0, 1}, Noise: .3, NoiseRows: 4, Y: make([]float64, n)}
		truth := make([]float64, 5)
		for k := range truth {
			prior := Prior{.2 * float64(k%2), .3}
			truth[k] = prior.Mean + prior.SD*r.NormFloat64()
			include := 1.0
			if k >= 2 {
				if include = .5; r.IntN(2) == 0 {
					truth[k] = 0
				}
			}
			x := make([]float64, n)
			for i := range x {
				x[i] = r.NormFloat64()
				p.Y[i] += truth[k] * x[i]
			}
			p.Columns, p.Priors, p.Terms = append(p.Columns, x), append(p.Priors, prior), append(p.Terms, Term{[]int{k}, include})
		}
		for i := range p.Y {
			p.Y[i] += .3 * r.NormFloat64()
		}
		post, err := Fit(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		for k, b := range truth {
			x := make([]float64, len(truth))
			x[k] = 1
			c := post.Of(0, x).In()
			if b != 0 {
				asked++
				if c.Quantile(.1) <= b && b <= c.Quantile(.9) {
					held++
				}
			}
			if k >= 2 && b == 0 {
				none += post.Inclusion[k] / 150
			} else if k >= 2 {
				some += post.Inclusion[k] / 150
			}
		}
	}
	if share := float64(held) / float64(asked); share < .74 || share > .86 {
		t.Errorf("80 %% ranges hold %.0f %% of %d", 100*share, asked)
	}
	if none > .6 || some < 1.1 { // of 1.5 each on average
		t.Errorf("zero terms are in with %.2f, the others with %.2f, of 1.5", none, some)
	}
}

func TestRefused(t *testing.T) {
	good := Problem{Columns: [][]float64{{1, 2}}, Y: []float64{1, 2}, Constant: Prior{0, 1}, Priors: []Prior{{0, 1}}, Terms: []Term{{[]int{0}, 1}}, Noise: 1, NoiseRows: 1}
	for name, spoil := range map[string]func(*Problem){
		"a short column":  func(p *Problem) { p.Columns = [][]float64{{1}} },
		"no number":       func(p *Problem) { p.Y = []float64{1, math.NaN()} },
		"no prior":        func(p *Problem) { p.Priors = nil },
		"no spread":       func(p *Problem) { p.Priors = []Prior{{0, 0}} },
		"column of none":  func(p *Problem) { p.Terms = nil },
		"column of two":   func(p *Problem) { p.Terms = []Term{{[]int{0}, 1}, {[]int{0}, 1}} },
		"a weight of 0":   func(p *Problem) { p.Weights = []float64{1, 0} },
		"no noise":        func(p *Problem) { p.Noise = 0 },
		"too many to try": func(p *Problem) { p.Terms = make([]Term, 17); p.Terms[0] = Term{[]int{0}, .5} },
	} {
		p := good
		spoil(&p)
		if _, err := Fit(t.Context(), p); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
	stopped, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Fit(stopped, good); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

// Update with a known scatter equals Fit with a nearly certain scatter and all terms
// in. Without rows it returns the priors.
func TestUpdate(t *testing.T) {
	priors := []Prior{{2, 3}, {-1, .5}, {0, 2}}
	mean, cov, ok := Update(priors, nil, nil, 1)
	for j, p := range priors {
		if !ok || math.Abs(mean[j]-p.Mean) > 1e-12 || math.Abs(cov.At(j, j)-p.SD*p.SD) > 1e-12 {
			t.Errorf("no rows, coefficient %d: %v, %v", j, mean, cov)
		}
	}
	columns := [][]float64{{0, 1, 2, 3, 4, 5}, {1, -1, 1, 2, -2, 0}}
	y := []float64{2.1, 1.9, 0, -1.2, .4, -2}
	rows := make([][]float64, len(y))
	for i := range y {
		rows[i] = []float64{1, columns[0][i], columns[1][i]}
	}
	mean, cov, ok = Update(priors, rows, y, .7)
	if !ok {
		t.Fatal("not solved")
	}
	post, err := Fit(t.Context(), Problem{Columns: columns, Y: y, Constant: priors[0], Priors: priors[1:], Terms: []Term{{[]int{0, 1}, 1}}, Noise: .7, NoiseRows: 1e9})
	if err != nil {
		t.Fatal(err)
	}
	for j, x := range [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 2, -1}} {
		want := post.Of(x[0], x[1:])
		at, spread := 0.0, 0.0
		for a := range x {
			at += x[a] * mean[a]
			for b := range x {
				spread += x[a] * x[b] * cov.At(a, b)
			}
		}
		if math.Abs(at-want.Mean()) > 1e-3 || math.Abs(math.Sqrt(spread)-want.SD()) > 1e-3 {
			t.Errorf("combination %d: %v ± %v, want %v ± %v", j, at, math.Sqrt(spread), want.Mean(), want.SD())
		}
	}
	if _, _, ok := Update(priors, [][]float64{{math.NaN(), 0, 0}}, []float64{1}, 1); ok {
		t.Error("a row that is not a number is solved")
	}
}
