package shorthand

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"ashbook/journal"
)

// leastMended is the length of the shortest word in which any typing slip is corrected.
// leastShort is that of the shortest word in which only the slips of short words are
// (both chosen).
const (
	leastMended = 5
	leastShort  = 3
)

// lexicon returns every word that has a meaning on the entry line.
var lexicon = sync.OnceValue(func() map[string]bool {
	all := map[string]bool{}
	for word, list := range patterns() {
		all[word] = true
		for _, pat := range list {
			for _, pt := range pat.parts {
				for w := range pt.words {
					all[w] = true
				}
			}
		}
	}
	for _, w := range wraps {
		for f := range strings.FieldsSeq(w.words) {
			all[f] = true
		}
	}
	for _, set := range said {
		for w := range set.made() {
			all[w] = true
		}
	}
	for w := range spellings {
		all[w] = true
	}
	for _, set := range []*wordSet{passing, adverbs, joints, tails, supposing, turningDown, hearsay, yetTo} { // above all, "but" is no slip of "butt"
		for w := range set.made() {
			all[w] = true
		}
	}
	return all
})

// byInitial returns the words to which a misspelling may be corrected, by first letter.
var byInitial = sync.OnceValue(func() map[byte][]string {
	all := map[byte][]string{}
	for w := range lexicon() {
		if len(w) >= leastShort {
			all[w[0]] = append(all[w[0]], w)
		}
	}
	return all
})

// mostMended is the largest number of words in a clause that is corrected (chosen).
const mostMended = 12

// mostChoices is the largest number of ways to correct a clause that are tried (chosen).
const mostChoices = 8

// mended reads a clause with typing slips corrected, such as "sprtzed" to "spritzed".
// If its words have several corrections, exactly one choice must make sense. It asks
// whether that is meant, unless every slip is plain. It reports whether it understood
// the whole clause.
func (p *parser) mended(lo, hi int) bool {
	was := slices.Clone(p.all[lo:hi])
	var at []int
	var meant [][]string
	choices := 1
	for k := lo; k < hi; k++ {
		t := &p.all[k]
		if !plainLetters(t.low) || lexicon()[t.low] || len(t.low) == leastShort && everyday()[t.low] || p.ctx.named(t.low) || isName(t.text) && k > lo {
			continue
		}
		words := p.meantBy(t.low)
		if len(words) == 0 {
			continue
		}
		at, meant, choices = append(at, k), append(meant, words), choices*len(words)
	}
	if len(at) == 0 || hi-lo > mostMended || choices > mostChoices {
		return false
	}
	write := func(choice int) {
		for i, k := range at {
			w := meant[i][choice%len(meant[i])]
			choice /= len(meant[i])
			p.all[k].text, p.all[k].low = w, w
		}
	}
	kept, fits, meaning := p.state, -1, ""
	for c := range choices {
		write(c)
		if !p.adds(lo, hi) {
			continue
		}
		says := fmt.Sprint(p.items[len(kept.items):], p.bare())
		if p.state = kept; fits >= 0 && says != meaning {
			fits = -1
			break
		} else if fits < 0 {
			fits, meaning = c, says
		}
	}
	if fits < 0 {
		copy(p.all[lo:hi], was)
		return false
	}
	write(fits)
	p.adds(lo, hi)
	reads := p.bare() > kept.bare() || slices.ContainsFunc(p.items[len(kept.items):], func(it typed) bool { return it.Temp.Known })
	var slips []string
	plain := true
	for _, k := range at {
		low := was[k-lo].low
		plain = plain && (plainSlip(low) || !reads && choices == 1 && !everyday()[low]) && (!reads || len(low) >= leastMended || choices == 1 && (len(low) > leastShort || low == withoutVowels(low)))
		slips = append(slips, fmt.Sprintf("%q read as %q", was[k-lo].text, p.all[k].low))
	}
	if plain {
		p.flags = append(p.flags, strings.Join(slips, ", "))
	} else {
		p.ask(p.clause, strings.Join(slips, "? ")+"?")
	}
	return true
}

// plainSlip reports whether a word can only be a slip: it is long enough, or written
// without its vowels, and no word of everyday English.
func plainSlip(word string) bool {
	return (len(word) >= leastMended-1 || word == withoutVowels(word)) && !everyday()[word]
}

//go:embed everyday.txt
var everydayWords string

// everyday returns the English words that are one slip away from a word of the lexicon
// without being in it, such as "board" and "boated".
var everyday = sync.OnceValue(func() map[string]bool {
	all := map[string]bool{}
	for w := range strings.FieldsSeq(everydayWords) {
		all[w] = true
	}
	return all
})

// withoutVowels returns the word as people shorten it: "vent" to "vnt", "bottom" to
// "btm". The first letter stays, and so does one of two equal letters.
func withoutVowels(word string) string {
	var short []byte
	for i := range len(word) {
		if i == 0 || strings.IndexByte("aeiou", word[i]) < 0 && word[i] != word[i-1] {
			short = append(short, word[i])
		}
	}
	return string(short)
}

// shortFor reports whether short is the word without some or all of its vowels, as in
// "vnt" and "bttm".
func shortFor(short, word string) bool {
	return len(short) >= leastShort && short == withoutVowels(short) && short == withoutVowels(word)
}

// adds reports whether a clause is understood as a whole and adds something to the
// entry.
func (p *parser) adds(lo, hi int) bool {
	n := len(p.items) + p.bare()
	return (p.natural(lo, hi) || p.terse(lo, hi)) && len(p.items)+p.bare() > n
}

func plainLetters(s string) bool {
	return len(s) >= leastShort && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == ""
}

// meantBy returns the words of the lexicon, and the names of pieces, of which word may be
// a slip: a letter left out, added or changed, two letters swapped, or no vowels. In a
// short word only a swap counts, or a letter whose key is beside the right one.
func (p *parser) meantBy(word string) (meant []string) {
	consider := func(w string) {
		short := len(word) < leastMended
		if rest, longer := strings.CutPrefix(word, w); longer && (rest == "s" || rest == "d" || rest == "r") { // "smoked" is no slip of smoke
			return
		}
		if !shortFor(word, w) && (short && !shortSlip(word, w) && !(len(w) == len(word)+1 && !passing.has(w) && oneSlip(word, w)) || !short && (len(w) < leastMended-1 || !oneSlip(word, w))) {
			return
		}
		if w = plainWord(w); !slices.Contains(meant, w) {
			meant = append(meant, w)
		}
	}
	for _, w := range byInitial()[word[0]] {
		consider(w)
	}
	for _, name := range p.grammar.Pieces {
		if name = strings.ToLower(name); name != "" && len(name) >= leastShort && name[0] == word[0] {
			consider(name)
		}
	}
	slices.Sort(meant)
	if last := word[len(word)-1]; last == 'd' || last == 's' { // "opend" is opened, not open
		same := func(w string) bool { return w[len(w)-1] == last }
		if i := slices.IndexFunc(meant, same); i >= 0 && !slices.ContainsFunc(meant[i+1:], same) {
			return meant[i : i+1]
		}
	}
	return meant
}

// shortSlip reports whether a and b differ by two neighbouring letters that changed places,
// or by one letter whose key is beside the other's.
func shortSlip(a, b string) bool {
	i := 0
	for i < min(len(a), len(b)) && a[i] == b[i] {
		i++
	}
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(a) < len(b) { // a letter that is doubled, or should be: "wod"
		return i > 0 && oneSlip(a, b) && b[i-1] == b[min(i, len(b)-1)]
	}
	if i == len(a) {
		return false
	}
	return a[i+1:] == b[i+1:] && besideOnKeyboard(a[i], b[i]) && !passing.has(b) || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// besideOnKeyboard reports whether the keys of two letters touch. A row begins half a
// key to the right of the one above it.
func besideOnKeyboard(a, b byte) bool {
	place := func(c byte) (row, x int) {
		for row, keys := range []string{"qwertyuiop", "asdfghjkl", "zxcvbnm"} {
			if i := strings.IndexByte(keys, c); i >= 0 {
				return row, 2*i + row
			}
		}
		return -9, 0
	}
	ra, xa := place(a)
	rb, xb := place(b)
	return max(ra-rb, rb-ra) <= 1 && max(xa-xb, xb-xa) <= 2
}

// oneSlip reports whether a and b differ by one slip (Damerau 1964).
func oneSlip(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch len(b) - len(a) {
	case 0:
		return i < len(a) && (a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:])
	case 1:
		return a[i:] == b[i+1:]
	}
	return false
}

// tails are words that begin a phrase after an act, such as "with a bit of stock",
// which does not change the act. intents begin a purpose after a wrap: "unwrapped to
// let it dry".
var (
	tails   = newWords("with|w|for|beside|by|near|under|over|between|against|along|behind|around|through|across|from|using|onto|on|in|while")
	intents = newWords("to")
	aims    = newWords("get|keep|stop|bring|help|let|make|cool|slow|calm|firm|dry|even|clean|hold|raise|lower|save|give|warm|speed|burn|feed|wake|settle") // purposes that change no act
	ahead   = newWords("in|next|soon|ready|on|other|second|another|else")                                                                                  // a tail with one of these changes the act
)

// keepTheirTail are the acts that a tail does not change.
var keepTheirTail = []journal.Act{journal.PutWrap, journal.Unwrap, journal.Spritz, journal.Turn, journal.AddFuel, journal.AddWood, journal.Water, journal.Fire, journal.Vent, journal.OpenLid, journal.Probe}

// tailed reads a clause up to a tail such as "for the bark", and keeps the tail as
// words. The words before it must say that the act was done.
func (p *parser) tailed(i int) bool {
	c := p.clauses[i]
	done := func(t token) bool { return happened(t) || t.low == "into" }
	for k := c.lo + 1; k < c.hi; k++ {
		intent := intents.has(p.all[k].low)
		tail := p.all[k].low
		doing := strings.HasSuffix(tail, "ing") // "lid up 4 min probing"
		lid := slices.ContainsFunc(p.all[c.lo:k], func(t token) bool { return t.low == "lid" })
		if !intent && !tails.has(tail) && !(lid && doing) || !lid && !slices.ContainsFunc(p.all[c.lo:k], done) {
			continue
		}
		if k+1 < c.hi {
			if tail == "with" && isName(p.all[k+1].text) { // "swapped places with Ann"
				continue
			}
			if p.begin(k+1, c.hi); p.duration(0) != nil { // "for three minutes" is how long
				continue
			}
		}
		end := c.hi // end of the tail: a time after it belongs to the act
		for m := k + 1; m < c.hi && end == c.hi; m++ {
			p.begin(m, c.hi)
			if t, ok := p.moment(0); ok && m+t.end == c.hi {
				end = m
			}
		}
		if end == k+1 && !(lid && doing) || p.any(k+1, end, ahead) || p.timed(k, end) {
			continue
		}
		kept := p.begin(c.lo, k)
		if !p.natural(c.lo, k) {
			continue
		}
		fits := p.bare() == kept.bare() && (k > c.lo+1 || tail != "on" && tail != "in" && tail != "under") // "turned on the fan"
		for _, it := range p.items[len(kept.items):] {
			wraps := it.Act == journal.PutWrap || it.Act == journal.Unwrap
			// in "wrapped with leaves" no kind of wrap is named
			named := it.Act != journal.PutWrap || p.namesWrap(c.lo, k)
			fits = fits && slices.Contains(keepTheirTail, it.Act) && (wraps || !intent || it.Act == journal.OpenLid || aims.has(p.all[min(k+1, c.hi-1)].low)) && named
		}
		if !fits {
			p.state = kept
			continue
		}
		p.clauses[i].hi = k
		p.clauses = slices.Insert(p.clauses, i+1, clause{lo: k, hi: end, group: k, left: true})
		if end < c.hi {
			p.clauses = slices.Insert(p.clauses, i+2, clause{lo: end, hi: c.hi, group: end})
		}
		return true
	}
	return false
}

// namesWrap reports whether a token between lo and hi names a kind of wrap.
func (p *parser) namesWrap(lo, hi int) bool {
	for _, w := range wraps {
		last := w.words[strings.LastIndexByte(w.words, ' ')+1:]
		if slices.ContainsFunc(p.all[lo:hi], func(t token) bool { return strings.HasPrefix(t.low, last) || t.low == "boated" }) {
			return true
		}
	}
	return false
}
