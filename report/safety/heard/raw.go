package heard

import (
	"slices"
	"strings"
)

// birds lists words for birds. Their meat, and the juice that drips from it, count as
// raw until they are cooked through.
var birds = map[string]bool{"chicken": true, "chickens": true, "turkey": true, "duck": true, "goose": true, "poultry": true, "bird": true, "birds": true}

// touches reports whether something raw may have touched food that is eaten: something
// is on or cooked, and nothing was washed, changed or kept apart.
func (s *sentence) touches() bool {
	clean := s.each(cleans, func(i int) bool { return !s.denied(i) })
	return !clean && !s.wordsIn("apart", "kept", "away") && !s.advice() && (s.on || s.off || s.has(cooked|uses))
}

// rawOther reports whether the raw thing is an onion or a similar vegetable.
func (s *sentence) rawOther(i int) bool {
	return s.after(i, other&^tool, 2) >= 0 && s.after(i, meat|juice, 2) < 0
}

// rawTouched detects something raw, or something that held raw meat, on food that is
// eaten.
func (s *sentence) rawTouched() (m Meaning, words string) {
	if !s.touches() {
		return "", ""
	}
	s.each(raw, func(i int) bool {
		k := s.near(i, tool|juice, 9)
		if k < 0 {
			k = s.find(tool|juice, 0)
		}
		if k < 0 {
			k = slices.IndexFunc(s.words, func(w word) bool { return w.text == "same" })
		}
		if k < 0 || s.rawOther(i) || s.denied(i) || s.denied(k) && s.before(k, cleans, 3) < 0 {
			return false
		}
		m, words = RawTouched, s.quote(i, k)
		return true
	})
	return m, words
}

// handles lists verbs for what people do with raw meat on a board.
var handles = map[string]bool{"trimmed": true, "boned": true, "deboned": true, "rubbed": true, "injected": true, "butchered": true, "spatchcocked": true, "jointed": true, "butterflied": true, "skinned": true}

// unwashed detects sentences such as "the board was never washed after I trimmed it".
func (s *sentence) unwashed() (m Meaning, words string) {
	if k := s.find(meat, 0); k >= 0 && s.touches() {
		for i, w := range s.words {
			unwashed := strings.HasPrefix(w.text, "wash") && s.denied(i) && s.after(i, tool, 3) >= 0 && s.anyOf(i, len(s.words), "after", "from", "since")
			bloody := w.text == "blood" && (s.before(i, tool, 4) >= 0 || s.wordsIn("plate", "board", "tray", "dish")) && (s.has(cooked) || s.wordsIn("finished") && s.before(i, within, 4) < 0)
			shared := handles[w.text] && s.anyOf(0, i, "where") && s.wordsIn("salad", "slaw", "bread", "buns", "rolls", "onions", "vegetables", "cheese", "tomatoes")
			if unwashed || bloody || shared {
				return RawTouched, s.quote(i)
			}
		}
	}
	handled := s.has(meat) && s.wordsIn("trimmed", "trimming", "boned", "boning", "rubbed", "rubbing", "injected", "butchered", "raw")
	if !handled || !s.touches() || s.wordsIn("ring", "rim", "smoker", "pit", "grill", "grate") {
		return "", ""
	}
	s.each(cleans, func(i int) bool {
		k := s.near(i, tool, 4)
		if k < 0 || s.before(i, negative, 4) < 0 {
			return false
		}
		m, words = RawTouched, s.quote(i, k)
		return true
	})
	return m, words
}

// birdJuice detects juice from a raw bird, or its board, on food that is eaten.
func (s *sentence) birdJuice() (m Meaning, words string) {
	if !s.touches() {
		return "", ""
	}
	onto := s.wordsIn("over", "on", "onto", "into", "under", "across") && s.has(cooked)
	for i, w := range s.words {
		if k := i + 1; (s.on || s.off) && birds[w.text] && k < len(s.words) && s.has(cooked) && s.words[k].is&tool != 0 && s.words[k].is&(juice|parcel) == 0 && s.before(i, within, 2) < 0 && s.anyOf(0, i, "on", "with", "from") {
			return RawTouched, s.quote(i, k)
		}
		if w.text != "juice" && w.text != "juices" && w.text != "blood" || s.denied(i) {
			continue
		}
		bird := s.near(i, meat, 3)
		if bird >= 0 && birds[s.words[bird].text] && (s.on || s.off) && onto {
			return RawTouched, s.quote(i, bird)
		}
		if k := s.near(i, tool, 5); k >= 0 && i > 0 && birds[s.words[i-1].text] {
			return RawTouched, s.quote(i-1, i, k)
		}
	}
	return "", ""
}

// leaked detects juice that leaks out of a parcel of raw meat.
func (s *sentence) leaked() (Meaning, string) {
	if !s.touches() || !s.wordsIn("over", "on", "onto", "into") || !s.wordsIn("bag", "packet", "pack", "parcel", "thawing", "uncooked", "tray") {
		return "", ""
	}
	for i, w := range s.words {
		if w.text != "leaked" && w.text != "leaking" && w.text != "dripped" && w.text != "dripping" || s.denied(i) {
			continue
		}
		if k, of := s.after(i, cooked|leftover, 7), s.before(i, meat|raw, 6); k >= 0 && of >= 0 {
			return RawTouched, s.quote(of, k)
		}
	}
	return "", ""
}

// sameTool detects sentences such as "the same tongs as for the wings".
func (s *sentence) sameTool() (Meaning, string) {
	if !s.touches() || s.each(raw, s.rawOther) || !s.wordsIn("as", "for", "that", "with", "i", "we", "it") {
		return "", ""
	}
	for i, w := range s.words {
		k := s.after(i, tool, 2)
		if w.text == "same" && k >= 0 && !s.denied(i) && !(s.after(k, other, 5) >= 0 && s.after(k, meat, 5) < 0) {
			return RawTouched, s.quote(i, k)
		}
	}
	return "", ""
}

// marinated detects a used marinade that was put on meat without being boiled.
func (s *sentence) marinated() (m Meaning, words string) {
	boiled := s.each(boils, func(i int) bool { return s.words[i].text != "cooked" || s.after(i, meat, 2) < 0 })
	if boiled || s.advice() || s.wordsIn("keep", "keeping", "held", "hold") && s.wordsIn("back") || s.wordsIn("peppers", "vegetables", "away", "threw", "binned", "discarded", "bin", "sink") {
		return "", ""
	}
	s.each(marinade, func(i int) bool {
		if s.denied(i) || !s.has(uses) && !s.wordsIn("with", "as", "over", "onto") {
			return false
		}
		lain := s.wordsIn("lay", "sat", "soaked", "leftover", "rest", "same", "old", "used", "spent", "remaining", "reused", "drained", "from", "left", "more", "some", "had", "in") && s.near(i, again, 6) >= 0
		rest := s.has(uses) && (s.wordsIn("yesterday") || s.wordsIn("rest") && s.wordsIn("over"))
		ofRaw := s.has(uses) && i > 0 && s.words[i-1].is&meat != 0 && s.words[i-1].is&other == 0 && (s.on || s.off)
		if !lain && !rest && !ofRaw && !(s.before(i, the, 1) >= 0 && s.before(i, uses, 4) >= 0) {
			return false
		}
		m, words = RawTouched, s.quote(i)
		return true
	})
	return m, words
}

// soakedIn detects sentences such as "basted with what it soaked in".
func (s *sentence) soakedIn() (m Meaning, words string) {
	if s.has(boils) || s.advice() || !s.has(uses) {
		return "", ""
	}
	s.each(steeps|rests, func(i int) bool {
		if s.next(i) != "in" || s.after(i+1, cold|warm|meat|tool|roof, 3) >= 0 || s.before(i, meat, 3) < 0 || s.denied(i) {
			return false
		}
		m, words = RawTouched, s.quote(i)
		return true
	})
	return m, words
}
