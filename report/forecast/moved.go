package forecast

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/people"
)

// telling lists the acts that change a forecast. A note with several of them is named after
// the first in this list.
var telling = []journal.Act{journal.ReadCore, journal.Off, journal.PutWrap, journal.Unwrap, journal.Oven, journal.SetPit, journal.SetCore, journal.Feel, journal.ReadPit}

// Moved returns a line that says which reading would narrow the forecast of a running
// cook, and how the last note, or the last hour of a probe series, changed it. told is
// the forecast at now. Moved returns "" if nothing is on. If the end is open, it leaves
// out the width.
func (f *Forecaster) Moved(c *journal.Cook, now time.Time, told Forecast) string {
	if told.Done || told.On.IsZero() {
		return ""
	}
	says := []string{f.narrows(c, now, told), f.sinceNote(c, now, told)}
	return strings.Join(slices.DeleteFunc(says, func(s string) bool { return s == "" }), "; ")
}

// sinceNote says how the last note with one of these acts changed the forecast.
func (f *Forecaster) sinceNote(c *journal.Cook, now time.Time, told Forecast) string {
	const before = time.Second
	var at time.Time
	var what string
	for _, e := range c.Entries {
		if e.Time.After(now) {
			break
		}
		for _, act := range telling {
			if e.Time.After(told.On) && slices.ContainsFunc(e.Items, func(it journal.Item) bool { return it.Act == act }) {
				at, what = e.Time, act.Word()
				break
			}
		}
	}
	was, is, gone := at.Add(-before), at, 0.0
	if n := len(c.Series.Times); n > 0 && !c.Series.Times[0].After(now) && now.Sub(at) > time.Hour {
		what, was, is, gone = "hour", now.Add(-time.Hour), now, 1
	}
	if what == "" || was.Before(told.On) {
		return ""
	}
	a, b := f.rangeAt(c, was), told.ToGo
	if is != now {
		b = f.rangeAt(c, is)
	}
	later, wider := b.Mid-a.Mid+gone, b.Hi-b.Lo-a.Hi+a.Lo
	const least = 1. / 6 // h: smaller changes are not printed
	var all []string
	if math.Abs(later) >= least {
		all = append(all, tenMinutes(later)+moreLess(later > 0, " later", " earlier"))
	}
	if math.Abs(wider) >= least && !told.OpenEnd {
		all = append(all, "range "+tenMinutes(wider)+moreLess(wider > 0, " wider", " narrower"))
	}
	if all == nil {
		all = append(all, "forecast unchanged")
	}
	return "last " + what + ": " + strings.Join(all, ", ")
}

// worthReading is the share of the range that a reading must remove before ashbook asks
// for it.
const worthReading = .15

// narrows says by how much a core reading made now would narrow the range, if it shows
// the expected temperature.
func (f *Forecaster) narrows(c *journal.Cook, now time.Time, told Forecast) string {
	core, ok := told.expected()
	if !ok || told.OpenEnd {
		return ""
	}
	slowest := slices.MaxFunc(told.Pieces, func(a, b PieceForecast) int {
		return int(math.Copysign(1, a.Hours-b.Hours))
	})
	read := *c
	read.Entries = append(slices.Clone(c.Entries), journal.Entry{Time: now, Items: []journal.Item{{
		Act: journal.ReadCore, Piece: slowest.Name, Temp: measure.Degrees(core, measure.Metric),
	}}})
	journal.SortEntries(read.Entries)
	then := f.rangeAt(&read, now)
	left := (then.Hi - then.Lo) / (told.ToGo.Hi - told.ToGo.Lo)
	reading := "a core reading"
	if len(told.Pieces) > 1 {
		reading += " of " + slowest.Name
	}
	switch {
	case !(left < 1-worthReading):
		return ""
	case left < .6:
		return reading + " now would halve the range"
	}
	return fmt.Sprintf("%s now would narrow the range by %s", reading, tenMinutes((1-left)*(told.ToGo.Hi-told.ToGo.Lo)))
}

// expected returns the expected core of the slowest piece now, °C; ok is false if the band
// ends before now.
func (out *Forecast) expected() (core float64, ok bool) {
	for _, b := range out.Band {
		if b.Hours >= out.Elapsed {
			return b.Mid, true
		}
	}
	return 0, false
}

// rangeAt returns only the ToGo of the forecast at a time.
func (f *Forecaster) rangeAt(c *journal.Cook, now time.Time) Range {
	m := f.Moment(c, now)
	return rangeOf(f.person.Hours(&m))
}

func rangeOf(h people.Hours) Range {
	return Range{h.Quantile(.1), h.Quantile(.5), h.Quantile(.9)}
}

func tenMinutes(hours float64) string {
	return measure.FormatHours(math.Max(1, math.Round(math.Abs(hours)*6)) / 6)
}
