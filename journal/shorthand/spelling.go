package shorthand

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"ashbook/journal"
)

// leastMended is the length in bytes of the shortest word whose spelling is corrected
// (chosen).
const leastMended = 5

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
		if len(w) >= leastMended {
			all[w[0]] = append(all[w[0]], w)
		}
	}
	return all
})

// mended corrects misspelled words of a clause, such as "sprtzed" for "spritzed", and
// asks whether that is meant. It reports whether the whole clause is then understood.
func (p *parser) mended(lo, hi int) bool {
	was := slices.Clone(p.all[lo:hi])
	var slips []string
	for k := lo; k < hi; k++ {
		t := &p.all[k]
		if !letters5(t.low) || lexicon()[t.low] || p.ctx.named(t.low) || isName(t.text) && k > lo {
			continue
		}
		if w := meantBy(t.low); w != "" {
			slips = append(slips, fmt.Sprintf("%q read as %q?", t.text, w))
			t.text, t.low = w, w
		}
	}
	n := len(p.items) + len(p.readings)
	if len(slips) == 0 || !p.natural(lo, hi) && !p.terse(lo, hi) || len(p.items)+len(p.readings) == n {
		copy(p.all[lo:hi], was)
		return false
	}
	p.ask(p.clause, strings.Join(slips, " "))
	return true
}

func letters5(s string) bool {
	return len(s) >= leastMended && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == ""
}

// meantBy returns the one word of the lexicon that differs from word by one slip: a
// letter missing, added or changed, or two swapped. It returns "" for none or several.
func meantBy(word string) (meant string) {
	for _, w := range byInitial()[word[0]] {
		if !oneSlip(word, w) {
			continue
		}
		if w = plainWord(w); meant != "" && meant != w {
			return ""
		}
		meant = w
	}
	return meant
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

// tails are words that begin a phrase after an act which does not change it: "with a
// bit of stock". intents begin a purpose after a wrap: "unwrapped to let it dry".
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
		fits := len(p.readings) == len(kept.readings)
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
