package curve

import (
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/chart"
)

// Curve is what the chart of a running cook is drawn from.
type Curve struct {
	Cook  *journal.Cook
	Units measure.System
	Zone  *time.Location
	Now   time.Time
	Off   time.Time         // the last piece off; zero while one is on
	Late  time.Time         // expected off at the latest; zero: not known
	Band  []chart.Interval  // expected core of the slowest piece, °C
	Pit   []journal.Reading // °C
	Cores []Core            // later ones are drawn over earlier ones
}

// Core is the course of one piece.
type Core struct {
	Name     string
	Kind     chart.Kind
	Readings []journal.Reading // °C
}

// shownPoints is how many points of a line are kept for drawing: two for each
// column of the widest screen.
const shownPoints = 600

// Chart is the picture: from when the first piece went on, or the fire was lit,
// to a little after the last piece is expected off.
func (v Curve) Chart() chart.Chart {
	ch := chart.Chart{Now: v.Now, Zone: v.Zone}
	from, ok := v.Cook.OnAt()
	if !ok {
		from, ok = v.Cook.First(journal.Lit)
	}
	if !ok {
		return ch
	}
	ch.From, ch.To, ch.Band = from, v.end(from), v.band(from)
	line := func(name string, kind chart.Kind, points []chart.Point) {
		if len(points) > 0 {
			ch.Lines = append(ch.Lines, chart.Line{Name: name, Kind: kind, Points: chart.Thin(points, shownPoints)})
		}
	}
	line("setting", chart.Setting, v.setting(ch.From, ch.To))
	line("pit", chart.Fire, v.points(v.Pit))
	for _, c := range v.Cores {
		line(c.Name, c.Kind, v.points(c.Readings))
	}
	for _, e := range v.Cook.Entries {
		for _, it := range e.Items {
			if !e.Time.After(v.Now) && !it.Act.TakesTemperature() && it.Act != journal.Recheck && it.Act != journal.Lit && it.Act != journal.Settled {
				ch.Marks = append(ch.Marks, chart.Mark{Time: e.Time, Word: it.Act.Word()})
			}
		}
	}
	return ch
}

// Foresee puts another forecast, that of v, into a chart drawn before, without
// going through the readings again.
func (v Curve) Foresee(ch chart.Chart) chart.Chart {
	if ch.From.IsZero() {
		return ch
	}
	v.Now = ch.Now
	ch.To, ch.Band = v.end(ch.From), v.band(ch.From)
	for _, l := range ch.Lines {
		if n := len(l.Points); l.Kind == chart.Setting && n > 0 {
			l.Points[n-1].Time = ch.To
		}
	}
	return ch
}

func (v Curve) show(celsius float64) float64 {
	return measure.Degrees(0, v.Units).Unit.From(celsius)
}

func (v Curve) points(readings []journal.Reading) []chart.Point {
	points := make([]chart.Point, 0, len(readings))
	for _, r := range readings {
		if !r.Time.After(v.Now) {
			points = append(points, chart.Point{Time: r.Time, Value: v.show(r.C)})
		}
	}
	return points
}

// afterLate is what is shown beyond the late end of a forecast.
const afterLate = 30 * time.Minute

// end is a little after the last piece is expected off, or is off.
func (v Curve) end(from time.Time) time.Time {
	end := v.Now.Add(max(time.Hour, v.Now.Sub(from)/6))
	switch late := v.Late.Add(afterLate); {
	case !v.Off.IsZero():
		return v.Now.Add(time.Minute)
	case late.After(end):
		return late
	}
	return end
}

func (v Curve) band(from time.Time) []chart.Interval {
	var all []chart.Interval
	for _, b := range v.Band {
		if !b.Time.Before(from) {
			all = append(all, chart.Interval{Time: b.Time, Low: v.show(b.Low), High: v.show(b.High)})
		}
	}
	return all
}

// setting is where the pit was to stand, in steps; the last one holds.
func (v Curve) setting(from, to time.Time) []chart.Point {
	var points []chart.Point
	step := func(t time.Time) {
		aim, ok := v.Cook.AimPit(t)
		if !ok {
			return
		}
		if n := len(points); n > 0 {
			points = append(points, chart.Point{Time: t, Value: points[n-1].Value})
		}
		points = append(points, chart.Point{Time: t, Value: v.show(aim)})
	}
	step(from)
	for _, e := range v.Cook.Entries {
		if _, ok := e.Item(journal.SetPit); ok && e.Time.After(from) && !e.Time.After(v.Now) {
			step(e.Time)
		}
	}
	if n := len(points); n > 0 {
		points = append(points, chart.Point{Time: to, Value: points[n-1].Value})
	}
	return points
}
