package main

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal"
)

// parseNow reads --now. Where the machine's own zone has the offset that was
// typed at that moment, the zone is kept: its next change of clocks then counts.
func parseNow(s string) (time.Time, error) {
	t, err := journal.ParseTime(s)
	if err != nil {
		return time.Time{}, err
	}
	_, typed := t.Zone()
	if _, own := t.Local().Zone(); own == typed {
		return t.Local(), nil
	}
	return t, nil
}

var weekdays = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// parseWhen reads a moment that is to come: RFC 3339, "2026-09-19 13:00",
// "sat 13:00", or "13:00", the next such time after now.
func parseWhen(s string, now time.Time) (time.Time, error) {
	text := strings.TrimSpace(s)
	if t, err := journal.ParseTime(text); err == nil {
		return t, nil
	}
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02T15:04"} {
		if t, err := time.ParseInLocation(layout, text, now.Location()); err == nil {
			return t, nil
		}
	}
	fail := fmt.Errorf("time %q: expected such as 13:00, sat 13:00, 2026-09-19 13:00 or 2026-09-19T13:00+01:00", text)
	day, clock, two := strings.Cut(text, " ")
	if !two {
		day, clock = "", text
	}
	hour, minute, ok := journal.ParseClock(strings.TrimSpace(clock))
	if !ok {
		return time.Time{}, fail
	}
	for ahead := range 8 {
		t := time.Date(now.Year(), now.Month(), now.Day()+ahead, hour, minute, 0, 0, now.Location())
		if t.Before(now) {
			continue
		}
		if day == "" {
			return t, nil
		}
		if d := strings.ToLower(day); len(d) >= 3 && d[:3] == weekdays[t.Weekday()] {
			return t, nil
		}
	}
	return time.Time{}, fail
}

// parseDay reads a day for a search: "2026-09-19", "2026-09", "2026". It
// returns the first moment and the one after the last.
func parseDay(s string, zone *time.Location) (from, to time.Time, err error) {
	for _, l := range []struct {
		layout             string
		years, months, day int
	}{{"2006-01-02", 0, 0, 1}, {"2006-01", 0, 1, 0}, {"2006", 1, 0, 0}} {
		if t, err := time.ParseInLocation(l.layout, s, zone); err == nil {
			return t, t.AddDate(l.years, l.months, l.day), nil
		}
	}
	return from, to, fmt.Errorf("day %q: expected such as 2026-09-19, 2026-09 or 2026", s)
}

// ticker ticks every d; stop ends it.
func (e environment) ticker(d time.Duration) (ticks <-chan time.Time, stop func()) {
	if e.ticks != nil {
		return e.ticks, func() {}
	}
	t := time.NewTicker(d)
	return t.C, t.Stop
}

// moving is a clock that runs, from --now if that is given.
func (a *app) moving() (func() time.Time, error) {
	if a.clock == "" {
		return a.now, nil
	}
	fixed, err := a.nowTime()
	if err != nil {
		return nil, err
	}
	started := a.now()
	return func() time.Time { return fixed.Add(a.now().Sub(started)) }, nil
}
