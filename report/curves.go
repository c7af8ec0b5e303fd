package report

import (
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// alignment is a moment that curves are laid upon each other at.
type alignment struct {
	heading string
	hours   string // the x axis
	lacks   string // what a cook is without that has no such moment
	at      func(core) (time.Time, bool)
}

// core is what was read in one piece of a cook, from on to off or as far as known.
type core struct {
	cook     *journal.Cook
	piece    int
	readings []journal.Reading
}

// risen is a core that all cooks pass at their steepest, so that the moment is
// sharp, and late enough that where the meat started is forgotten (chosen).
const risen = 40.0 // °C

func alignments(sys measure.System) []alignment {
	passed := measure.FormatTemperature(risen, sys)
	return []alignment{
		{"Cores, from when it went on", "hours since on", "when it went on", func(c core) (time.Time, bool) { return c.cook.OnAt() }},
		{"Cores, from when they passed " + passed, "hours since " + passed, "a reading on either side of " + passed, core.risenAt},
		{"Cores, from when the stall began", "hours since the stall began", "a stall", core.stallAt},
		{"Cores, before it came off", "hours, off at 0", "when it came off", func(c core) (time.Time, bool) { return c.cook.OffAt(c.piece) }},
	}
}

// addCurves adds the core of each cook's slowest piece, aligned in each way.
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
				out = append(out, named(c.cook)+" (without "+a.lacks+")")
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

// slowest is the core of the piece that came off last, or is still on; of
// pieces that came off together, of the one best read.
func slowest(c *journal.Cook) core {
	best, last := core{cook: c}, time.Time{}
	for i := range max(1, len(c.Pieces)) {
		off, done := c.OffAt(i)
		if !done {
			off, _ = c.LastEntry()
			off = off.Add(time.Second) // after any that came off
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

// readCourse draws what was read in the pit and in each piece while the cook was on.
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

// curveStep is how far apart the readings of a probe are drawn at least: less
// is under a column of any page (chosen).
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
