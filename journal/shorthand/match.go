package shorthand

import (
	"strings"
	"sync"
	"unicode"

	"ashbook/journal"
)

// part is one element of a pattern: a set of words of which one must come, or a slot.
type part struct {
	words map[string]bool
	slot  byte
	opt   bool // may be left out
	many  bool // may be repeated
}

// pattern is a phrase compiled for matching.
type pattern struct {
	parts    []part
	template string
	act      journal.Act // act of the template's first item
}

// patterns returns the compiled phrases, keyed by each word they may begin with. A
// phrase that may begin with a slot is keyed by the slot's letter. They are compiled
// when the first line is read.
var patterns = sync.OnceValue(func() map[string][]*pattern {
	all := map[string][]*pattern{}
	var ready []*pattern
	for _, ph := range phrases {
		for _, text := range spellOut(ph.pattern) {
			ready = append(ready, compile(phrase{text, ph.template}))
		}
	}
	for _, p := range ready {
		for _, pt := range p.parts {
			if pt.slot != 0 {
				all[string(pt.slot)] = append(all[string(pt.slot)], p)
			}
			for w := range pt.words {
				all[w] = append(all[w], p)
			}
			if !pt.opt {
				break
			}
		}
	}
	return all
})

// spellOut replaces each bracket of two or more words, such as "lid [for S]", by two
// patterns: one with those words and one without.
func spellOut(text string) []string {
	for from := 0; ; {
		i := strings.IndexByte(text[from:], '[')
		if i < 0 {
			return []string{text}
		}
		i += from
		end := i + strings.IndexByte(text[i:], ']')
		if group := text[i+1 : end]; strings.Contains(group, " ") {
			tail := strings.TrimPrefix(text[end+1:], "*")
			return append(spellOut(text[:i]+group+tail), spellOut(text[:i]+tail)...)
		}
		from = end
	}
}

func compile(ph phrase) *pattern {
	p := &pattern{template: ph.template}
	word, _, _ := strings.Cut(strings.Trim(ph.template, "*"), " ")
	if word == aim {
		word = "aim pit"
	}
	p.act, _ = journal.ActByWord(strings.TrimRight(word, "+!&,"))
	for f := range strings.FieldsSeq(ph.pattern) {
		var pt part
		if s, ok := strings.CutSuffix(f, "*"); ok {
			f, pt.many = s, true
		}
		if strings.HasPrefix(f, "[") {
			f, pt.opt = strings.Trim(f, "[]"), true
		}
		if len(f) == 1 && unicode.IsUpper(rune(f[0])) {
			pt.slot = f[0]
			pt.opt = pt.opt || f == "X" || f == "D"
		} else {
			pt.words = map[string]bool{}
			for w := range strings.SplitSeq(f, "|") {
				list := w
				if strings.HasPrefix(w, "$") {
					name := strings.TrimSuffix(w, "'s")
					list = lists[name]
					if name != w {
						list = strings.ReplaceAll(list, "|", "'s|") + "'s"
					}
				}
				for one := range strings.SplitSeq(list, "|") {
					if len(one) == 1 && unicode.IsUpper(rune(one[0])) {
						pt.slot = one[0]
						continue
					}
					pt.words[one] = true
				}
			}
		}
		p.parts = append(p.parts, pt)
	}
	return p
}

// bound is what a pattern matched.
type bound struct {
	slots map[byte]string
	words []string // the words matched, without those that carry no meaning
	from  token    // token of the number in the phrase
}

// match returns the end of the longest run of tokens from i that matches pat, and what
// it matched.
func (p *parser) match(pat *pattern, i int) (end int, b bound) {
	m := matcher{p: p, pat: pat, b: bound{slots: map[byte]string{}}}
	m.run(i, 0, i)
	return m.end, m.best
}

type matcher struct {
	p    *parser
	pat  *pattern
	b    bound
	end  int
	best bound
}

// run matches the parts from index k at token i. It keeps the longest match in m.best.
func (m *matcher) run(i, k, begin int) {
	if k == len(m.pat.parts) {
		if i > m.end && i > begin {
			m.end, m.best = i, bound{slots: map[byte]string{}, words: append([]string(nil), m.b.words...), from: m.b.from}
			for s, v := range m.b.slots {
				m.best.slots[s] = v
			}
		}
		return
	}
	pt := m.pat.parts[k]
	at := i
	for {
		m.take(at, i, k, begin, pt)
		if i == begin || at >= len(m.p.toks) || !inside.has(m.p.toks[at].low) && !adverbs.has(m.p.toks[at].low) || m.p.isPiece(at) || at-i >= 3 {
			break
		}
		at++
	}
	if pt.opt || pt.many && k > 0 && m.taken(k) {
		m.run(i, k+1, begin)
	}
}

// taken reports whether the slot of part k, which may be repeated, is already filled.
func (m *matcher) taken(k int) bool { return m.b.slots[byte(k)] != "" }

func (m *matcher) take(at, i, k int, begin int, pt part) {
	toks := m.p.toks
	next := k + 1
	if at < len(toks) && pt.words[toks[at].low] && !(middles.has(toks[at].low) && m.p.ctx.named(toks[at].low)) {
		n := len(m.b.words)
		m.b.words = append(m.b.words, toks[at].text)
		if pt.many {
			old := m.b.slots[byte(k)]
			m.b.slots[byte(k)] = "y"
			m.run(at+1, k, begin)
			m.b.slots[byte(k)] = old
		}
		m.run(at+1, next, begin)
		m.b.words = m.b.words[:n]
	}
	if pt.slot == 0 {
		return
	}
	for _, f := range m.p.slot(pt.slot, m.pat.act, at) {
		n, old, from := len(m.b.words), m.b.slots[pt.slot], m.b.from
		if old != "" && pt.slot != 'P' {
			return
		}
		m.b.words = append(m.b.words, f.text)
		m.b.slots[pt.slot] = f.text
		if f.from.text != "" {
			m.b.from = f.from
		}
		m.run(f.end, next, begin)
		m.b.words, m.b.slots[pt.slot], m.b.from = m.b.words[:n], old, from
	}
}
