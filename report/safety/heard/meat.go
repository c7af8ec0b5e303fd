package heard

import "slices"

// Temperatures, °C, that tell a cold place from one that is not: FDA Food Code 2022,
// 3-501.16 has 5 °C (41 °F), and the thermometer of a fridge is good to 2 K (from memory).
const (
	coldMost = 5.0
	coldOver = 7.0
	roomMost = 45.0
	hotFood  = 73.0 // a kelvin under what 3-403.11 has food reheated to, 74 °C
)

// outFor is how long meat may be out of the cold, and out of the heat, h (USDA-FSIS).
const outFor = 2.0

// stillCold reports whether the sentence says that the meat or the place was cold.
func (s *sentence) stillCold() bool {
	if s.each(still, func(i int) bool { return s.after(i, stiff, 3) >= 0 }) {
		return true
	}
	return s.temps(func(_ int, c float64) bool { return c <= coldMost })
}

// warmed hears meat that was out of the cold before it went on.
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
	for _, r := range []rule{(*sentence).forgotten, (*sentence).satWarm, (*sentence).lay, (*sentence).outOfTheCold, (*sentence).notInTheCold, (*sentence).thawedWarm, (*sentence).tempered, (*sentence).cameWarm, (*sentence).readWarm} {
		if m, words := r(s); m != "" {
			return m, words
		}
	}
	return "", ""
}

// cookedMeat reports whether the sentence is of meat that is cooked.
func (s *sentence) cookedMeat() bool {
	return s.has(cooked|leftover) || s.wordsIn("rest", "rests")
}

// strength is what the time named in the sentence makes of meat that was out of the
// cold: nothing for up to two hours.
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

// wholeNight tells "all night" and "the night" from "a warm night".
func (s *sentence) wholeNight() bool {
	return s.each(night, func(i int) bool {
		if s.words[i].text == "overnight" || i == 0 {
			return s.words[i].text == "overnight"
		}
		if s.words[i-1].text == "the" && i > 1 && (s.words[i-2].text == "in" || s.words[i-2].text == "during") {
			return false
		}
		return slices.Contains([]string{"all", "whole", "the", "a", "entire", "two", "three", "full"}, s.words[i-1].text)
	})
}

// coldFailed hears a fridge that was off, or warm, and a power cut.
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

// reads reports whether a temperature at k is that of the place at i: in the same
// clause, and of nothing named between.
func (s *sentence) reads(i, k int) bool {
	for n := i + 1; n < k; n++ {
		if w := s.words[n]; w.text == "," || w.is&(meat|fire) != 0 || w.text == "core" {
			return false
		}
	}
	return k > i && k-i <= 7
}

// failing tells "was off" from "off to bed".
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

// satWarm hears meat that lay, stood or was forgotten in a place that is not cold.
func (s *sentence) satWarm() (m Meaning, words string) {
	if !s.has(meat) && (s.on || s.has(fire)) { // who keeps the fire writes of himself
		return "", ""
	}
	s.each(rests|steeps|weak, func(i int) bool {
		if s.denied(i) || !s.ofMeat(i) {
			return false
		}
		k := s.after(i, warm|out, 10)
		if k < 0 || s.words[k].text == "warm" {
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

// lay hears "then on the counter for three hours", without a verb.
func (s *sentence) lay() (m Meaning, words string) {
	s.each(warm, func(i int) bool {
		if i < 2 || s.words[i].text == "table" || !s.has(meat) || s.denied(i-2) || s.before(i, other|fire|person, 4) >= 0 {
			return false
		}
		in := s.words[i-2].text == "on" || s.words[i-2].text == "in"
		if next := s.next(i); !in || s.on || next != "for" && next != "since" && next != "overnight" {
			return false
		}
		return s.heardAt(&m, &words, i-2, i)
	})
	return m, words
}

func (s *sentence) heardAt(m *Meaning, words *string, i, k int) bool {
	if *m = s.strength(); *m == "" {
		return false
	}
	*words = s.quote(i, k)
	return true
}

// ofMeat reports whether what a verb is said of is the meat: the nearest noun before
// it, else after it; without either it is.
func (s *sentence) ofMeat(i int) bool {
	noun := meat | other | person
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
	if k >= 0 && s.words[k].is&warm == 0 {
		return s.words[k].is&meat != 0 && s.words[k].is&other == 0
	}
	return s.before(i, person, 2) < 0
}

// outOfTheCold hears "out of the fridge since noon".
func (s *sentence) outOfTheCold() (m Meaning, words string) {
	s.each(out, func(i int) bool {
		c := s.after(i, cold, 4)
		if at := s.after(i, long, 4); c < 0 && at >= 0 && !s.on && !s.has(cold) && s.before(i, meat, 2) >= 0 && s.wordsIn("took", "taken", "got", "take") && !s.denied(i) {
			return s.heardAt(&m, &words, i, at)
		}
		if c < 0 || i+1 >= len(s.words) || s.words[i+1].text != "of" || !s.ofMeat(i) || s.denied(i) {
			return false
		}
		h, ok := s.hours()
		if !s.wordsIn("since", "all", "overnight") && !(ok && h > outFor) {
			return false
		}
		return s.heardAt(&m, &words, i, c)
	})
	return m, words
}

// notInTheCold hears "did not fit in the fridge overnight".
func (s *sentence) notInTheCold() (m Meaning, words string) {
	s.each(negative, func(i int) bool {
		c := s.after(i, cold, 7)
		if c < 0 || !s.has(night|long) || !s.wordsIn("fit", "room", "space", "back", "in", "made", "got", "without") || s.wordsIn("reach", "open", "opened") {
			return false
		}
		m, words = LeftOut, s.quote(i, c)
		return true
	})
	return m, words
}

// forgotten hears that somebody forgot to put it into the cold.
func (s *sentence) forgotten() (m Meaning, words string) {
	for i, w := range s.words {
		if w.text != "forgot" && w.text != "forgotten" || s.denied(i) || !s.has(meat|leftover) {
			continue
		}
		if k := s.after(i, cold, 8); k >= 0 && s.wordsIn("put", "get", "back", "into", "move") && (s.has(night|long) || s.wordsIn("last", "yesterday")) {
			return LeftOut, s.quote(i, k)
		}
	}
	return "", ""
}

// thawedWarm hears thawing out of the cold, or in warm water.
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

// tempered hears meat that was let come up to the temperature of the room.
func (s *sentence) tempered() (m Meaning, words string) {
	for i, w := range s.words {
		chill := w.text == "chill" && s.wordsIn("off") && s.wordsIn("take", "took", "taking")
		if w.text != "roomtemp" && !(w.text == "tempered" && s.has(meat)) && !chill || s.denied(i) || s.before(i, other, 8) >= 0 && s.before(i, meat, 8) < 0 {
			continue
		}
		if m = s.strength(); m == NightOut {
			m = LeftOut
		}
		if m != "" {
			return m, s.quote(i)
		}
	}
	return "", ""
}

// cameWarm hears meat that came warm out of a parcel or a bag.
func (s *sentence) cameWarm() (m Meaning, words string) {
	if s.on {
		return "", ""
	}
	for i, w := range s.words {
		switch w.text {
		case "lukewarm", "tepid", "warm", "melted", "thawed":
		default:
			continue
		}
		parcel := s.wordsIn("parcel", "package", "delivery", "delivered", "courier", "post", "mail", "shipment", "icepack", "gelpack", "touch", "felt", "feels", "arrived", "came") || s.before(i, ice, 3) >= 0 && s.has(cold)
		if parcel && !s.denied(i) && (w.text != "warm" || !s.has(fire&^meat) || s.wordsIn("touch", "felt")) && s.before(i, other, 4) < 0 && !s.wordsIn("weather", "hands") {
			return LeftOut, s.quote(i)
		}
	}
	return "", ""
}

// readWarm hears what the meat read before it went on.
func (s *sentence) readWarm() (m Meaning, words string) {
	if s.on || s.has(fire&^meat) || s.wordsIn("core", "probe", "after", "h", "hour", "hours", "aim", "stall") {
		return "", ""
	}
	s.temps(func(k int, c float64) bool {
		i := s.before(k, meat, 4)
		if i < 0 || c <= coldOver+1 || c >= roomMost || s.before(k, weak, 3) < i && s.words[k-1].text != "at" {
			return false
		}
		m, words = LeftOut, s.quote(i, k)
		return true
	})
	return m, words
}

// waterBath hears meat out of a water bath; an ice bath is no such.
func (s *sentence) waterBath() (Meaning, string) {
	for i, w := range s.words {
		if (w.text == "waterbath" || w.text == "circulator") && !s.denied(i) && s.before(i, ice|stiff, 2) < 0 {
			return WaterBath, s.quote(i)
		}
	}
	return "", ""
}
