package heard

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
)

// word is one word of a sentence.
type word struct {
	text     string // lower case
	is       class
	in       family
	from, to int // bytes of the text
}

// sentence is the words between two full stops. A comma counts as a word.
type sentence struct {
	text  string
	words []word
	of    class // all classes of its words
	in    family
	met   struct {
		frame int
		used  []int
		tried bool
	} // what framed found
	lasts struct {
		h        float64
		ok, read bool
	} // what hours found
	moment
}

// moment is when a text was written.
type moment struct {
	on    bool    // the meat was on
	off   bool    // the meat was off
	us    bool    // numbers without a unit are in °F
	clock float64 // h since midnight; 0 not known
}

// stands is what a word stands for: its classes and families.
type stands struct {
	is class
	in family
}

var (
	exact  map[string]stands
	prefix map[string]stands
	learn  sync.Once
)

// classOf returns the classes of a word.
func classOf(text string) class { return lookUp(text).is }

// known reports whether a word has any class or family.
func known(text string) bool { return lookUp(text) != stands{} }

// lookUp returns the classes and families of a word.
func lookUp(text string) (c stands) {
	learn.Do(func() {
		exact, prefix, slips = map[string]stands{}, map[string]stands{}, map[byte][]string{}
		add := func(w string, s stands) {
			to := exact
			begin, ok := strings.CutSuffix(w, "*")
			if ok {
				to = prefix
			}
			to[begin] = stands{to[begin].is | s.is, to[begin].in.with(s.in)}
		}
		for name, words := range families {
			for w := range strings.FieldsSeq(words) {
				add(w, stands{in: familyOf[name]})
			}
		}
		for c, words := range lexicon {
			for w := range strings.FieldsSeq(words) {
				add(w, stands{is: c})
				begin := strings.TrimSuffix(w, "*")
				if len(begin) >= 4 && plain(begin) {
					slips[begin[0]] = append(slips[begin[0]], begin)
				}
			}
		}
		for w := range strings.FieldsSeq(everydayWords) {
			everyday[w] = true
		}
		for _, words := range slips {
			slices.Sort(words)
		}
	})
	c = exact[text]
	for n := 3; n <= len(text); n++ {
		p := prefix[text[:n]]
		c = stands{c.is | p.is, c.in.with(p.in)}
	}
	return c
}

// fragment is the largest number of words that are not a sentence of their own but
// belong to the sentence before.
const fragment = 4

// sentences splits a text into sentences.
func sentences(text string, m moment) (out []sentence) {
	text = strings.ToValidUTF8(text, "\uFFFD")
	s := sentence{text: text, moment: m}
	var fresh bool // on a new line
	end := func() {
		if n := len(out) - 1; n >= 0 && len(s.words) > 0 && len(s.words) <= fragment && !fresh { // "Fridge."
			s.words = append(append(out[n].words, word{text: ",", from: s.words[0].from, to: s.words[0].from}), s.words...)
			out = out[:n]
		}
		if len(s.words) > 0 {
			s.contents()
			s.of, s.in = 0, family{}
			for _, w := range s.words {
				s.of, s.in = s.of|w.is, s.in.with(w.in)
			}
			out = append(out, s)
		}
		s.words = nil
	}
	add := func(from, to int) {
		w := word{text: meantBy(strings.ToLower(strings.ReplaceAll(text[from:to], "’", "'"))), from: from, to: to}
		for back := 2; back >= 1; back-- {
			if n := len(s.words) - back; n >= 0 {
				var apart []string
				for _, before := range s.words[n:] {
					apart = append(apart, before.text)
				}
				if one, ok := joined[strings.Join(append(apart, w.text), " ")]; ok {
					w.text, w.from = one, s.words[n].from
					s.words = s.words[:n]
					break
				}
			}
		}
		of := lookUp(w.text)
		w.is, w.in = of.is, of.in
		s.words = append(s.words, w)
	}
	runes := []rune(text)
	for i, at := 0, 0; i < len(runes); {
		r := runes[i]
		n, size := i, 0
		for n < len(runes) && inWord(runes, n) {
			size += len(string(runes[n]))
			n++
		}
		if n > i {
			add(at, at+size)
			i, at = n, at+size
			continue
		}
		switch r {
		case '.', ';', '!', '?', '\n', '—', '–':
			if r == '\n' && goesOn(runes[i+1:]) {
				break
			}
			ended := len(s.words) > 0
			end()
			fresh = r == '\n' || fresh && !ended
		case ',', ':', '(', ')':
			s.words = append(s.words, word{text: ",", from: at, to: at + 1})
		}
		i, at = i+1, at+len(string(r))
	}
	end()
	return out
}

// contents lets a container stand for the meat in it: "a tray of pork", or, once the
// meat is off, a tray without further words.
func (s *sentence) contents() {
	for i := range s.words {
		if w := &s.words[i]; strings.HasPrefix(w.text, "pull") && (s.after(i, out, 4) >= 0 || s.wordsIn("from") && s.after(i, cold, 6) >= 0) {
			w.is &^= cooked // taken out, not apart
		}
		if s.words[i].is&(parcel|tool) == 0 || s.words[i].is&other == 0 && s.words[i].text != "pan" && s.words[i].text != "dish" && s.words[i].text != "platter" {
			continue
		}
		holds := s.off && (s.words[i].is&parcel != 0 && s.words[i].text != "bag" && s.words[i].text != "bags" || s.words[i].text == "platter")
		if s.next(i) == "of" {
			holds = false
			for k := i + 2; k < len(s.words) && k <= i+4; k++ {
				if is := s.words[k].is; is&(meat|other) != 0 {
					holds = is&meat != 0 && is&other == 0
					break
				}
			}
		}
		if holds && !s.wordsIn("empty", "washed", "clean", "rinsed", "scrubbed") {
			s.words[i].is = s.words[i].is&^other | meat
		}
	}
}

// goesOn reports whether a line goes on from the line above, which was only broken to
// fit the width.
func goesOn(next []rune) bool {
	return len(next) > 0 && (unicode.IsLower(next[0]) || unicode.IsDigit(next[0]))
}

// inWord reports whether a rune belongs to a word: letters, figures, and what is
// inside them.
func inWord(r []rune, i int) bool {
	letter := func(i int) bool {
		return i >= 0 && i < len(r) && (unicode.IsLetter(r[i]) || unicode.IsDigit(r[i]) || r[i] == '°')
	}
	switch r[i] {
	case '\'', '’':
		return letter(i-1) && letter(i+1)
	case '.', ':', '/':
		return i > 0 && i+1 < len(r) && unicode.IsDigit(r[i-1]) && unicode.IsDigit(r[i+1])
	case '-', '−':
		return !letter(i-1) && i+1 < len(r) && unicode.IsDigit(r[i+1])
	}
	return letter(i)
}

// find returns the first word of a class from i on, or −1.
func (s *sentence) find(c class, i int) int {
	if s.of&c == 0 {
		return -1
	}
	for ; i < len(s.words); i++ {
		if s.words[i].is&c != 0 {
			return i
		}
	}
	return -1
}

func (s *sentence) has(c class) bool { return s.find(c, 0) >= 0 }

// otherThan reports whether the n words before word i name a thing that is neither the
// meat nor of class c.
func (s *sentence) otherThan(c class, i, n int) bool {
	k := s.before(i, other, n)
	return k >= 0 && s.words[k].is&c == 0
}

// hasFire reports whether the sentence names the pit or something that burns in it.
// "It" does not count as a name.
func (s *sentence) hasFire() bool {
	return s.each(fire, func(i int) bool { return s.words[i].is&meat == 0 })
}

// wordsIn reports whether any of the words is in the sentence.
func (s *sentence) wordsIn(any ...string) bool {
	for _, w := range s.words {
		for _, a := range any {
			if w.text == a {
				return true
			}
		}
	}
	return false
}

// each calls a function for each word of a class.
func (s *sentence) each(c class, f func(i int) bool) bool {
	for i := s.find(c, 0); i >= 0; i = s.find(c, i+1) {
		if f(i) {
			return true
		}
	}
	return false
}

// after finds a word of class c among the n that follow i; no comma between.
func (s *sentence) after(i int, c class, n int) int {
	for k := i + 1; k < len(s.words) && k <= i+n && s.words[k].text != ","; k++ {
		if s.words[k].is&c != 0 {
			return k
		}
	}
	return -1
}

// before finds the nearest word of class c among the n before i; no comma between.
func (s *sentence) before(i int, c class, n int) int {
	for k := i - 1; k >= 0 && k >= i-n && s.words[k].text != ","; k-- {
		if s.words[k].is&c != 0 {
			return k
		}
	}
	return -1
}

// subject returns the class of the nearest noun before word i, even across commas; 0 if
// there is none.
func (s *sentence) subject(i int) class {
	for k := i - 1; k >= 0; k-- {
		if c := s.words[k].is & (meat | other | person); c != 0 && !s.withIt(k) {
			return c
		}
	}
	return 0
}

// withIt reports whether the noun at word k is only what something is with, in or
// under.
func (s *sentence) withIt(k int) bool {
	for n := k - 1; n >= 0 && n >= k-3 && s.words[n].is&(meat|other|person) == 0; n-- {
		switch s.words[n].text {
		case "with", "under", "in", "from", "by", "on", "into", "for":
			return true
		}
	}
	return false
}

// beyond finds a word of class c among the n words after word i. It goes past commas,
// but not past a noun of another class.
func (s *sentence) beyond(i int, c, noun class, n int) int {
	for k := i + 1; k < len(s.words) && k <= i+n; k++ {
		switch is := s.words[k].is; {
		case is&c != 0:
			return k
		case is&noun != 0 && is&meat == 0:
			return -1
		}
	}
	return -1
}

// near finds a word of class c within n words of i, no comma between.
func (s *sentence) near(i int, c class, n int) int {
	if k := s.after(i, c, n); k >= 0 {
		return k
	}
	return s.before(i, c, n)
}

// denied reports whether a word is negated: "not", "never" or "no" comes shortly before
// it.
func (s *sentence) denied(i int) bool { return s.before(i, negative, 3) >= 0 }

// meant reports whether a word with several senses has the sense of its class here.
func (s *sentence) meant(i int) bool {
	sense := senses[s.words[i].text]
	return (sense.with == "" || s.wordsIn(strings.Fields(sense.with)...)) && !s.wordsIn(strings.Fields(sense.not)...)
}

// next returns the word after word i, or "".
func (s *sentence) next(i int) string {
	if i+1 < len(s.words) {
		return s.words[i+1].text
	}
	return ""
}

// quote returns the clause around some words.
func (s *sentence) quote(at ...int) string {
	from, to := at[0], at[0]
	for _, i := range at {
		from, to = min(from, i), max(to, i)
	}
	for from > 0 && s.words[from-1].text != "," && to-from < 6 {
		from--
	}
	return s.text[s.words[from].from:s.words[to].to]
}

// temps calls a function for each temperature that the sentence names, with its place
// and its value in °C. A number without a unit counts after "at", "reads" and similar
// words.
func (s *sentence) temps(f func(i int, celsius float64) bool) bool {
	for i, w := range s.words {
		figure := strings.TrimRight(w.text, "°cf")
		v, err := strconv.ParseFloat(strings.ReplaceAll(figure, "−", "-"), 64)
		if err != nil {
			continue
		}
		unit := w.text[len(figure):]
		next := ""
		if i+1 < len(s.words) {
			next = s.words[i+1].text
		}
		switch {
		case strings.Contains(unit, "f") || next == "f" || next == "°f" || next == "fahrenheit":
			v = (v - 32) / 1.8
		case strings.Contains(unit, "c") || unit == "°" && !s.us || next == "c" || next == "°c" || next == "celsius":
		case next == "degrees" || next == "degree" || unit == "°" || next == "in" && s.after(i+1, meat, 2) >= 0 || i > 0 && said[s.words[i-1].text] && !counted[next] && !s.isClock(i, v):
			if s.us || v > 38 && s.has(cold) && s.before(i, cold, 6) >= 0 {
				v = (v - 32) / 1.8
			}
		default:
			continue
		}
		if f(i, v) {
			return true
		}
	}
	return false
}

// said has words after which a bare number may be a temperature; counted has words
// after a number that show that it is none.
var (
	said    = map[string]bool{"at": true, "read": true, "reads": true, "reading": true, "showed": true, "shows": true, "showing": true, "was": true, "said": true, "says": true, "to": true, "is": true, "climbed": true, "only": true, "core": true, "internal": true, "warm": true, "about": true, "around": true}
	counted = map[string]bool{"h": true, "hr": true, "hrs": true, "hour": true, "hours": true, "min": true, "minutes": true, "mins": true, "kg": true, "days": true, "am": true, "pm": true, "o'clock": true, "people": true, "guests": true, "pieces": true, "sharp": true}
)
