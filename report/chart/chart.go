// Package chart holds a picture of numbers as data: lines, an expected band,
// marks, brackets and lanes over one axis, and the scales to draw them by. The
// packages below it draw the same chart in cells or on a page.
package chart

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// Chart is one picture: a field of lines over an axis, and lanes below it on the
// same axis. Either may be empty. Values are in the reader's own unit.
type Chart struct {
	X        Axis
	From, To float64 // of the axis; nothing is drawn unless From < To
	YTitle   string  // what the field shows, with its unit: "°C"
	Lines    []Line  // later ones are drawn over earlier ones
	Apart    bool    // the points of the lines are not joined
	Band     []Interval
	BandWord string // written in the band
	Rules    []Rule
	Spans    []Span
	Marks    []Mark  // on the axis
	Doubts   []Point // read but not believed: a question mark, at the edge where it is beyond
	Lanes    []Lane
}

// AxisKind says what the numbers on an axis are.
type AxisKind uint8

// The kinds of axis.
const (
	Clock  AxisKind = iota // hours since Zero, labelled with the time of day
	Number                 // labelled with the numbers
	Bare                   // not labelled
)

// Axis is what runs from left to right.
type Axis struct {
	Kind  AxisKind
	Zero  time.Time      // Clock: the moment that 0 stands for
	Zone  *time.Location // Clock: whose time of day; nil: that of Zero
	Units measure.System // Clock: US for twelve hours
	Title string         // Number: what the numbers are, with the unit
	Words []string       // Number: labels of 1, 2, 3 … in place of the numbers
}

// At returns where t is on a clock axis: hours since Zero.
func (a Axis) At(t time.Time) float64 { return t.Sub(a.Zero).Hours() }

// Time returns the moment at x on a clock axis.
func (a Axis) Time(x float64) time.Time {
	t := a.Zero.Add(time.Duration(x * float64(time.Hour)))
	if a.Zone != nil {
		t = t.In(a.Zone)
	}
	return t
}

// Kind is what a line stands for.
type Kind uint8

// The kinds of line.
const (
	Main    Kind = iota // the core of the slowest piece
	Other               // the core of another piece
	Fire                // the pit
	Setting             // where the pit is to be
)

// Line is one curve.
type Line struct {
	Name   string
	Kind   Kind
	Points []Point // ascending in X
}

// Point is one reading.
type Point struct{ X, Y float64 }

// Interval is the range expected at X.
type Interval struct{ X, Low, High float64 }

// Mark is something done at X.
type Mark struct {
	X    float64
	Word string
}

// Rule is a line from top to bottom, with its word above it.
type Rule struct {
	X    float64
	Word string
	Now  bool // it stands for the present
}

// Span is a bracket in the field, from one X to another at height Y.
type Span struct {
	From, To, Y float64
	Word        string
}

// Lane is one row below the field, with its name to the left.
type Lane struct {
	Title string // written above it
	Name  string
	End   string // to the right of it
	Marks []Mark // a stroke, or the word where there is one
	Bars  []Bar
	Dots  []Dot // those at one X are on each other
}

// Bar is a stretch of a lane.
type Bar struct {
	From, To float64
	At       float64 // the likeliest, marked with a dot; NaN: not marked
	Word     string  // left of the bar
	Thin     bool    // a range, not something that lasted
}

// Dot is one thing counted.
type Dot struct {
	X    float64
	Ring bool
	Word string // drawn in place of the dot
}

// Range returns the least and greatest value drawn, rounded outwards;
// ok is false when there is nothing to draw.
func (c Chart) Range() (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	see := func(v float64) { low, high = min(low, v), max(high, v) }
	for _, l := range c.Lines {
		for _, p := range l.Points {
			if p.X >= c.From && p.X <= c.To {
				see(p.Y)
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

// At returns the value of a line at x, straight between its points; ok is
// false outside them.
func (l Line) At(x float64) (y float64, ok bool) {
	i, found := slices.BinarySearchFunc(l.Points, x, func(p Point, x float64) int { return cmp.Compare(p.X, x) })
	switch {
	case found:
		return l.Points[i].Y, true
	case i == 0 || i == len(l.Points):
		return 0, false
	}
	a, b := l.Points[i-1], l.Points[i]
	return between(a.X, b.X, x, a.Y, b.Y), true
}

// BandAt returns the expected range at x.
func (c Chart) BandAt(x float64) (low, high float64, ok bool) {
	i, found := slices.BinarySearchFunc(c.Band, x, func(b Interval, x float64) int { return cmp.Compare(b.X, x) })
	switch {
	case found:
		return c.Band[i].Low, c.Band[i].High, true
	case i == 0 || i == len(c.Band):
		return 0, 0, false
	}
	a, b := c.Band[i-1], c.Band[i]
	return between(a.X, b.X, x, a.Low, b.Low), between(a.X, b.X, x, a.High, b.High), true
}

func between(a, b, x, va, vb float64) float64 { return va + (vb-va)*(x-a)/(b-a) }

// Tick is a labelled place on an axis.
type Tick struct {
	X     float64
	Label string
}

// XTicks returns the labelled places of the axis, at most about as many as wanted.
func (c Chart) XTicks(most int) []Tick {
	var out []Tick
	switch {
	case c.X.Kind == Bare:
	case c.X.Kind == Clock:
		for _, t := range Hours(c.X.Time(c.From), c.X.Time(c.To), c.X.Zone, most) {
			out = append(out, Tick{c.X.At(t), measure.FormatTime(t, measure.Clock, c.X.Units)})
		}
	case len(c.X.Words) > 0:
		for i, w := range c.X.Words {
			if x := float64(i + 1); x >= c.From && x <= c.To {
				out = append(out, Tick{x, w})
			}
		}
	default:
		for _, v := range Ticks(c.From, c.To, most) {
			out = append(out, Tick{v, Label(v)})
		}
	}
	return out
}

// Label writes the number at a tick, with a minus sign that is one.
func Label(v float64) string {
	return strings.Replace(strconv.FormatFloat(v+0, 'g', 6, 64), "-", "−", 1)
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
// stretch of the axis the least and the greatest.
func Thin(points []Point, most int) []Point {
	if len(points) <= most || most < 4 {
		return points
	}
	first, last := points[0].X, points[len(points)-1].X
	stretch := math.Nextafter((last-first)/float64(most/2), math.Inf(1))
	out := make([]Point, 0, most+2)
	for i := 0; i < len(points); {
		end := points[i].X + stretch
		low, high := points[i], points[i]
		for ; i < len(points) && points[i].X < end; i++ {
			if points[i].Y < low.Y {
				low = points[i]
			}
			if points[i].Y > high.Y {
				high = points[i]
			}
		}
		pair := []Point{low, high}
		slices.SortFunc(pair, func(a, b Point) int { return cmp.Compare(a.X, b.X) })
		if low == high {
			pair = pair[:1]
		}
		out = append(out, pair...)
	}
	return out
}
