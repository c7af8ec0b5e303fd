package bma

import (
	"ashbook/samples/published"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// crime is the US crime data of Vandaele (1978) as the R package MASS gives it
// (UScrime), all columns but So logged.
func crime(t testing.TB) (columns [][]float64, y []float64) {
	t.Helper()
	names, rows := published.Table(t, "uscrime.csv")
	all := make([][]float64, len(names))
	for _, row := range rows {
		for j, cell := range row {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			if names[j] != "So" {
				v = math.Log(v)
			}
			all[j] = append(all[j], v)
		}
	}
	return all[:len(all)-1], all[len(all)-1]
}

func single(n int) []Term {
	terms := make([]Term, n)
	for i := range terms {
		terms[i] = Term{Columns: []int{i}}
	}
	return terms
}

// Inclusion probabilities and means over all 32,768 sets, computed in R 4.2.2
// by full enumeration; the Zellner–Siow column agrees with the vignette of the
// R package BAS to .005 (that comparison from memory).
func TestCrime(t *testing.T) {
	x, y := crime(t)
	m, err := Gather(x, y, nil)
	if err != nil {
		t.Fatal(err)
	}
	head, rows := published.Table(t, "uscrime_bma.csv")
	column := map[string]int{}
	for j, name := range head {
		column[name] = j
	}
	for _, c := range []struct {
		prior     Prior
		pip, mean string
		tolerance float64
	}{
		{BIC, "pip_bic", "postmean_bic", 1e-4},
		{UnitInformation, "pip_gprior_n", "postmean_gprior", 1e-4},
		{ZellnerSiow, "pip_zellner_siow", "", 1e-3},
	} {
		r, err := m.Over(t.Context(), single(len(x)), Options{Prior: c.prior})
		if err != nil {
			t.Fatal(err)
		}
		if r.Sets != 1<<15 || r.TooLarge != 0 {
			t.Errorf("%d sets, %d passed over", r.Sets, r.TooLarge)
		}
		worst, worstMean := 0.0, 0.0
		for j, row := range rows {
			want, err := strconv.ParseFloat(row[column[c.pip]], 64)
			if err != nil {
				t.Fatal(err)
			}
			worst = math.Max(worst, math.Abs(r.Inclusion[j]-want))
			if c.mean != "" {
				want, err := strconv.ParseFloat(row[column[c.mean]], 64)
				if err != nil {
					t.Fatal(err)
				}
				worstMean = math.Max(worstMean, math.Abs(r.Effects[j].Average-want))
			}
		}
		t.Logf("%s: probabilities within %.1e, means within %.1e", c.pip, worst, worstMean)
		if worst > c.tolerance || worstMean > c.tolerance {
			t.Errorf("%s: off by %g and %g, want within %g", c.pip, worst, worstMean, c.tolerance)
		}
	}
}

// With one column there are two sets, and the g-prior's answers stand in closed
// form (Liang et al. 2008, eq. 6; the posterior is a Student distribution).
func TestOneColumn(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, 6, 7, 8}
	y := []float64{2.1, 2.9, 4.2, 4.8, 6.1, 7.4, 7.7, 9.3}
	m, err := Gather([][]float64{x}, y, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Over(t.Context(), single(1), Options{})
	if err != nil {
		t.Fatal(err)
	}
	var mx, my, sxx, sxy, syy float64
	for i := range x {
		mx, my = mx+x[i]/8, my+y[i]/8
	}
	for i := range x {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (y[i] - my)
		syy += (y[i] - my) * (y[i] - my)
	}
	const g, n = 8.0, 8.0
	r2 := sxy * sxy / sxx / syy
	bayes := math.Pow(1+g, (n-2)/2) * math.Pow(1+g*(1-r2), -(n-1)/2)
	near(t, "inclusion", r.Inclusion[0], bayes/(1+bayes), 1e-12)
	q := g / (1 + g)
	near(t, "mean", r.Effects[0].Mean, q*sxy/sxx, 1e-12)
	scale := math.Sqrt(q * syy * (1 - q*r2) / (n - 1) / sxx)
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(.9) * scale
	near(t, "upper end", r.Effects[0].Hi, q*sxy/sxx+half, 1e-5*half)
	near(t, "lower end", r.Effects[0].Lo, q*sxy/sxx-half, 1e-5*half)
}

// The sum over g against one in another variable with a thousand times as many
// points.
func TestZellnerSiowSum(t *testing.T) {
	for _, c := range []struct {
		rows, rank int
		left       float64
	}{{5, 1, .2}, {10, 3, .05}, {47, 8, .2}, {1000, 4, .9}, {100000, 2, .99}, {12, 1, 1}} {
		j := newJudge(ZellnerSiow, c.rows)
		n, p := float64(c.rows), float64(c.rank)
		// 1/g = z²/n with z normal: a sum over z.
		logOf := func(z float64) float64 {
			g := n / (z * z)
			return .5*((n-1-p)*math.Log1p(g)-(n-1)*math.Log1p(g*c.left)) - z*z/2 - .5*math.Log(2*math.Pi)
		}
		most := math.Inf(-1)
		const step = 1e-4
		for z := step / 2; z < 12; z += step {
			most = math.Max(most, logOf(z))
		}
		sum := 0.0
		for z := step / 2; z < 12; z += step {
			sum += 2 * step * math.Exp(logOf(z)-most)
		}
		near(t, "ln Bayes factor", j.of(c.rank, c.left).logBayes, most+math.Log(sum), 2e-4)
	}
}

// A shrunken family is the same as rows whose errors are correlated: the
// inclusion probability of two such terms and a plain one against the general
// normal likelihood, integrated over the error variance.
func TestShrunkIsCorrelation(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	const n = 14
	pit := make([][]float64, 3)
	for j := range pit {
		pit[j] = make([]float64, n)
	}
	x, y := make([]float64, n), make([]float64, n)
	for i := range n {
		pit[i%3][i] = 1
		x[i] = rng.NormFloat64()
		y[i] = 50 + 3*x[i] + float64(i%3)*2 + rng.NormFloat64()
	}
	m, err := Gather([][]float64{pit[0], pit[1], pit[2], x}, y, nil)
	if err != nil {
		t.Fatal(err)
	}
	const tau = 1.5
	r, err := m.Over(t.Context(), []Term{{Columns: []int{0, 1, 2}, Shrunk: tau}, {Columns: []int{3}}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	logs := map[[2]bool]float64{}
	total := 0.0
	for _, family := range []bool{false, true} {
		v := mat.NewSymDense(n, nil)
		for i := range n {
			for k := range i + 1 {
				if i == k {
					v.SetSym(i, k, 1)
				}
				if family && i%3 == k%3 {
					v.SetSym(i, k, v.At(i, k)+tau*tau)
				}
			}
		}
		var c mat.Cholesky
		if !c.Factorize(v) {
			t.Fatal("not positive")
		}
		inner := func(a, b []float64) float64 {
			var s mat.VecDense
			if err := c.SolveVecTo(&s, mat.NewVecDense(n, b)); err != nil {
				t.Fatal(err)
			}
			return mat.Dot(mat.NewVecDense(n, a), &s)
		}
		one := make([]float64, n)
		for i := range one {
			one[i] = 1
		}
		oo := inner(one, one)
		ss := func(a, b []float64) float64 { return inner(a, b) - inner(one, a)*inner(one, b)/oo }
		yy := ss(y, y)
		base := -.5*c.LogDet() - .5*math.Log(oo) - (n-1)/2.*math.Log(yy)
		r2 := ss(x, y) * ss(x, y) / ss(x, x) / yy
		logs[[2]bool{family, false}] = base
		logs[[2]bool{family, true}] = base + .5*((n-2)*math.Log1p(n)-(n-1)*math.Log1p(n*(1-r2)))
	}
	most := math.Inf(-1)
	for _, l := range logs {
		most = math.Max(most, l)
	}
	var want [2]float64
	for k, l := range logs {
		w := math.Exp(l - most)
		total += w
		for i, in := range k {
			if in {
				want[i] += w
			}
		}
	}
	near(t, "family", r.Inclusion[0], want[0]/total, 1e-9)
	near(t, "slope", r.Inclusion[1], want[1]/total, 1e-9)
	if e := r.Effects; !(e[0].Mean < e[1].Mean && e[1].Mean < e[2].Mean) || math.Abs(e[0].Mean+e[1].Mean+e[2].Mean) > .6 {
		t.Errorf("effects of the family %+v", e[:3])
	}
}

// Mirrored, shifted and stretched columns change the effects accordingly and
// nothing else; the order of terms changes nothing.
func TestUnitsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 25).Draw(t, "rows")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		var c [5][]float64
		stretch := rapid.Float64Range(.01, 100).Draw(t, "stretch")
		for range n {
			for k := range 4 {
				c[k] = append(c[k], rng.NormFloat64())
			}
			c[4] = append(c[4], 1000*stretch-stretch*c[0][len(c[4])])
		}
		x, y, other := c[:3], c[3], c[4]
		prior := Prior(rapid.IntRange(0, 2).Draw(t, "prior"))
		ra, rb := over(t, x, y, prior), over(t, [][]float64{x[2], x[1], other}, y, prior)
		sane(t, ra)
		for i := range 3 {
			near(t, "inclusion", rb.Inclusion[2-i], ra.Inclusion[i], 1e-6)
		}
		near(t, "effect", -stretch*rb.Effects[2].Mean, ra.Effects[0].Mean, 1e-6*(1+math.Abs(ra.Effects[0].Mean)))
	})
}

func over(t interface{ Fatal(...any) }, x [][]float64, y []float64, prior Prior) Result {
	m, err := Gather(x, y, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Over(context.Background(), single(len(x)), Options{Prior: prior})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Columns may be as like each other as they will: the answer stays a number.
func TestNeverNaN(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "rows")
		column := rapid.SliceOfN(rapid.Float64Range(-1, 1), n, n)
		x := [][]float64{column.Draw(t, "a"), column.Draw(t, "b"), column.Draw(t, "c")}
		y := column.Draw(t, "y")
		if _, err := Gather(x, y, nil); errors.Is(err, ErrAlike) {
			return
		}
		sane(t, over(t, x, y, Prior(rapid.IntRange(0, 2).Draw(t, "prior"))))
	})
}

func sane(t interface{ Errorf(string, ...any) }, r Result) {
	bad := func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }
	for i, p := range r.Inclusion {
		if bad(p) || p < 0 || p > 1 {
			t.Errorf("inclusion %d is %g", i, p)
		}
	}
	for i, e := range r.Effects {
		if bad(e.Mean) || bad(e.Lo) || bad(e.Hi) || bad(e.Average) || e.Lo > e.Hi {
			t.Errorf("effect %d is %+v", i, e)
		}
	}
	if bad(r.ResidualSD) || bad(r.Explained) || r.ResidualSD < 0 {
		t.Errorf("residual %g, explained %g", r.ResidualSD, r.Explained)
	}
}

// What cannot be told is said, not computed.
func TestDegenerate(t *testing.T) {
	line := []float64{1, 2, 3, 4, 5, 6}
	flat := []float64{7, 7, 7, 7, 7, 7}
	noisy := []float64{3, 1, 4, 1, 5, 9}
	for _, prior := range []Prior{UnitInformation, ZellnerSiow, BIC} {
		try := func(x [][]float64, y []float64) Result {
			r := over(t, x, y, prior)
			sane(t, r)
			return r
		}
		if r := try([][]float64{line, line}, noisy); math.Abs(r.Inclusion[0]-r.Inclusion[1]) > 1e-9 {
			t.Errorf("two like columns: %v", r.Inclusion)
		}
		if r := try([][]float64{flat, line}, noisy); r.Effects[0].Told || math.Abs(r.Inclusion[0]-.5) > 1e-9 {
			t.Errorf("a column all alike: %+v", r)
		}
		if r := try([][]float64{line, noisy}, []float64{2, 4, 6, 8, 10, 12}); !r.Perfect || r.Inclusion[0] < .9 || math.Abs(r.Effects[0].Mean-2) > .4 {
			t.Errorf("a perfect fit: %+v", r)
		}
		var many [][]float64
		rng := rand.New(rand.NewPCG(3, 4))
		for range 12 {
			c := make([]float64, 6)
			for i := range c {
				c[i] = rng.NormFloat64()
			}
			many = append(many, c)
		}
		if r := try(many, noisy); r.TooLarge == 0 || r.Sets+r.TooLarge != 1<<12 {
			t.Errorf("more columns than rows: %d sets, %d passed over", r.Sets, r.TooLarge)
		}
		if r := try(nil, noisy); r.Sets != 1 {
			t.Errorf("no columns: %+v", r)
		}
	}
	if _, err := Gather([][]float64{line}, flat, nil); !errors.Is(err, ErrAlike) {
		t.Errorf("all alike: %v", err)
	}
	if _, err := Gather([][]float64{{1, 2}}, []float64{1, 3}, nil); !errors.Is(err, ErrTooFew) {
		t.Errorf("two rows: %v", err)
	}
	if _, err := Gather([][]float64{{1, math.NaN(), 2}}, []float64{1, 2, 3}, nil); !errors.Is(err, ErrNotANumber) {
		t.Errorf("not a number: %v", err)
	}
	m, _ := Gather([][]float64{line}, noisy, nil)
	if _, err := m.Over(t.Context(), single(16), Options{}); err == nil {
		t.Error("sixteen terms accepted")
	}
	if _, err := m.Over(t.Context(), []Term{{Columns: []int{1}}}, Options{}); err == nil {
		t.Error("a column that is not there accepted")
	}
}

// The table of Student's t against gonum.
func TestStudent(t *testing.T) {
	for _, free := range []float64{1, 2, 5, 30, 300, 999, 1000, 5000} {
		s, want := newStudent(free), distuv.StudentsT{Mu: 0, Sigma: 1, Nu: free}
		tolerance := 5e-5
		if free >= asNormal {
			tolerance = 3e-4
		}
		for x := -6.0; x <= 6; x += .37 {
			near(t, "probability", s.below(x), want.CDF(x), tolerance)
		}
		near(t, "quantile", quantile([]part{{1, 0, 1, s}}, 1, .9), want.Quantile(.9), 6*tolerance)
	}
}

func near(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

func made(rows int) ([][]float64, []float64) {
	rng := rand.New(rand.NewPCG(5, 6))
	x := make([][]float64, 15)
	for j := range x {
		x[j] = make([]float64, rows)
		for i := range x[j] {
			x[j][i] = rng.NormFloat64()
		}
	}
	y := make([]float64, rows)
	for i := range y {
		y[i] = x[0][i] + .3*x[1][i] + rng.NormFloat64()
	}
	return x, y
}

func BenchmarkOver(b *testing.B) {
	for name, rows := range map[string]int{"100 rows": 100, "100000 rows": 100_000} {
		x, y := made(rows)
		m, err := Gather(x, y, nil)
		if err != nil {
			b.Fatal(err)
		}
		for prior, title := range []string{"unit information", "Zellner-Siow", "BIC"} {
			b.Run(name+"/"+title, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := m.Over(context.Background(), single(15), Options{Prior: Prior(prior)}); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

func BenchmarkGather(b *testing.B) {
	x, y := made(100_000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Gather(x, y, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// A row of weight two is the row twice, but for the number of rows.
func TestWeights(t *testing.T) {
	x, y := []float64{1, 2, 4, 5, 7, 2}, []float64{2, 2, 5, 4, 9, 2}
	twice, err := Gather([][]float64{x}, y, nil) // the last repeats the second
	if err != nil {
		t.Fatal(err)
	}
	once, err := Gather([][]float64{x[:5]}, y[:5], []float64{1, 2, 1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	a, _ := twice.Over(t.Context(), single(1), Options{Prior: BIC})
	b, _ := once.Over(t.Context(), single(1), Options{Prior: BIC})
	near(t, "effect", b.Effects[0].Mean, a.Effects[0].Mean, 1e-12)
	near(t, "explained", b.Explained/b.Inclusion[0], a.Explained/a.Inclusion[0], 1e-12)
	if _, err := Gather([][]float64{x}, y, []float64{1, 1, 1, 1, 1, 0}); err == nil {
		t.Error("a weight of zero accepted")
	}
}
