package raters

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"ashbook/samples/published"
)

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.10g, want %.10g ± %g", what, got, want, tolerance)
	}
}

// Published analysis of variance of a descriptive panel, product fixed and panellist
// random; each row of the file has its source. Sums of squares have three decimals, so
// F and p are compared to as many.
func TestPublishedAnalysis(t *testing.T) {
	_, rows := published.Table(t, "sensory_anova_published.csv")
	num := func(cell string) float64 { return published.Number(t, cell) }
	lines := map[string]Line{}
	for _, r := range rows {
		lines[r[0]] = Line{num(r[1]), num(r[2])}
		near(t, r[0]+", mean square", lines[r[0]].MS(), num(r[3]), 6e-4)
	}
	tests := map[string]Test{
		"intercept":           FTest(lines["intercept"], Share{lines["panellist"], 1}),
		"product":             FTest(lines["product"], Share{lines["product x panellist"], 1}),
		"panellist":           FTest(lines["panellist"], Share{lines["product x panellist"], .963}, Share{lines["error"], .037}),
		"product x panellist": FTest(lines["product x panellist"], Share{lines["error"], 1}),
	}
	for _, r := range rows {
		got, ok := tests[r[0]]
		if !ok {
			continue
		}
		if !got.Made {
			t.Errorf("%s: no test", r[0])
		}
		tolerance := 6e-4 * math.Max(1, num(r[4])/100)
		if r[0] == "panellist" {
			tolerance = 3e-3 // the shares of its denominator are given to three decimals
		}
		near(t, r[0]+", F", got.F, num(r[4]), tolerance)
		near(t, r[0]+", p", got.P, num(r[5]), 6e-4)
	}
	near(t, "degrees of freedom of the mixed denominator", tests["panellist"].DF2, 59.161, .06)
}

// NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.3, upper 5 % points of
// F (from memory).
func TestFTable(t *testing.T) {
	for _, c := range [][3]float64{{1, 10, 4.965}, {4, 12, 3.259}, {8, 20, 2.447}} {
		near(t, "F", distuv.F{D1: c[0], D2: c[1]}.Quantile(.95), c[2], 6e-4)
	}
}

// A full table with one score of each eater for each cook has the sums of squares of
// the textbook.
func TestBalanced(t *testing.T) {
	values := [][]float64{{6, 7, 8}, {5, 7, 7}, {8, 8, 9}, {4, 6, 6}}
	var scores []Score
	mean, c, e := 0.0, make([]float64, 4), make([]float64, 3)
	for i, row := range values {
		for j, v := range row {
			scores = append(scores, Score{i, j, v})
			mean += v / 12
			c[i] += v / 3
			e[j] += v / 4
		}
	}
	var cookSS, eaterSS, rest float64
	for i, row := range values {
		cookSS += 3 * (c[i] - mean) * (c[i] - mean)
		for j, v := range row {
			d := v - c[i] - e[j] + mean
			rest += d * d
		}
	}
	for j := range e {
		eaterSS += 4 * (e[j] - mean) * (e[j] - mean)
	}
	r, err := Fit(scores, 4, 3)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F of cooks", r.CooksDiffer.F, cookSS/3/(rest/6), 1e-9)
	near(t, "F of eaters", r.EatersDiffer.F, eaterSS/2/(rest/6), 1e-9)
	for i := range c {
		near(t, "cook", r.Cooks[i].Adjusted, c[i], 1e-9)
	}
	if r.Groups != 1 || !(r.Eaters[0].Adjusted < 0 && r.Eaters[2].Adjusted > r.Eaters[1].Adjusted) {
		t.Errorf("%+v", r)
	}
}

// The mixed-model equations and the likelihood agree with the full covariance matrix.
func TestAgainstCovariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	var scores []Score
	for i := range 6 {
		for j := range 3 {
			if rng.Float64() < .7 {
				scores = append(scores, Score{i, j, 6 + rng.NormFloat64()})
			}
		}
	}
	tab := newTable(scores, 6, 3)
	const cook, eater = 1.7, .6
	got := tab.solve(cook, eater)
	n := len(scores)
	v := mat.NewSymDense(n, nil)
	y, one := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i, a := range scores {
		y.SetVec(i, a.Value-tab.shift)
		one.SetVec(i, 1)
		for k, b := range scores[:i+1] {
			c := 0.0
			if i == k {
				c++
			}
			if a.Cook == b.Cook {
				c += 1 / cook
			}
			if a.Eater == b.Eater {
				c += 1 / eater
			}
			v.SetSym(i, k, c)
		}
	}
	var ch mat.Cholesky
	ch.Factorize(v)
	solve := func(b *mat.VecDense) *mat.VecDense {
		var x mat.VecDense
		if err := ch.SolveVecTo(&x, b); err != nil {
			t.Fatal(err)
		}
		return &x
	}
	oo := mat.Dot(one, solve(one))
	mean := mat.Dot(one, solve(y)) / oo
	near(t, "mean", got.mean, mean, 1e-10)
	res := mat.NewVecDense(n, nil)
	res.AddScaledVec(y, -mean, one)
	w := solve(res)
	for j := range 3 {
		sum := 0.0
		for i, s := range scores {
			if s.Eater == j {
				sum += w.AtVec(i) / eater
			}
		}
		near(t, "eater", got.eaters[j], sum, 1e-10)
	}
	free := float64(n-1) + noiseWorth
	noise := (mat.Dot(res, w) + noiseWorth*usualNoise*usualNoise) / free
	near(t, "noise", got.noise, noise, 1e-10)
	near(t, "likelihood", got.logLikelihood, -.5*(free*math.Log(noise)+ch.LogDet()+math.Log(oo)), 1e-9)
}

// Simulated panels with eaters of known severity: adjusted scores are closer to the
// truth than plain means, and about 80 % are within 1.28 of their SD.
func TestRecovers(t *testing.T) {
	severity := []float64{-.9, .5, 0, .3, -.4, .9}
	rng := rand.New(rand.NewPCG(1, 9))
	var adjusted, plain, within, n float64
	for range 60 {
		var scores []Score
		truth := make([]float64, 20)
		sums, counts := make([]float64, 20), make([]float64, 20)
		for i := range truth {
			truth[i] = 6.5 + .8*rng.NormFloat64()
			for _, j := range rng.Perm(6)[:1+rng.IntN(4)] {
				v := truth[i] + severity[j] + .75*rng.NormFloat64()
				scores = append(scores, Score{i, j, v})
				sums[i], counts[i] = sums[i]+v, counts[i]+1
			}
		}
		r, err := Fit(scores, 20, 6)
		if err != nil {
			t.Fatal(err)
		}
		// Severity has no zero of its own, so deviations from the means are compared.
		shift := 0.0
		for i := range truth {
			shift += (r.Cooks[i].Adjusted - truth[i]) / 20
		}
		meanPlain := 0.0
		for i := range truth {
			meanPlain += (sums[i]/counts[i] - truth[i]) / 20
		}
		for i := range truth {
			a := r.Cooks[i].Adjusted - truth[i] - shift
			p := sums[i]/counts[i] - truth[i] - meanPlain
			adjusted, plain, n = adjusted+a*a, plain+p*p, n+1
			if math.Abs(a) < 1.2816*r.Cooks[i].SD {
				within++
			}
		}
	}
	t.Logf("mean squared miss %.3f adjusted, %.3f plain; %.0f %% within the 80 %% range", adjusted/n, plain/n, 100*within/n)
	if adjusted > .8*plain || within/n < .75 || within/n > .88 {
		t.Error("adjusting does not pay, or does not know how sure it is")
	}
}

func TestDegenerate(t *testing.T) {
	if _, err := Fit(nil, 3, 2); !errors.Is(err, ErrNone) {
		t.Errorf("no scores: %v", err)
	}
	for _, bad := range []Score{{3, 0, 5}, {0, -1, 5}, {0, 0, math.NaN()}} {
		if _, err := Fit([]Score{bad}, 3, 2); err == nil {
			t.Errorf("%+v accepted", bad)
		}
	}
	r, err := Fit([]Score{{0, 0, 7}}, 1, 1)
	if err != nil || r.Groups != 1 || r.Cooks[0].Adjusted != 7 || r.CooksDiffer.Made || r.Cooks[0].SD < .5 {
		t.Errorf("one score: %+v %v", r, err)
	}
	r, err = Fit([]Score{{0, 0, 7}, {1, 0, 5}, {2, 0, 6}}, 4, 1)
	if err != nil || r.Eaters[0].Adjusted != 0 || r.Cooks[3].Group != -1 || r.Cooks[0].SD < r.EaterSD {
		t.Errorf("one eater: %+v %v", r, err)
	}
	r, err = Fit([]Score{{0, 0, 7}, {1, 0, 5}, {2, 1, 6}, {3, 1, 9}}, 4, 2)
	if err != nil || r.Groups != 2 || r.Cooks[0].Group == r.Cooks[2].Group {
		t.Errorf("no overlap: %+v %v", r, err)
	}
	// Eaters that do not differ at all: rounding must not make the sum of squares
	// negative.
	if _, err = Fit([]Score{{3, 2, 1}, {0, 0, 7}, {0, 1, 2}, {3, 1, 2}, {3, 2, 2}}, 6, 4); err != nil {
		t.Error(err)
	}
	r, err = Fit([]Score{{0, 0, 7}, {1, 0, 7}, {0, 1, 7}, {1, 1, 7}}, 2, 2)
	if err != nil || r.CooksDiffer.Made || math.Abs(r.Mean-7) > 1e-12 {
		t.Errorf("all alike: %+v %v", r, err)
	}
}

func TestNeverNaN(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 25).Draw(t, "scores")
		var scores []Score
		for range n {
			scores = append(scores, Score{rapid.IntRange(0, 5).Draw(t, "cook"), rapid.IntRange(0, 3).Draw(t, "eater"), float64(rapid.IntRange(1, 9).Draw(t, "value"))})
		}
		r, err := Fit(scores, 6, 4)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range append(r.Cooks, r.Eaters...) {
			for _, v := range []float64{e.Adjusted, e.SD, e.Shrunk, r.Agreement, r.NoiseSD, r.CooksDiffer.P, r.EatersDiffer.P, r.CooksDiffer.F, r.EatersDiffer.F} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v", r)
				}
			}
		}
		if r.CooksDiffer.F < -1e-9 || r.EatersDiffer.F < -1e-9 || r.Groups < 1 {
			t.Errorf("%+v", r)
		}
	})
}

func BenchmarkFit(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 9))
	var scores []Score
	for i := range 1000 {
		for _, j := range rng.Perm(8)[:4] {
			scores = append(scores, Score{i, j, 6 + rng.NormFloat64()})
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fit(scores, 1000, 8); err != nil {
			b.Fatal(err)
		}
	}
}
