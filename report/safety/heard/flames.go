package heard

import "slices"

// quickly is the time, h, within which a flame went out so fast that nobody need be
// asked about it (chosen).
const quickly = .1

// lidBack is how long, h, a fire may be out before ashbook asks about it: as long as a
// pit takes to recover from an open lid (chosen).
const lidBack = .75

// coldPit is the temperature, °C, below which a pit with meat on it has lost its fire
// (chosen: far below any pit that cooks).
const coldPit = 75.0

// Words for other things than the pit that make heat, for their going out, for not
// knowing how long, for turning them off on purpose, for accidents, and for a fire that
// was lit again at once.
var (
	heats     = []string{"unit", "controller", "element", "burner", "heater", "plug", "auger", "hopper", "igniter", "thermostat", "propane", "tank", "generator", "power", "electricity", "electric", "breaker", "fuse", "mains", "outlet", "gfi", "clocks"}
	stopped   = []string{"out", "off", "dead", "died", "cold", "lost", "stopped", "quit", "tripped", "failed", "empty", "blackout", "unplugged", "conked", "flickered", "flickering", "dying", "jammed", "choked", "starved", "smothered", "snuffed", "flashing"}
	ended     = []string{"went", "gone", "was", "is", "been", "burned", "burnt", "going", "blew", "ran", "stayed", "found", "had", "power", "tripped", "turned", "switched", "shut"}
	elsewhere = []string{"of", "in", "on", "by", "at", "to", "the", "my", "our", "back", "front", "there", "steady", "calm", "down", "night", "wind", "beer", "air", "smoke", "work"}
	unknown   = []string{"woke", "awoke", "asleep", "slept", "sleep", "sleeping", "morning", "overnight", "idea", "point", "found", "know", "knows", "unsure", "sure", "ages", "ago", "later", "sometime", "realized", "realised", "noticed", "came", "long"}
	purposed  = []string{"let", "turned", "switched", "shut", "put", "started", "standby"}
	accident  = []string{"accident", "accidentally", "mistake", "storm", "lightning", "tripped", "flickered", "surge", "somehow", "outlet", "gfi", "knocked"}
	airways   = []string{"vent", "vents", "damper", "dampers", "intake", "intakes", "bottom", "btm", "exhaust", "air"}
	mended    = []string{"relit", "straight", "immediately", "quick", "quickly", "nearly", "almost", "soon", "seconds", "spark", "match", "atonce", "chimney", "fine", "checked"}
)

// fireOut detects a fire that was out, or a pit without heat, for long or for an
// unknown time.
func (s *sentence) fireOut() (Meaning, string) {
	h, timed := s.hours()
	if s.off || timed && h <= lidBack || s.wordsIn(mended...) || s.wordsIn("generator") && s.wordsIn("on", "running") || s.wordsIn("oven") && s.wordsIn("finish", "moved") || !s.on && !timed && !s.wordsIn(unknown...) {
		return "", ""
	}
	if s.on && s.unfed() {
		return FireOut, s.quote(0, len(s.words)-1)
	}
	onPurpose := s.wordsIn(purposed...) && !s.wordsIn(accident...)
	for i, w := range s.words {
		pit := w.is&fire != 0 && !pronouns[w.text] && w.text != "lit" && !(w.text == "cooker" && i > 0 && s.words[i-1].text == "slow")
		beside := s.anyOf(max(0, i-2), i, "behind", "beside", "near", "at", "by", "from", "in", "on", "over", "under", "around", "of")
		if !pit && !slices.Contains(heats, w.text) || beside || s.denied(i) {
			continue
		}
		for k := max(0, i-4); k < len(s.words) && k <= i+7; k++ {
			if slices.Contains(stopped, s.words[k].text) && !onPurpose && !s.denied(k) && s.endOf(i, k) {
				return FireOut, s.quote(i, k)
			}
		}
		if cold := s.pitCold(i); cold >= 0 {
			return FireOut, s.quote(i, cold)
		}
	}
	return "", ""
}

// endOf distinguishes "the fire went out", with "out" at word k, from "out by the
// lake".
func (s *sentence) endOf(i, k int) bool {
	text, next := s.words[k].text, s.next(k)
	for n := min(i, k) + 1; n < max(i, k); n++ {
		if c := s.words[n].is & (meat | other | person); c != 0 && s.words[n].is&fire == 0 && !slices.Contains(heats, s.words[n].text) && !pronouns[s.words[n].text] {
			return false
		}
	}
	switch text {
	case "out", "off":
		if k > 0 && s.words[k-1].is&embers != 0 && s.words[k-1].is&fire == 0 { // knocked the ash off
			return false
		}
		return k > 0 && s.wordsIn(accident...) || k > 0 && (s.anyOf(max(0, k-2), k, ended...) || k == i+1) && (k < i || !slices.Contains(elsewhere, next) || next == "at" || next == "in" && s.has(night))
	case "dead", "died":
		return !slices.Contains(elsewhere, next) || next == "at" || next == "on" || next == "in"
	case "cold":
		return k > i && (next == "to" || !slices.Contains(elsewhere, next)) && !s.wordsIn("smoke", "start")
	case "lost":
		return k < i
	case "empty":
		return k > i && s.words[i].text == "hopper"
	case "choked", "starved", "smothered":
		return !s.airAfter(k)
	case "dying":
		return !s.hot(i)
	}
	return true
}

// hot reports whether a temperature at which a fire still burns follows the word at i.
func (s *sentence) hot(i int) bool {
	v, ok := number(s.next(i))
	return ok && v >= coldPit
}

// airAfter reports whether one of the next words of the clause is a vent or another way
// for the air. Somebody who chokes a vent only damps a fire that is too hot.
func (s *sentence) airAfter(k int) bool {
	for n := k + 1; n < len(s.words) && n <= k+3 && s.words[n].text != ","; n++ {
		if slices.Contains(airways, s.words[n].text) {
			return true
		}
	}
	return false
}

// unfed reports whether the sentence says that nothing was left to burn, that the pit would
// not come back, or that nobody had lit it.
func (s *sentence) unfed() bool {
	gone := s.wordsIn("dropped", "down", "cold", "dead", "woke", "awoke", "stopped", "cooled", "sleep", "asleep")
	fuel := s.wordsIn("charcoal", "coal", "coals", "fuel", "pellets", "briquettes", "lump", "gas", "propane")
	empty := fuel && gone && (s.wordsIn("ran", "run") && s.wordsIn("out") || s.wordsIn("lack") || s.wordsIn("few", "no") && s.wordsIn("left"))
	cooling := s.hasFire() && s.wordsIn("cool", "cooled", "cooling") && s.has(negative) && s.wordsIn("back", "hold")
	filled := s.wordsIn("conked", "itself") && s.wordsIn("ash", "out", "down") && s.wordsIn("it", "controller", "smoker", "pit") && !s.has(person)
	return empty || cooling || filled || s.wordsIn(unknown...) && s.each(negative, func(i int) bool {
		return slices.Contains([]string{"started", "lit", "plugged", "switched", "turned"}, s.next(i)) && s.wordsIn("it", "smoker", "grill", "fire", "on")
	})
}

// pitCold reports whether, with the meat on, the word at i is about a pit too cold to
// cook.
func (s *sentence) pitCold(i int) int {
	at := -1
	s.temps(func(k int, c float64) bool {
		if s.on && k > i && k-i <= 6 && c < coldPit && s.words[i].is&fire != 0 && s.words[i].text != "pit" /* a reading */ && s.before(k, meat|middle, k-i) < 0 {
			at = k
		}
		return at >= 0
	})
	return at
}

// Words for fat, for burning, and for flames where they do not belong.
var (
	fats   = []string{"grease", "fat", "fats", "drippings", "dripping", "drips", "oil", "lard", "tallow"}
	caught = []string{"caught", "ignited", "ignites", "alight", "ablaze", "aflame", "blaze", "blazing", "erupted", "inferno", "flashed", "exploded", "explosion", "whoosh"}
	where  = []string{"top", "feet", "foot", "ft", "metre", "metres", "meter", "meters", "higher", "high", "lid", "sides", "stack", "roof", "door", "bigger", "everywhere", "head", "eyebrows", "extinguisher", "hose", "worse"}
	burnt  = []string{"deck", "fence", "tarp", "towel", "glove", "gloves", "mitt", "sleeve", "apron", "hedge", "shed", "siding", "canopy", "tent", "awning", "gazebo", "grass", "leaves", "mulch", "bin", "table", "chair", "hair", "shirt", "box", "cardboard"}
	kept   = []string{"ready", "handy", "nearby", "beside", "bought", "buy", "keep", "kept", "within", "checked", "hung", "mounted"}
)

// flames detects fat, or something near the pit, that caught fire.
func (s *sentence) flames() (Meaning, string) {
	h, timed := s.hours()
	over := timed && h <= quickly && s.wordsIn("out", "over", "gone") || s.wordsIn("small", "little", "brief", "quick", "minor") && !s.wordsIn(where...)
	if over || s.advice() || s.wordsIn("case", "ready", "handy", "stars", "sunset", "need") {
		return "", ""
	}
	fat := s.wordsIn(fats...)
	for i, w := range s.words {
		if s.denied(i) {
			continue
		}
		next := s.next(i)
		tall := w.text == "flames" && s.wordsIn(where...) && s.wordsIn("out", "up", "to", "shot", "shooting", "through", "higher", "high", "tall", "feet", "foot", "bigger", "licking", "everywhere")
		switch {
		case w.text == "fireball" && next != "of" || w.text == "whoomp" || w.text == "whump" || w.text == "singed" || w.text == "singeing",
			slices.Contains(burnt, w.text) && s.anyOf(i+1, min(len(s.words), i+7), scorched...) && next != "of",
			s.tooNear(i), tall,
			w.text == "flames" && s.outOf(i),
			(w.text == "roaring" || w.text == "raging") && next == "fire" && s.wordsIn("blew", "burst", "door", "lid"),
			w.text == "extinguisher" && !s.wordsIn(kept...) && s.wordsIn("used", "grabbed", "emptied", "needed", "sprayed", "out", "had"),
			slices.Contains(fats, w.text) && next == "fire",
			w.text == "fire" && i > 1 && s.words[i-1].text == "a" && s.words[i-2].text == "had" && s.wordsIn("choked", "smothered", "towel", "extinguisher", "tray", "hose", "itself"),
			fat && slices.Contains(caught, w.text),
			fat && w.text == "lit" && s.anyOf(i+1, min(len(s.words), i+4), fats...),
			fat && w.text == "went" && next == "up" && s.wordsIn("like", "flames", "rocket", "torch"),
			(w.text == "blaze" || w.text == "inferno") && s.wordsIn("flour", "water", "extinguisher", "hose", "out", "sand"),
			w.text == "caught" && (next == "fire" || next == "") && s.fireOn(i):
			return Flames, s.quote(i, min(i+1, len(s.words)-1))
		}
	}
	return "", ""
}

// outOf reports whether the thing at word i comes out of the pit.
func (s *sentence) outOf(i int) bool {
	k := s.after(i, out, 4)
	return k >= 0 && (s.next(k) == "of" || s.next(k) == "the") && s.after(k, fire, 4) >= 0 && s.after(k, fire, 4) > k && !s.anyOf(i, k, "died", "went", "were", "are")
}

// scorched lists words for something burning that should not burn.
var scorched = []string{"alight", "ablaze", "burning", "charred", "charring", "scorched", "scorching", "singed", "smouldering", "smoldering", "melting", "melted"}

// tooNear reports whether a fire at word i is close to something that burns: NFPA asks
// for 3 m (10 ft), from memory.
func (s *sentence) tooNear(i int) bool {
	switch w := s.words[i].text; {
	case !s.hasFire() && !s.anyOf(0, i, "burning", "lit", "smoking", "running"):
		return false
	case w == "side" && s.next(i) == "of":
		return s.has(embers) && s.after(i, roof, 3) >= 0
	case w != "against" && w != "under" && w != "touching":
		return false
	}
	for k := i + 1; k < len(s.words) && k <= i+3; k++ {
		switch s.words[k].text {
		case "fence", "hedge", "siding", "shed", "tarp", "awning", "eaves", "branches", "curtain", "curtains":
			return true
		}
	}
	return false
}

// fireOn reports whether the thing that catches fire at word i is not meant to burn.
func (s *sentence) fireOn(i int) bool {
	if s.wordsIn("hose", "thing", "mulch", "deck", "clothes") {
		return true
	}
	for k := i - 1; k >= 0 && k >= i-5; k-- {
		if slices.Contains(burnt, s.words[k].text) || slices.Contains(fats, s.words[k].text) {
			return true
		}
	}
	return false
}
