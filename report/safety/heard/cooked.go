package heard

import "strings"

// partCooked hears meat that was cooled before it was done.
func (s *sentence) partCooked() (m Meaning, words string) {
	onAnotherDay := s.has(cools|later) || s.wordsIn("finishing") && s.wordsIn("day")
	s.each(partly, func(i int) bool {
		k := s.after(i, cooking, 2)
		if s.words[i].text == "halfway" { // "cooked it halfway", and not "halfway through"
			if k = s.before(i, cooking, 4); !s.wordsIn("finish", "finishing") {
				return false
			}
		}
		if k < 0 || s.words[k].is&fire != 0 && s.words[k].text != "smoker" || s.denied(i) || !s.ofMeat(i) || !onAnotherDay {
			return false
		}
		m, words = PartCooked, s.quote(i, k)
		return true
	})
	if m != "" {
		return m, words
	}
	if m, words = s.halfWay(); m != "" {
		return m, words
	}
	for i, w := range s.words {
		if m, words = s.goesOn(i, w.text); m != "" {
			return m, words
		}
	}
	return "", ""
}

// halfWay hears meat that was cooled from a core at which none is done.
func (s *sentence) halfWay() (m Meaning, words string) {
	if !s.has(later|weekday) || !s.wordsIn("took", "taken", "brought", "cooked", "smoked", "got", "only", "stopped", "off") {
		return "", ""
	}
	s.temps(func(i int, c float64) bool {
		k := s.find(cools&^later, i)
		if c < 25 || c > 62 || k < 0 {
			return false
		}
		m, words = PartCooked, s.quote(i, k)
		return true
	})
	return m, words
}

// goesOn hears a cook that goes on another day, after the cold.
func (s *sentence) goesOn(i int, text string) (Meaning, string) {
	var k int
	switch text {
	case "finish", "finishing", "finished", "continue", "resume", "rest":
		if k = s.find(later, 0); k < 0 || s.words[k].text == "overnight" {
			if k = s.find(weekday, 0); k < 0 || !s.has(cools) {
				return "", ""
			}
		}
		if text == "rest" && !s.wordsIn("cook", "cooking") || text == "finished" && !s.has(cools) {
			return "", ""
		}
	case "back", "start", "started", "again":
		if k = s.find(later|weekday, 0); k < 0 || !s.has(cools&^later) || !s.has(fire&^meat) && !s.wordsIn("smoke", "smoked", "smoking", "cooked") {
			return "", ""
		}
	default:
		return "", ""
	}
	if s.denied(i) || s.before(i, other|marinade, 4) >= 0 || s.after(i, other|marinade, 4) >= 0 && s.after(i, meat, 3) < 0 ||
		s.wordsIn("through", "tender", "pulled", "job", "shopping", "eaten", "reheat", "reheated", "warm") {
		return "", ""
	}
	return PartCooked, s.quote(i, k)
}

// leftStanding hears cooked meat that stood out of the heat and the cold for long.
func (s *sentence) leftStanding() (m Meaning, words string) {
	if !(s.off || s.cookedMeat()) || s.stillCold() || s.wordsIn("salad", "slaw") && !s.has(leftover) {
		return "", ""
	}
	if m, words = s.forgotten(); m != "" {
		return Standing, words
	}
	s.each(rests|weak|leftover, func(i int) bool {
		k := s.after(i, warm|out, 9)
		if s.words[i].is&leftover != 0 && k < 0 {
			k = i
		}
		if k < 0 || s.denied(i) || s.words[i].is&leftover == 0 && !s.ofMeat(i) && s.before(i, leftover, 8) < 0 {
			return false
		}
		if c := s.after(i, cold|holds, 8); c >= 0 && s.before(c, negative, 4) < 0 {
			return false
		}
		h, ok := s.hours()
		if ok && h <= outFor && !s.has(night) || !ok && !s.has(night|long) || s.wordsIn("ago") {
			return false
		}
		if s.words[k].is&(warm|out) == 0 {
			return false
		}
		m, words = Standing, s.quote(i, k)
		return true
	})
	return m, words
}

// warmedAgain hears cooked meat warmed up slowly, more than once, or to too little.
func (s *sentence) warmedAgain() (m Meaning, words string) {
	s.each(warms, func(i int) bool {
		again := s.words[i].text != "warm" && (strings.HasPrefix(s.words[i].text, "re") || s.words[i].text == "microwaved" || s.wordsIn("again", "leftover", "leftovers", "up") && s.has(meat|leftover))
		if !again || s.denied(i) || s.before(i, other, 3) >= 0 || s.after(i, other, 2) >= 0 || s.after(i, fire&^meat, 2) >= 0 && !strings.HasPrefix(s.words[i].text, "re") {
			return false
		}
		low := s.has(slow)
		cool := s.temps(func(_ int, c float64) bool { return c > 25 && c < hotFood })
		hot := s.temps(func(_ int, c float64) bool { return c >= hotFood && c < 100 })
		if hot || !(low || cool) {
			return false
		}
		m, words = WarmedSlow, s.quote(i)
		return true
	})
	return m, words
}

// undone hears what a bird or minced meat looks like that is not cooked through.
func (s *sentence) undone() (m Meaning, words string) {
	s.each(pink, func(i int) bool {
		k := s.near(i, middle, 4)
		if k < 0 || s.denied(i) || s.wordsIn("ring", "salt", "before", "butcher", "not") || !s.off && !s.cookedMeat() && !s.wordsIn("still") {
			return false
		}
		m, words = Undone, s.quote(i, k)
		return true
	})
	return m, words
}
