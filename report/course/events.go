package course

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Event is something unusual in the core readings, with its usual cause and its cost in
// time or quality (common practice, no source).
type Event struct {
	At    time.Time
	Until time.Time // the last reading that shows it; At for what has no length
	Name  string
	Says  string // what was seen
	Usual string // what usually causes it, and what it costs
	// Common is set for what happens in nearly every cook: it must not hide anything else.
	Common bool
}

// Thresholds of events (chosen: well above the scatter of probes).
const (
	fellBy      = 3.0              // K that a core must fall
	fellFrom    = 40.0             // °C that it must have reached before
	apartBy     = 6.0              // K by which two pieces must differ
	apartFrom   = 55.0             // °C that the cooler piece must have reached
	overBy      = 3.0              // K above the aim for the core
	togetherFor = 30 * time.Minute // greatest time between the readings of two pieces
	softFrom    = 80.0             // °C: above it collagen softens within hours
)

// Events returns the events up to now, in order of time.
func Events(c *journal.Cook, units measure.System, now time.Time) []Event {
	var out []Event
	show := func(celsius float64) string { return measure.FormatTemperature(celsius, units) }
	gap := func(kelvin float64) string {
		u := measure.Degrees(0, units).Unit
		return fmt.Sprintf("%.0f %s", u.From(kelvin)-u.From(0), u.Symbol)
	}
	name := func(i int) string {
		if len(c.Pieces) > 1 && c.Pieces[i].Name != "" {
			return "core " + c.Pieces[i].Name
		}
		return "core"
	}
	cores := make([][]journal.Reading, max(1, len(c.Pieces)))
	for i := range cores {
		cores[i] = until(c, i, now)
		readings := cores[i]
		if at, from, to, ok := fell(readings); ok {
			out = append(out, Event{At: at, Name: name(i) + " fell", Says: fmt.Sprintf("from %s to %s", show(from), show(to)),
				Usual: "Usually the probe moved or was put in again, a cold liquid went into the wrap, or the fire went down. It costs only the time the fire was low."})
		}
		if s, ok := second(c.Stalls(i, now), readings); ok {
			out = append(out, Event{At: s.From, Until: s.To, Name: name(i) + ", a second stall", Says: fmt.Sprintf("hardly rising at %s between %s and %s", show(s.Core), measure.FormatTime(s.From.In(s.To.Location()), measure.Clock, units), measure.FormatTime(s.To, measure.Clock, units)),
				Usual: "Usually the wrap leaks or was opened, the pit got cooler, or the probe sits in fat. It costs one to two hours; wrap tightly or raise the pit by " + gap(10) + " to end it."})
		}
		if aim, ok := c.AimCore(now); ok && len(readings) > 0 {
			if last := readings[len(readings)-1]; last.C >= aim+overBy {
				out = append(out, Event{At: last.Time, Name: name(i) + " above its aim", Says: fmt.Sprintf("%s, aim %s", show(last.C), show(aim)),
					Usual: "It costs moisture: little in fatty shoulder, much in a lean flat. Let it rest unwrapped until it stops rising, then box it."})
			}
		}
		if soft := above(readings, softFrom); soft >= time.Hour && i == 0 {
			out = append(out, Event{At: readings[len(readings)-1].Time, Name: "time above " + show(softFrom), Says: measure.FormatDuration(soft), Common: true,
				Usual: "Tough cuts become tender in this time: two to five hours are usual. After less, the meat is often firm; after much more, it often falls apart."})
		}
	}
	if at, a, b, ok := apart(cores); ok {
		out = append(out, Event{At: at, Name: "two pieces differ", Says: "by " + gap(math.Abs(a-b)),
			Usual: "Usually one is thinner, is nearer the fire, or has its probe next to bone or fat. It costs nothing: take each off when it is ready."})
	}
	for i := range out {
		if out[i].Until.IsZero() {
			out[i].Until = out[i].At
		}
	}
	slices.SortStableFunc(out, func(a, b Event) int { return a.At.Compare(b.At) })
	return out
}

// until returns the core readings of a piece up to now, or until it came off.
func until(c *journal.Cook, piece int, now time.Time) []journal.Reading {
	var out []journal.Reading
	off, isOff := c.OffAt(piece)
	for _, r := range c.CoreReadings(piece) {
		if !r.Time.After(now) && !(isOff && r.Time.After(off)) {
			out = append(out, r)
		}
	}
	return out
}

// fell finds the deepest fall of a core that two readings in a row confirm.
func fell(readings []journal.Reading) (at time.Time, from, to float64, ok bool) {
	top, deepest := math.Inf(-1), fellBy
	for k := 1; k+1 < len(readings); k++ {
		top = math.Max(top, readings[k-1].C)
		low := math.Max(readings[k].C, readings[k+1].C)
		if top >= fellFrom && top-low >= deepest {
			deepest, at, from, to, ok = top-low, readings[k].Time, top, low, true
		}
	}
	return at, from, to, ok
}

// second returns a second stall of at least an hour, in the temperature range of stalls
// or above it.
func second(stalls []journal.Stall, readings []journal.Reading) (s journal.Stall, ok bool) {
	if k := slices.IndexFunc(stalls, func(s journal.Stall) bool { return s.Lasted() >= time.Hour }); k >= 0 {
		if more := slices.IndexFunc(stalls[k+1:], func(s journal.Stall) bool { return s.Lasted() >= time.Hour }); more >= 0 {
			return stalls[k+1+more], true
		}
	}
	from, to, ok := levelAbove(readings)
	return journal.Stall{From: from, To: to.Time, Core: to.C}, ok
}

// levelAbove finds the first hour above the temperature range of stalls in which the core
// rose more slowly than StallRate.
func levelAbove(readings []journal.Reading) (from time.Time, to journal.Reading, ok bool) {
	level := func(a, b journal.Reading) bool {
		d := b.Time.Sub(a.Time)
		return a.C > journal.StallTo && d >= time.Hour && (b.C-a.C)/d.Hours() < journal.StallRate
	}
	// Through every reading at least an hour earlier goes a line that rises at
	// StallRate. If even the highest of these lines is below r, the core rose faster
	// than StallRate since all of them.
	next, highest, over := 0, -1, math.Inf(-1)
	for k, r := range readings {
		for ; next < k && r.Time.Sub(readings[next].Time) >= time.Hour; next++ {
			a := readings[next]
			if at := a.C - journal.StallRate*a.Time.Sub(readings[0].Time).Hours(); a.C > journal.StallTo && at > over {
				highest, over = next, at
			}
		}
		if r.C <= journal.StallTo || r.C > journal.StallTo+12 || highest < 0 || !level(readings[highest], r) {
			continue
		}
		first := slices.IndexFunc(readings, func(a journal.Reading) bool { return level(a, r) })
		return readings[first].Time, r, true
	}
	return from, to, false
}

// above returns how long a core was above a temperature, interpolating between readings.
func above(readings []journal.Reading, celsius float64) (sum time.Duration) {
	for k := 1; k < len(readings); k++ {
		a, b := readings[k-1], readings[k]
		d := float64(b.Time.Sub(a.Time))
		switch {
		case a.C >= celsius && b.C >= celsius:
			sum += time.Duration(d)
		case a.C != b.C && (a.C >= celsius) != (b.C >= celsius):
			sum += time.Duration(d * (math.Max(a.C, b.C) - celsius) / math.Abs(b.C-a.C))
		}
	}
	return sum
}

// apart finds the largest difference between two pieces read at about the same time.
func apart(cores [][]journal.Reading) (at time.Time, a, b float64, ok bool) {
	most := apartBy
	for i := range cores {
		for j := range i {
			for _, r := range cores[i] {
				near, found := journal.Last(cores[j], r.Time)
				if found && r.Time.Sub(near.Time) <= togetherFor && math.Min(r.C, near.C) >= apartFrom && math.Abs(r.C-near.C) >= most {
					most, at, a, b, ok = math.Abs(r.C-near.C), r.Time, r.C, near.C, true
				}
			}
		}
	}
	return at, a, b, ok
}
