package drivers

import (
	"context"
	"math"

	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/numeric/bayes"
)

// Times holds the effects on time that Weigh reports, from the physics and the person's
// cooks.
type Times struct {
	d       *design
	post    bayes.Posterior
	Cooks   int     // cooks learned from
	Scatter float64 // standard deviation of one cook around the prediction, ln hours
}

// Share is the effect of one column on ln of the hours between two rows.
type Share struct {
	Column      frame.Column
	This, Other frame.Value
	Known       bool    // noted in both rows; otherwise the two count as equal
	More        float64 // number columns: This minus Other, in steps; thickness is compared at equal weight
	Ln          bayes.Combination
}

// LearnTimes learns effects on time from finished cooks, for questions about rows. It works
// without cooks too. It fails when ctx ends.
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

// shortest is the shortest possible cook, h (chosen: below it a time is wrong).
const shortest = .5

// Hours returns the expected hours of a row and the standard deviation of their ln, without
// Scatter.
func (t *Times) Hours(row int) (hours, sd float64) {
	at := len(t.d.cooks) + row
	x := make([]float64, len(t.d.columns))
	for k, c := range t.d.columns {
		x[k] = c[at] - meanOf(c)
	}
	ln := t.post.Of(1, x)
	return math.Exp(ln.Mean()), ln.SD()
}

// Between splits the difference in ln(hours) between two rows into one part for each
// column. whole is the distribution of the whole difference.
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
