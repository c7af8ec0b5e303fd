package heard

import "strings"

// short maps abbreviations that people type on phones to the words they stand for
// (common practice, no source).
var short = map[string]string{
	"nite": "night", "nites": "nights", "tonite": "tonight", "overnite": "overnight", "lite": "light", "thru": "through", "til": "till", "em": "them", "yest": "yesterday", "yday": "yesterday", "tmrw": "tomorrow", "tmw": "tomorrow", "w": "with", "n": "and", "mon": "monday", "tue": "tuesday", "tues": "tuesday", "wed": "wednesday", "weds": "wednesday", "thu": "thursday", "thur": "thursday", "thurs": "thursday", "fri": "friday", "sat'day": "saturday", "hrs": "hours", "hr": "hours", "mins": "minutes", "bbq'd": "cooked", "bbqed": "cooked", "temp": "temperature", "temps": "temperature", "defrozen": "defrosted", "defroze": "defrosted", "unfrozen": "thawed", "gonna": "going", "outta": "out", "outa": "out", "sprits": "spritz", "sprit": "spritz", "arvo": "afternoon", "brekkie": "breakfast", "brekky": "breakfast", "veg": "vegetables", "veggies": "vegetables",
}

// everyday lists English words that differ by one typing slip from a word of the
// lexicon but are words themselves. They were found with a dictionary of 100,000 words.
const everydayWords = "awing babes bards barley based basing bated bating beach beaker beast binging blasting boars boasting boost booth bother bought braining brassier " +
	"briskest brunt bunch buses buts camps caper cared caret caring cartoon cashed caved caving chaffing chuckled ciders clever clots coast colas cons " +
	"crams craps craved craving cuing dibble diner dipping dosed downed droned droop droops dumpling duped duping fasted fiend fiends filed files filing " +
	"fired flailing flowered gabbed gavel gazed gazing gobbed graves guess gusts haled hated hater hating holing honing hover hunch inset laddies laded " +
	"lades lading latter lightning liked liking lunge matte mattes meted middy mingling mining mourning mousse nether noose notching noting paced pained " +
	"palls panted panty pared paring pates patter popped pored poring rearm rearmed reminder sable sables salon sanding sands sapped sated savings scaled " +
	"scoped scrapped sears seated seeping selling sewer sewers shitting shoed siding sifted sifting sinks sipped sipping siting slash slashed slated " +
	"slicking slits slitting sluicing sopped sopping spayed spits spitting splicing stale stales stars stdio steep steeps sting stirs stop stranding " +
	"strangle stropped suits super swerving there tippling topping totters tripping trucked tuner waked waled wheedled wheedling widow"

var everyday = map[string]bool{}

// meantBy returns the word that a person meant: the word itself, or the word of the
// lexicon of which it is a slip. A slip doubles a letter or fails to double it, swaps
// two letters, or adds or leaves out a letter inside a word of six or more letters; it
// never changes the first letter.
func meantBy(word string) string {
	if full, ok := short[word]; ok {
		return full
	}
	for _, end := range []string{"'d", "'s"} { // fridge'd, vac'd, the meat's
		if base, ok := strings.CutSuffix(word, end); ok && len(base) > 2 && (classOf(base) != 0 || end == "'d") {
			return base
		}
	}
	if t, ok := strings.CutSuffix(word, "pt"); ok && classOf(t+"pped") != 0 { // dropt
		return t + "pped"
	}
	if strings.Contains(word, "'") || known(word) || len(word) < 4 || everyday[word] || !plain(word) {
		return word
	}
	return slipOf(word)
}

// plain reports whether a word has only lower-case English letters.
func plain(word string) bool {
	for _, r := range word {
		if r < 'a' || r > 'z' {
			return false
		}
	}
	return true
}

// slips has the words of the lexicon with four or more letters, by first letter.
var slips map[byte][]string

// slipOf returns the word of the lexicon of which word is a slip, or the word itself.
func slipOf(word string) string {
	for _, w := range slips[word[0]] {
		if isSlip(word, w) {
			return w
		}
	}
	return word
}

// isSlip reports whether word is w with one slip. Both must begin with the same letter.
func isSlip(word, w string) bool {
	d := len(word) - len(w)
	if d < -1 || d > 1 {
		return false
	}
	i := 0
	for i < len(word) && i < len(w) && word[i] == w[i] {
		i++
	}
	switch {
	case d == 1: // one letter too many
		return word[i+1:] == w[i:] && (word[i] == word[i-1] || len(w) >= 7 && i < len(w))
	case d == -1: // one too few
		return word[i:] == w[i+1:] && (w[i] == w[i-1] || len(w) >= 6 && i < len(word))
	default: // two swapped
		return len(w) >= 5 && i+1 < len(w) && word[i] == w[i+1] && word[i+1] == w[i] && word[i+2:] == w[i+2:]
	}
}
