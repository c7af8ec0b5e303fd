package heard

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

var numbers = map[string]float64{"a": 1, "an": 1, "one": 1, "couple": 2, "two": 2, "few": 4, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "several": 4, "half": .5, "quarter": .25, "thirty": 30, "forty": 40, "twenty": 20, "fifteen": 15}

// several is the number of hours that "for hours" counts as (chosen).
const several = 4.0

// hours returns the longest time that a sentence names, h.
func (s *sentence) hours() (most float64, ok bool) {
	if !s.lasts.read {
		s.lasts.h, s.lasts.ok = s.longest()
		s.lasts.read = true
	}
	return s.lasts.h, s.lasts.ok
}

func (s *sentence) longest() (most float64, ok bool) {
	for i, w := range s.words {
		unit := 0.0
		text := w.text
		if n := strings.TrimRight(text, "hours"); n != text && n != "" {
			if v, err := strconv.ParseFloat(n, 64); err == nil { // 3h
				most, ok = max(most, v), true
				continue
			}
		}
		switch text {
		case "h", "hr", "hrs", "hour", "hours":
			unit = 1
		case "min", "mins", "minute", "minutes":
			unit = 1. / 60
		default:
			continue
		}
		value := s.amount(i)
		if value == 1 && text == "hours" && (i == 0 || s.words[i-1].text == "for") {
			value = several // "for hours"
		}
		most, ok = max(most, value*unit), true
	}
	for i, w := range s.words { // "two hours there, then here for three"
		if v, known := numbers[w.text]; known && ok && i > 0 && s.words[i-1].text == "for" && (i+1 == len(s.words) || s.words[i+1].text == ",") {
			most = max(most, v)
		}
	}
	if !ok {
		return s.span()
	}
	return most, ok
}

// amount returns the number before the unit at i: "3", "three", "3 1/2", "four and a
// half", "half an"; 1 if there is no number.
func (s *sentence) amount(i int) float64 {
	for k := i - 1; k >= 0 && k >= i-3; k-- {
		v, ok := number(s.words[k].text)
		if !ok {
			continue
		}
		before := ""
		if k > 0 {
			before = s.words[k-1].text
		}
		whole, added := 0.0, false
		if n := k - 1; v < 1 && n >= 0 { // 3 ½, three and a half
			for n > 0 && (s.words[n].text == "a" || s.words[n].text == "and") {
				n--
			}
			whole, added = number(s.words[n].text)
		}
		switch {
		case added:
			return whole + v
		case before == "half", v == 1 && k+1 < i && s.words[k+1].text == "half":
			return .5
		}
		return v
	}
	return 1
}

// times maps words for a time of day to hours since midnight (common practice, no
// source: meals differ by an hour or two).
var times = map[string]float64{
	"midnight": 0, "dawn": 6, "sunrise": 6, "sunup": 6, "breakfast": 8, "morning": 8, "brunch": 11, "noon": 12, "midday": 12, "lunch": 13, "lunchtime": 13,
	"afternoon": 15, "tea": 17, "teatime": 17, "evening": 19, "dinner": 19, "supper": 19, "dusk": 20, "sunset": 20, "sundown": 20, "dark": 21, "nightfall": 21,
}

// timed lists words after which a bare number is a time of day.
var timed = map[string]bool{"at": true, "from": true, "since": true, "till": true, "until": true, "by": true, "around": true, "about": true, "before": true, "after": true, "to": true, "past": true}

// timeOfDay reads the time of day at word i, h since midnight. half is true if it may
// also mean twelve hours later.
func (s *sentence) timeOfDay(i int) (h float64, half, ok bool) {
	text := s.words[i].text
	if text == "a" || text == "an" {
		return 0, false, false
	}
	if h, ok = times[text]; ok {
		return h, false, i == 0 || !counts(s.words[i-1].text) && (i < 2 || !counts(s.words[i-2].text)) // "9 this morning" is 9
	}
	next := s.next(i)
	figure := strings.TrimRight(text, "apm")
	suffix := text[len(figure):]
	switch {
	case next == "am" || next == "pm":
		suffix = next
	case i+2 < len(s.words) && (next == "this" || next == "in"):
		switch of := s.words[i+2].text; {
		case of == "morning" || s.next(i+2) == "morning":
			suffix = "am"
		case of == "afternoon" || of == "evening" || s.next(i+2) == "afternoon" || s.next(i+2) == "evening":
			suffix = "pm"
		}
	}
	hour, minute, _ := strings.Cut(figure, ":")
	h, err := 0.0, strconv.ErrSyntax
	if figure != "" && figure[0] <= '9' {
		h, err = strconv.ParseFloat(hour, 64)
	}
	if err != nil {
		if h, ok = numbers[text]; !ok || h != math.Trunc(h) {
			return 0, false, false
		}
	}
	if m, err := strconv.ParseFloat(minute, 64); err == nil {
		h += m / 60
	} else if suffix == "" && (i == 0 || !timed[s.words[i-1].text]) || counted[next] && next != "am" && next != "pm" && next != "o'clock" {
		return 0, false, false
	}
	switch {
	case h >= 24 || h < 0:
		return 0, false, false
	case suffix == "pm" && h < 12:
		return h + 12, false, true
	case suffix == "am":
		return math.Mod(h, 12), false, true
	}
	return h, h <= 12, true
}

// number reads a number in digits or as a word.
func number(text string) (v float64, ok bool) {
	if v, ok = numbers[text]; ok {
		return v, true
	}
	if over, under, cut := strings.Cut(text, "/"); cut {
		a, errA := strconv.ParseFloat(over, 64)
		b, errB := strconv.ParseFloat(under, 64)
		return a / b, errA == nil && errB == nil && b > 0
	}
	v, err := strconv.ParseFloat(strings.TrimPrefix(text, "~"), 64)
	return v, err == nil
}

func counts(text string) bool {
	_, err := strconv.ParseFloat(strings.TrimRight(strings.ReplaceAll(text, ":", ""), "apm"), 64)
	_, word := numbers[text]
	return err == nil || word && text != "a" && text != "an"
}

// between returns the shortest time from one time of day to another, h.
func between(a float64, halfA bool, b float64, halfB bool) float64 {
	day := 24.0
	if halfA || halfB {
		day = 12
	}
	if h := math.Mod(b-a+2*day, day); h > 0 {
		return h
	}
	return day
}

// span returns how long something lasted, by the times of day that a sentence names:
// "from nine till one", "out at 9, on at 2", or "since noon" if the time of writing is
// known.
func (s *sentence) span() (h float64, ok bool) {
	first, at, half := -1, 0.0, false
	for i := range s.words {
		t, h12, isTime := s.timeOfDay(i)
		if !isTime {
			continue
		}
		if first < 0 {
			first, at, half = i, t, h12
			continue
		}
		began := s.anyOf(max(0, first-8), min(first+5, i), "from", "since", "out", "took", "taken", "left", "sat", "stood", "lay", "forgot", "delivered", "arrived", "dropped", "died", "off")
		ended := s.anyOf(first, i, "to", "till", "until", "on", "in", "into", "back", "away", "packed", "chilled", "found", "lit", "home", "cooled", "fridge", "put", "got", "woke", "noticed", "saw", "last", "taken", "gone", "cleared", "finished", "away")
		if began && ended {
			return between(at, half, t, h12), true
		}
	}
	if first > 0 && s.clock > 0 && s.anyOf(max(0, first-2), first, "since") {
		h = between(at, half, s.clock, false)
		if at <= s.clock && s.anyOf(max(0, first-1), min(first+2, len(s.words)), "yesterday") {
			h += 24
		}
		return h, true
	}
	return 0, false
}

// anyOf reports whether any of the words is between two places of the sentence.
func (s *sentence) anyOf(from, to int, any ...string) bool {
	for _, w := range s.words[from:to] {
		for _, a := range any {
			if w.text == a {
				return true
			}
		}
	}
	return false
}

// isClock distinguishes "on at 2" from "meat at 2": a bare number up to twelve is a
// time of day, unless a word for something with a temperature is next to it.
func (s *sentence) isClock(i int, v float64) bool {
	if i == 0 || v > 12 || v < 0 || !timed[s.words[i-1].text] {
		return false
	}
	if i > 1 && (s.words[i-2].is&cold != 0 || s.words[i-2].is&out != 0 || slices.Contains([]string{"off", "on", "in", "up", "back"}, s.words[i-2].text)) {
		return true // "fridge at 10", "off at 11"
	}
	if s.before(i, cold, 9) >= 0 && !s.wordsIn("out", "took", "taken") || s.wordsIn("core", "probe", "temperature", "degrees", "thermometer", "read", "reads", "reading", "showed", "shows") {
		return false
	}
	k := s.before(i, meat, 4)
	return k < 0 || s.words[k].text == "it" || !s.begins(k)
}

// lasting reports whether the event in the sentence lasted longer than meat may be out
// of the cold.
func (s *sentence) lasting() bool {
	if h, ok := s.hours(); ok && !s.wholeNight() {
		return h > outFor
	}
	tillDay := s.each(weekday, func(i int) bool { return s.anyOf(max(0, i-2), i, "till", "until", "since") })
	return tillDay || s.has(night|long) || s.wordsIn("asleep", "woke", "slept", "forgot", "forgotten", "still", "whole", "most")
}

// begins reports whether the noun at k is the first word of its clause, apart from
// words such as "the".
func (s *sentence) begins(k int) bool {
	for n := k - 1; n >= 0 && s.words[n].text != ","; n-- {
		if w := s.words[n]; w.is&(the|raw|meat|middle) == 0 && w.text != "of" && w.text != "and" {
			return false
		}
	}
	return true
}
