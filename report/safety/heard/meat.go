package heard

import (
	"slices"
	"strings"
)

// Temperatures, °C, that separate a cold place from one that is not: the FDA Food Code
// 2022, 3-501.16, says 5 °C (41 °F), and the thermometer of a fridge may be 2 K off
// (from memory).
const (
	coldMost = 5.0
	coldOver = 7.0
	roomMost = 45.0
	hotHeld  = 57.0 // the same section says 57 °C for hot food
	hotFood  = 73.0 // a kelvin below the 74 °C to which 3-403.11 has food reheated
)

// outFor is how long meat may be out of the cold, and out of the heat, h (USDA-FSIS).
const outFor = 2.0

// cured is the time, h, from which on meat that was left somewhere is assumed to be
// salted or hung in the cold (chosen).
const cured = 9.0

// stillCold reports whether the sentence says that the meat or the place was cold.
func (s *sentence) stillCold() bool {
	if s.each(still, func(i int) bool { return s.after(i, stiff, 3) >= 0 }) {
		return true
	}
	return s.temps(func(_ int, c float64) bool { return c <= coldMost })
}

// warmed detects meat that was out of the cold before it went on.
func (s *sentence) warmed() (Meaning, string) {
	if s.off || s.stillCold() {
		return "", ""
	}
	if m, words := s.coldFailed(); m != "" {
		return m, words
	}
	if s.cookedMeat() {
		return "", ""
	}
	for _, r := range []rule{(*sentence).forgotten, (*sentence).satWarm, (*sentence).lay, (*sentence).outOfTheCold, (*sentence).notInTheCold, (*sentence).thawedWarm, (*sentence).tempered, (*sentence).cameWarm, (*sentence).readWarm, (*sentence).iceGone} {
		if m, words := r(s); m != "" {
			return m, words
		}
	}
	return "", ""
}

// cookedMeat reports whether the sentence is about cooked meat.
func (s *sentence) cookedMeat() bool {
	return s.boxed() || s.has(cooked|leftover) || s.wordsIn("rest", "rests")
}

// boxed reports whether the sentence is about the box in which cooked meat is held hot.
func (s *sentence) boxed() bool {
	for i, w := range s.words {
		if w.text == "box" && i > 1 && s.words[i-1].text == "the" && s.words[i-2].text == "in" {
			return true
		}
	}
	return false
}

// strength returns what the time named in the sentence means for meat that was out of
// the cold: nothing for up to two hours.
func (s *sentence) strength() Meaning {
	if h, ok := s.hours(); ok {
		switch {
		case h <= outFor && !s.wholeNight():
			return ""
		case !s.wholeNight():
			return LeftOut
		}
	}
	if s.has(meat) && s.wholeNight() {
		return NightOut
	}
	return LeftOut
}

// wholeNight distinguishes "all night" and "the night" from "a warm night".
func (s *sentence) wholeNight() bool {
	return s.each(night, func(i int) bool {
		if s.words[i].text == "overnight" || i == 0 {
			return s.words[i].text == "overnight"
		}
		if s.words[i-1].text == "the" && i > 1 && (s.words[i-2].text == "in" || s.words[i-2].text == "during") {
			return false
		}
		if i > 1 && slices.Contains([]string{"half", "part", "most", "some"}, s.words[i-2].text) {
			return false
		}
		return slices.Contains([]string{"all", "whole", "the", "a", "entire", "two", "three", "full"}, s.words[i-1].text)
	})
}

// coldFailed detects a fridge that was off or warm, and a power cut.
func (s *sentence) coldFailed() (m Meaning, words string) {
	s.each(cold, func(i int) bool {
		if w := s.words[i].text; w == "cooler" || w == "coolbox" {
			if s.on || s.before(i, the, 2) < 0 {
				return false
			}
		}
		if k := s.after(i, fails, 5); k >= 0 && !s.denied(i) && !s.denied(k) && s.failing(i, k) {
			m, words = LeftOut, s.quote(i, k)
			if s.wholeNight() && s.words[k].text != "open" && s.words[k].text != "ajar" && s.words[k].text != "warm" {
				m = NightOut
			}
			return true
		}
		if k := s.before(i, fails, 4); k >= 0 && s.wordsIn("unplugged", "dead", "broken", "switched", "turned", "unplug") && s.words[k].text != "out" && !s.denied(k) {
			m, words = LeftOut, s.quote(k, i)
			if s.wholeNight() {
				m = NightOut
			}
			return true
		}
		return s.temps(func(k int, c float64) bool {
			if c > coldOver && c < roomMost && s.reads(i, k) {
				m, words = LeftOut, s.quote(i, k)
			}
			return m != ""
		})
	})
	if m != "" || s.on && !s.has(cold) {
		return m, words
	}
	if door := s.find(cold, 0); door >= 0 && !s.on && s.wordsIn("thawed", "defrosted", "soft", "melted") && s.wordsIn("door", "found", "everything", "inside", "had", "half") && s.has(meat) && !s.denied(door) && s.find(cold, door+1) < 0 && !s.wordsIn("took", "taken", "into") {
		return LeftOut, s.quote(door)
	}
	lost := func(i int) bool {
		if s.denied(i) || !s.has(cold|meat) && s.has(fire) {
			return false
		}
		m, words = LeftOut, s.quote(i)
		if s.wholeNight() && s.has(cold) {
			m = NightOut
		}
		return true
	}
	for i, w := range s.words {
		if (w.text == "blackout" || w.text == "outage") && lost(i) {
			return m, words
		}
	}
	s.each(power, func(i int) bool {
		return s.near(i, fails, 3) >= 0 && s.words[s.near(i, fails, 3)].text != "open" && lost(i)
	})
	return m, words
}

// reads reports whether the temperature at word k belongs to the place at word i: they
// are in one clause, and nothing else is named between them.
func (s *sentence) reads(i, k int) bool {
	for n := i + 1; n < k; n++ {
		if w := s.words[n]; w.text == "," || w.is&(meat|fire) != 0 || w.text == "core" {
			return false
		}
	}
	return k > i && k-i <= 9
}

// failing distinguishes "was off" from "off to bed".
func (s *sentence) failing(i, k int) bool {
	switch s.words[k].text {
	case "off", "out", "down":
		return k == i+1 && k+1 == len(s.words) || s.before(k, weak, 2) > i || s.wordsIn("went", "goes", "switched", "turned", "switches")
	case "open":
		return s.wordsIn("left", "stood", "door", "lid", "was") && s.words[k].text == "open"
	case "packed":
		return s.wordsIn("up", "in")
	case "cut", "lost", "blew", "gone":
		return true
	}
	return true
}

// cameOut lists verbs which, before "out", say how something ended and not where it
// was.
var cameOut = []string{"came", "comes", "come", "turned", "worked", "got", "get", "taken", "took"}

// satWarm detects meat that was left or forgotten in a place that is not cold.
func (s *sentence) satWarm() (m Meaning, words string) {
	leftOut := s.wordsIn("left", "forgot", "forgotten") && s.has(out) && !s.has(other|person|fire)
	if !s.has(meat) && (s.on || s.has(fire)) && !leftOut { // a person at the fire writes about themselves
		return "", ""
	}
	s.each(rests|steeps|weak, func(i int) bool {
		if s.denied(i) || !s.ofMeat(i) {
			return false
		}
		k := s.after(i, warm|out, 10)
		if k < 0 || s.words[k].text == "warm" || s.words[k].text == "out" && slices.Contains(cameOut, s.words[k-1].text) {
			return false
		}
		if s.words[k].is&out == 0 && !s.anyOf(i, k, places...) {
			return false
		}
		place := k
		if s.words[k].is&out != 0 {
			place = s.after(k, warm, 4)
			if c := s.after(k, cold|fire, 4); c >= 0 && (place < 0 || c < place) && s.words[k+1].text == "of" {
				place = -1
				if s.words[c].is&cold == 0 {
					return false
				}
			} else if place < 0 && k+1 < len(s.words) && s.words[k+1].is&(meat|other|the) != 0 {
				return s.words[k+1].is&meat != 0 && s.has(night|long) && s.heardAt(&m, &words, i, k)
			}
		}
		if c := s.after(i, cold, 8); c >= 0 && c != k && s.before(c, negative|out, 4) < 0 {
			return false
		}
		_, timed := s.hours()
		timed = timed || s.has(night|long)
		if !timed && (place < 0 || s.words[i].is&rests == 0 || s.words[i].text == "left" && s.words[k].is&out == 0 && s.after(i, meat, 3) < 0 && !s.wordsIn("on", "in")) {
			return false
		}
		return s.heardAt(&m, &words, i, k)
	})
	return m, words
}

// lay detects sentences without a verb, such as "the brisket on the bench since lunch".
func (s *sentence) lay() (m Meaning, words string) {
	for i, w := range s.words { // "was left out, noticed it this morning", "turns out it sat there all night"
		found := w.text == "left" && s.next(i) == "out" && s.has(meat) && s.wordsIn("noticed", "found", "discovered", "saw") && s.wordsIn("morning", "hours", "later")
		there := w.is&rests != 0 && (s.next(i) == "there" || s.next(i) == "out") && s.wholeNight() && s.before(i, meat, 2) >= 0
		if !s.on && (found || there) && !s.hasFire() && !s.denied(i) && (s.clock > 0 || s.has(meat)) {
			return NightOut, s.quote(i)
		}
	}
	if s.on || !s.lasting() {
		return "", ""
	}
	if h, _ := s.hours(); h > outFor && h < cured && !s.has(cold|steeps|night) {
		s.each(rests, func(i int) bool { // "been standing there for four hours"
			if k := s.before(i, meat, 4); k >= 0 && !s.denied(i) && (!s.hasFire() || s.words[k].is&fire == 0) {
				m, words = LeftOut, s.quote(i)
			}
			return m != ""
		})
	}
	if m != "" {
		return m, words
	}
	s.each(warm, func(i int) bool {
		k, ok := s.placed(i)
		return ok && !s.denied(k) && s.heardAt(&m, &words, k, i)
	})
	return m, words
}

// placed reports whether the meat is at the place named at word i: "on" or "in" comes
// before it, the meat before that, and no other thing. k is where the words for the
// place begin.
func (s *sentence) placed(i int) (k int, ok bool) {
	if t := s.words[i].text; t == "table" && !s.off || t == "warm" || t == "car" && s.wordsIn("drove", "drive") {
		return 0, false
	}
	for k = i - 1; k > 0 && k >= i-4; k-- {
		switch s.words[k].text {
		case "on", "in", "out", "under", "by", "at", "inside":
			of := s.subject(k)
			if of == 0 {
				ok = s.has(meat)
			}
			ok = ok || of&meat != 0 && of&other == 0
			return k, ok && !s.kept(k) && s.before(k, cold|fire, 3) < 0
		case ",":
			return 0, false
		}
	}
	return 0, false
}

// kept reports whether something that keeps food cold or hot is named from word i on. A
// hot car does neither.
func (s *sentence) kept(i int) bool {
	for k := i; k < len(s.words); k++ {
		if s.words[k].is&(cold|holds) != 0 && !(s.words[k].text == "hot" && k+1 < len(s.words) && s.words[k+1].is&warm != 0) {
			return true
		}
	}
	return false
}

func (s *sentence) heardAt(m *Meaning, words *string, i, k int) bool {
	if *m = s.strength(); *m == "" {
		return false
	}
	*words = s.quote(i, k)
	return true
}

// ofMeat reports whether a verb is about the meat: the nearest noun before it, or else
// after it, is the meat, or there is no noun.
func (s *sentence) ofMeat(i int) bool {
	noun := meat | other | person
	if i > 0 && meals[s.words[i-1].text] {
		return false
	}
	if k := s.before(i, noun, 6); k >= 0 {
		if s.words[k].is&meat != 0 && s.words[k].is&other == 0 || s.words[k].is&parcel != 0 && k > 0 && (s.words[k-1].is&meat != 0 || s.words[k-1].text == "butcher's") {
			return true
		}
		if s.words[k].is&person == 0 {
			return false
		}
	}
	k := s.after(i, noun, 4)
	if of := k + 1; k >= 0 && of < len(s.words) && s.words[of].text == "of" { // a tray of meat
		if in := s.after(of, noun, 2); in >= 0 {
			k = in
		}
	}
	if k > 0 && pronouns[s.words[k].text] && s.anyOf(k-1, k, "by", "near", "beside", "with", "for", "to", "around") {
		return false // somebody sits by it
	}
	if k >= 0 && s.words[k].is&warm == 0 {
		return s.words[k].is&meat != 0 && s.words[k].is&other == 0
	}
	return s.before(i, person, 2) < 0
}

// meals lists words for meals, which are on tables but are not meat.
var meals = map[string]bool{"breakfast": true, "brunch": true, "lunch": true, "tea": true, "dinner": true, "supper": true}

// outOfTheCold detects sentences such as "out of the fridge since noon".
func (s *sentence) outOfTheCold() (m Meaning, words string) {
	s.each(out, func(i int) bool {
		c := s.after(i, cold, 4)
		if at := s.after(i, long, 4); c < 0 && at >= 0 && !s.on && !s.has(cold) && s.before(i, meat, 2) >= 0 && s.wordsIn("took", "taken", "got", "take") && !s.denied(i) {
			return s.heardAt(&m, &words, i, at)
		}
		if next := s.next(i); c < 0 || next != "of" && next != "the" || !s.ofMeat(i) || s.denied(i) {
			return false
		}
		h, ok := s.hours()
		if again := s.find(cold, c+1); again >= 0 && s.anyOf(c+1, again, "in", "into") && s.before(again, negative, 6) < 0 {
			return false // from one cold place to another
		}
		if !s.wordsIn("since", "all", "overnight") && !(ok && h > outFor) {
			return false
		}
		return s.heardAt(&m, &words, i, c)
	})
	return m, words
}

// notInTheCold detects sentences such as "did not fit in the fridge overnight".
func (s *sentence) notInTheCold() (m Meaning, words string) {
	for i, w := range s.words {
		if h, ok := s.hours(); w.text == "unrefrigerated" && ok && h > outFor && !s.denied(i) {
			return LeftOut, s.quote(i)
		}
	}
	s.each(negative, func(i int) bool {
		c := s.after(i, cold, 7)
		if c < 0 && s.wordsIn("back") && s.before(i, cold, 12) >= 0 && s.wordsIn("went", "put", "got", "go") { // "out of the fridge, and never went back in"
			m, words = LeftOut, s.quote(i)
			return true
		}
		if back := s.next(i); c < 0 && s.wordsIn("cold") && s.wordsIn("back") && (back == "made" || back == "got" || back == "went") && s.has(meat) {
			m, words = LeftOut, s.quote(i)
			return true
		}
		if c < 0 || !s.has(night|long) || !s.wordsIn("fit", "room", "space", "back", "in", "made", "got", "without") || s.wordsIn("reach", "open", "opened") {
			return false
		}
		m, words = LeftOut, s.quote(i, c)
		return true
	})
	return m, words
}

// forgotten detects that somebody forgot to put the meat into the cold.
func (s *sentence) forgotten() (m Meaning, words string) {
	for i, w := range s.words {
		forgot := w.text == "forgot" || w.text == "forgotten" || w.text == "nobody" || w.is&negative != 0 && s.wordsIn("put")
		if !forgot || s.denied(i) || !s.has(meat|leftover) && !s.wordsIn("rest") {
			continue
		}
		k := s.after(i, cold, 8)
		for n := i; k < 0 && s.off && n < len(s.words); n++ {
			if s.words[n].text == "away" {
				k = n
			}
		}
		if c := s.find(cold, 0); k < 0 && w.text == "nobody" && c >= 0 && c < i && s.wordsIn("put") && s.wordsIn("back") {
			k = c
			return LeftOut, s.quote(k, i)
		}
		if h, ok := s.hours(); k >= 0 && ok && h > outFor && strings.HasPrefix(s.words[k].text, "refrigerate") {
			return LeftOut, s.quote(i, k)
		}
		if k >= 0 && s.wordsIn("put", "get", "back", "into", "move") && (s.has(night|long) || s.wordsIn("last", "yesterday", "morning")) {
			return LeftOut, s.quote(i, k)
		}
	}
	return "", ""
}

// thawedWarm detects thawing in a place that is not cold, or in warm water.
func (s *sentence) thawedWarm() (m Meaning, words string) {
	s.each(thaws, func(i int) bool {
		if s.denied(i) || !s.ofMeat(i) && s.before(i, other, 3) >= 0 {
			return false
		}
		k := s.near(i, warm, 8)
		if k < 0 && s.wordsIn("water") && s.wordsIn("hot", "tap", "lukewarm") && !s.wordsIn("cold") {
			k = i
		}
		if k < 0 && s.after(i, out, 2) >= 0 && !s.has(cold) {
			k = s.after(i, out, 2)
		}
		if k < 0 || s.words[k].text == "warm" && !s.wordsIn("water", "place") {
			return false
		}
		if c := s.near(i, cold, 8); c >= 0 && s.before(c, out, 3) < 0 || s.wordsIn("cold") && s.wordsIn("water") {
			return false
		}
		m, words = LeftOut, s.quote(i, k)
		return true
	})
	return m, words
}
