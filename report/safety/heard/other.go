package heard

import (
	"slices"
	"strconv"
	"strings"
)

// pronouns may stand for the meat or for anything else.
var pronouns = map[string]bool{"it": true, "they": true, "them": true, "both": true, "everything": true, "lot": true}

// noticed lists nouns for a smell.
var noticed = map[string]bool{"smell": true, "odour": true, "odor": true, "whiff": true, "stench": true, "niff": true, "funk": true, "hum": true, "scent": true, "aroma": true}

// advice reports whether a sentence tells people what not to do: "Do not …", "Never …".
func (s *sentence) advice() bool {
	switch s.words[0].text {
	case "no", "never", "don't", "dont":
		return true
	}
	return len(s.words) > 1 && s.words[0].text == "do" && s.words[1].text == "not"
}

// spoiled detects how spoiled meat smells, feels and looks.
func (s *sentence) spoiled() (m Meaning, words string) {
	s.each(bad|foul, func(i int) bool {
		if of := s.subject(i); s.denied(i) || s.has(sound) || of&other != 0 && of&meat == 0 && s.words[i].text != "off" && !s.wordsIn("bag", "package", "packet") {
			return false
		}
		k := s.near(i, smell, 4)
		switch w := s.words[i]; {
		case slices.Contains([]string{"bits", "patch", "patches", "spots", "spot", "tinge", "sheen"}, s.next(i)) && s.subject(i)&meat != 0:
		case w.text == "off": // "smells off", and not "took it off the fire", "poured the fat off"
			if s.wordsIn("poured", "skimmed", "trimmed", "cut") || k < 0 || k > i || i-k > 3 || i+1 < len(s.words) && s.words[i+1].is&(the|fire|meat) != 0 {
				return false
			}
		case w.is&foul == 0 && k < 0:
			return false
		}
		m, words = Spoiled, s.quote(i)
		return true
	})
	for i := range s.words { // "a bit of a smell", "the ribs were sour"
		if m != "" || s.on || s.off || s.has(sound) || s.denied(i) {
			continue
		}
		w := s.words[i]
		amount := s.anyOf(max(0, i-4), i, "little", "bit", "slight", "some", "faint", "strong", "real", "such", "quite")
		turned := w.is&bad != 0 && w.text != "off" && s.subject(i)&meat != 0 && s.subject(i)&other == 0 && s.anyOf(max(0, i-4), i, "is", "was", "were", "are", "went", "gone", "turned", "going")
		filled := noticed[w.text] && s.anyOf(i+1, min(len(s.words), i+5), "filled", "overcame", "hit", "knocked", "turned", "made", "cleared")
		if filled || w.is&smell != 0 && noticed[w.text] && amount && (s.has(meat|parcel) || s.wordsIn("wrap", "plastic", "opened", "cut")) && s.next(i) != "of" || turned && (w.text != "tacky" || s.anyOf(i, len(s.words), "grey", "green", "smell", "smells")) {
			return Spoiled, s.quote(i)
		}
	}
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
		dated := w.text == "date" || w.text == "useby" || w.text == "sellby" || w.text == "bestbefore"
		blown := w.text == "bag" || w.text == "pack" || w.text == "packet"
		blown = blown && s.subject(i)&other == 0 && !(after == "of" && s.after(i, other, 3) >= 0)
		if w.text == "expired" || dated && s.wordsIn("past", "beyond", "out", "was", "gone", "ago", "yesterday", "over", "old", "passed") || blown && s.wordsIn("blown", "bloated", "swollen", "puffed", "inflated", "balloon", "ballooned") {
			m, words = Spoiled, s.quote(i)
		}
	}
	return m, words
}

// coldSmoked detects smoke without heat. It does not matter for salt, cheese and the
// like.
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

// ill detects that somebody is ill.
func (s *sentence) ill() (m Meaning, words string) {
	for i, w := range s.words { // "spent the night in the bathroom"
		if (w.text == "bathroom" || w.text == "toilet" || w.text == "loo") && s.has(person) && s.has(night) && s.wordsIn("spent", "in", "on") && !s.denied(i) && !s.wordsIn("queue", "fan") {
			return Ill, s.quote(i)
		}
	}
	s.each(sick|illness, func(i int) bool {
		if s.denied(i) || !s.meant(i) || s.wordsIn("nobody", "none") {
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

// oldAge is the age, in years, from which a person counts as old (chosen: after 65
// people fall ill more easily, and the ages of younger people are seldom named).
const oldAge = 75

// frail detects guests who fall ill easily, and homes that get the food.
func (s *sentence) frail() (m Meaning, words string) {
	s.each(home, func(i int) bool {
		if s.before(i, within, 2) >= 0 && s.words[s.before(i, within, 2)].text != "to" { // somebody is in hospital
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

// poisoned detects signs of carbon monoxide poisoning in people beside a fire.
func (s *sentence) poisoned() (m Meaning, words string) {
	smoky := s.has(roof|embers) || s.hasFire() || s.wordsIn("smoke", "fumes")
	if !smoky || s.wordsIn("beer", "wine", "hangover", "whisky", "whiskey", "rum") {
		return "", ""
	}
	s.each(fumes, func(i int) bool {
		if s.denied(i) {
			return false
		}
		m, words = UnderRoof, s.quote(i)
		return true
	})
	return m, words
}

// underRoof detects a fire in a room, a tent or a vehicle.
func (s *sentence) underRoof() (m Meaning, words string) {
	for i, w := range s.words { // "the grill to heat the flat"
		to := i > 0 && s.words[i-1].text == "to" && (w.text == "heat" || w.text == "warm")
		if to && !s.denied(i) && s.hasFire() && !s.off && s.anyOf(i, min(len(s.words), i+4), "place", "flat", "apartment", "room", "house", "tent", "us", "caravan", "van") {
			return UnderRoof, s.quote(i)
		}
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
		smoky := s.wordsIn("fan", "smoke", "fumes") && s.wordsIn("blowing", "blow", "blows", "clear", "clears", "extractor", "exhaust") && (s.wordsIn("set", "setup") || in <= 1)
		if smoky && !s.off && s.before(i, other|person, i) < 0 {
			m, words = UnderRoof, s.quote(in, i)
			return true
		}
		shelter := in <= 1 && s.on && !s.off && s.wordsIn("rain", "raining", "wind", "windy", "snow", "snowing", "storm", "hail", "blizzard", "gale")
		if shelter && f < 0 && s.before(i, other|person, i) < 0 {
			m, words = UnderRoof, s.quote(in, i)
			return true
		}
		if k < 0 && f < 0 && !s.wordsIn("grilling", "barbecuing", "lit", "smoking", "cooking", "did") || k >= 0 && s.denied(k) {
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
		if s.words[i].text == "kitchen" && s.wordsIn("oven") || s.wordsIn("unlit", "empty", "stored", "storage", "winter", "summer", "months", "years") && !s.on || s.quenchedPit() || s.words[i].text == "store" && k < 0 {
			return false
		}
		m, words = UnderRoof, s.quote(in, i)
		return true
	})
	return m, words
}

// quenchedPit reports whether the fire was out: "stone cold", "once cold". "Too cold
// out" is about the weather.
func (s *sentence) quenchedPit() bool {
	for i, w := range s.words {
		if w.text == "cold" && i > 0 && slices.Contains([]string{"stone", "once", "when", "completely", "fully", "gone", "was", "dead", "stays", "is"}, s.words[i-1].text) {
			return true
		}
	}
	return false
}

// ofPit reports whether "it" is the pit: people carry meat in but roll a pit, and
// smoking in a room means that the fire is there.
func (s *sentence) ofPit(verb int) bool {
	if s.wordsIn("pulled") && s.wordsIn("feet", "metres", "meters", "yards") {
		return true
	}
	if verb >= 0 && slices.Contains([]string{"smoked", "smoking", "cooking", "running", "lit"}, s.words[verb].text) {
		return !s.off
	}
	return !s.off && !s.cookedMeat() && s.wordsIn("moved", "rolled", "wheeled", "dragged", "pushed", "set")
}

// hotAsh detects ash and coals that were put where they can set something alight.
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

// fluid detects that somebody put a fluid that flares up on a fire.
func (s *sentence) fluid() (m Meaning, words string) {
	for i, w := range s.words { // "threw some gas on it"
		if w.text == "gas" && !s.denied(i) && s.before(i, pours, 3) >= 0 && (s.next(i) == "on" || s.next(i) == "onto" || s.next(i) == "over") {
			return Fluid, s.quote(i)
		}
	}
	s.each(fluid, func(i int) bool {
		if s.denied(i) || s.near(i, pours, 6) < 0 || s.wordsIn("station", "van", "generator", "truck", "engine", "mower", "pump", "smell", "smelled", "smells", "wipes", "sanitizer", "gel") {
			return false
		}
		m, words = Fluid, s.quote(i)
		return true
	})
	return m, words
}
