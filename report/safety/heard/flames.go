package heard

import "slices"

// quickly is how soon a flame is over that nobody need be asked about, h (chosen).
const quickly = .1

// lidBack is how long a fire may be out before it is asked about, h; a lid takes as long to
// come back (chosen).
const lidBack = .75

// Words of a pit that stopped, of what stopped it, of not knowing for how long, and of
// what somebody did to it on purpose.
var (
	heats    = []string{"unit", "controller", "element", "burner", "heater", "plug", "auger", "hopper", "igniter", "ignitor", "thermostat", "gas", "propane", "tank", "bottle", "generator", "power", "electricity", "electric", "breaker", "fuse", "mains"}
	stopped  = []string{"out", "off", "dead", "died", "cold", "stopped", "quit", "tripped", "failed", "dry", "empty", "blackout", "unplugged", "burnt", "burned", "gone", "conked", "jammed", "choked", "starved", "smothered", "snuffed", "error"}
	unknown  = []string{"woke", "asleep", "slept", "sleeping", "morning", "overnight", "idea", "point", "found", "know", "knows", "unsure", "sure", "ages", "ago", "later", "sometime", "long"}
	purposed = []string{"let", "turned", "switched", "shut", "put", "started", "before", "lit"}
)

// fireOut hears a fire that was out, or a pit without heat, for long or nobody knows how long.
func (s *sentence) fireOut() (Meaning, string) {
	if s.on && !s.off && s.stoppedBy() {
		return FireOut, s.quote(0, len(s.words)-1)
	}
	if s.off || s.wordsIn("no", "never", "not", "didn't", "didnt") && !s.wordsIn(unknown...) {
		return "", ""
	}
	h, timed := s.hours()
	gone := s.on && s.wordsIn("out", "dead", "died", "off") && !s.wordsIn("relit", "straight", "once", "quick", "quickly", "nearly", "almost", "soon", "spark", "match", "chimney")
	if timed && h <= lidBack || !timed && !gone && !s.wordsIn(unknown...) || !timed && !s.on && s.wordsIn("later", "before") {
		return "", ""
	}
	for i, w := range s.words {
		beside := s.anyOf(max(0, i-2), i, "behind", "beside", "near", "at", "by", "from", "in", "on", "over", "under", "around", "of")
		if beside || pronouns[w.text] || w.is&fire == 0 && !slices.Contains(heats, w.text) || s.denied(i) || w.is&fire != 0 && (w.text == "lit" || w.text == "cooker" && i > 0 && s.words[i-1].text == "slow") {
			continue
		}
		for k := i + 1; k < len(s.words) && k <= i+5; k++ {
			text := s.words[k].text
			if text == "," && k > i+1 || s.words[k].is&(meat|other|person) != 0 && !slices.Contains(heats, text) && s.words[k].is&fire == 0 {
				break
			}
			if !slices.Contains(stopped, text) || s.denied(k) || s.anyOf(i, k, "was", "is", "to") && text == "out" && s.anyOf(k, len(s.words), "of", "in", "on", "by", "at", "back", "front") {
				continue
			}
			if next := s.next(k); text == "died" && (next == "down" || next == "back") || text == "out" && !s.anyOf(i, k, "went", "gone", "was", "is", "burned", "burnt", "been", "going", "blew") {
				continue
			}
			if text == "off" && !s.anyOf(i, k, "was", "is", "went", "had", "to", "found", w.text) || s.anyOf(max(0, i-3), k, purposed...) {
				continue
			}
			return FireOut, s.quote(i, k)
		}
		if cold := s.pitCold(i); cold >= 0 {
			return FireOut, s.quote(i, cold)
		}
	}
	return "", ""
}

// stoppedBy reports whether the sentence names what put a fire out, or that it never was
// lit: a tripped outlet, no charcoal left, nobody who started it.
func (s *sentence) stoppedBy() bool {
	heated := s.hasFire() || s.wordsIn(heats...)
	tripped := s.wordsIn("storm", "lightning", "tripped", "flickered", "surge", "outlet", "gfi") && s.wordsIn("off", "out", "reset", "tripped", "dead", "cold")
	empty := s.wordsIn("ran", "run", "no", "lack") && s.wordsIn("charcoal", "coal", "coals", "fuel", "pellets", "briquettes", "lump", "gas", "propane") && s.wordsIn("out", "lack") && s.wordsIn("dropped", "down", "cold", "dead", "woke", "stopped", "cooled")
	cooling := s.hasFire() && s.wordsIn("cool", "cooled", "cooling") && (s.has(negative) || s.wordsIn("would", "will", "won't")) && s.wordsIn("back", "hold")
	unlit := s.each(negative, func(i int) bool {
		return i+1 < len(s.words) && slices.Contains([]string{"started", "lit", "plugged", "switched", "turned"}, s.words[i+1].text) && s.wordsIn("it", "smoker", "grill", "fire", "on")
	}) && s.wordsIn("found", "morning", "woke", "hours", "later", "noticed")
	return heated && tripped && !s.wordsIn("relit", "straight", "seconds", "minute", "minutes") || empty || cooling || unlit
}

// pitCold finds a temperature of the pit at i at which nothing cooks, once the meat is on.
func (s *sentence) pitCold(i int) int {
	at := -1
	s.temps(func(k int, c float64) bool {
		if s.on && k > i && k-i <= 6 && c < 75 && s.words[i].is&fire != 0 && s.words[i].text != "pit" /* a reading */ && s.before(k, meat|middle, k-i) < 0 {
			at = k
		}
		return at >= 0
	})
	return at
}

// Words of fat, of burning, and of flames where none belong.
var (
	fats   = []string{"grease", "fat", "fats", "drippings", "dripping", "drips", "oil", "lard", "tallow"}
	caught = []string{"caught", "ignited", "ignites", "alight", "ablaze", "aflame", "blaze", "blazing", "erupted", "inferno", "flashed", "exploded", "explosion", "whoosh"}
	where  = []string{"feet", "foot", "ft", "metre", "metres", "meter", "meters", "higher", "high", "lid", "sides", "stack", "roof", "door", "bigger", "everywhere", "head", "eyebrows", "extinguisher", "hose", "worse"}
	burnt  = []string{"deck", "fence", "tarp", "towel", "glove", "gloves", "mitt", "sleeve", "apron", "hedge", "shed", "siding", "canopy", "tent", "awning", "gazebo", "grass", "leaves", "mulch", "bin", "table", "chair", "hair", "shirt", "box", "cardboard"}
	kept   = []string{"ready", "handy", "nearby", "beside", "bought", "buy", "keep", "kept", "within", "checked", "hung", "mounted"}
)

// flames hears fat, or what is near the pit, that caught fire.
func (s *sentence) flames() (Meaning, string) {
	h, timed := s.hours()
	over := timed && h <= quickly || s.wordsIn("small", "little", "brief", "quick", "minor") && !s.wordsIn(where...)
	if over || s.advice() {
		return "", ""
	}
	for i, w := range s.words {
		if s.denied(i) {
			continue
		}
		switch {
		case w.text == "fireball" && s.next(i) != "of" || w.text == "whoomp" || w.text == "whump" || w.text == "singed" || w.text == "singeing",
			slices.Contains(burnt, w.text) && s.anyOf(i+1, min(len(s.words), i+7), scorched...) && s.next(i) != "of",
			s.tooNear(i),
			w.text == "extinguisher" && !s.wordsIn(kept...) && s.wordsIn("used", "grabbed", "emptied", "needed", "sprayed", "out", "had"),
			slices.Contains(fats, w.text) && (s.next(i) == "fire" || s.anyOf(i+1, len(s.words), caught...)),
			(slices.Contains(caught, w.text) || w.text == "lit") && s.anyOf(i+1, min(len(s.words), i+4), fats...),
			w.text == "flames" && s.outOf(i),
			(w.text == "roaring" || w.text == "raging") && s.next(i) == "fire" && s.wordsIn("blew", "burst", "door", "lid"),
			w.text == "flames" && s.anyOf(i+1, min(len(s.words), i+7), where...) && s.wordsIn("out", "up", "shot", "shooting", "through", "higher", "high", "tall", "feet", "foot", "bigger", "licking"),
			(w.text == "blaze" || w.text == "inferno") && s.wordsIn("flour", "water", "extinguisher", "hose", "out", "sand"),
			(w.text == "caught" || w.text == "on") && s.next(i) == "fire" && s.fireOn(i):
			return Flames, s.quote(i, min(i+1, len(s.words)-1))
		}
	}
	return "", ""
}

// outOf reports whether something at i comes out of the pit.
func (s *sentence) outOf(i int) bool {
	k := s.after(i, out, 4)
	return k >= 0 && (s.next(k) == "of" || s.next(k) == "the") && s.after(k, fire, 4) >= 0 && s.after(k, fire, 4) > k && !s.anyOf(i, k, "died", "went", "were", "are")
}

// scorched are words of what burns that should not.
var scorched = []string{"alight", "ablaze", "burning", "charred", "charring", "scorched", "scorching", "singed", "smouldering", "smoldering", "melting", "melted"}

// tooNear reports whether a fire at i is against something that burns: NFPA asks for 3 m
// (10 ft), from memory.
func (s *sentence) tooNear(i int) bool {
	if w := s.words[i].text; s.off || w != "against" && w != "under" && w != "touching" || !s.hasFire() && !s.anyOf(0, i, "burning", "lit", "smoking", "running") {
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

// fireOn reports whether what catches fire at i is nothing that is meant to burn.
func (s *sentence) fireOn(i int) bool {
	for k := i - 1; k >= 0 && k >= i-5; k-- {
		if slices.Contains(burnt, s.words[k].text) || slices.Contains(fats, s.words[k].text) {
			return true
		}
	}
	return false
}
