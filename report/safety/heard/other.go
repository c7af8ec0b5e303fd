package heard

import "slices"

// advice reports whether a sentence tells what not to do: "Do not …", "Never …".
func (s *sentence) advice() bool {
	return s.words[0].is&negative != 0 || len(s.words) > 1 && s.words[0].text == "do" && s.words[1].text == "not"
}

// rawTouched hears what was raw, or held raw meat, on what is eaten.
func (s *sentence) rawTouched() (m Meaning, words string) {
	clean := s.each(cleans, func(i int) bool { return !s.denied(i) })
	if clean || s.wordsIn("apart", "kept", "away") || s.advice() {
		return "", ""
	}
	s.each(raw, func(i int) bool {
		if s.after(i, other&^tool, 2) >= 0 && s.after(i, meat|juice, 2) < 0 {
			return false
		}
		k := s.near(i, tool|juice, 9)
		if k < 0 {
			k = s.find(tool|juice, 0)
		}
		if k < 0 || s.denied(i) || s.denied(k) {
			return false
		}
		m, words = RawTouched, s.quote(i, k)
		return true
	})
	if m != "" {
		return m, words
	}
	for i, w := range s.words { // the juice of a bird is that of a raw one
		if k := s.near(i, tool, 5); (w.text == "juice" || w.text == "juices" || w.text == "blood") && k >= 0 && i > 0 && !s.denied(i) {
			switch s.words[i-1].text {
			case "chicken", "turkey", "duck", "poultry", "goose":
				return RawTouched, s.quote(i-1, i, k)
			}
		}
	}
	for i, w := range s.words { // what leaks out of a parcel of raw meat
		if k := s.after(i, cooked|leftover, 7); w.text == "leaked" || w.text == "leaking" || w.text == "dripped" || w.text == "dripping" {
			if of := s.before(i, meat|raw, 6); k >= 0 && of >= 0 && !s.denied(i) && s.wordsIn("over", "on", "onto", "into") && s.wordsIn("bag", "packet", "pack", "parcel", "thawing", "uncooked", "tray") {
				return RawTouched, s.quote(of, k)
			}
		}
	}
	for i, w := range s.words {
		if w.text != "same" || s.denied(i) {
			continue
		}
		k := s.after(i, tool, 2)
		if k < 0 || !s.wordsIn("as", "for", "that", "with", "i", "we") || s.after(k, other, 5) >= 0 && s.after(k, meat, 5) < 0 {
			continue
		}
		return RawTouched, s.quote(i, k)
	}
	return "", ""
}

// marinated hears what raw meat lay in put on again without being boiled.
func (s *sentence) marinated() (m Meaning, words string) {
	s.each(marinade, func(i int) bool {
		used := s.wordsIn("lay", "sat", "soaked", "leftover", "rest", "same", "old", "used", "spent", "remaining", "reused", "drained", "from", "left", "more", "some", "had", "in") && s.near(i, again, 6) >= 0 ||
			s.before(i, the, 1) >= 0 && s.before(i, uses, 4) >= 0
		if !used || s.has(boils) || s.denied(i) || s.advice() || !s.has(uses) && !s.wordsIn("with", "as", "over", "onto") || s.wordsIn("peppers", "vegetables", "away", "threw", "binned", "discarded", "bin", "sink") {
			return false
		}
		m, words = RawTouched, s.quote(i)
		return true
	})
	return m, words
}

// fallen hears meat that fell down, and animals at it.
func (s *sentence) fallen() (m Meaning, words string) {
	s.each(falls, func(i int) bool {
		k := s.after(i, ground, 7)
		if k < 0 || s.denied(i) || s.wordsIn("asleep") {
			return false
		}
		noun := meat | other | embers | person
		of := s.before(i, noun, 5)
		if by := s.after(i, meat|other, 3); by >= 0 && by < k && (of < 0 || s.words[of].is&person != 0 && s.words[of].is&meat == 0) {
			of = by
		}
		if of >= 0 && (s.words[of].is&meat == 0 || s.words[of].is&(other|embers) != 0) {
			return false
		}
		m, words = Fallen, s.quote(i, k)
		return true
	})
	if m != "" {
		return m, words
	}
	s.each(animal, func(i int) bool {
		k := s.after(i, bites, 4)
		if k < 0 || s.denied(i) || s.denied(k) {
			return false
		}
		of := s.after(k-1, meat&^animal, 5)
		if of < 0 || s.after(k-1, other|leftover, 4) >= 0 || s.wordsIn("bone", "bones", "scraps", "trimmings") {
			return false
		}
		m, words = Fallen, s.quote(i, k)
		return true
	})
	return m, words
}

// spoiled hears how what is spoiled smells, feels and looks.
func (s *sentence) spoiled() (m Meaning, words string) {
	s.each(bad|foul, func(i int) bool {
		if s.denied(i) || s.has(sound) {
			return false
		}
		k := s.near(i, smell, 4)
		switch w := s.words[i]; {
		case w.text == "off": // "smells off", and not "took it off the fire"
			if k < 0 || k > i || i-k > 3 || i+1 < len(s.words) && s.words[i+1].is&(the|fire|meat) != 0 {
				return false
			}
		case w.is&foul == 0 && k < 0:
			return false
		}
		m, words = Spoiled, s.quote(i)
		return true
	})
	for i, w := range s.words {
		if m != "" || s.denied(i) {
			continue
		}
		after := s.next(i)
		dated := w.text == "date" || (w.text == "use" || w.text == "sell" || w.text == "best") && (after == "by" || after == "before")
		blown := w.text == "bag" || w.text == "pack" || w.text == "packet"
		if dated && s.wordsIn("past", "beyond", "out") || blown && s.wordsIn("blown", "bloated", "swollen", "puffed", "inflated") {
			m, words = Spoiled, s.quote(i)
		}
	}
	return m, words
}

// coldSmoked hears smoke without heat; of salt, cheese and the like it is no matter.
func (s *sentence) coldSmoked() (Meaning, string) {
	for i, w := range s.words {
		smoked := w.is&cooking != 0 && len(w.text) > 4 && w.text[:5] == "smoke" || len(w.text) > 5 && w.text[:6] == "smokin"
		if smoked && i > 0 && s.words[i-1].text == "cold" && !s.denied(i) && (s.near(i, other, 3) < 0 || s.near(i, meat, 3) >= 0) {
			return ColdSmoked, s.quote(i-1, i)
		}
		if len(w.text) > 8 && w.text[:9] == "coldsmoke" {
			return ColdSmoked, s.quote(i)
		}
	}
	return "", ""
}

// ill hears that somebody is ill.
func (s *sentence) ill() (m Meaning, words string) {
	s.each(sick|illness, func(i int) bool {
		if s.denied(i) || !s.meant(i) {
			return false
		}
		switch s.words[i].text {
		case "runs":
			if i == 0 || s.words[i-1].text != "the" {
				return false
			}
		case "ill", "sick": // "sick of it", "ill-fitting"
			if next := s.next(i); next == "of" || next == "fitting" || next == "bark" {
				return false
			}
		}
		if s.before(i, animal, 4) >= 0 && s.before(i, person, 6) < 0 || !s.has(person) && s.words[i].is&illness == 0 {
			return false
		}
		m, words = Ill, s.quote(i)
		return true
	})
	return m, words
}

// frail hears guests whom little makes ill, and homes that are fed.
func (s *sentence) frail() (m Meaning, words string) {
	s.each(home, func(i int) bool {
		if s.denied(i) || !s.meant(i) || !s.wordsIn("for", "to", "at", "feed", "feeding", "serve", "serving", "guests", "meal", "lunch", "dinner", "party", "supper") {
			return false
		}
		m, words = FedPublic, s.quote(i)
		return true
	})
	if m != "" {
		return m, words
	}
	s.each(frail, func(i int) bool {
		if s.denied(i) || !s.meant(i) || s.words[i].text == "baby" && s.after(i, meat, 2) >= 0 {
			return false
		}
		m, words = Frail, s.quote(i)
		return true
	})
	for i, w := range s.words {
		if m == "" && (w.text == "months" || w.text == "month") && s.wordsIn("old") && s.has(person) {
			return Frail, s.quote(i)
		}
	}
	return m, words
}

// underRoof hears a fire in a room, a tent or a vehicle.
func (s *sentence) underRoof() (m Meaning, words string) {
	s.each(roof, func(i int) bool {
		in := s.before(i, within, 4)
		if far := s.before(i, within, 6); in < 0 && far >= 0 && slices.ContainsFunc(s.words[far:i], func(w word) bool { return w.text == "of" }) {
			in = far // "in the far end of the garage"
		}
		if s.words[i].text == "indoors" || s.words[i].text == "inside" {
			in = i
		}
		if in < 0 || s.denied(i) || s.denied(in) {
			return false
		}
		k := s.before(in, moves, 6)
		if in == i && k < 0 {
			k = s.after(i, moves, 3)
		}
		f := s.before(in, fire, 7)
		if k < 0 && f < 0 && !s.wordsIn("lit", "smoking", "cooking") || k >= 0 && s.denied(k) {
			return false
		}
		if of := s.before(in, other|person|cold|holds|meat&^fire, 3); of >= 0 && s.words[of].is&fire == 0 && of > f {
			return false
		}
		if f < 0 && !s.wordsIn("cook", "cooking", "cooked", "smoking", "smoked", "lit", "lighting", "burning", "burn", "barbecue", "barbecued", "grilling") {
			return false
		}
		if f >= 0 && s.words[f].text == "it" && !s.ofPit(k) {
			return false
		}
		if s.words[i].text == "kitchen" && s.wordsIn("oven") || s.wordsIn("unlit", "empty") || s.words[i].text == "store" && k < 0 {
			return false
		}
		m, words = UnderRoof, s.quote(in, i)
		return true
	})
	return m, words
}

// ofPit reports whether "it" is the pit: the meat is carried in, a pit is rolled, and
// what is smoked in a room has its fire there.
func (s *sentence) ofPit(verb int) bool {
	if s.wordsIn("pulled") && s.wordsIn("feet", "metres", "meters", "yards") {
		return true
	}
	if verb >= 0 && slices.Contains([]string{"smoked", "smoking", "cooking", "running", "lit"}, s.words[verb].text) {
		return !s.off
	}
	return !s.off && !s.cookedMeat() && s.wordsIn("moved", "rolled", "wheeled", "dragged", "pushed", "set")
}

// hotAsh hears ash and coals put where they set something alight.
func (s *sentence) hotAsh() (m Meaning, words string) {
	s.each(embers, func(i int) bool {
		k := s.near(i, burns, 9)
		if k < 0 || s.before(i, quenched, 2) >= 0 || s.before(k, quenched, 3) >= 0 || s.denied(i) || s.denied(k) || s.wordsIn("lid", "lidded") && s.words[k].text == "bin" || s.wordsIn("metal", "galvanised", "steel") {
			return false
		}
		if s.wordsIn("bought", "new", "unburnt", "fresh") || !s.has(tips) || s.wordsIn("days", "week") && s.wordsIn("after", "later", "waited") {
			return false
		}
		m, words = HotAsh, s.quote(i, k)
		return true
	})
	return m, words
}

// fluid hears something that flares put on a fire.
func (s *sentence) fluid() (m Meaning, words string) {
	s.each(fluid, func(i int) bool {
		if s.denied(i) || s.near(i, pours, 6) < 0 || s.wordsIn("station", "van", "generator", "truck", "engine", "mower", "pump", "smell", "smelled", "smells", "wipes", "sanitizer", "gel") {
			return false
		}
		m, words = Fluid, s.quote(i)
		return true
	})
	return m, words
}
