package fire

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// here tells a moment by the clock of the one who asks.
func (l *look) here(t time.Time) string {
	return measure.FormatTime(t.In(l.now.Location()), measure.Clock, l.sys)
}

func (l *look) temp(c float64) string { return measure.FormatTemperature(c, l.sys) }

// reads is what was read last, °C.
func (l *look) reads() float64 { return l.course.c[len(l.course.c)-1] }

// since words when something began, in front of a comma; empty when that is
// not known or just now.
func (l *look) since(t time.Time) string {
	if t.IsZero() || l.now.Sub(t) < 5*time.Minute {
		return ""
	}
	return " since " + l.here(t)
}

// Words by which people say that a vent gives less, or more.
var (
	closing = []string{"shut", "close", "closed", "closing", "less", "choke", "choked"}
	opening = []string{"open", "opened", "wide", "full", "more"}
	noRoom  = []string{"wide", "full", "fully", "all"}
)

func mentions(text string, words []string) bool {
	for _, f := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r < 'a' || r > 'z' }) {
		for _, w := range words {
			if f == w {
				return true
			}
		}
	}
	return false
}

// name tells an act as something that was done.
func (l *look) name(a act) string {
	switch a.do {
	case journal.Vent:
		return "the vents"
	case journal.OpenLid:
		return "the lid"
	case journal.On:
		return "it went on"
	case journal.Bark, journal.Feel:
		return "a look at the " + a.word
	}
	return "the " + a.word
}

// low says that a fire eases.
func (l *look) low(by float64, since time.Time) Verdict {
	v := Verdict{Kind: Low, Since: since, Alert: true, Wake: by >= l.WakeBy}
	says := "easing" + l.since(v.Since)
	if since.IsZero() || l.now.Sub(since) < 5*time.Minute {
		says = fmt.Sprintf("low, %s under its %s", strings.TrimPrefix(measure.FormatDifference(by, 0, l.sys), "+"), l.aimWord)
	}
	if a, until, ok := l.fresh(); ok {
		what := "vents moved"
		if a.do != journal.Vent {
			what = a.word + " on"
		}
		v.Alert, v.Wake = false, false
		v.Says = fmt.Sprintf("%s, %s %s. Leave the lid shut till %s", says, what, l.here(a.at), l.here(until))
		return v
	}
	fed, hungry := l.hungry()
	vent, moved := l.last(func(a act) bool { return a.do == journal.Vent })
	switch {
	case hungry:
		v.Says = fmt.Sprintf("%s, %s %s ago. Look at the bed first, feed it lit fuel, look in 20", says, fed.word, measure.FormatHours(l.now.Sub(fed.at).Hours()))
	case moved && mentions(l.detail(vent), noRoom):
		v.Says = says + ", and the vents are open. Look at the bed: clear the ash, feed it lit fuel, look in 20"
	default:
		v.Says = says + ", vents have room. Open the lower a finger, look in 20"
	}
	return v
}

// detail is what was noted with an act.
func (l *look) detail(a act) string {
	for _, e := range l.cook.Entries {
		if it, ok := e.Item(a.do); ok && e.Time.Equal(a.at) {
			return it.Detail
		}
	}
	return ""
}

// hungry returns when the fire was last fed, and whether that is longer ago
// than the person's fires usually go.
func (l *look) hungry() (act, bool) {
	a, ok := l.last(func(a act) bool { return a.fed })
	if !ok {
		return act{}, false
	}
	longest := l.Fed
	if l.usual.Fed > 0 {
		longest = l.usual.Fed * 5 / 4
	}
	return a, l.now.Sub(a.at) > longest
}

// lidSays tells a dip with what it was, where that was noted.
func (l *look) lidSays(d dip) Verdict {
	v := Verdict{Kind: Lid, Since: d.at}
	what := "a lid, or the probe was moved"
	if a, ok := l.last(func(a act) bool { return a.lid && !a.at.After(d.at.Add(10*time.Minute)) }); ok && d.at.Sub(a.at) < 20*time.Minute {
		what = l.name(a)
	}
	v.Says = fmt.Sprintf("sharp dip at %s, %s. Leave it shut, it should be back by %s", l.here(d.at), what, l.here(d.at.Add(l.LidBack)))
	return v
}

// flare is the caution for giving air to a starved fire. Common practice, no
// source; no public body was found to put it in figures.
const flare = "Air by degrees, stand aside: a starved fire can flash (common practice)."

// choked says that a fire lacks air.
func (l *look) choked(since time.Time) Verdict {
	v := Verdict{Kind: Choked, Since: since, Caution: flare, Alert: true, Wake: true}
	why := ""
	if a, ok := l.last(func(a act) bool { return a.air }); ok && l.now.Sub(a.at) <= 2*l.ActFor {
		why = " although the vents were moved " + l.here(a.at)
		if a.do != journal.Vent {
			why = " although " + a.word + " went on " + l.here(a.at)
		}
	}
	v.Says = fmt.Sprintf("falling%s%s, %s now: choked. Clear the ash from under it, then air by degrees, look in 10", l.since(v.Since), why, l.temp(l.reads()))
	return v
}

// runaway says that a fire gets away.
func (l *look) runaway(since time.Time) Verdict {
	v := Verdict{Kind: Runaway, Since: since, Alert: true, Wake: true}
	v.Says = fmt.Sprintf("running away%s, %s for its %s of %s. Shut the lower vent by half, leave the lid down, look in 10", l.since(v.Since), l.temp(l.reads()), l.aimWord, l.temp(l.aim))
	if open, ok := l.last(func(a act) bool { return a.lid }); ok && l.now.Sub(open.at) < l.VentIn {
		v.Says = fmt.Sprintf("hot after %s at %s, %s. Leave the lid down; still hot at %s: lower vent shut by half", l.name(open), l.here(open.at), l.temp(l.reads()), l.here(open.at.Add(l.VentIn)))
		v.Alert, v.Wake = false, false
	}
	return v
}

// out says that a fire goes out, or is out.
func (l *look) out(since time.Time) Verdict {
	v := Verdict{Kind: Out, Since: since, Alert: true, Wake: true}
	v.Caution = "The meat's time between 5 and 57 °C counts from when it cooled: read the core in several places. " + flare
	if l.sys == measure.US {
		v.Caution = strings.Replace(v.Caution, "5 and 57 °C", "41 and 135 °F", 1)
	}
	v.Says = fmt.Sprintf("going out%s, %s now. Vents open, and lit fuel on; then read the core", l.since(v.Since), l.temp(l.reads()))
	return v
}
