package runsheet

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// turn is a helper's watch by a fire while the others sleep.
type turn struct {
	who      string
	from, to time.Time
}

// When the night begins and ends, in the time zone of the meal, and the shortest turn
// that is worth waking somebody for (chosen; common practice, no source).
const (
	bedtime   = 22 // o'clock
	breakfast = 7
	leastTurn = 2 * time.Hour
)

// nights divides each night with meat on a fire evenly among the helpers, in turns of
// at least leastTurn. A different helper begins each night. An oven needs no watch.
func (p *Sheet) nights() []turn {
	var out []turn
	n := len(p.Request.Helpers)
	var fires []turn // when each load needs somebody
	var first, last time.Time
	for _, l := range p.Loads {
		if l.Oven || p.Lost() && !l.Missed.IsZero() {
			continue
		}
		fire := turn{from: begins(l.Light, l.OnBy), to: l.Off[2]}
		if first.IsZero() || fire.from.Before(first) {
			first = fire.from
		}
		if fire.to.After(last) {
			last = fire.to
		}
		fires = append(fires, fire)
	}
	if n == 0 || len(fires) == 0 {
		return nil
	}
	next := 0
	for day := first.In(p.Request.Serve.Location()).AddDate(0, 0, -1); !day.After(last); day = day.AddDate(0, 0, 1) {
		at := func(days, hour int) time.Time {
			return time.Date(day.Year(), day.Month(), day.Day()+days, hour, 0, 0, 0, day.Location())
		}
		bed, up := at(0, bedtime), at(1, breakfast)
		from, to := time.Time{}, time.Time{} // while there is meat on a fire
		for _, fire := range fires {
			a, b := fire.from, fire.to
			if a.Before(bed) {
				a = bed
			}
			if b.After(up) {
				b = up
			}
			if !b.After(a) {
				continue
			}
			if from.IsZero() || a.Before(from) {
				from = a
			}
			if b.After(to) {
				to = b
			}
		}
		whole := to.Sub(from)
		if from.IsZero() || whole < leastTurn/2 {
			continue
		}
		turns := max(1, min(n, int(whole/leastTurn)))
		edge := func(i int) time.Time {
			if i == 0 || i == turns {
				return []time.Time{from, to}[i/turns]
			}
			return from.Add(whole * time.Duration(i) / time.Duration(turns)).Round(fine)
		}
		for i := range turns {
			out = append(out, turn{p.Request.Helpers[next%n], edge(i), edge(i + 1)})
			next++
		}
	}
	return out
}

// fine is the step to which the times of turns are rounded.
const fine = 15 * time.Minute

// begins returns when somebody must first be at a load: when its pit is lit, or else
// when it goes on.
func begins(light, on time.Time) time.Time {
	if light.IsZero() {
		return on
	}
	return light
}

// step returns the turn as a step of the plan.
func (t turn) step(p *Sheet) Step {
	var asleep []string
	for _, h := range p.Request.Helpers {
		if h != t.who {
			asleep = append(asleep, h)
		}
	}
	margin := "there is nobody to take turns with: sleep while nothing is due, with the alarms of a pit probe on"
	if len(asleep) > 0 {
		margin = strings.Join(asleep, ", ") + " asleep"
	}
	return Step{At: t.from, Kind: Watch, Who: t.who, Margin: margin,
		What: fmt.Sprintf("the watch until %s: fire, pit and core, every half hour", measure.FormatTime(t.to.In(p.Request.Serve.Location()), measure.Clock, p.Settings.Units))}
}
