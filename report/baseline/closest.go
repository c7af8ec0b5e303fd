package baseline

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/report/frame"
)

// alike lists the columns by which the similarity of two cooks is measured. For numbers
// it has the difference that counts as one step; two different words count as one step
// (chosen: what a person would name first).
var alike = map[string]float64{
	frame.HeaviestPiece: 1, frame.Pieces: 1, frame.ThickestPiece: .03, frame.Pit: 0, frame.PitAim: 8, frame.Wrap: 0, frame.WaterPan: 0,
}

// Closest returns up to n finished cooks of the same cut, the most similar set-up first.
// A value noted in only one of the two counts as half a step.
func Closest(c *journal.Cook, all []*frame.Cook, n int) []*frame.Cook {
	like := Like(c, all)
	far := make(map[*frame.Cook]float64, len(like))
	for _, o := range like {
		for _, col := range frame.Columns {
			if step, ok := alike[col.Name]; ok {
				far[o] += apart(col, step, wanted(col, c), o.Of(col))
			}
		}
	}
	slices.SortStableFunc(like, func(a, b *frame.Cook) int {
		return cmp.Or(cmp.Compare(far[a], far[b]), b.Date.Compare(a.Date))
	})
	return like[:min(n, len(like))]
}

func apart(col frame.Column, step float64, x, y frame.Value) float64 {
	switch {
	case !x.Known && !y.Known:
		return 0
	case !x.Known || !y.Known:
		return .5
	case col.Kind != frame.Word:
		return math.Abs(x.Number-y.Number) / step
	case strings.EqualFold(x.Word, y.Word):
		return 0
	}
	return 1
}

// wanted returns the value of a column for c; for a wrap not yet put on, the planned one.
func wanted(col frame.Column, c *journal.Cook) frame.Value {
	v := col.Of(c)
	if col.Name == frame.Wrap && !v.Known && c.Aim.Wrap.Kind != journal.NoWrap {
		return frame.Value{Word: string(c.Aim.Wrap.Kind), Known: true}
	}
	return v
}
