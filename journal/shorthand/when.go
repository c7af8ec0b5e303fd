package shorthand

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// moment is a time found in a line.
type moment struct {
	at    time.Time
	end   int  // index of the token after it
	dated bool // its day, or how long ago it was, was typed
	ahead bool // it is later than now
	twice bool // a 12-hour clock shows it twice a day
	vague bool // only its hour was typed, and the next such hour is nearer than the last
}

// Limits for a clock time typed without its day (chosen).
const (
	watchFast = 15 * time.Minute // a time at most this far ahead counts as now
	aheadBy   = 8 * time.Hour    // a time due again within this is taken as still to come
)

// moment reads a time at token i, with or without "at".
func (p *parser) moment(i int) (moment, bool) {
	if i >= len(p.toks) {
		return moment{}, false
	}
	if m, ok := p.back(i); ok {
		return m, true
	}
	k, led := i, false
	for k < len(p.toks) && (p.toks[k].low == "at" || p.toks[k].low == "around" || p.toks[k].low == "about") {
		k, led = k+1, true
	}
	if k < len(p.toks) && p.toks[k].low == "by" && k > 0 { // "95 by 4:10"
		k++
	}
	if m, ok := p.dated(k); ok {
		return m, true
	}
	if m, ok := p.clockOf(k); ok {
		return m, true
	}
	if led && k < len(p.toks) && p.toks[k-1].low == "at" && hoursInWords[p.toks[k].low] && (k+1 == len(p.toks) || !p.countsSomething(k+1) && numberWords[p.toks[k+1].low] == "" && !isDigit(p.toks[k+1].text[0])) { // "at six"
		p.toks[k].text = numberWords[p.toks[k].low]
	}
	if led && k < len(p.toks) && p.toks[k].bare() && hourLike(p.toks[k].text) && (k+1 == len(p.toks) || p.toks[k-1].text == "@" || !p.countsSomething(k+1)) {
		hour := 0
		for _, r := range p.toks[k].text {
			hour = hour*10 + int(r-'0')
		}
		m := p.clockTime(hour%24, 0, hour <= 12, false, k+1)
		m.vague = !p.mends && m.twice && !m.ahead && p.nextHour(hour).Sub(p.now) < p.now.Sub(m.at)
		return m, true
	}
	return moment{}, false
}

// hoursInWords are the hours as words.
var hoursInWords = map[string]bool{"one": true, "two": true, "three": true, "four": true, "five": true, "six": true, "seven": true, "eight": true, "nine": true, "ten": true, "eleven": true, "twelve": true}

// nextHour returns when a 12-hour clock next shows the hour.
func (p *parser) nextHour(hour int) time.Time {
	at := journal.ClockBefore(p.now, hour%12, 0, p.now.Location())
	for !at.After(p.now) {
		at = at.Add(halfDay)
	}
	return at
}

// back reads how long ago something happened: "-20", "20 min ago", "half an hour ago".
func (p *parser) back(i int) (moment, bool) {
	t := p.toks[i]
	ago := func(s string, end int) (moment, bool) {
		d, err := measure.ParseSpan(s)
		if err != nil || d.Base < 0 {
			return moment{}, false
		}
		return moment{at: p.now.Add(-measure.Duration(d).Truncate(time.Second)), end: end, dated: true}, true
	}
	if n := signOf(t.text); n > 0 && t.text[0] != '+' {
		s, end := t.text[n:], i+1
		if num, unit, ok := t.number(); ok && unit == "" && num != "" && !t.comma && end < len(p.toks) && spanUnit(p.toks[end].text) {
			s += p.toks[end].text
			end++
		} else if ok && unit == "" && slices.ContainsFunc(p.all, func(t token) bool { return skyWords.has(t.low) }) { // "clear sky, -1": the air
			return moment{}, false
		}
		return ago(s, end)
	}
	if t.low == "about" && i+1 < len(p.toks) {
		i++
	}
	for _, f := range p.duration(i) {
		if f.end < len(p.toks) && p.toks[f.end].low == "ago" {
			return ago(f.text, f.end+1)
		}
	}
	return moment{}, false
}

// skyWords are words for the weather; a number below zero beside one may be the air
// temperature.
var skyWords = newWords(lists["$sky"] + "|sky|clear|cold|freezing|ice|icy|outside|out")

// dated finds a time whose day is typed: RFC 3339, "yesterday 23:30", "4 oct 13:00".
func (p *parser) dated(i int) (moment, bool) {
	if i >= len(p.toks) {
		return moment{}, false
	}
	t := p.toks[i]
	if len(t.text) >= len("2006-01-02T15:04Z") && isDigit(t.text[0]) {
		if at, err := journal.ParseTime(t.text); err == nil {
			return moment{at: at.Truncate(time.Second), end: i + 1, dated: true, ahead: at.After(p.latest())}, true
		}
	}
	here := p.now
	y, mo, d, k := here.Year(), here.Month(), here.Day(), i
	switch {
	case t.low == "yesterday" || t.low == "last" && i+1 < len(p.toks) && p.toks[i+1].low == "night":
		d--
		if k++; t.low == "last" {
			k++
		}
	case i+1 < len(p.toks) && months[p.toks[i+1].low] > 0 && dayOfMonth(t) > 0:
		d, mo, k = dayOfMonth(t), months[p.toks[i+1].low], i+2
	case i+1 < len(p.toks) && months[t.low] > 0 && dayOfMonth(p.toks[i+1]) > 0:
		d, mo, k = dayOfMonth(p.toks[i+1]), months[t.low], i+2
	default:
		return moment{}, false
	}
	if k < len(p.toks) && p.toks[k].low == "at" {
		k++
	}
	c, ok := p.clockOf(k)
	if !ok {
		return moment{}, false
	}
	at := time.Date(y, mo, d, c.at.Hour(), c.at.Minute(), 0, 0, here.Location())
	return moment{at: at, end: c.end, dated: true, ahead: at.After(p.latest())}, true
}

var months = map[string]time.Month{"jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "sept": 9, "oct": 10, "nov": 11, "dec": 12,
	"january": 1, "february": 2, "march": 3, "april": 4, "june": 6, "july": 7, "august": 8, "september": 9, "october": 10, "november": 11, "december": 12}

func dayOfMonth(t token) int {
	n := 0
	for _, r := range t.text {
		if r < '0' || r > '9' || n > 31 {
			return 0
		}
		n = n*10 + int(r-'0')
	}
	if n > 31 {
		return 0
	}
	return n
}

// latest returns the last time that is not in the future.
func (p *parser) latest() time.Time {
	if p.mends { // an entry being mended may be at any time
		return p.now.Add(100 * 365 * 24 * time.Hour)
	}
	return p.now.Add(watchFast)
}

// clockOf reads a clock time: "01:10", "0110", "5:30am", "11.30 pm", "noon", "half past
// two", "quarter to one".
func (p *parser) clockOf(i int) (moment, bool) {
	if i >= len(p.toks) {
		return moment{}, false
	}
	t := p.toks[i]
	low := func(k int) string {
		if k < len(p.toks) {
			return p.toks[k].low
		}
		return ""
	}
	switch t.low {
	case "midnight":
		return p.clockTime(0, 0, false, false, i+1), true
	case "noon", "midday":
		return p.clockTime(12, 0, false, false, i+1), true
	case "half", "quarter", "ten", "five", "twenty", "10", "5", "20":
		minute := map[string]int{"half": 30, "quarter": 15, "ten": 10, "five": 5, "twenty": 20, "10": 10, "5": 5, "20": 20}[t.low]
		word := low(i + 1)
		// "half one" is half past one; some people mean half past twelve
		if n, ok := numberWords[word]; t.low == "half" && (ok || hourLike(word)) && word != "" && (i+2 == len(p.toks) || i == 0 && !p.countsSomething(i+2)) {
			if !ok {
				n = word
			}
			if h, _, fine := journal.ParseClock(n + ":30"); fine && h > 0 && h <= 12 {
				m := p.clockTime(h%24, 30, true, true, i+2)
				m.vague = !p.mends
				return m, true
			}
		}
		if word != "past" && (word != "to" || t.low == "half") {
			break
		}
		hour, sure, end := 0, false, i+3
		switch h := low(i + 2); {
		case h == "midnight":
			sure = true
		case h == "noon" || h == "midday":
			hour, sure = 12, true
		default:
			if n, ok := numberWords[h]; ok {
				h = n
			}
			if h == "" || len(h) > 2 || !hourLike(h) {
				return moment{}, false
			}
			for _, r := range h {
				hour = hour*10 + int(r-'0')
			}
			sure = hour > 12
			if half := low(end); half == "am" || half == "pm" {
				hour, sure, end = hour%12+map[string]int{"pm": 12}[half], true, end+1
			}
		}
		if word == "to" {
			minute = 60 - minute
			hour += 23
		}
		return p.clockTime(hour%24, minute, !sure, true, end), true
	}
	s, end, half := t.low, i+1, ""
	for _, h := range []string{"am", "pm"} {
		if cut, ok := strings.CutSuffix(s, h); ok {
			s, half = cut, h
		}
	}
	if half == "" && (low(end) == "am" || low(end) == "pm") {
		half = low(end)
		end++
	}
	if cut, ok := strings.CutSuffix(s, "h"); ok && strings.Contains(cut, ":") { // "02:50h"
		s = cut
	}
	if half == "" && low(end) == "o'clock" && hourLike(s) {
		s += ":00"
		end++
	} else if half == "" && low(end) == "o" && low(end+1) == "clock" && hourLike(s) {
		s += ":00"
		end += 2
	}
	if len(s) == 3 && half != "" && hourLike(s[:1]) && hourLike(s[1:2]) { // "215am"
		s = s[:1] + ":" + s[1:]
	}
	if half != "" {
		s = strings.Replace(s, ".", ":", 1)
		if s != "" && len(s) <= 2 && hourLike(s) {
			s += ":00"
		}
	}
	if h, m, ok := strings.Cut(s, "h"); ok && len(m) == 2 && half == "" && (len(h) == 2 || h == "0" || i > 0 && p.toks[i-1].low == "at") {
		s = h + ":" + m // "14h30"
	}
	if len(s) == len("01.45") && s[0] == '0' && s[2] == '.' {
		s = s[:2] + ":" + s[3:]
	}
	hour, minute, ok := journal.ParseClock(s)
	if !ok && len(s) == 4 && hourLike(s[:2]) && isDigit(s[2]) && isDigit(s[3]) && (s[0] == '0' || half != "") {
		hour, minute, ok = journal.ParseClock(s[:2] + ":" + s[2:])
	}
	switch {
	case !ok:
		return moment{}, false
	case half != "" && (hour == 0 && half == "pm" || hour > 12):
		return moment{}, false
	case half != "":
		hour = hour%12 + map[string]int{"pm": 12}[half]
	}
	return p.clockTime(hour, minute, half == "" && 1 <= hour && hour <= 12 && s[0] != '0', false, end), true
}

// clockTime returns the last time when a clock showed hour:minute. With twice, the time may
// be before or after noon, and the one within the cook is taken. If both are within it, a
// metric journal means the 24-hour clock; a US journal, or a time in words (inWords, "half
// past two"), means the later of the two. A time that is nearer ahead than behind is still to
// come.
func (p *parser) clockTime(hour, minute int, twice, inWords bool, end int) moment {
	at, ahead := p.lastAt(hour, minute)
	if twice && !p.mends {
		other, otherAhead := p.lastAt((hour+12)%24, minute)
		switch inside, otherInside := p.within(at) && !ahead, p.within(other) && !otherAhead; {
		case inside != otherInside:
			if otherInside {
				at, ahead = other, otherAhead
			}
		case inside && (inWords || p.grammar.Units == measure.US) && other.After(at):
			at = other
		}
	}
	return moment{at: at, end: end, ahead: ahead, twice: twice}
}

func (p *parser) lastAt(hour, minute int) (at time.Time, ahead bool) {
	at = p.clock(hour, minute)
	if p.mends || p.now.Sub(at) < halfDay {
		return at, false
	}
	if next := journal.ClockAfter(p.now, hour, minute, p.now.Location()); !next.Before(p.now) {
		if wait := next.Sub(p.now); wait > 0 && wait <= watchFast {
			return p.now, false
		} else if wait > 0 && wait < aheadBy {
			return next, true
		}
	}
	return at, false
}

// within reports whether t is within the cook, or, if the cook has no entries, within
// the last half day.
func (p *parser) within(t time.Time) bool {
	if c := p.ctx.Cook; c != nil && len(c.Entries) > 0 && c.Entries[0].Time.Before(p.now) {
		return !t.Before(c.Entries[0].Time)
	}
	return p.now.Sub(t) < halfDay
}
