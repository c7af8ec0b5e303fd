package drivers

import (
	"context"
	"math"

	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/numeric/bayes"
)

// Times is what the person's cooks, and the physics before them, say of time:
// the same effects that Weigh tells.
type Times struct {
	d       *design
	post    bayes.Posterior
	Cooks   int     // learned from
	Scatter float64 // of one cook about what is explained, ln
}

// Share is what one column does to ln of a time between two rows.
type Share struct {
	Column      frame.Column
	This, Other frame.Value // what is noted of it
	Known       bool        // of both; otherwise it counts as the same
	More        float64     // numbers: This less Other in steps, a thickness for its weight
	Ln          bayes.Combination
}

// LearnTimes learns from finished cooks what moves time, to be asked about the rows. It works from no cooks on.
func LearnTimes(ctx context.Context, cooks []*frame.Cook, w model.Context, rows ...Row) (*Times, error) {
	d := &design{all: true, rows: rows, hurried: -1}
	var y []float64
	for _, c := range cooks {
		if took, ok := c.Took(); ok && took.Hours() >= shortest && took.Hours() <= model.Longest {
			d.cooks, y = append(d.cooks, c), append(y, math.Log(took.Hours()))
		}
	}
	d.ask(Time, w.Settings.Units, &Report{})
	post, err := bayes.Fit(ctx, d.problem(y, &w))
	return &Times{d, post, len(y), post.Noise}, err
}

// shortest is what a cook takes at least, h (chosen: below, a time is wrong).
const shortest = .5

// Hours is what a row would take, h, and the standard deviation of its ln, the
// scatter of cooks left out.
func (t *Times) Hours(row int) (hours, sd float64) {
	at := len(t.d.cooks) + row
	x := make([]float64, len(t.d.columns))
	for k, c := range t.d.columns {
		x[k] = c[at] - meanOf(c)
	}
	ln := t.post.Of(1, x)
	return math.Exp(ln.Mean()), ln.SD()
}

// Between shares ln of the time of one row over another's out among the columns,
// in the order in which they are asked, and says what is known of the whole.
func (t *Times) Between(this, other int) (shares []Share, whole bayes.Combination) {
	a, b := len(t.d.cooks)+this, len(t.d.cooks)+other
	all := make([]float64, len(t.d.columns))
	for _, f := range t.d.fields {
		s := Share{Column: f.spec.column, This: f.cells[a], Other: f.cells[b], Known: f.cells[a].Known && f.cells[b].Known}
		x := make([]float64, len(all))
		for _, v := range f.values {
			if s.Known {
				x[v.at] = t.d.columns[v.at][a] - t.d.columns[v.at][b]
				all[v.at] = x[v.at]
			}
		}
		if f.spec.column.Kind != frame.Word && len(f.values) == 1 {
			s.More = x[f.values[0].at]
		}
		s.Ln = t.post.Of(0, x)
		shares = append(shares, s)
	}
	return shares, t.post.Of(0, all)
}
