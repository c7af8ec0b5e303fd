// Package course makes the chart of one cook: for the screen of a running cook and the
// page of a finished one.
package course

import (
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/chart"
)

// Course holds the data from which the chart of a cook is drawn.
type Course struct {
	Cook  *journal.Cook
	Units measure.System
	Zone  *time.Location
	Now   time.Time
	Off   time.Time         // when the last piece came off; zero: not yet
	Late  time.Time         // late end of the forecast; zero: no forecast
	Band  []Expected        // expected core of the slowest piece
	Pit   []journal.Reading // °C
	Cores []Core            // later ones are drawn over earlier ones
}

// Expected is the expected range of a core at a time, °C.
type Expected struct {
	Time      time.Time
	Low, High float64
}

// Core holds the readings of one piece.
type Core struct {
	Name     string
	Kind     chart.Kind
	Readings []journal.Reading // °C
}

// shownPoints is the greatest number of points of a line: two for each column of the
// widest screen.
const shownPoints = 600

// Chart returns the chart from when the first piece went on, or the fire was lit if none
// has, to a little after the late end of the forecast. It is empty before that.
func (v Course) Chart() chart.Chart {
	var ch chart.Chart
	from, ok := v.Cook.OnAt()
	if !ok {
		from, ok = v.Cook.First(journal.Lit)
	}
	if !ok {
		return ch
	}
	ch.X = chart.Axis{Zero: from, Zone: v.Zone, Units: v.Units}
	ch.To, ch.Band = ch.X.At(v.end(from)), v.band(ch.X)
	ch.Rules = []chart.Rule{{X: ch.X.At(v.Now), Now: true}}
	line := func(name string, kind chart.Kind, points []chart.Point) {
		if len(points) > 0 {
			ch.Lines = append(ch.Lines, chart.Line{Name: name, Kind: kind, Points: chart.Thin(points, shownPoints)})
		}
	}
	line("setting", chart.Setting, v.setting(ch.X, ch.To))
	line("pit", chart.Fire, v.points(ch.X, v.Pit))
	for _, c := range v.Cores {
		line(c.Name, c.Kind, v.points(ch.X, c.Readings))
	}
	for _, d := range v.Cook.Doubts() {
		if e := v.Cook.Entries[d.Entry]; !e.Time.After(v.Now) && e.Items[d.Item].Temp.Known {
			ch.Doubts = append(ch.Doubts, chart.Point{X: ch.X.At(e.Time), Y: v.show(e.Items[d.Item].Temp.Base)})
		}
	}
	for _, e := range v.Cook.Entries {
		for _, it := range e.Items {
			if !e.Time.After(v.Now) && !it.Act.TakesTemperature() && it.Act != journal.Recheck && it.Act != journal.Lit && it.Act != journal.Settled {
				ch.Marks = append(ch.Marks, chart.Mark{X: ch.X.At(e.Time), Word: it.Act.Word()})
			}
		}
	}
	return ch
}

// Foresee puts the forecast of v into ch, a chart of the same cook, without reading the
// readings again.
func (v Course) Foresee(ch chart.Chart) chart.Chart {
	if ch.From >= ch.To {
		return ch
	}
	v.Now = ch.X.Time(ch.Rules[0].X)
	ch.To, ch.Band = ch.X.At(v.end(ch.X.Zero)), v.band(ch.X)
	for _, l := range ch.Lines {
		if n := len(l.Points); l.Kind == chart.Setting && n > 0 {
			l.Points[n-1].X = ch.To
		}
	}
	return ch
}

func (v Course) show(celsius float64) float64 {
	return measure.Degrees(0, v.Units).Unit.From(celsius)
}

func (v Course) points(x chart.Axis, readings []journal.Reading) []chart.Point {
	points := make([]chart.Point, 0, len(readings))
	for _, r := range readings {
		if !r.Time.After(v.Now) {
			points = append(points, chart.Point{X: x.At(r.Time), Y: v.show(r.C)})
		}
	}
	return points
}

// afterLate is how much is drawn after the late end of a forecast.
const afterLate = 30 * time.Minute

// end returns the right end of the chart: one minute after now for a finished cook, else a
// little after the late end of the forecast, at least one hour from now.
func (v Course) end(from time.Time) time.Time {
	end := v.Now.Add(max(time.Hour, v.Now.Sub(from)/6))
	switch late := v.Late.Add(afterLate); {
	case !v.Off.IsZero():
		return v.Now.Add(time.Minute)
	case late.After(end):
		return late
	}
	return end
}

func (v Course) band(x chart.Axis) []chart.Interval {
	var all []chart.Interval
	for _, b := range v.Band {
		if !b.Time.Before(x.Zero) {
			all = append(all, chart.Interval{X: x.At(b.Time), Low: v.show(b.Low), High: v.show(b.High)})
		}
	}
	return all
}

// setting returns the pit setting as a step function, up to x = to.
func (v Course) setting(x chart.Axis, to float64) []chart.Point {
	var points []chart.Point
	step := func(t time.Time) {
		aim, ok := v.Cook.AimPit(t)
		if !ok {
			return
		}
		if n := len(points); n > 0 {
			points = append(points, chart.Point{X: x.At(t), Y: points[n-1].Y})
		}
		points = append(points, chart.Point{X: x.At(t), Y: v.show(aim)})
	}
	step(x.Zero)
	for _, e := range v.Cook.Entries {
		if _, ok := e.Item(journal.SetPit); ok && e.Time.After(x.Zero) && !e.Time.After(v.Now) {
			step(e.Time)
		}
	}
	if n := len(points); n > 0 {
		points = append(points, chart.Point{X: to, Y: points[n-1].Y})
	}
	return points
}
