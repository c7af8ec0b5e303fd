// Package baseline finds a person's usual values for a cut, and how one cook differs
// from them.
package baseline

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/report/frame"

	"gonum.org/v1/gonum/stat"
)

// Usual summarises one column over several cooks.
type Usual struct {
	Column frame.Column
	N      int     // number of cooks with a value; 0: the fields below are unset
	Median float64 // number columns: the median, in the unit of the column
	Low    float64 // 10th percentile; the least with fewer than RangeFrom cooks
	High   float64 // 90th percentile; the greatest with fewer than RangeFrom cooks
	Word   string  // word columns: the most frequent word
	Share  float64 // word columns: share of the N cooks that have Word, 0 to 1
}

// Like returns the finished cooks of the cut of c, without c.
func Like(c *journal.Cook, all []*frame.Cook) []*frame.Cook {
	var like []*frame.Cook
	for _, o := range all {
		if _, ok := o.Took(); ok && o.ID != c.ID && c.Cut != "" && strings.EqualFold(o.Cut, c.Cut) {
			like = append(like, o)
		}
	}
	return like
}

// MostCooked returns the cut with the most cooks; of equals, the first in the alphabet;
// "" if no cook has a cut.
func MostCooked(past []journal.Cook) string {
	n, best := map[string]int{}, ""
	for _, c := range past {
		if c.Cut == "" {
			continue
		}
		n[c.Cut]++
		if n[c.Cut] > n[best] || n[c.Cut] == n[best] && c.Cut < best {
			best = c.Cut
		}
	}
	return best
}

// Last returns the cook that came off last, or nil.
func Last(like []*frame.Cook) (last *frame.Cook) {
	var at time.Time
	for _, c := range like {
		if c.Off.After(at) {
			last, at = c, c.Off
		}
	}
	return last
}

// Of summarises a column over cooks. For a column with Unnoted set, a cook without a
// value counts as 0.
func Of(col frame.Column, cooks []*frame.Cook) Usual {
	u := Usual{Column: col}
	var numbers []float64
	words := map[string]int{}
	for _, c := range cooks {
		if v := c.Of(col); v.Known {
			u.N++
			numbers = append(numbers, v.Number)
			words[v.Word]++
		}
	}
	if u.N == 0 {
		return u
	}
	if col.Unnoted {
		numbers = append(numbers, make([]float64, len(cooks)-u.N)...)
		u.N = len(cooks)
	}
	if col.Kind == frame.Word {
		for w, n := range words {
			if n > words[u.Word] || n == words[u.Word] && w < u.Word {
				u.Word = w
			}
		}
		u.Share = float64(words[u.Word]) / float64(u.N)
		return u
	}
	slices.Sort(numbers)
	u.Median = median(numbers)
	u.Low, u.High = numbers[0], numbers[len(numbers)-1]
	if u.N >= RangeFrom {
		u.Low = stat.Quantile(.1, stat.LinInterp, numbers, nil)
		u.High = stat.Quantile(.9, stat.LinInterp, numbers, nil)
	}
	return u
}

// RangeFrom is the least number of cooks for which percentiles are used (chosen).
const RangeFrom = 5

func median(sorted []float64) float64 {
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// Difference compares a cook's value with the usual one.
type Difference struct {
	Usual
	This  frame.Value
	By    float64 // number columns: This minus Median
	Times float64 // number columns: size of By as a multiple of the usual spread; word columns: 2·Share
}

// Comparison compares a cook with one or more others.
type Comparison struct {
	Cook       *journal.Cook
	With       []*frame.Cook // the others
	Chosen     bool          // With is one cook chosen by the person
	Took       Difference    // time from on to off; Usual.N is 0 if unknown
	Differs    []Difference  // what was done differently, largest Times first
	Outcomes   []Difference  // results that differ, largest Times first
	Same       []string      // names of columns that do not differ
	Missing    []string      // columns noted in others, not in Cook
	Unrecorded []string      // columns noted in none
}

// Compare compares a cook with the person's other cooks of its cut.
func Compare(c *journal.Cook, all []*frame.Cook) Comparison { return compare(c, Like(c, all)) }

// Usual summarises a column over the other cooks.
func (cmpn *Comparison) Usual(col frame.Column) Usual { return Of(col, cmpn.With) }

// Against compares a cook with one other, of any cut.
func Against(c, other *journal.Cook) Comparison {
	cmpn := compare(c, []*frame.Cook{frame.Of(other)})
	cmpn.Chosen = true
	return cmpn
}

func compare(c *journal.Cook, like []*frame.Cook) Comparison {
	cmpn := Comparison{Cook: c, With: like}
	for _, col := range frame.Columns {
		d := difference(cmpn.Usual(col), c)
		switch {
		case col.Name == frame.Cut, col.Name == frame.WeightOn && len(c.Pieces) == 1: // same as the heaviest piece
		case col.Name == frame.OnToOff:
			cmpn.Took = d
		case d.This.Known && d.N == 0 || !d.This.Known && d.N > 0:
			if !d.This.Known && !col.Outcome {
				cmpn.Missing = append(cmpn.Missing, col.Name)
			}
		case !d.This.Known:
			cmpn.Unrecorded = append(cmpn.Unrecorded, col.Name)
		case !d.differs():
			cmpn.Same = append(cmpn.Same, col.Name)
		case col.Outcome:
			cmpn.Outcomes = append(cmpn.Outcomes, d)
		default:
			cmpn.Differs = append(cmpn.Differs, d)
		}
	}
	byUnusual := func(a, b Difference) int { return cmp.Compare(b.Times, a.Times) }
	slices.SortStableFunc(cmpn.Differs, byUnusual)
	slices.SortStableFunc(cmpn.Outcomes, byUnusual)
	return cmpn
}

func difference(usual Usual, c *journal.Cook) Difference {
	col := usual.Column
	d := Difference{Usual: usual, This: col.Of(c)}
	if col.Unnoted && d.N > 0 {
		d.This.Known = true
	}
	if col.Kind == frame.Word {
		d.Times = d.Share * 2
		return d
	}
	d.By = d.This.Number - d.Median
	d.Times = math.Abs(d.By) / max(col.Matters, (d.High-d.Low)/2)
	return d
}

// differs reports whether the difference is large enough to print.
func (d Difference) differs() bool {
	if d.Column.Kind == frame.Word {
		return d.Column.Name != frame.WentOnAt && !strings.EqualFold(d.This.Word, d.Word)
	}
	return math.Abs(d.By) >= d.Column.Matters-1e-9
}
