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

// Tangle is something that changed along with a candidate.
type Tangle struct {
	With        string  // column
	Correlation float64 // −1 to 1, of the two most alike columns
	// Table counts cooks: rows with and without the candidate's value, columns
	// with and without the other's; numbers are split at their mean.
	Table       [2][2]int
	This, Other string // what the first row and the first column stand for: "with wrap foil"
	Says        string // a sentence
}

// tangledFrom is the correlation from which the page says that two things are tangled
// (chosen: half of the variance of one goes with the other).
const tangledFrom = .7

// tangle finds what changed along with each candidate; candidates are in the
// order of the fields.
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
				c.Tangles = append(c.Tangles, Tangle{With: "several together", Correlation: math.Sqrt(share), Says: fmt.Sprintf("%.0f %% of its ups and downs went with the other things together: it may be them.", 100*share)})
			}
		}
	}
}

// pair holds the two most alike columns of two fields against each other.
func (d *design) pair(f, g *field, correlations *mat.SymDense) (Tangle, bool) {
	best, fv, gv := 0.0, value{}, value{}
	for _, a := range f.values {
		for _, b := range g.values {
			// That cooks are without one of many values tells nothing.
			if r := correlations.At(a.at, b.at); math.Abs(r) > math.Abs(best) && (r > 0 || len(f.values) == 1 && len(g.values) == 1) {
				best, fv, gv = r, a, b
			}
		}
	}
	if math.Abs(best) < tangledFrom {
		return Tangle{}, false
	}
	t := Tangle{With: g.spec.column.Name, Correlation: best, This: f.side(fv, true), Other: g.side(gv, true)}
	lowF, lowG := d.low(fv.at), d.low(gv.at)
	for i := range d.cooks {
		if f.cells[i].Known && g.cells[i].Known {
			t.Table[lowF(i)][lowG(i)]++
		}
	}
	with, both := t.Table[0][0]+t.Table[0][1], t.Table[0][0]
	if best < 0 {
		both = t.Table[0][1]
	}
	had := strings.NewReplacer("were without ", "had not ", "were with ", "had ").Replace("were " + g.side(gv, best > 0))
	t.Says = fmt.Sprintf("%d of the %s %s %s: it may be that.", both, measure.Count(with, "cook"), t.This, had)
	return t, true
}

// side names the cooks that have the value, or a number above the mean; where with is
// false, the other cooks.
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

// low tells of a cook whether it is above the mean of a column, 0, or below, 1.
func (d *design) low(column int) func(cook int) int {
	x := d.columns[column]
	mean := meanOf(x)
	return func(cook int) int {
		if x[cook] > mean {
			return 0
		}
		return 1
	}
}

// correlations are those of all columns; 0 of one that is the same throughout, also
// with itself.
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

// heldFrom is the share of a column the others may hold together before that
// is told (chosen).
const heldFrom = .8

// nothingNew is the share of a column that those before it must leave (chosen: sums
// over thousands of cooks round off to less).
const nothingNew = 1e-9

// independent are the columns that add something to those before them: the triangle
// of their correlations is drawn up row by row (Cholesky), and its diagonal is what
// the others leave.
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

// held is the share of a field's first column that the others among the given
// columns hold together, of which the correlations tell; ok is false with too few
// cooks to say.
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
