// Package chart describes a picture of numbers as data: curves, an expected range, marks
// and lanes along one axis, with scales to draw them by. Package cells draws a chart in
// a terminal, package svg on a web page.
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

// Chart is one picture: a plot of lines, and lanes below it on the same horizontal axis.
// Either may be empty. Values are in the unit that is printed.
type Chart struct {
	X        Axis
	From, To float64 // ends of the horizontal axis; nothing is drawn unless From < To
	YTitle   string  // what the vertical axis shows, with its unit: "°C"
	Lines    []Line  // later ones are drawn over earlier ones
	Apart    bool    // points are not joined
	Band     []Interval
	BandWord string // printed inside the band
	Rules    []Rule
	Spans    []Span
	Marks    []Mark  // on the horizontal axis
	Doubts   []Point // doubted readings: drawn as "?", at the edge if out of range
	Lanes    []Lane
}

// AxisKind says what the horizontal axis measures.
type AxisKind uint8

// The kinds of axis.
const (
	Clock  AxisKind = iota // hours since Zero; labels are times of day
	Number                 // labels are the numbers
	Bare                   // no labels
)

// Axis is the horizontal axis.
type Axis struct {
	Kind  AxisKind
	Zero  time.Time      // Clock: the time of x = 0
	Zone  *time.Location // Clock: zone of the labels; nil: that of Zero
	Units measure.System // Clock: US prints 12-hour times
	Title string         // Number: what it shows, with the unit
	Words []string       // Number: labels of 1, 2, 3 … instead of the numbers
}

// At returns the position of t on a clock axis: hours since Zero.
func (a Axis) At(t time.Time) float64 { return t.Sub(a.Zero).Hours() }

// Time returns the time at x on a clock axis.
func (a Axis) Time(x float64) time.Time {
	t := a.Zero.Add(time.Duration(x * float64(time.Hour)))
	if a.Zone != nil {
		t = t.In(a.Zone)
	}
	return t
}

// Kind says what a line shows.
type Kind uint8

// The kinds of line.
const (
	Main    Kind = iota // the core of the slowest piece
	Other               // the core of another piece
	Fire                // pit temperature
	Setting             // pit temperature wanted
)

// Line is one curve.
type Line struct {
	Name   string
	Kind   Kind
	Points []Point // ascending in X
}

// Point is one value.
type Point struct{ X, Y float64 }

// Interval is the expected range at X.
type Interval struct{ X, Low, High float64 }

// Mark is an event at X.
type Mark struct {
	X    float64
	Word string
}

// Rule is a vertical line over the whole height, with a word above it.
type Rule struct {
	X    float64
	Word string
	Now  bool // X is the present
}

// Span is a horizontal bracket from From to To at height Y.
type Span struct {
	From, To, Y float64
	Word        string
}

// Lane is one row below the plot, with its name to the left.
type Lane struct {
	Title string // printed above it; may be ""
	Name  string
	End   string // printed to the right of it
	Marks []Mark // a stroke; the word instead if there is one
	Bars  []Bar
	Dots  []Dot // dots at the same X are stacked
}

// Bar is a horizontal bar in a lane.
type Bar struct {
	From, To float64
	At       float64 // the likely value, marked with a dot; NaN: no dot
	Word     string  // printed left of the bar
	Thin     bool    // a range of values, not a duration
}

// Dot is one counted thing.
type Dot struct {
	X    float64
	Ring bool
	Word string // printed instead of the dot
}

// Range returns the ends of the vertical axis: the least and greatest value drawn,
// rounded outwards. ok is false if there is nothing to draw.
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

// At returns the value of a line at x, by linear interpolation; ok is false outside its
// points.
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

// BandAt returns the expected range at x; ok is false outside the band.
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

// XTicks returns the labelled positions of the horizontal axis: about most of them, or fewer.
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

// Label formats the number at a tick, with "−" as the minus sign.
func Label(v float64) string {
	return strings.Replace(strconv.FormatFloat(v+0, 'g', 6, 64), "-", "−", 1)
}

// Ticks returns round values from low to high, in steps of 1, 2 or 5 times a power of ten,
// no more than most. It returns nil if most < 2 or the range is empty.
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

// niceStep returns the least 1, 2 or 5 times a power of ten that is at least v.
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

// Hours returns full hours between from and to on the clock of zone, no more than most.
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

// Thin returns about most points, or fewer, that look the same when drawn: the least and
// the greatest of each stretch of the axis.
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
