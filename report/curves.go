package report

import (
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// alignment is a choice of the moment that is zero on the time axis, so that the curves
// of several cooks can be compared.
type alignment struct {
	heading string
	hours   string // the x axis
	lacks   string // words for why a cook lacks that moment
	at      func(core) (time.Time, bool)
}

// core is the core readings of one piece from on to off, or to the last one.
type core struct {
	cook     *journal.Cook
	piece    int
	readings []journal.Reading
}

// risen is a core temperature at which cores rise fast, so that the moment is sharp,
// and high enough that the starting temperature no longer matters (chosen).
const risen = 40.0 // °C

func alignments(sys measure.System) []alignment {
	passed := measure.FormatTemperature(risen, sys)
	return []alignment{
		{"Cores, from when it went on", "hours since on", "when it went on was not noted", func(c core) (time.Time, bool) { return c.cook.OnAt() }},
		{"Cores, from when they passed " + passed, "hours since " + passed, "no readings on both sides of " + passed, core.risenAt},
		{"Cores, from when the stall began", "hours since the stall began", "no stall", core.stallAt},
		{"Cores, before it came off", "hours before off, which is at 0", "when it came off was not noted", func(c core) (time.Time, bool) { return c.cook.OffAt(c.piece) }},
	}
}

// addCurves adds one figure for each alignment, with the slowest piece of each cook.
func addCurves(p *page.Page, cooks []*journal.Cook, s journal.Settings) {
	var cores []core
	for _, c := range cooks {
		cores = append(cores, slowest(c))
	}
	for _, a := range alignments(s.Units) {
		f := page.Figure{XTitle: a.hours, YTitle: "core of the slowest piece, " + measure.Degrees(0, s.Units).Unit.Symbol}
		var out []string
		for _, c := range cores {
			zero, ok := a.at(c)
			switch {
			case len(c.readings) < 2:
				out = append(out, named(c.cook)+" (fewer than two core readings of its slowest piece)")
			case !ok:
				out = append(out, named(c.cook)+" ("+a.lacks+")")
			default:
				f.Lines = append(f.Lines, c.curve(zero, s.Units))
				f.Rests = append(f.Rests, named(c.cook)+": "+readingsOf(c.readings, "core reading", s.Units)+".")
			}
		}
		if len(f.Lines) == 0 {
			continue
		}
		if len(out) > 0 {
			a.heading += p.Note("Left out of this picture: " + strings.Join(out, ", ") + ".")
		}
		p.Add(page.Section{Heading: a.heading, Figure: f})
	}
}

// slowest returns the piece that came off last or is still on. Of pieces that came off
// together it is the one with the most readings.
func slowest(c *journal.Cook) core {
	best, last := core{cook: c}, time.Time{}
	for i := range max(1, len(c.Pieces)) {
		off, done := c.OffAt(i)
		if !done {
			off, _ = c.LastEntry()
			off = off.Add(time.Second) // a piece still on comes after all that are off
		}
		if off.Before(last) {
			continue
		}
		on, _ := c.OnAt()
		var readings []journal.Reading
		for _, r := range c.CoreReadings(i) {
			if !r.Time.Before(on) && !(done && r.Time.After(off)) {
				readings = append(readings, r)
			}
		}
		if off.After(last) || len(readings) > len(best.readings) {
			best, last = core{c, i, readings}, off
		}
	}
	return best
}

func (c core) risenAt() (time.Time, bool) {
	for i, b := range c.readings {
		switch {
		case b.C < risen:
		case i == 0:
			return time.Time{}, false
		default:
			a := c.readings[i-1]
			share := (risen - a.C) / (b.C - a.C)
			return a.Time.Add(time.Duration(share * float64(b.Time.Sub(a.Time)))), true
		}
	}
	return time.Time{}, false
}

func (c core) stallAt() (time.Time, bool) {
	if len(c.readings) == 0 {
		return time.Time{}, false
	}
	s, ok := c.cook.Stall(c.piece, c.readings[len(c.readings)-1].Time)
	return s.From, ok
}

// readCourse draws the pit and core readings from on to off.
func readCourse(c *journal.Cook, s journal.Settings) page.Figure {
	on, ok := c.OnAt()
	if !ok {
		return page.Figure{}
	}
	f := page.Figure{XTitle: "hours since on, " + measure.FormatTime(on, measure.DayClock, s.Units), YTitle: measure.Degrees(0, s.Units).Unit.Symbol}
	add := func(name string, readings []journal.Reading) {
		if len(readings) < 2 {
			return
		}
		line := core{c, 0, readings}.curve(on, s.Units)
		line.Name = name
		f.Lines = append(f.Lines, line)
		f.Rests = append(f.Rests, upperFirst(name)+": "+readingsOf(readings, "reading", s.Units)+".")
	}
	add("pit", during(c, c.PitReadings()))
	for i, p := range c.Pieces {
		add(strings.TrimSpace("core "+p.Name), during(c, c.CoreReadings(i)))
	}
	return f
}

// curveStep is the least time between drawn readings of a probe; closer ones fall into
// one column of the page (chosen).
const curveStep = 5 * time.Minute

func (c core) curve(zero time.Time, sys measure.System) page.Series {
	s := page.Series{Name: named(c.cook)}
	var last time.Time
	for _, r := range c.readings {
		if r.Probe && r.Time.Sub(last) < curveStep {
			continue
		}
		last = r.Time
		s.X = append(s.X, r.Time.Sub(zero).Hours())
		s.Y = append(s.Y, measure.Degrees(0, sys).Unit.From(r.C))
	}
	return s
}
