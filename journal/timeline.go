package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// Entry is one line of the timeline.
type Entry struct {
	Time  time.Time // in the offset it was written with
	Items []Item
	Words string // parts that are no item, and what follows the dash
	Line  int    // line in the file, from 1; 0 if not written yet
}

// TimeLayout is the format of entry times and serving hours: RFC 3339 without seconds.
const TimeLayout = "2006-01-02T15:04-07:00"

// FormatTime formats t in RFC 3339, to the minute, or to the second if it has seconds.
func FormatTime(t time.Time) string {
	if t.Second() != 0 {
		return t.Format("2006-01-02T15:04:05-07:00")
	}
	return t.Format(TimeLayout)
}

// ParseTime parses an RFC 3339 time. The seconds may be missing, and a space may
// replace the "T".
func ParseTime(s string) (time.Time, error) {
	text := strings.TrimSpace(s)
	for _, layout := range []string{"2006-01-02T15:04Z07:00", time.RFC3339, "2006-01-02 15:04Z07:00", "2006-01-02 15:04:05Z07:00"} {
		if t, err := time.ParseInLocation(layout, text, time.UTC); err == nil && 0 < t.Year() && t.Year() < 10000 {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("time %q: expected one such as 2026-09-19T13:00+01:00", text)
}

// ParseClock parses a clock time, "1:04" or "01:04".
func ParseClock(s string) (hour, minute int, ok bool) {
	h, m, found := strings.Cut(s, ":")
	if !found || len(m) != 2 || len(h) < 1 || len(h) > 2 {
		return 0, 0, false
	}
	for _, r := range h + m {
		if r < '0' || r > '9' {
			return 0, 0, false
		}
		minute = minute*10 + int(r-'0')
	}
	hour, minute = minute/100, minute%100
	return hour, minute, hour < 24 && minute < 60
}

// ReadClock parses a time of day as typed: "01:10", "1:10am", "1:10 am", "1am".
func ReadClock(s string) (hour, minute int, ok bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	at := strings.TrimRight(strings.TrimSuffix(strings.TrimSuffix(s, "am"), "pm"), " ")
	if at == s {
		return ParseClock(s)
	}
	if !strings.Contains(at, ":") {
		at += ":00"
	}
	hour, minute, ok = ParseClock(at)
	if !ok || hour < 1 || hour > 12 {
		return 0, 0, false
	}
	hour %= 12
	if strings.HasSuffix(s, "pm") {
		hour += 12
	}
	return hour, minute, true
}

// ClockAfter returns the next time at or after t when a clock in zone shows
// hour:minute. If that is more than 18 h away, it returns the one on t's own day. A
// clock time that a change to summer time skips counts as if the clock had not changed:
// 02:30 is 03:30.
func ClockAfter(t time.Time, hour, minute int, zone *time.Location) time.Time {
	l := t.In(zone)
	for day := 0; day <= 1; day++ {
		for _, c := range clockTimes(l.Year(), l.Month(), l.Day()+day, hour, minute, zone) {
			if !c.Before(t) && c.Sub(t) <= 18*time.Hour {
				return c
			}
		}
	}
	return clockTimes(l.Year(), l.Month(), l.Day(), hour, minute, zone)[0]
}

// ClockBefore returns the last time at or before t when a clock in zone shows
// hour:minute.
func ClockBefore(t time.Time, hour, minute int, zone *time.Location) time.Time {
	l := t.In(zone)
	for day := 0; day >= -1; day-- {
		cs := clockTimes(l.Year(), l.Month(), l.Day()+day, hour, minute, zone)
		for _, c := range slices.Backward(cs) {
			if !c.After(t) {
				return c
			}
		}
	}
	return t
}

// clockTimes returns the times of a day when the clock shows hour:minute, in order.
// There are two in the hour that a change to winter time repeats.
func clockTimes(y int, mo time.Month, d, hour, minute int, zone *time.Location) []time.Time {
	t := time.Date(y, mo, d, hour, minute, 0, 0, zone)
	var all []time.Time
	for _, shift := range []time.Duration{-2 * time.Hour, -time.Hour, -30 * time.Minute, 0, 30 * time.Minute, time.Hour, 2 * time.Hour} {
		c := t.Add(shift)
		if c.Hour() == hour && c.Minute() == minute && c.Day() == t.Day() {
			all = append(all, c)
		}
	}
	if len(all) == 0 { // skipped: count as if the clock had not changed
		wall := time.Date(y, mo, d, hour, minute, 0, 0, time.UTC)
		_, offset := wall.AddDate(0, 0, -1).In(zone).Zone()
		return []time.Time{wall.Add(-time.Duration(offset) * time.Second).In(zone)}
	}
	return all
}

// ParseBody parses what follows the time of a line: items separated by commas, then a
// dash and words, if any. A part that is not wholly an item is words. For a part that
// looks like an item, notes says what is missing.
func ParseBody(s string, g Grammar) (items []Item, words string, notes []string) {
	head, tail := cutDash(s)
	var plain []string
	parts := splitItems(head)
	for _, part := range parts {
		if part == "" {
			continue
		}
		it, err := ParseItem(part, g)
		if it.Act == NoAct {
			plain = append(plain, part)
			if err != nil && meant(part) {
				notes = append(notes, err.Error())
			}
			continue
		}
		if items == nil {
			items = make([]Item, 0, len(parts))
		}
		items = append(items, it)
	}
	words = strings.Join(plain, ", ")
	if tail != "" {
		if words != "" {
			words += " — "
		}
		words += tail
	}
	return items, words, notes
}

// splitItems splits at commas, but not at one between two digits, which is a decimal
// comma.
func splitItems(s string) []string {
	parts := make([]string, 0, 1+strings.Count(s, ","))
	from := 0
	for i := range len(s) {
		if s[i] == ',' && !(i > 0 && isDigit(s[i-1]) && i+1 < len(s) && isDigit(s[i+1])) {
			parts = append(parts, strings.TrimSpace(s[from:i]))
			from = i + 1
		}
	}
	return append(parts, strings.TrimSpace(s[from:]))
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// meant reports whether a part that begins with an act's word was meant as an item: it
// has a number, or little more than that word. "off to bed" was not.
func meant(part string) bool {
	return strings.ContainsAny(part, "0123456789") || len(strings.Fields(part)) <= 2
}

// cutDash splits s at the first dash that has a space, or the start or end of s, on
// both sides.
func cutDash(s string) (before, after string) {
	for i := range len(s) {
		if s[i] != '-' && s[i] != "—"[0] {
			continue
		}
		for _, dash := range [...]string{"—", "--"} {
			end := i + len(dash)
			if strings.HasPrefix(s[i:], dash) && (i == 0 || s[i-1] == ' ') && (end == len(s) || s[end] == ' ') {
				return strings.TrimSpace(s[:i]), strings.TrimSpace(s[end:])
			}
		}
	}
	return strings.TrimSpace(s), ""
}

// Body formats the items and words as in a file after the time.
func (e Entry) Body() string {
	return e.body(func(int) string { return "" })
}

// body does what Body does, and writes a mark after each item.
func (e Entry) body(mark func(item int) string) string {
	parts := make([]string, len(e.Items))
	for i, it := range e.Items {
		parts[i] = it.String() + mark(i)
	}
	s := strings.Join(parts, ", ")
	switch {
	case e.Words == "":
		return s
	case s == "":
		return "— " + e.Words
	}
	return s + " — " + e.Words
}

// Typed formats the entry as typed in these units: the clock time, or the full time if
// it has seconds, then the body with "--" before the words.
func (e Entry) Typed(sys measure.System) string {
	at := measure.FormatTime(e.Time, measure.Clock, sys)
	if e.Time.Second() != 0 {
		at = FormatTime(e.Time)
	}
	return at + strings.Replace(" "+e.Body(), " — ", " -- ", 1)
}

// String formats the entry as a line of the timeline, without line end.
func (e Entry) String() string { return "- " + FormatTime(e.Time) + " " + e.Body() }

// Item returns the entry's first item with the act.
func (e Entry) Item(a Act) (Item, bool) {
	for i := range e.Items { // by index, since an Item is large
		if it := &e.Items[i]; it.Act == a {
			return *it, true
		}
	}
	return Item{}, false
}

// holds reports whether the entry has an item with one of the acts.
func (e Entry) holds(acts ...Act) bool {
	for i := range e.Items {
		if slices.Contains(acts, e.Items[i].Act) {
			return true
		}
	}
	return false
}

// SortEntries sorts entries by time. Entries of the same time keep their order.
func SortEntries(entries []Entry) {
	slices.SortStableFunc(entries, func(a, b Entry) int { return a.Time.Compare(b.Time) })
}
