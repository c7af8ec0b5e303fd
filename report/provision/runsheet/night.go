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

// The night, by the clock of the meal, and the least that is worth waking somebody for
// (chosen; common practice, no source).
const (
	bedtime   = 22 // o'clock
	breakfast = 7
	leastTurn = 2 * time.Hour
)

// nights parts each night in which meat is on a fire evenly among the helpers: as many
// of them as leave a turn its least. Who begins is another each night. A kitchen oven needs
// nobody.
func (p *Sheet) nights() []turn {
	var out []turn
	n := len(p.Request.Helpers)
	var first, last time.Time
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Oven || p.Lost() && !l.Missed.IsZero() {
			continue
		}
		if begins := begins(l.Light, l.OnBy); first.IsZero() || begins.Before(first) {
			first = begins
		}
		if l.Off[2].After(last) {
			last = l.Off[2]
		}
	}
	if n == 0 || first.IsZero() {
		return nil
	}
	next := 0
	for day := first.In(p.Request.Serve.Location()).AddDate(0, 0, -1); !day.After(last); day = day.AddDate(0, 0, 1) {
		at := func(days, hour int) time.Time {
			return time.Date(day.Year(), day.Month(), day.Day()+days, hour, 0, 0, 0, day.Location())
		}
		bed, up := at(0, bedtime), at(1, breakfast)
		from, to := time.Time{}, time.Time{} // in which there is meat on a fire
		for i := range p.Loads {
			l := &p.Loads[i]
			a, b := begins(l.Light, l.OnBy), l.Off[2]
			if a.Before(bed) {
				a = bed
			}
			if b.After(up) {
				b = up
			}
			if l.Oven || !b.After(a) {
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

// fine is how finely turns begin.
const fine = 15 * time.Minute

// begins is when a load wants somebody: as its pit is lit, or as it goes on.
func begins(light, on time.Time) time.Time {
	if light.IsZero() {
		return on
	}
	return light
}

// step is the turn as a moment of the plan.
func (t turn) step(p *Sheet) Step {
	var asleep []string
	for _, h := range p.Request.Helpers {
		if h != t.who {
			asleep = append(asleep, h)
		}
	}
	margin := "nobody to take turns with: sleep while nothing is due, with the alarms of a pit probe on"
	if len(asleep) > 0 {
		margin = strings.Join(asleep, ", ") + " asleep"
	}
	return Step{At: t.from, Kind: Watch, Who: t.who, Margin: margin,
		What: fmt.Sprintf("the watch until %s: fire, pit and core, every half hour", measure.FormatTime(t.to.In(p.Request.Serve.Location()), measure.Clock, p.Settings.Units))}
}
