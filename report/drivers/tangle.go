package drivers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"ashbook/journal/measure"
	"ashbook/report/frame"
)

// Tangle is something that changed together with a candidate.
type Tangle struct {
	With        string  // name of the column
	Correlation float64 // −1 to 1: the correlation of the two columns that are most correlated
	// Table counts cooks. Row 0 has the cooks with the candidate's value, row 1 those
	// without; column 0 has the cooks with the other value, column 1 those without. For
	// numbers, "with" means above the middle of their
	// range.
	Table       [2][2]int
	This, Other string // names of the first row and column: "with wrap foil"
	Says        string // one sentence
}

// tangledFrom is the least correlation reported (chosen: half of the variance is common).
const tangledFrom = .7

// tangle sets the Tangles of the candidates. The candidates must be in the order of the
// fields.
func (d *design) tangle(candidates []Candidate) {
	r := d.correlations()
	columns := independent(r)
	for i, f := range d.fields {
		c := &candidates[i]
		for k, g := range d.fields {
			if k == i {
				continue
			}
			if t, ok := d.pair(f, g, r); ok {
				c.Tangles = append(c.Tangles, t)
			}
		}
		slices.SortStableFunc(c.Tangles, func(a, b Tangle) int {
			return cmp.Compare(math.Abs(b.Correlation), math.Abs(a.Correlation))
		})
		if len(c.Tangles) == 0 {
			if share, ok := d.held(f, columns, r); ok && share > heldFrom {
				c.Tangles = append(c.Tangles, Tangle{With: "several together", Correlation: math.Sqrt(share), Says: fmt.Sprintf("The other things together predict %.0f %% of how it varies: they may be the cause.", 100*share)})
			}
		}
	}
}

// pair compares two fields by their two most correlated columns; ok is false if their
// correlation is below tangledFrom.
func (d *design) pair(f, g *field, correlations *mat.SymDense) (t Tangle, ok bool) {
	best, fv, gv := 0.0, value{}, value{}
	for _, a := range f.values {
		for _, b := range g.values {
			// Two values of words with many values are often negatively correlated,
			// which means nothing.
			if r := correlations.At(a.at, b.at); math.Abs(r) > math.Abs(best) && (r > 0 || len(f.values) == 1 && len(g.values) == 1) {
				best, fv, gv = r, a, b
			}
		}
	}
	if math.Abs(best) < tangledFrom {
		return Tangle{}, false
	}
	t = Tangle{With: g.spec.column.Name, Correlation: best, This: f.side(fv, true), Other: g.side(gv, true)}
	lowF, lowG := d.low(f, fv), d.low(g, gv)
	for i := range d.cooks {
		if f.cells[i].Known && g.cells[i].Known {
			t.Table[lowF(i)][lowG(i)]++
		}
	}
	with, both := t.Table[0][0]+t.Table[0][1], t.Table[0][0]
	if best < 0 {
		both = t.Table[0][1]
	}
	if with == 0 {
		return Tangle{}, false
	}
	had := strings.NewReplacer("were without ", "had not ", "were with ", "had ").Replace("were " + g.side(gv, best > 0))
	t.Says = fmt.Sprintf("%d of the %s %s %s: that may be the cause.", both, measure.Count(with, "cook"), t.This, had)
	return t, true
}

// side returns a name for the cooks that have a value, or a number above the middle of its
// range; for the other cooks if with is false.
func (f *field) side(v value, with bool) string {
	name := f.spec.column.Name
	switch {
	case f.spec.column.Kind != frame.Word && with:
		return "high in “" + name + "”"
	case f.spec.column.Kind != frame.Word:
		return "low in “" + name + "”"
	case with:
		return "with " + name + " " + v.word
	case len(f.values) == 1:
		return "with " + name + " " + f.base
	}
	return "without " + name + " " + v.word
}

// low returns a function that is 0 for a cook on the side of a value that value.with
// counts, else 1.
func (d *design) low(f *field, v value) func(cook int) int {
	with := func(cook int) bool { return f.cells[cook].Word == v.word }
	if f.spec.column.Kind != frame.Word {
		numbers := d.numbers(f)
		with = func(cook int) bool { return numbers[cook] > v.middle }
	}
	return func(cook int) int {
		if with(cook) {
			return 0
		}
		return 1
	}
}

// correlations returns the correlations of all columns with each other. For a column
// whose values are all equal they are 0, on the diagonal too.
func (d *design) correlations() *mat.SymDense {
	about := d.centred(len(d.cooks))
	r := mat.NewSymDense(len(about), nil)
	for i, a := range about {
		for j, b := range about[:i] {
			r.SetSym(i, j, correlated(a, b))
		}
		r.SetSym(i, i, correlated(a, a))
	}
	return r
}

// heldFrom is the share of a column's variance that the others together must explain
// before this is reported (chosen).
const heldFrom = .8

// nothingNew is the share of a column's variance that the columns before it must leave
// unexplained, so that it counts as independent (chosen above the rounding error over
// thousands of cooks).
const nothingNew = 1e-9

// independent returns the columns that are not linear combinations of those before them, by
// a Cholesky decomposition row by row.
func independent(r *mat.SymDense) []int {
	var out []int
	var rows [][]float64
	for k := range r.SymmetricDim() {
		left, row := r.At(k, k), make([]float64, 0, len(out)+1)
		for i, before := range out {
			v := (r.At(k, before) - floats.Dot(row, rows[i][:i])) / rows[i][i]
			row = append(row, v)
			left -= v * v
		}
		if left > nothingNew {
			out, rows = append(out, k), append(rows, append(row, math.Sqrt(left)))
		}
	}
	return out
}

// held returns the share of the variance of a field's first column that the others among
// columns explain together; ok is false with too few cooks.
func (d *design) held(f *field, columns []int, r *mat.SymDense) (share float64, ok bool) {
	var others []int
	for _, k := range columns {
		if !slices.ContainsFunc(f.values, func(v value) bool { return v.at == k }) {
			others = append(others, k)
		}
	}
	n, p := len(d.cooks), len(others)
	if p == 0 || n < 2*p || n < p+2 {
		return 0, false
	}
	among, with := mat.NewSymDense(p, nil), mat.NewVecDense(p, nil)
	for i, k := range others {
		for j, m := range others[:i+1] {
			among.SetSym(i, j, r.At(k, m))
		}
		with.SetVec(i, r.At(k, f.values[0].at))
	}
	var c mat.Cholesky
	var weights mat.VecDense
	if !c.Factorize(among) || c.SolveVecTo(&weights, with) != nil {
		return 0, false
	}
	return mat.Dot(with, &weights), true
}
