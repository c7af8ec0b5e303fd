package heard

import (
	"slices"
	"strings"
)

// partCooked detects meat that was cooled before it was done.
func (s *sentence) partCooked() (m Meaning, words string) {
	onAnotherDay := s.has(cools|later|thaws) || s.wordsIn("frozen") || s.wordsIn("finishing") && s.wordsIn("day")
	s.each(partly, func(i int) bool {
		k := s.after(i, cooking, 2)
		if s.words[i].is&cooking != 0 { // parboiled
			k = i
		}
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
	if m, words = s.twice(); m != "" {
		return m, words
	}
	if m, words = s.twoDays(); m != "" {
		return m, words
	}
	for i, w := range s.words {
		if m, words = s.goesOn(i, w.text); m != "" {
			return m, words
		}
	}
	return "", ""
}

// halfWay detects meat that was cooled when its core was still too low to be done.
func (s *sentence) halfWay() (m Meaning, words string) {
	cookedOnce := s.off && s.wordsIn("only") || s.has(later|weekday) && s.wordsIn("took", "taken", "brought", "cooked", "smoked", "got", "only", "stopped", "off")
	goesOn := s.wordsIn("finish", "finishing", "continue", "resume", "back", "again", "rest")
	if !cookedOnce && !goesOn {
		return "", ""
	}
	s.temps(func(i int, c float64) bool {
		k := s.find(cools&^later, 0)
		if c < 25 || c > 62 || k < 0 || s.find(warms, 0) >= 0 {
			return false
		}
		m, words = PartCooked, s.quote(min(i, k), max(i, k))
		return true
	})
	return m, words
}

// twice detects meat that was cooked, cooled and cooked again: "boiled last night, cooled,
// grilled today".
func (s *sentence) twice() (m Meaning, words string) {
	if !s.has(later|weekday) || s.cookedMeat() || s.has(warms) {
		return "", ""
	}
	s.each(cools, func(i int) bool {
		heat := cooking &^ fire
		if s.words[i].is&later != 0 || s.denied(i) {
			return false
		}
		a, b := -1, s.find(heat, i+1)
		for k := i + 1; b < 0 && k < len(s.words); k++ {
			if s.words[k].text == "oven" {
				b = k
			}
		}
		for k := 0; k < i; k++ {
			if s.words[k].is&heat != 0 && s.words[k].is&fire == 0 {
				a = k
			}
		}
		if a < 0 || b < 0 || s.words[b].is&fire != 0 || !s.ofMeat(a) {
			return false
		}
		m, words = PartCooked, s.quote(i, b)
		return true
	})
	return m, words
}

// twoDays detects a cook that begins on one day and ends on another: "two hours on
// Saturday, the rest on Sunday".
func (s *sentence) twoDays() (Meaning, string) {
	ends := s.wordsIn("finish", "finishing", "finished", "last", "more", "remaining", "second")
	whole := s.has(warms|leftover) || s.wordsIn("way", "done", "tender", "reheat", "eat", "eaten", "brine", "salt", "rub", "fire", "order", "next")
	if !ends || whole || s.cookedMeat() && !s.wordsIn("rest") || !s.has(cooking|cools) && !s.wordsIn("oven", "hours", "hour") {
		return "", ""
	}
	first := -1
	for i, w := range s.words {
		day := w.is&(weekday|later) != 0 && w.text != "overnight" && w.text != "later" && w.text != "weekend" && w.text != "ahead" || w.text == "today" || w.text == "tonight"
		switch {
		case !day || s.denied(i):
		case first >= 0 && s.words[first].text != w.text:
			return PartCooked, s.quote(first, i)
		case first < 0:
			first = i
		}
		if first < 0 && w.text == "tomorrow" && s.wordsIn("hour", "hours") && s.has(cools&^later) {
			return PartCooked, s.quote(i)
		}
	}
	if first >= 0 && s.words[first].text == "tomorrow" && (s.anyOf(0, first, "one") || s.wordsIn("last") && s.has(cools&^later)) {
		return PartCooked, s.quote(first)
	}
	return "", ""
}

// goesOn detects a cook that goes on on another day, after the meat was in the cold.
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
		if k = s.find(later|weekday, 0); k < 0 || !s.has(cools&^later) || !s.hasFire() && !s.wordsIn("smoke", "smoked", "smoking", "cooked", "hours") {
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

// leftStanding detects cooked meat that was neither kept hot nor cold for long.
func (s *sentence) leftStanding() (m Meaning, words string) {
	if !(s.off || s.cookedMeat()) || s.stillCold() || s.wordsIn("salad", "slaw") && !s.has(leftover) {
		return "", ""
	}
	if m, words = s.forgotten(); m != "" {
		return Standing, words
	}
	for _, r := range []rule{(*sentence).neglected, (*sentence).stood, (*sentence).unkept, (*sentence).served} {
		if m, words = r(s); m != "" {
			return m, words
		}
	}
	return "", ""
}

// boxFor is how long a closed box keeps cooked meat hot, h: in the fastest known box,
// meat cools from 90 °C to 57 °C in five and a half hours.
const boxFor = 5.5

// keptHot reports whether the sentence says that the meat was hot.
func (s *sentence) keptHot() bool {
	for _, w := range s.words {
		if v, ok := number(w.text); ok && v >= hotHeld && v < 100 {
			return true
		}
	}
	return s.wordsIn("hot", "steaming", "steamy")
}

// neglected detects meat that nobody looked after once it was off: held too cool,
// forgotten in the pit or the oven, left while somebody slept, or in a box for longer
// than a box keeps it hot.
func (s *sentence) neglected() (Meaning, string) {
	if !s.off {
		return "", ""
	}
	h, timed := s.hours()
	cool := s.temps(func(_ int, c float64) bool { return c > 10 && c < hotHeld }) && !s.temps(func(_ int, c float64) bool { return c >= hotHeld })
	if cool && s.lasting() && s.wordsIn("held", "hold", "holding", "warmer", "oven", "kept", "keeping") {
		return Standing, s.quote(0, len(s.words)-1)
	}
	for i, w := range s.words {
		denied := s.denied(i)
		switch w.text {
		case "hot", "heat", "heated":
			if denied && timed && h > outFor && s.has(cooked|leftover|meat) && s.words[i-1].text != "too" {
				return Standing, s.quote(i)
			}
		case "cooler":
			if timed && h > boxFor && !s.keptHot() && !s.wordsIn("ago", "ice") {
				return Standing, s.quote(i)
			}
		}
		if denied {
			continue
		}
		switch w.text {
		case "forgot", "forgotten":
			if s.has(meat) && !s.has(cold) && s.wordsIn("pit", "smoker", "grill", "oven", "warmer", "microwave", "car") {
				return Standing, s.quote(i)
			}
		case "asleep":
			if s.wordsIn("rest", "pull", "cool", "away", "wait", "waiting", "fridge", "chill") {
				return Standing, s.quote(i)
			}
		case "roomtemp":
			if s.lasting() {
				return Standing, s.quote(i)
			}
		case "light":
			if s.lasting() && s.wordsIn("oven") {
				return Standing, s.quote(i)
			}
		}
	}
	return "", ""
}

// stood detects sentences such as "the meat sat on the counter all night".
func (s *sentence) stood() (m Meaning, words string) {
	h, ok := s.hours()
	if ok && h <= outFor && !s.has(night) || !ok && !s.has(night|long) || s.wordsIn("ago") {
		return "", ""
	}
	s.each(rests|weak|leftover, func(i int) bool {
		k := s.after(i, warm|out, 9)
		if k < 0 || s.denied(i) || s.words[k].is&out != 0 && slices.Contains(cameOut, s.words[k-1].text) || s.words[i].is&leftover == 0 && !s.ofMeat(i) && s.before(i, leftover, 8) < 0 {
			return false
		}
		if c := s.after(i, cold|holds, 8); c >= 0 && s.before(c, negative, 4) < 0 {
			return false
		}
		m, words = Standing, s.quote(i, k)
		return true
	})
	return m, words
}

// served detects food that was out from one hour to another, and meat that was in a
// warm place for long, in sentences without a verb for it.
func (s *sentence) served() (m Meaning, words string) {
	keptHot := s.temps(func(_ int, c float64) bool { return c >= hotHeld })
	if !s.off || keptHot || !s.lasting() {
		return "", ""
	}
	if h, ok := s.span(); ok && h > outFor {
		for i, w := range s.words {
			of := w.is&leftover != 0 || w.is&out != 0 && s.before(i, meat, 3) >= 0
			if of && s.find(cold|holds, i) < 0 {
				return Standing, s.quote(i)
			}
		}
	}
	s.each(warm, func(i int) bool {
		k, ok := s.placed(i)
		if ok && !s.denied(k) && !s.wordsIn("ago") {
			m, words = Standing, s.quote(k, i)
		}
		return m != ""
	})
	return m, words
}

// unkept detects cooked meat that was somewhere for hours, neither in the cold nor kept
// hot.
func (s *sentence) unkept() (Meaning, string) {
	oven := s.wordsIn("oven") && s.wordsIn("off", "cold", "unlit")
	resting := s.wordsIn("rested", "resting")
	for i, w := range s.words {
		resting = resting || w.text == "rest" && s.next(i) != "of"
	}
	if !s.off || !s.lasting() || s.boxed() || s.has(cold|negative) && !s.has(ice) || s.has(holds) && !oven || s.hasFire() || (resting || s.wordsIn("ago", "towels")) && !oven && !s.wordsIn("home") {
		return "", ""
	}
	if s.temps(func(_ int, c float64) bool { return c >= hotHeld }) {
		return "", ""
	}
	for i, w := range s.words {
		stays := w.is&rests != 0 || slices.Contains([]string{"carried", "brought", "drove", "took"}, w.text) && s.has(parcel|ice) || w.text == "kept" || w.text == "out" && (i == 0 || !slices.Contains(cameOut, s.words[i-1].text))
		if !stays || s.denied(i) || i > 0 && s.words[i-1].is&person != 0 && s.near(i, meat, 3) < 0 {
			continue
		}
		near := s.near(i, meat|leftover, 6)
		if near < 0 && s.after(i, the, 1) >= 0 && s.words[min(i+2, len(s.words)-1)].text == "rest" {
			near = i
		}
		if near < 0 || s.otherThan(parcel, i, 4) || s.words[near].is&other != 0 {
			continue
		}
		return Standing, s.quote(min(near, i), max(near, i))
	}
	return "", ""
}

// warmedAgain detects cooked meat that was warmed up slowly, more than once, or to too
// low a temperature.
func (s *sentence) warmedAgain() (m Meaning, words string) {
	i := s.find(cold, 0)
	fromCold := i > 0 && s.words[max(0, i-2)].text == "from"
	if !fromCold {
		i = s.find(leftover, 0)
	}
	if s.off && i >= 0 && s.wordsIn("oven", "pit", "grill", "smoker", "pan") && !s.temps(func(_ int, c float64) bool { return c >= hotFood && c < 79 }) {
		if s.temps(func(_ int, c float64) bool { return c > 10 && c < hotFood }) {
			return WarmedSlow, s.quote(max(0, i-1), i)
		}
	}
	if k := s.find(slow, 0); k >= 0 && s.off && (s.has(leftover) || s.wordsIn("cold") && s.has(meat)) && s.lasting() && !s.hasFire() && !s.temps(func(_ int, c float64) bool { return c >= hotHeld }) {
		return WarmedSlow, s.quote(k)
	}
	if k := s.find(slow, 0); k >= 0 && s.off && s.has(meat|leftover) && s.temps(func(_ int, c float64) bool { return c > 25 && c < hotHeld }) {
		return WarmedSlow, s.quote(k)
	}
	warmed := warms
	if s.off && (s.has(leftover) || s.wordsIn("cold")) && !s.wordsIn("rest") {
		warmed |= cooking
	}
	s.each(warmed, func(i int) bool {
		if s.words[i].is&warms == 0 && s.words[i].is&fire != 0 || s.words[i].is&cooked != 0 {
			return false
		}
		again := s.off && (s.words[i].text != "warm" || s.next(i) == "up") && (s.near(i, meat|cooked|leftover, 4) >= 0) || s.words[i].text != "warm" && (strings.HasPrefix(s.words[i].text, "re") || s.words[i].text == "microwaved" || s.wordsIn("again", "leftover", "leftovers", "up") && s.has(meat|leftover))
		if !again || s.denied(i) || s.before(i, other, 3) >= 0 || s.after(i, other, 2) >= 0 || s.warmsPit(i) && !strings.HasPrefix(s.words[i].text, "re") {
			return false
		}
		low := s.has(slow)
		cool := s.temps(func(_ int, c float64) bool { return c > 25 && c < hotFood })
		if s.wordsIn("hot") && (s.wordsIn("hand") || s.each(negative, func(k int) bool {
			n := s.after(k, holds, 4)
			return n >= 0 && s.words[n].text == "hot"
		})) || strings.HasPrefix(s.words[i].text, "re") && s.wordsIn("again", "twice", "third", "second") {
			low = true
		}
		low = low || s.wordsIn("cold") && s.has(middle) && s.has(still)
		hot := s.temps(func(_ int, c float64) bool { return c >= hotFood && c < 100 })
		if hot || !(low || cool) {
			return false
		}
		m, words = WarmedSlow, s.quote(i)
		return true
	})
	return m, words
}

// warmsPit reports whether the sentence is about warming the pit, not meat.
func (s *sentence) warmsPit(i int) bool {
	k := s.after(i, fire, 2)
	return k >= 0 && s.words[k].is&meat == 0
}

// undone detects descriptions of a bird or minced meat that is not cooked through.
func (s *sentence) undone() (m Meaning, words string) {
	s.temps(func(i int, c float64) bool { // "took them off at 60": of a bird and of minced meat
		if s.off && c > 40 && c < 70 && s.words[max(0, i-1)].text == "at" && s.before(i, meat, 6) >= 0 && s.anyOf(max(0, i-4), i, "off") {
			m, words = Undone, s.quote(i-1, i)
		}
		return m != ""
	})
	if m != "" {
		return m, words
	}
	s.each(pink, func(i int) bool {
		k := s.near(i, middle, 4)
		if k < 0 && s.off && (s.words[i].text == "bloody" || s.words[i].text == "red" && s.wordsIn("juices", "juice", "cavity")) {
			k = s.find(middle, 0)
		}
		if k < 0 || s.denied(i) || s.wordsIn("ring", "salt", "before", "butcher", "not") || !s.off && !s.cookedMeat() && !s.wordsIn("still") {
			return false
		}
		m, words = Undone, s.quote(i, k)
		return true
	})
	return m, words
}
