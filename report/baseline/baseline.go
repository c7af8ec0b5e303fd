// Package baseline says what a person's usual cook of a cut is like and what a cook
// did differently.
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

// Usual is one column over a person's finished cooks of a cut.
type Usual struct {
	Column frame.Column
	N      int     // cooks that recorded it
	Median float64 // numbers: in the unit of the column
	Low    float64 // tenth percentile; equal to High with fewer than 5 cooks: the extremes are given instead
	High   float64 // ninetieth percentile
	Word   string  // words: the most frequent
	Share  float64 // words: how much of N has it
}

// Like returns the finished cooks of the same cut, the cook itself left out.
func Like(c *journal.Cook, all []*frame.Cook) []*frame.Cook {
	var like []*frame.Cook
	for _, o := range all {
		if _, ok := o.Took(); ok && o.ID != c.ID && c.Cut != "" && strings.EqualFold(o.Cut, c.Cut) {
			like = append(like, o)
		}
	}
	return like
}

// MostCooked is the cut of most cooks; of two as frequent, the first in the alphabet.
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

// Last is the cook that was off last; nil where there is none.
func Last(like []*frame.Cook) (last *frame.Cook) {
	var at time.Time
	for _, c := range like {
		if c.Off.After(at) {
			last, at = c, c.Off
		}
	}
	return last
}

// Of returns the usual value of a column; N is 0 where no cook recorded it. Of an
// act left out where it was not done, those that do not note it count as none.
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

// RangeFrom is the number of cooks from which percentiles are told instead of
// the extremes (chosen).
const RangeFrom = 5

func median(sorted []float64) float64 {
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// Difference is one way in which a cook was not the usual one.
type Difference struct {
	Usual
	This  frame.Value
	By    float64 // numbers: this minus the median
	Times float64 // |By| over what is usual to vary; orders the list
}

// Comparison is a cook against the person's usual.
type Comparison struct {
	Cook       *journal.Cook
	With       []*frame.Cook // compared with
	Chosen     bool          // it is one cook, chosen; not the usual ones of the cut
	Took       Difference    // on to off; Usual.N is 0 where unknown
	Differs    []Difference  // what was done, most unusual first
	Outcomes   []Difference  // what came of it
	Same       []string      // names of what was as usual
	Missing    []string      // recorded in other cooks, not in this one
	Unrecorded []string      // not known for any
}

// Compare sets a cook against the person's other cooks of its cut.
func Compare(c *journal.Cook, all []*frame.Cook) Comparison { return compare(c, Like(c, all)) }

// Usual returns what a column is over the cooks compared with.
func (cmpn *Comparison) Usual(col frame.Column) Usual { return Of(col, cmpn.With) }

// Against sets a cook against one other, of whatever cut.
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
		case col.Name == frame.Cut, col.Name == frame.WeightOn && len(c.Pieces) == 1: // the heaviest piece says it
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

// differs reports a difference large enough to be worth a line.
func (d Difference) differs() bool {
	if d.Column.Kind == frame.Word {
		return d.Column.Name != frame.WentOnAt && !strings.EqualFold(d.This.Word, d.Word)
	}
	return math.Abs(d.By) >= d.Column.Matters-1e-9
}
