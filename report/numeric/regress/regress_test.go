package regress

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"ashbook/samples/published"
)

// polynomial fits y by 1, x, x² … up to a degree. The powers are not rounded, which
// matters for half of the digits at high degrees.
func polynomial(x, y []float64, degree int) (Fit, error) {
	cols := make([][]double, degree+1)
	for k := range cols {
		cols[k] = make([]double, len(x))
		for i, v := range x {
			if k == 0 {
				cols[k][i] = exactly(1)
			} else {
				cols[k][i] = cols[k-1][i].times(exactly(v))
			}
		}
	}
	return solve(cols, y, true)
}

// data reads y and the columns of a data set; the last column is the source.
func data(t *testing.T, set string) (y []float64, x [][]float64) {
	t.Helper()
	_, rows := published.Table(t, "nist_"+set+".csv")
	for _, row := range rows {
		y = append(y, published.Number(t, row[0]))
		if x == nil {
			x = make([][]float64, len(row)-2)
		}
		for j := range x {
			x[j] = append(x[j], published.Number(t, row[j+1]))
		}
	}
	return y, x
}

// digits returns how many significant digits agree: −log10 of the relative error, or of
// the error if the certified value is zero (McCullough 1998, Am. Stat. 52:358), at most
// 15.
func digits(got, want float64) float64 {
	miss := math.Abs(got - want)
	if want != 0 {
		miss /= math.Abs(want)
	}
	return math.Min(15, -math.Log10(math.Max(miss, 1e-15)))
}

// The linear sets of the NIST Statistical Reference Datasets with their certified
// values; each row has its source. All must agree to 9 digits, and perfect fits need a
// residual below 1e-9.
func TestCertifiedSets(t *testing.T) {
	certified := map[string]map[string][]string{}
	_, rows := published.Table(t, "nist_certified.csv")
	for _, row := range rows {
		if certified[row[0]] == nil {
			certified[row[0]] = map[string][]string{}
		}
		certified[row[0]][row[1]] = row
	}
	for _, set := range []string{"Norris", "NoInt1", "Longley", "Wampler1", "Wampler2", "Wampler3", "Wampler4", "Wampler5"} {
		y, x := data(t, set)
		var fit Fit
		var err error
		switch {
		case strings.HasPrefix(set, "Wampler"):
			fit, err = polynomial(x[0], y, 5)
		default:
			fit, err = Least(x, y, set != "NoInt1")
		}
		if err != nil {
			t.Errorf("%s: %v", set, err)
			continue
		}
		worst := map[string]float64{}
		check := func(kind string, got float64, want string) {
			if want == "" {
				return
			}
			d := digits(got, published.Number(t, want))
			if old, ok := worst[kind]; !ok || d < old {
				worst[kind] = d
			}
			if d < 9 {
				t.Errorf("%s, %s: got %.15g, want %s", set, kind, got, want)
			}
		}
		rows := certified[set]
		for j, b := range fit.Coefficients {
			name := fmt.Sprintf("B%d", j)
			if set == "NoInt1" {
				name = "B1"
			}
			row, ok := rows[name]
			if !ok {
				t.Fatalf("%s: no certified %s", set, name)
			}
			check("coefficient", b, row[2])
			check("standard error", fit.StandardErrors[j], row[3])
		}
		check("residual SD", fit.ResidualSD, rows["residual_sd"][2])
		check("R²", fit.RSquared, rows["r_squared"][2])
		if free := rows["df_resid"]; free != nil && published.Number(t, free[2]) != float64(fit.Free) {
			t.Errorf("%s: %d degrees of freedom, want %s", set, fit.Free, free[2])
		}
		t.Logf("%-8s digits: coefficients %.1f, standard errors %.1f, residual SD %.1f, R² %.1f",
			set, worst["coefficient"], worst["standard error"], worst["residual SD"], worst["R²"])
	}
}

// A steep polynomial is the hardest case: degree 10 of x between −9 and −3, with chosen
// coefficients and no noise, is recovered.
func TestSteepPolynomial(t *testing.T) {
	var x, y []float64
	for i := range 82 {
		v := -8.75 + float64(i)/16 // exact in binary
		x = append(x, v)
		y = append(y, ((v+2)*v-3)*v+4) // exact up to 2^-12 steps
	}
	fit, err := polynomial(x, y, 10)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{4, -3, 2, 1, 0, 0, 0, 0, 0, 0, 0} {
		if d := digits(fit.Coefficients[k], want); d < 9 {
			t.Errorf("x^%d: got %.12g, want %g", k, fit.Coefficients[k], want)
		}
	}
}

// gonum's own QR agrees on well-conditioned columns.
func TestAgreesWithGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, p := rapid.IntRange(8, 30).Draw(t, "rows"), rapid.IntRange(1, 4).Draw(t, "columns")
		column := rapid.SliceOfN(rapid.Float64Range(-5, 5), n, n)
		var x [][]float64
		m := mat.NewDense(n, p+1, nil)
		for j := range p {
			c := column.Draw(t, "column")
			c[j] += 20 // distinct columns, none constant
			x = append(x, c)
			m.SetCol(j+1, c)
		}
		for i := range n {
			m.Set(i, 0, 1)
		}
		y := column.Draw(t, "y")
		fit, err := Least(x, y, true)
		if err != nil {
			t.Fatal(err)
		}
		var want mat.Dense
		if err := want.Solve(m, mat.NewDense(n, 1, y)); err != nil {
			t.Fatal(err)
		}
		for j, b := range fit.Coefficients {
			if math.Abs(b-want.At(j, 0)) > 1e-8*(1+math.Abs(b)) {
				t.Errorf("coefficient %d: %g, gonum %g", j, b, want.At(j, 0))
			}
		}
		if fit.RSquared < -1e-12 || fit.RSquared > 1 {
			t.Errorf("R² %g", fit.RSquared)
		}
	})
}

func TestRefuses(t *testing.T) {
	a, b := []float64{1, 2, 3, 5}, []float64{2, 4, 6, 10}
	y := []float64{1, 0, 1, 0}
	for _, c := range []struct {
		columns [][]float64
		y       []float64
		want    error
	}{
		{[][]float64{a, b}, y, ErrTangled},
		{[][]float64{{7, 7, 7, 7}}, y, ErrTangled},
		{[][]float64{{0, 0, 0, 0}}, y, ErrTangled},
		{[][]float64{a, {1, 0, 0, 0}, {0, 1, 0, 0}}, y, ErrTooFew},
		{[][]float64{{1, 2, math.NaN(), 4}}, y, ErrNotANumber},
		{[][]float64{a}, []float64{1, 2, 3, math.Inf(1)}, ErrNotANumber},
		{nil, nil, ErrTooFew},
	} {
		if got, err := Least(c.columns, c.y, true); !errors.Is(err, c.want) || got.Coefficients != nil {
			t.Errorf("%v: got %v, %v; want %v", c.columns, got, err, c.want)
		}
	}
	if fit, err := Least([][]float64{a}, []float64{3, 3, 3, 3}, true); err != nil || fit.RSquared != 0 || fit.ResidualSD > 1e-15 {
		t.Errorf("nothing to explain: %+v %v", fit, err)
	}
}

func BenchmarkLeast(b *testing.B) {
	b.ReportAllocs()
	const n, p = 1000, 15
	x := make([][]float64, p)
	for j := range x {
		x[j] = make([]float64, n)
		for i := range n {
			x[j][i] = math.Sin(float64(i*(j+1) + j))
		}
	}
	y := make([]float64, n)
	for i := range n {
		y[i] = math.Cos(float64(3 * i))
	}
	for b.Loop() {
		if _, err := Least(x, y, true); err != nil {
			b.Fatal(err)
		}
	}
}
