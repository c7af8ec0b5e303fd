package shorthand

import (
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
	for w := range passing.made() {
		all[w] = true
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

// mostMended is the largest number of words in a clause for which several corrections
// are tried (chosen).
const mostMended = 12

// mended reads a clause with typing slips corrected, such as "sprtzed" to "spritzed",
// and asks whether that is meant. If a word has several corrections, exactly one must
// make sense. It reports whether it understood the whole clause.
func (p *parser) mended(lo, hi int) bool {
	was := slices.Clone(p.all[lo:hi])
	var slips []string
	several := -1
	for k := lo; k < hi; k++ {
		t := &p.all[k]
		if !plainLetters(t.low) || lexicon()[t.low] || p.ctx.named(t.low) || isName(t.text) && k > lo {
			continue
		}
		switch words := meantBy(t.low); {
		case len(words) == 1:
			slips = append(slips, fmt.Sprintf("%q read as %q?", t.text, words[0]))
			t.text, t.low = words[0], words[0]
		case len(words) > 1 && several < 0 && hi-lo <= mostMended:
			several = k
		}
	}
	if several >= 0 {
		word := p.oneThatFits(several, lo, hi)
		if word == "" {
			copy(p.all[lo:hi], was)
			return false
		}
		t := &p.all[several]
		slips = append(slips, fmt.Sprintf("%q read as %q?", t.text, word))
		t.text, t.low = word, word
	}
	if len(slips) == 0 || !p.adds(lo, hi) {
		copy(p.all[lo:hi], was)
		return false
	}
	p.ask(p.clause, strings.Join(slips, " "))
	return true
}

// oneThatFits returns the one correction of the word at token k with which the clause
// is understood; "" if there is none or more than one.
func (p *parser) oneThatFits(k, lo, hi int) (fits string) {
	t, kept := p.all[k], p.state
	for _, w := range meantBy(t.low) {
		p.all[k].text, p.all[k].low = w, w
		if p.adds(lo, hi) {
			if p.state = kept; fits != "" {
				fits = ""
				break
			}
			fits = w
		}
	}
	p.all[k], p.state = t, kept
	return fits
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

// meantBy returns the words of the lexicon of which word may be a slip: a letter left
// out, added or changed, or two letters swapped. In a short word only a swap counts, or
// a letter whose key is beside the right one.
func meantBy(word string) (meant []string) {
	for _, w := range byInitial()[word[0]] {
		short := len(word) < leastMended
		if rest, longer := strings.CutPrefix(word, w); longer && (rest == "s" || rest == "d" || rest == "r") { // "smoked" is no slip of smoke
			continue
		}
		if short && !shortSlip(word, w) || !short && (len(w) < leastMended-1 || !oneSlip(word, w)) {
			continue
		}
		if w = plainWord(w); !slices.Contains(meant, w) {
			meant = append(meant, w)
		}
	}
	slices.Sort(meant)
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
	return a[i+1:] == b[i+1:] && besideOnKeyboard(a[i], b[i]) || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
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
	tails   = newWords("with|w|for")
	intents = newWords("to")
	ahead   = newWords("in|next|soon|ready|on") // a tail with one of these changes the act
)

// keepTheirTail are the acts that a tail does not change.
var keepTheirTail = []journal.Act{journal.PutWrap, journal.Unwrap, journal.Spritz, journal.Turn, journal.AddFuel, journal.AddWood, journal.Water, journal.Fire}

// tailed reads a clause up to a tail such as "for the bark", and keeps the tail as
// words. The words before it must say that the act was done.
func (p *parser) tailed(i int) bool {
	c := p.clauses[i]
	done := func(t token) bool {
		return strings.HasSuffix(t.low, "ed") || t.low == "into" || t.low == "gave" || t.low == "took" || t.low == "put" || t.low == "relit"
	}
	for k := c.lo + 1; k < c.hi-1; k++ {
		intent := intents.has(p.all[k].low)
		if !intent && !tails.has(p.all[k].low) || !slices.ContainsFunc(p.all[c.lo:k], done) {
			continue
		}
		end := c.hi // end of the tail: a time after it belongs to the act
		for m := k + 1; m < c.hi && end == c.hi; m++ {
			p.begin(m, c.hi)
			if t, ok := p.moment(0); ok && m+t.end == c.hi {
				end = m
			}
		}
		if end == k+1 || p.any(k+1, end, ahead) || p.timed(k, end) {
			continue
		}
		kept := p.begin(c.lo, k)
		if !p.natural(c.lo, k) {
			continue
		}
		fits := p.bare() == kept.bare()
		for _, it := range p.items[len(kept.items):] {
			wraps := it.Act == journal.PutWrap || it.Act == journal.Unwrap
			// in "wrapped with leaves" no kind of wrap is named
			named := it.Act != journal.PutWrap || p.namesWrap(c.lo, k)
			fits = fits && slices.Contains(keepTheirTail, it.Act) && (wraps || !intent) && named
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
