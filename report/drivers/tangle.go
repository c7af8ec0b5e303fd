package drivers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/report/numeric/regress"
)

// Tangle is something that changed along with a candidate.
type Tangle struct {
	With        string  // column
	Correlation float64 // −1 to 1, of the two most alike columns
	// Table counts cooks: rows with and without the candidate's value, columns
	// with and without the other's; numbers are parted at their mean.
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
	columns := d.independent()
	for i, f := range d.fields {
		c := &candidates[i]
		for k, g := range d.fields {
			if k == i {
				continue
			}
			if t, ok := d.pair(f, g); ok {
				c.Tangles = append(c.Tangles, t)
			}
		}
		slices.SortStableFunc(c.Tangles, func(a, b Tangle) int {
			return cmp.Compare(math.Abs(b.Correlation), math.Abs(a.Correlation))
		})
		if len(c.Tangles) == 0 {
			if share, ok := d.held(f, columns); ok && share > heldFrom {
				c.Tangles = append(c.Tangles, Tangle{With: "several together", Correlation: math.Sqrt(share), Says: fmt.Sprintf("%.0f %% of its ups and downs went with the other things together: it may be them.", 100*share)})
			}
		}
	}
}

// pair holds the two most alike columns of two fields against each other.
func (d *design) pair(f, g *field) (Tangle, bool) {
	best, fv, gv := 0.0, value{}, value{}
	for _, a := range f.values {
		for _, b := range g.values {
			// That cooks are without one of many values tells nothing.
			if r := correlation(d.columns[a.at], d.columns[b.at]); math.Abs(r) > math.Abs(best) && (r > 0 || len(f.values) == 1 && len(g.values) == 1) {
				best, fv, gv = r, a, b
			}
		}
	}
	if math.Abs(best) < tangledFrom {
		return Tangle{}, false
	}
	t := Tangle{With: g.spec.column.Name, Correlation: best, This: f.side(fv, true), Other: g.side(gv, true)}
	for i := range d.cooks {
		if f.cells[i].Known && g.cells[i].Known {
			t.Table[d.low(fv.at, i)][d.low(gv.at, i)]++
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

// side names the cooks that have the value, or more of the number than usual;
// or, with is false, those on the other side.
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

// low is 0 for a cook above the mean of a column and 1 for one below.
func (d *design) low(column, cook int) int {
	if d.columns[column][cook] > meanOf(d.columns[column]) {
		return 0
	}
	return 1
}

// heldFrom is the share of a column the others may hold together before that
// is told (chosen).
const heldFrom = .8

// independent are the columns that add something to those before them.
func (d *design) independent() []int {
	var out []int
	var columns [][]float64
	for k, c := range d.columns {
		// Fitted to itself: refused where it adds nothing.
		try := append(columns[:len(columns):len(columns)], c)
		if _, err := regress.Least(try, c, true); err == nil {
			out, columns = append(out, k), try
		}
	}
	return out
}

// held is the share of a field's first column that the others among the given
// columns hold together; ok is false with too few cooks to say.
func (d *design) held(f *field, columns []int) (share float64, ok bool) {
	var others [][]float64
	for _, k := range columns {
		if !slices.ContainsFunc(f.values, func(v value) bool { return v.at == k }) {
			others = append(others, d.columns[k])
		}
	}
	if len(others) == 0 || len(d.cooks) < 2*len(others) {
		return 0, false
	}
	fit, err := regress.Least(others, d.columns[f.values[0].at], true)
	return fit.RSquared, err == nil
}
