package fire

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// here prints a time on the clock of the reader.
func (l *look) here(t time.Time) string {
	return measure.FormatTime(t.In(l.now.Location()), measure.Clock, l.sys)
}

func (l *look) temp(c float64) string { return measure.FormatTemperature(c, l.sys) }

// reads returns the last pit reading, °C.
func (l *look) reads() float64 { return l.course.c[len(l.course.c)-1] }

// since prints " since" and a time; "" if the time is not known or less than 5 min ago.
func (l *look) since(t time.Time) string {
	if t.IsZero() || l.now.Sub(t) < 5*time.Minute {
		return ""
	}
	return " since " + l.here(t)
}

// Words that mean a vent was closed, opened, or is fully open.
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

// name returns words for an act: "opening the lid".
func (l *look) name(a act) string {
	switch a.do {
	case journal.Vent:
		return "moving the vents"
	case journal.OpenLid:
		return "opening the lid"
	case journal.On:
		return "putting the meat on"
	case journal.Bark, journal.Feel:
		return "checking the " + a.word
	}
	return "the " + a.word
}

// low returns the verdict for a fire that is the given number of kelvins below its aim.
func (l *look) low(by float64, since time.Time) Verdict {
	v := Verdict{Kind: Low, Since: since, Alert: true, Wake: by >= l.WakeBy}
	says := "cooling" + l.since(v.Since)
	if since.IsZero() || l.now.Sub(since) < 5*time.Minute {
		says = fmt.Sprintf("low, %s below its %s", strings.TrimPrefix(measure.FormatDifference(by, 0, l.sys), "+"), l.aimWord)
	}
	if a, until, ok := l.fresh(); ok {
		what := "vents moved"
		if a.do != journal.Vent {
			what = a.word + " added"
		}
		v.Alert, v.Wake = false, false
		v.Says = fmt.Sprintf("%s, %s %s. Keep the lid shut until %s", says, what, l.here(a.at), l.here(until))
		return v
	}
	fed, hungry := l.hungry()
	vent, moved := l.last(func(a act) bool { return a.do == journal.Vent })
	switch {
	case hungry:
		what := "last " + fed.word
		if fed.do == journal.Lit {
			what = fed.word
		}
		v.Says = fmt.Sprintf("%s, %s %s ago. Look at the coals first, add lit fuel, look again in 20 min", says, what, measure.FormatHours(l.now.Sub(fed.at).Hours()))
	case moved && mentions(l.detail(vent), noRoom):
		v.Says = says + ", and the vents are open. Look at the coals: clear the ash, add lit fuel, look again in 20 min"
	default:
		v.Says = says + ". Open the lower vent by a finger's width, look again in 20 min"
	}
	return v
}

// detail returns the text noted with an act.
func (l *look) detail(a act) string {
	for _, e := range l.cook.Entries {
		if it, ok := e.Item(a.do); ok && e.Time.Equal(a.at) {
			return it.Detail
		}
	}
	return ""
}

// hungry returns when fuel was last added, and whether that is longer ago than the
// person usually waits.
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

// lidSays returns the verdict for a dip, with its cause if one was noted.
func (l *look) lidSays(d dip) Verdict {
	v := Verdict{Kind: Lid, Since: d.at}
	what := "opening the lid or moving the probe"
	if a, ok := l.last(func(a act) bool { return a.lid && !a.at.After(d.at.Add(10*time.Minute)) }); ok && d.at.Sub(a.at) < 20*time.Minute {
		what = l.name(a)
	}
	v.Says = fmt.Sprintf("sharp dip at %s, from %s. Keep the lid shut; the pit should recover by %s", l.here(d.at), what, l.here(d.at.Add(l.LidBack)))
	return v
}

// flare is the caution to give when a fire that lacks air gets some (common practice,
// no source; no public body was found that gives numbers).
const flare = "Open vents little by little and stand to the side: a fire short of air can flare up suddenly (common practice)."

// choked returns the verdict for a fire that lacks air.
func (l *look) choked(since time.Time) Verdict {
	v := Verdict{Kind: Choked, Since: since, Caution: flare, Alert: true, Wake: true}
	why := ""
	if a, ok := l.last(func(a act) bool { return a.air }); ok && l.now.Sub(a.at) <= 2*l.ActFor {
		why = " although the vents were moved at " + l.here(a.at)
		if a.do != journal.Vent {
			why = " although " + a.word + " was added at " + l.here(a.at)
		}
	}
	v.Says = fmt.Sprintf("falling%s%s, %s now: choked, too little air. Clear the ash below the fire, then open the vents little by little, look again in 10 min", l.since(v.Since), why, l.temp(l.reads()))
	return v
}

// runaway returns the verdict for a fire that is getting too hot.
func (l *look) runaway(since time.Time) Verdict {
	v := Verdict{Kind: Runaway, Since: since, Alert: true, Wake: true}
	v.Says = fmt.Sprintf("running away%s, %s now, %s %s. Close the lower vent by half, keep the lid shut, look again in 10 min", l.since(v.Since), l.temp(l.reads()), l.aimWord, l.temp(l.aim))
	if open, ok := l.last(func(a act) bool { return a.lid }); ok && l.now.Sub(open.at) < l.VentIn {
		v.Says = fmt.Sprintf("hot after %s at %s, %s now. Keep the lid shut; if it is still hot at %s, close the lower vent by half", l.name(open), l.here(open.at), l.temp(l.reads()), l.here(open.at.Add(l.VentIn)))
		v.Alert, v.Wake = false, false
	}
	return v
}

// out returns the verdict for a fire that is going out, or is out.
func (l *look) out(since time.Time) Verdict {
	v := Verdict{Kind: Out, Since: since, Alert: true, Wake: true}
	v.Caution = "Count the meat's time between 5 and 57 °C from when it began to cool; read the core in several places. " + flare
	if l.sys == measure.US {
		v.Caution = strings.Replace(v.Caution, "5 and 57 °C", "41 and 135 °F", 1)
	}
	v.Says = fmt.Sprintf("going out%s, %s now. Open the vents, add lit fuel, then read the core", l.since(v.Since), l.temp(l.reads()))
	return v
}
