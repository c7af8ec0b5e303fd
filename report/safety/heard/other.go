package heard

import (
	"slices"
	"strconv"
	"strings"
)

// birds are raw until they are cooked through, and so is what drips from them.
var birds = map[string]bool{"chicken": true, "chickens": true, "turkey": true, "duck": true, "goose": true, "poultry": true, "bird": true, "birds": true}

// pronouns may stand for the meat, and for all else.
var pronouns = map[string]bool{"it": true, "they": true, "them": true, "both": true, "everything": true, "lot": true}

// advice reports whether a sentence tells what not to do: "Do not …", "Never …".
func (s *sentence) advice() bool {
	switch s.words[0].text {
	case "no", "never", "don't", "dont":
		return true
	}
	return len(s.words) > 1 && s.words[0].text == "do" && s.words[1].text == "not"
}

// rawTouched hears what was raw, or held raw meat, on what is eaten.
func (s *sentence) rawTouched() (m Meaning, words string) {
	clean := s.each(cleans, func(i int) bool { return !s.denied(i) })
	if clean || s.wordsIn("apart", "kept", "away") || s.advice() {
		return "", ""
	}
	if !s.on && !s.off && !s.has(cooked|uses) { // raw meat on a board
		return "", ""
	}
	rawOther := false
	s.each(raw, func(i int) bool {
		if s.after(i, other&^tool, 2) >= 0 && s.after(i, meat|juice, 2) < 0 {
			rawOther = true
			return false
		}
		k := s.near(i, tool|juice, 9)
		if k < 0 {
			k = s.find(tool|juice, 0)
		}
		for n, w := range s.words {
			if k < 0 && w.text == "same" {
				k = n
			}
		}
		if k < 0 || s.denied(i) || s.denied(k) && s.before(k, cleans, 3) < 0 {
			return false
		}
		m, words = RawTouched, s.quote(i, k)
		return true
	})
	if m != "" {
		return m, words
	}
	if s.on || s.off || s.has(cooked) { // "the board was never washed"
		for i, w := range s.words {
			if w.is&cleans == 0 || !s.denied(i) && s.before(i, negative, 4) < 0 || s.wordsIn("ring", "rim", "smoker", "pit", "grill", "grate") {
				continue
			}
			if k := s.near(i, tool, 4); k >= 0 && s.has(meat) && s.wordsIn("trimmed", "trimming", "boned", "boning", "rubbed", "rubbing", "injected", "butchered", "raw") {
				return RawTouched, s.quote(i, k)
			}
		}
	}
	for i, w := range s.words { // the juice of a bird is that of a raw one
		if k := i + 1; (s.on || s.off) && birds[w.text] && k < len(s.words) && s.has(cooked) && slices.Contains([]string{"board", "plate", "knife", "tray", "tongs", "dish"}, s.words[k].text) && s.before(i, within, 2) < 0 && s.anyOf(0, i, "on", "with", "from") {
			return RawTouched, s.quote(i, k)
		}
		if bird := s.near(i, meat, 3); (w.text == "blood" || w.text == "juice" || w.text == "juices") && bird >= 0 && birds[s.words[bird].text] && (s.on || s.off) && s.wordsIn("over", "on", "onto", "into", "under", "across") && s.has(cooked) && !s.denied(i) {
			return RawTouched, s.quote(i, bird)
		}
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
		if w.text != "same" || s.denied(i) || rawOther {
			continue
		}
		k := s.after(i, tool, 2)
		if k < 0 || !s.wordsIn("as", "for", "that", "with", "i", "we", "it") || s.after(k, other, 5) >= 0 && s.after(k, meat, 5) < 0 {
			continue
		}
		return RawTouched, s.quote(i, k)
	}
	return "", ""
}

// marinated hears what raw meat lay in put on again without being boiled.
func (s *sentence) marinated() (m Meaning, words string) {
	s.each(marinade, func(i int) bool {
		used := s.wordsIn("yesterday") && s.has(uses) || s.wordsIn("lay", "sat", "soaked", "leftover", "rest", "same", "old", "used", "spent", "remaining", "reused", "drained", "from", "left", "more", "some", "had", "in") && s.near(i, again, 6) >= 0 || s.has(uses) && s.before(len(s.words), again, len(s.words)) < 0 && s.wordsIn("rest") && s.wordsIn("over") ||
			s.before(i, the, 1) >= 0 && s.before(i, uses, 4) >= 0
		if !used || s.has(boils) || s.denied(i) || s.advice() || !s.has(uses) && !s.wordsIn("with", "as", "over", "onto") || s.wordsIn("peppers", "vegetables", "away", "threw", "binned", "discarded", "bin", "sink") {
			return false
		}
		m, words = RawTouched, s.quote(i)
		return true
	})
	if m != "" || s.has(boils) || s.advice() {
		return m, words
	}
	s.each(steeps|rests, func(i int) bool { // "basted with what it soaked in"
		if s.next(i) != "in" || s.after(i+1, cold|warm|meat|tool|roof, 3) >= 0 || s.before(i, meat, 3) < 0 || s.find(uses, 0) < 0 || s.denied(i) {
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
		k := s.after(i, ground, 9)
		if k < 0 && s.near(i, meat, 3) >= 0 {
			k = s.beyond(i, ground, other|person, 7)
		}
		if got := s.after(i, meat, 3); k < 0 && got >= 0 && s.words[i].text != "lost" && s.next(i) != "to" && !s.denied(i) && !s.hasFire() && s.wordsIn("picked", "rinsed", "hosed", "brushed", "wiped", "dusted", "blew", "washed") {
			m, words = Fallen, s.quote(i, got)
			return true
		}
		if k < 0 || s.next(i) == "to" || s.before(i, fire&^meat, 2) >= 0 && s.words[s.before(i, fire, 2)].is&meat == 0 || s.denied(i) || s.wordsIn("asleep") || s.words[k].is&embers != 0 && s.before(k, within, 2) < 0 {
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
	if m == "" && !s.hasFire() {
		s.each(ground, func(i int) bool { // "half the pork on the garage floor"
			switch s.words[i].text {
			case "floor", "ground", "dirt", "mud", "gravel", "carpet", "lino", "soil":
			case "ash", "ashes":
				if s.before(i, within, 3) < 0 || s.before(i, other|embers, 3) >= 0 {
					return false
				}
			default:
				if !s.wordsIn("onto", "across", "over") {
					return false
				}
			}
			k := s.before(i, within, 4)
			for n := i - 1; k < 0 && n > 0 && n >= i-4; n-- {
				if t := s.words[n].text; t == "on" || t == "onto" || t == "across" || t == "over" {
					k = n
				}
			}
			if k < 0 || s.denied(k) || s.subject(k)&meat == 0 || s.subject(k)&other != 0 || s.before(k, cooking|cold|parcel|steeps, 5) >= 0 {
				return false
			}
			m, words = Fallen, s.quote(k, i)
			return true
		})
	}
	if m != "" {
		return m, words
	}
	s.each(animal, func(i int) bool {
		k := s.after(i, bites, 6)
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
		if of := s.subject(i); s.denied(i) || s.has(sound) || of&other != 0 && of&meat == 0 && s.words[i].text != "off" && !s.wordsIn("bag", "package", "packet") {
			return false
		}
		k := s.near(i, smell, 4)
		switch w := s.words[i]; {
		case slices.Contains([]string{"bits", "patch", "patches", "spots", "spot", "tinge", "sheen"}, s.next(i)) && s.subject(i)&meat != 0:
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
	for i, w := range s.words { // "smelled like cheese"
		if next := s.next(i); m == "" && w.is&smell != 0 && (next == "like" || next == "of") && s.anyOf(i, len(s.words), "cheese", "feet", "eggs", "drains", "fish", "bin", "socks") && s.subject(i)&(other|person) == 0 && !s.denied(i) {
			return Spoiled, s.quote(i, i+1)
		}
	}
	for i, w := range s.words {
		if m != "" || s.denied(i) {
			continue
		}
		after := s.next(i)
		dated := w.text == "date" || (w.text == "use" || w.text == "sell" || w.text == "best") && (after == "by" || after == "before")
		blown := w.text == "bag" || w.text == "pack" || w.text == "packet"
		blown = blown && s.subject(i)&other == 0
		if w.text == "expired" || dated && s.wordsIn("past", "beyond", "out", "was", "gone", "ago", "yesterday", "over", "old", "passed") || blown && s.wordsIn("blown", "bloated", "swollen", "puffed", "inflated", "balloon", "ballooned") {
			m, words = Spoiled, s.quote(i)
		}
	}
	return m, words
}

// coldSmoked hears smoke without heat; of salt, cheese and the like it is no matter.
func (s *sentence) coldSmoked() (Meaning, string) {
	for i, w := range s.words {
		smoked := w.is&cooking != 0 && len(w.text) > 4 && w.text[:5] == "smoke" || len(w.text) > 5 && w.text[:6] == "smokin"
		if smoked && i > 0 && s.words[i-1].text == "cold" && !s.denied(i) && (s.near(i, other, 3) < 0 && s.subject(i)&other == 0 || s.near(i, meat, 3) >= 0) {
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
			if next := s.next(i); next == "of" || next == "fitting" || next == "bark" || !pronouns[next] && classOf(next)&meat != 0 {
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

// oldAge is from when on a person counts as old: little makes most ill after 65, and
// younger ones are seldom named with their age (chosen).
const oldAge = 75

// frail hears guests whom little makes ill, and homes that are fed.
func (s *sentence) frail() (m Meaning, words string) {
	s.each(home, func(i int) bool {
		if s.before(i, within, 2) >= 0 && s.words[s.before(i, within, 2)].text != "to" { // who lies in hospital
			return false
		}
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
		unit := w.text == "months" || w.text == "month" || w.text == "weeks" || w.text == "week"
		aged := i > 2 && s.words[i-2].text == "," && s.words[i-3].is&person != 0 && (s.next(i) == "," || s.next(i) == "")
		if m == "" && unit && aged {
			return Frail, s.quote(i)
		}
		if next := s.next(i); m == "" && unit && (next == "old" || next == "gone" || next == "along" || next == "pregnant") && s.has(person) {
			return Frail, s.quote(i)
		}
		next := s.next(i)
		if v, err := strconv.Atoi(w.text); m == "" && err == nil && v >= oldAge && v < 105 && (next == "" || next == "," || next == "and" || next == "years" || next == "year") {
			if k := i - 1; k > 0 && (s.words[k].text == "," && s.words[k-1].is&person != 0 || s.words[k].is&person != 0 && next != "and" || s.words[k].text == "is" && s.words[k-1].is&person != 0 || s.words[k].text == "turns" || s.words[k].text == "aged" || s.words[k].text == "turning" || s.words[k].text == "over" || s.words[k].text == "past" || s.words[k].text == "nearly" || s.words[k].text == "almost") && s.each(person, func(n int) bool { _, count := numbers[s.words[n].text]; return !count }) {
				return Frail, s.quote(i)
			}
		}
	}
	return m, words
}

// underRoof hears a fire in a room, a tent or a vehicle.
func (s *sentence) underRoof() (m Meaning, words string) {
	s.each(fumes, func(i int) bool {
		k := s.find(fire|roof|embers, 0)
		for n := range s.words {
			if k < 0 && (s.words[n].text == "smoke" || s.words[n].text == "fumes") {
				k = n
			}
		}
		if k < 0 || s.words[k].text == "it" || s.denied(i) || s.wordsIn("beer", "wine", "hangover", "whisky", "whiskey", "rum") {
			return false
		}
		m, words = UnderRoof, s.quote(i)
		return true
	})
	if m != "" {
		return m, words
	}
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
		if f < 0 || s.words[f].text == "it" {
			if live := s.after(i, embers, 6); live >= 0 {
				f = live
			}
		}
		if k < 0 && f < 0 && !s.wordsIn("lit", "smoking", "cooking", "did") || k >= 0 && s.denied(k) {
			return false
		}
		if of := s.before(in, other|person|cold|holds|meat&^fire, 3); of >= 0 && s.words[of].is&fire == 0 && of > f {
			return false
		}
		if f < 0 && !s.wordsIn("cook", "cooking", "cooked", "smoking", "smoked", "lit", "lighting", "burning", "burn", "barbecue", "barbecued", "grilling", "did") {
			return false
		}
		if f >= 0 && s.words[f].text == "it" && !s.ofPit(k) {
			return false
		}
		if s.words[i].text == "kitchen" && s.wordsIn("oven") || s.wordsIn("unlit", "empty") || s.quenchedPit() || s.words[i].text == "store" && k < 0 {
			return false
		}
		m, words = UnderRoof, s.quote(in, i)
		return true
	})
	return m, words
}

// quenchedPit reports whether the fire was out: "stone cold", "once cold"; "too cold out"
// is the weather.
func (s *sentence) quenchedPit() bool {
	for i, w := range s.words {
		if w.text == "cold" && i > 0 && slices.Contains([]string{"stone", "once", "when", "completely", "fully", "gone", "was", "dead", "stays", "is"}, s.words[i-1].text) {
			return true
		}
	}
	return false
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
		if k := s.find(still, 0); k >= 0 && strings.HasPrefix(s.words[i].text, "ash") && s.has(tips) && s.anyOf(k, len(s.words), "red", "glowing", "hot", "smoking", "alive") && !s.has(quenched) {
			m, words = HotAsh, s.quote(i)
			return true
		}
		k := s.near(i, burns, 9)
		if k < 0 {
			if k = s.beyond(i, burns, other|person, 9); k >= 0 && s.before(k, within, 3) < 0 {
				k = -1
			}
		}
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
