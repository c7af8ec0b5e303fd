package watch

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/chart"
	"ashbook/report/frame"
	"ashbook/tui/box"
	"ashbook/tui/port"
)

// state is everything shown of a cook, worked out once when it is loaded, so
// that drawing costs the same for three notes and for a probe of a day.
type state struct {
	port.Cook
	Forecast port.Forecast
	zone     *time.Location
	units    measure.System
	status   journal.Status
	on       bool // something is on the grate

	pit     reading
	aimPit  string // the setting, or ""
	aimCore string // the core wanted, or ""
	cores   []core // of all pieces, in the order of the file
	slowest int    // in cores
	check   journal.Check
	owed    bool // check is set
	done    journal.Entry
	acted   bool      // done is set
	off     time.Time // the last piece off; zero while one is on
	chart   chart.Chart
}

// reading is the last of a run of readings, and how fast it moves.
type reading struct {
	c      float64
	at     time.Time // zero: none
	rate   float64   // K per hour
	moving bool      // rate is known
}

// core is one piece.
type core struct {
	reading
	piece string
	off   bool
	stall time.Duration // so far; 0: it does not stall
}

// reckon works out the state of a cook as it was at now, expected to go as f says.
func reckon(l port.Loaded, f port.Forecast) *state {
	c, now := l.Cook.Cook, l.Now
	s := &state{Cook: l.Cook, Forecast: f, zone: zone(l.Cook, now), units: l.Cook.Settings.Units, status: c.Status(now)}
	s.on = s.status.Stage >= journal.Settling && s.status.Stage < journal.TakenOff
	pit := c.PitReadings()
	s.pit = lastOf(pit, now)
	if aim, ok := c.AimPit(now); ok {
		s.aimPit = measure.FormatTemperature(aim, s.units)
	}
	if aim, ok := c.AimCore(now); ok {
		s.aimCore = measure.FormatTemperature(aim, s.units)
	}
	cores := make([][]journal.Reading, max(1, len(c.Pieces)))
	for i := range cores {
		cores[i] = c.CoreReadings(i)
		p := core{reading: lastOf(cores[i], now)}
		if i < len(c.Pieces) {
			p.piece = c.Pieces[i].Name
		}
		st := c.PieceStatus(i, now)
		p.off = st.Stage >= journal.TakenOff
		if st.Stalling {
			_, p.stall, _ = c.Stall(i, now)
		}
		s.cores = append(s.cores, p)
	}
	s.slowest = slowest(s.cores)
	s.check, s.owed = c.NextCheck(now, s.Settings)
	s.done, s.acted = c.LastDone(now)
	if off, ok := c.Finish(); ok && !off.After(now) {
		s.off = off
	}
	s.chart = s.curve(now, pit, cores)
	return s
}

// zone is where the cook's clock hangs: as the port says, else as its entries
// or its serving hour were written.
func zone(c port.Cook, now time.Time) *time.Location {
	switch last, ok := c.Cook.LastEntry(); {
	case c.Zone != nil:
		return c.Zone
	case ok:
		return last.Location()
	case !c.Cook.Serve.IsZero():
		return c.Cook.Serve.Location()
	}
	return now.Location()
}

func lastOf(rs []journal.Reading, now time.Time) reading {
	last, ok := journal.Last(rs, now)
	if !ok {
		return reading{}
	}
	r := reading{c: last.C, at: last.Time}
	r.rate, r.moving = journal.PerHour(rs, now)
	return r
}

// slowest picks the coldest piece still on; a piece without readings counts
// only when none has any.
func slowest(cores []core) int {
	best := 0
	for i, p := range cores {
		b := cores[best]
		switch {
		case p.off != b.off:
			if b.off {
				best = i
			}
		case p.at.IsZero():
		case b.at.IsZero() || p.c < b.c:
			best = i
		}
	}
	return best
}

// shownPoints is how many points of a line are kept for drawing: two for each
// column of the widest screen.
const shownPoints = 600

// curve makes the chart: from when the first piece went on, or the fire was
// lit, to a little after the last piece is expected off.
func (s *state) curve(now time.Time, pit []journal.Reading, cores [][]journal.Reading) chart.Chart {
	c := s.Cook.Cook
	ch := chart.Chart{Now: now, Zone: s.zone}
	from, ok := c.OnAt()
	if !ok {
		from, ok = c.First(journal.Lit)
	}
	if !ok {
		return ch
	}
	ch.From, ch.To = from, now.Add(max(time.Hour, now.Sub(from)/6))
	if end := s.Forecast.Late.Add(30 * time.Minute); end.After(ch.To) && !s.Forecast.Late.IsZero() {
		ch.To = end
	}
	if !s.off.IsZero() {
		ch.To = now.Add(time.Minute)
	}
	show := measure.Degrees(0, s.units).Unit.From
	line := func(name string, kind chart.Kind, rs []journal.Reading) {
		points := make([]chart.Point, 0, len(rs))
		for _, r := range rs {
			if !r.Time.After(now) {
				points = append(points, chart.Point{Time: r.Time, Value: show(r.C)})
			}
		}
		if len(points) > 0 {
			ch.Lines = append(ch.Lines, chart.Line{Name: name, Kind: kind, Points: chart.Thin(points, shownPoints)})
		}
	}
	if points := setting(c, now, ch.From, ch.To); len(points) > 0 {
		for i := range points {
			points[i].Value = show(points[i].Value)
		}
		ch.Lines = append(ch.Lines, chart.Line{Name: "setting", Kind: chart.Setting, Points: points})
	}
	line("pit", chart.Fire, pit)
	for i := range cores {
		if i != s.slowest {
			line(s.cores[i].piece, chart.Other, cores[i])
		}
	}
	line(s.cores[s.slowest].piece, chart.Main, cores[s.slowest])
	for _, b := range s.Forecast.Band {
		if !b.Time.Before(from) {
			ch.Band = append(ch.Band, chart.Interval{Time: b.Time, Low: show(b.Low), High: show(b.High)})
		}
	}
	for _, e := range c.Entries {
		for _, it := range e.Items {
			if !e.Time.After(now) && !it.Act.TakesTemperature() && it.Act != journal.Recheck && it.Act != journal.Lit && it.Act != journal.Settled {
				ch.Marks = append(ch.Marks, chart.Mark{Time: e.Time, Word: it.Act.Word()})
			}
		}
	}
	return ch
}

// setting is where the pit was to stand, in steps, °C; the last one holds.
func setting(c *journal.Cook, now, from, to time.Time) []chart.Point {
	var points []chart.Point
	step := func(t time.Time) {
		aim, ok := c.AimPit(t)
		if !ok {
			return
		}
		if n := len(points); n > 0 {
			points = append(points, chart.Point{Time: t, Value: points[n-1].Value})
		}
		points = append(points, chart.Point{Time: t, Value: aim})
	}
	step(from)
	for _, e := range c.Entries {
		if _, ok := e.Item(journal.SetPit); ok && e.Time.After(from) && !e.Time.After(now) {
			step(e.Time)
		}
	}
	if n := len(points); n > 0 {
		points = append(points, chart.Point{Time: to, Value: points[n-1].Value})
	}
	return points
}

// title names the cook in as many parts as fit the width, the name always:
// "Harvest supper · pork shoulder 4.7 + 3.6 kg · brick".
func (s *state) title(width int) string {
	c := s.Cook.Cook
	meat := c.Cut
	if w := frame.Weights(c, s.units); w != "" {
		meat = strings.TrimSpace(meat + " " + w)
	}
	title := c.Name()
	for _, part := range []string{meat, c.Pit} {
		if next := title + " · " + part; part != "" && box.Width(next) <= width {
			title = next
		}
	}
	return title
}

// say tells an item as it is spoken: "vent", "wood cherry", "bark mahogany".
func (s *state) say(it journal.Item) string {
	parts := []string{it.Act.Word(), it.Piece}
	switch word := it.GradeWord(); {
	case word != "":
		parts = append(parts, word)
	case it.Temp.Known:
		parts = append(parts, it.Temp.In(s.units))
	default:
		return it.String()
	}
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}

// span prints a length of time in words: "41 min", "1 h 50".
func span(d time.Duration) string {
	m := int(d.Round(time.Minute).Minutes())
	if m < 100 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d", m/60, m%60)
}

// figureSpan prints a length of time for a large figure, and what stands small
// behind it.
func figureSpan(d time.Duration) (large, small string) {
	m := int(d / time.Minute)
	switch {
	case m < 100:
		return fmt.Sprint(m), "min"
	case m < 10*60:
		return fmt.Sprintf("%dh%02d", m/60, m%60), ""
	}
	return fmt.Sprintf("%dh", m/60), ""
}
