package drivers

import (
	"context"
	"math"
	"slices"

	"ashbook/journal"
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
	// Cores are those at which This and Other were wrapped, °C, if both have the same wrap
	// and the cores are known; else 0.
	Cores [2]float64
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
	d.timeWraps(&w)
	return &Times{d, post, len(y), post.Noise}, err
}

// timeWraps scales the wrap of each row if all rows have the same wrap, put on at different
// cores: it saves more if it went on at a cooler core than usual, in proportion to what the
// physics says it saves at each.
func (d *design) timeWraps(w *model.Context) {
	i := slices.IndexFunc(d.fields, func(f *field) bool { return f.spec.column.Name == frame.Wrap })
	if i < 0 || len(d.rows) == 0 {
		return
	}
	f, at, n := d.fields[i], d.usual(), len(d.cooks)
	word := f.cells[n].Word
	at.kind = wrapKind(word)
	v := slices.IndexFunc(f.values, func(v value) bool { return v.word == word })
	if v < 0 || at.kind == journal.NoWrap {
		return
	}
	var cores, noted []float64
	for k, cell := range f.cells {
		core := d.value(frame.Named(frame.WrappedAt), k)
		switch same := cell.Known && core.Known && cell.Word == word; {
		case same && k < n:
			noted = append(noted, core.Number)
		case same:
			cores = append(cores, core.Number)
		case k >= n:
			return
		}
	}
	if slices.Max(cores)-slices.Min(cores) <= sameCore {
		return
	}
	if len(noted) > 0 {
		slices.Sort(noted)
		at.wrap = noted[len(noted)/2]
	}
	usual, ok := at.saves(w)
	if !ok || usual < leastSaved {
		return
	}
	for k, core := range cores {
		at.wrap = core
		saved, ok := at.saves(w)
		if !ok {
			return
		}
		d.columns[f.values[v].at][n+k] = math.Max(0, math.Min(saved/usual, mostSaved))
		f.cores[n+k] = core
	}
}

// Limits on what a wrap saves (chosen): below leastSaved, ln hours, the physics cannot say
// how much more an earlier wrap saves; mostSaved is in usual wraps.
const leastSaved, mostSaved = .02, 3.0

// sameCore is how far apart two readings of one core may be, K (chosen: a probe moved by a
// finger's width).
const sameCore = 3.0

// stallSpread is how far the cores at which pieces stall are from the simulated one, K
// (chosen: pieces stall between 65 and 77 °C; common practice, no source).
const stallSpread = 6.0

// saves returns how much less time the simulated cook takes wrapped than bare, ln hours,
// on average over pieces that stall at another core.
func (t trial) saves(w *model.Context) (ln float64, ok bool) {
	bare := t
	bare.kind = journal.NoWrap
	without, ok := bare.lnHours(w)
	for _, k := range []float64{-stallSpread, 0, stallSpread} {
		wrapped := t
		wrapped.wrap += k
		with, ended := wrapped.lnHours(w)
		ok = ok && ended
		ln += (without - with) / 3
	}
	return ln, ok
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
		if s.This.Word == s.Other.Word && f.cores[a] != f.cores[b] {
			s.Cores = [2]float64{f.cores[a], f.cores[b]}
		}
		s.Ln = t.post.Of(0, x)
		shares = append(shares, s)
	}
	return shares, t.post.Of(0, all)
}
