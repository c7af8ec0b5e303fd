// Package curve prepares the chart of a running cook: it thins a probe series as it
// grows.
package curve

import (
	"math"
	"slices"
	"time"

	"ashbook/journal"
)

// Thinned is a probe series with one row a minute, which is enough for the chart and
// the words about it. When the series grows, only its new rows are processed, so that a
// night of rows each second costs no more at its end than at its start.
type Thinned struct {
	whole journal.Series // finished minutes; each column has its last value of the minute
	taken int            // number of the series' rows that are in whole
	first time.Time      // time of the series' first row
	last  time.Time      // time of the last row processed
}

// thinRow is the time between two rows kept.
const thinRow = time.Minute

// Grow returns t with the new rows of s. t itself does not change.
func (t Thinned) Grow(s journal.Series) Thinned {
	if !t.begins(s) {
		t = Thinned{whole: journal.Series{Cores: make([]journal.CoreSeries, len(s.Cores))}}
		for i, c := range s.Cores {
			t.whole.Cores[i].Piece = c.Piece
		}
		if len(s.Times) > 0 {
			t.first = s.Times[0]
		}
	}
	t.whole = clip(t.whole)
	for {
		end := minuteEnd(s.Times, t.taken)
		if end == len(s.Times) {
			return t // the minute has not ended
		}
		t.whole = addRow(t.whole, s, t.taken, end)
		t.taken, t.last = end, s.Times[end-1]
	}
}

// begins reports whether s is the series processed so far, or has grown from it.
func (t Thinned) begins(s journal.Series) bool {
	same := slices.EqualFunc(t.whole.Cores, s.Cores, func(a, b journal.CoreSeries) bool { return a.Piece == b.Piece })
	return t.taken > 0 && same && len(s.Times) >= t.taken && s.Times[0].Equal(t.first) && s.Times[t.taken-1].Equal(t.last) && (t.whole.Pit != nil) == (s.Pit != nil)
}

// Series returns the thinned series with the new rows of s added.
func (t Thinned) Series(s journal.Series) journal.Series {
	out := clip(t.whole)
	if t.taken < len(s.Times) {
		out = addRow(out, s, t.taken, len(s.Times))
	}
	return out
}

// minuteEnd returns the index after the last row in the minute of row from.
func minuteEnd(times []time.Time, from int) int {
	i := from
	for i < len(times) && times[i].Sub(times[from]) < thinRow {
		i++
	}
	return i
}

// addRow adds one row for the rows from up to end.
func addRow(to, s journal.Series, from, end int) journal.Series {
	last := func(values []float64) float64 {
		for i := min(end, len(values)) - 1; i >= from; i-- {
			if !math.IsNaN(values[i]) {
				return values[i]
			}
		}
		return math.NaN()
	}
	to.Times = append(to.Times, s.Times[end-1])
	if s.Pit != nil {
		to.Pit = append(to.Pit, last(s.Pit))
	}
	for i, c := range s.Cores {
		to.Cores[i].C = append(to.Cores[i].C, last(c.C))
	}
	return to
}

// clip limits the capacity of a series, so that appending to it copies its rows.
func clip(s journal.Series) journal.Series {
	s.Times, s.Pit, s.Cores = slices.Clip(s.Times), slices.Clip(s.Pit), slices.Clone(s.Cores)
	for i := range s.Cores {
		s.Cores[i].C = slices.Clip(s.Cores[i].C)
	}
	return s
}
