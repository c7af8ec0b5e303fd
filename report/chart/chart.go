// Package chart holds a temperature curve as data: lines, an expected band,
// marks on the time axis, and the scales to draw them by. The packages below
// it draw the same chart in cells or on a page.
package chart

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// Chart is one picture. Values are in the reader's own unit.
type Chart struct {
	From, To time.Time // the time axis; nothing is drawn unless From is before To
	Now      time.Time // zero: no line for now
	Zone     *time.Location
	Lines    []Line // later ones are drawn over earlier ones
	Band     []Interval
	Marks    []Mark
}

// Kind is what a line stands for.
type Kind uint8

// The kinds of line.
const (
	Main    Kind = iota // the core of the slowest piece
	Other               // the core of another piece
	Fire                // the pit
	Setting             // where the pit is to stand
)

// Line is one curve.
type Line struct {
	Name   string
	Kind   Kind
	Points []Point // ascending in time
}

// Point is one reading.
type Point struct {
	Time  time.Time
	Value float64
}

// Interval is a range expected at one moment.
type Interval struct {
	Time      time.Time
	Low, High float64
}

// Mark is something done, on the time axis.
type Mark struct {
	Time time.Time
	Word string
}

// Range returns the least and greatest value drawn, rounded outwards;
// ok is false when there is nothing to draw.
func (c Chart) Range() (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	see := func(v float64) { low, high = min(low, v), max(high, v) }
	for _, l := range c.Lines {
		for _, p := range l.Points {
			if !p.Time.Before(c.From) && !p.Time.After(c.To) {
				see(p.Value)
			}
		}
	}
	for _, b := range c.Band {
		see(b.Low)
		see(b.High)
	}
	if low > high {
		return 0, 0, false
	}
	step := niceStep((high - low) / 12)
	low, high = math.Floor(low/step)*step, math.Ceil(high/step)*step
	if low == high {
		high += step
	}
	return low, high, true
}

// At returns the value of a line at t, straight between its points; ok is
// false outside them.
func (l Line) At(t time.Time) (v float64, ok bool) {
	i, found := slices.BinarySearchFunc(l.Points, t, func(p Point, t time.Time) int { return p.Time.Compare(t) })
	switch {
	case found:
		return l.Points[i].Value, true
	case i == 0 || i == len(l.Points):
		return 0, false
	}
	a, b := l.Points[i-1], l.Points[i]
	return between(a.Time, b.Time, t, a.Value, b.Value), true
}

// BandAt returns the expected range at t.
func (c Chart) BandAt(t time.Time) (low, high float64, ok bool) {
	i, found := slices.BinarySearchFunc(c.Band, t, func(b Interval, t time.Time) int { return b.Time.Compare(t) })
	switch {
	case found:
		return c.Band[i].Low, c.Band[i].High, true
	case i == 0 || i == len(c.Band):
		return 0, 0, false
	}
	a, b := c.Band[i-1], c.Band[i]
	return between(a.Time, b.Time, t, a.Low, b.Low), between(a.Time, b.Time, t, a.High, b.High), true
}

func between(a, b, t time.Time, va, vb float64) float64 {
	return va + (vb-va)*float64(t.Sub(a))/float64(b.Sub(a))
}

// Ticks returns round values from low to high, at most as many as wanted, at
// least the ends of the range in steps of 1, 2 or 5 times a power of ten.
func Ticks(low, high float64, most int) []float64 {
	if !(low < high) || most < 2 || math.IsInf(high-low, 0) {
		return nil
	}
	step := niceStep((high - low) / float64(most-1))
	var all []float64
	for k := math.Ceil(low/step - 1e-9); k*step <= high+1e-9*step; k++ {
		all = append(all, k*step+0)
	}
	return all
}

// niceStep returns the smallest of 1, 2, 5 times a power of ten that is not
// under v.
func niceStep(v float64) float64 {
	if !(v > 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5, 10} {
		if v <= m*p*(1+1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// Hours returns the full hours between from and to, on the clock of zone, far
// enough apart that there are at most as many as wanted.
func Hours(from, to time.Time, zone *time.Location, most int) []time.Time {
	if most < 1 || !from.Before(to) {
		return nil
	}
	if zone == nil {
		zone = from.Location()
	}
	for _, step := range []int{1, 2, 3, 4, 6, 12, 24} {
		var all []time.Time
		for t := from.In(zone).Truncate(time.Minute); !t.After(to); {
			if t.Minute() == 0 && t.Hour()%step == 0 && !t.Before(from) {
				all = append(all, t)
			}
			t = t.Add(time.Duration(60-t.Minute()) * time.Minute)
			if len(all) > most {
				break
			}
		}
		if len(all) <= most {
			return all
		}
	}
	return nil
}

// Thin returns at most about most points that look like all of them: of each
// stretch of time the least and the greatest.
func Thin(points []Point, most int) []Point {
	if len(points) <= most || most < 4 {
		return points
	}
	first, last := points[0].Time, points[len(points)-1].Time
	stretch := last.Sub(first)/time.Duration(most/2) + 1
	out := make([]Point, 0, most+2)
	for i := 0; i < len(points); {
		end := points[i].Time.Add(stretch)
		low, high := points[i], points[i]
		for ; i < len(points) && points[i].Time.Before(end); i++ {
			if points[i].Value < low.Value {
				low = points[i]
			}
			if points[i].Value > high.Value {
				high = points[i]
			}
		}
		pair := []Point{low, high}
		slices.SortFunc(pair, func(a, b Point) int { return cmp.Compare(a.Time.UnixNano(), b.Time.UnixNano()) })
		if low == high {
			pair = pair[:1]
		}
		out = append(out, pair...)
	}
	return out
}
