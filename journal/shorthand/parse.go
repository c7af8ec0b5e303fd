package shorthand

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// parser turns tokens into items by writing each out as it stands in a file
// and reading that: the file's grammar is the only judge of an item.
type parser struct {
	ctx       Context
	grammar   journal.Grammar
	text      string  // the line
	all       []token // of the line
	words     string  // after the dash
	dash      int     // where it stands, in bytes
	dashed    bool
	now       time.Time
	written   bool   // the line is one of the file, taken as it is
	mends     bool   // an entry at now: clock times are those nearest to it
	neighbour string // the one unit of temperature typed on the line, with a space before it

	clauses []clause
	toks    []token // of the clause that is read
	at      int     // next token
	end     int     // column after it
	clause  int     // its number
	state
	when  time.Time // of the line
	flags []string
}

// state is what has been read so far; a clause that is not understood leaves it
// as it was.
type state struct {
	items    []typed
	readings []reading // the bare figures, each with its unit
	before   int       // items typed before the bare figures
	open     bool      // further bare figures may follow
	time     moment    // of the line; its at is zero where none was typed
	own      moment    // of the clause
}

// typed is an item, the clause it stands in and where its figures were typed.
type typed struct {
	journal.Item
	from   token
	clause int
	at     time.Time // where the clause has a time of its own
}

// reading is a bare figure.
type reading struct {
	token
	clause int
}

// clause is a part of the line that stands or falls whole.
type clause struct {
	lo, hi int    // its tokens
	rest   bool   // it is what stood behind an "and" of a clause that is not understood
	ask    string // what is asked before it is saved; "" for nothing
	left   bool   // it stays words
}

// understand reads the line clause by clause. Nothing is refused: what is not
// understood stays words.
func (p *parser) understand() {
	p.neighbour = p.typedScale()
	lo := 0
	for i, t := range p.all {
		if t.comma || i == len(p.all)-1 {
			p.clauses = append(p.clauses, clause{lo: lo, hi: i + 1})
			lo = i + 1
		}
	}
	for i := 0; i < len(p.clauses); i++ {
		c := &p.clauses[i]
		p.clause = i
		switch {
		case p.asked(c.lo, c.hi):
			p.leaveFrom(i)
			return
		case c.hi-c.lo > longest:
			c.left = true
			p.lead(i)
		case c.rest && p.onlyFigures(c.lo, c.hi): // "between 105 and 115"
			c.left = true
		case p.natural(c.lo, c.hi):
		case p.any(c.lo, c.hi, supposing):
			p.leaveFrom(i)
			return
		case p.any(c.lo, c.hi, turningDown):
			c.left = true
		case p.terse(c.lo, c.hi):
		case p.parted(c):
			i--
		default:
			c.left = true
			p.lead(i)
		}
		if p.time.ahead {
			p.flags = append(p.flags, p.time.at.Format("2006-01-02 15:04")+" is still to come: kept as words")
			p.state = state{}
			p.leaveFrom(0)
			return
		}
	}
}

// longest is how many words a clause may have that is looked through; longer ones
// are prose (chosen).
const longest = 40

// leaveFrom leaves a clause and all after it as words.
func (p *parser) leaveFrom(i int) {
	for ; i < len(p.clauses); i++ {
		p.clauses[i].left = true
	}
}

func (p *parser) asked(lo, hi int) bool {
	for _, t := range p.all[lo:hi] {
		if t.asks {
			return true
		}
	}
	return false
}

// onlyFigures reports whether numbers are all there is but for a joining word.
func (p *parser) onlyFigures(lo, hi int) bool {
	for _, t := range p.all[lo:hi] {
		if _, _, ok := t.number(); !ok && !passing[t.low] {
			return false
		}
	}
	return true
}

// any reports whether a token between lo and hi is one of the words.
func (p *parser) any(lo, hi int, words map[string]bool) bool {
	for _, t := range p.all[lo:hi] {
		if words[t.low] || words["n't"] && strings.HasSuffix(t.low, "n't") {
			return true
		}
	}
	return false
}

// parted splits a clause at its first "and" or "then" and reports whether there
// was one.
func (p *parser) parted(c *clause) bool {
	for k := c.lo + 1; k+1 < c.hi; k++ {
		if low := p.all[k].low; low == "and" || low == "then" || low == "plus" {
			if k == c.lo+1 && p.all[c.lo].bare() || k == c.lo+2 && p.all[c.lo].bare() && p.all[c.lo+1].low == "degrees" {
				return false // "80 and humid"
			}
			rest := clause{lo: k, hi: c.hi, rest: true}
			c.hi = k
			p.clauses = slices.Insert(p.clauses, p.clause+1, rest)
			return true
		}
	}
	return false
}

// lead takes the bare figures a line begins with, two or more, whatever words
// follow.
func (p *parser) lead(i int) {
	c := p.clauses[i]
	n := 0
	for i == 0 && c.lo+n < c.hi && p.all[c.lo+n].bare() {
		n++
	}
	if n < 2 || n == c.hi-c.lo || !p.terse(c.lo, c.lo+n) {
		return
	}
	p.clauses[i].hi, p.clauses[i].left = c.lo+n, false
	p.clauses = slices.Insert(p.clauses, i+1, clause{lo: c.lo + n, hi: c.hi, left: true})
}

// typedScale is the unit of temperature typed on the line, with a space before
// it; "" where there is none, or both.
func (p *parser) typedScale() string {
	found := ""
	for i, t := range p.all {
		_, unit, ok := t.number()
		if !ok {
			continue
		}
		if unit == "" && i+1 < len(p.all) && !t.comma && temperatureUnit(p.all[i+1].text) {
			unit = p.all[i+1].text
		}
		q, err := measure.ParseTemperature("1 "+unit, p.grammar.Units)
		if unit == "" || unit == "°" || err != nil {
			continue
		}
		if s := " " + q.Unit.Symbol; found == "" || found == s {
			found = s
		} else {
			return ""
		}
	}
	return found
}

// begin sets out to read the tokens from lo to hi.
func (p *parser) begin(lo, hi int) state {
	p.toks, p.at = slices.Clone(p.all[lo:hi]), 0
	p.end = utf8.RuneCountInString(p.text[:p.all[hi-1].to]) + 1
	p.own = moment{}
	kept := p.state
	kept.items, kept.readings = slices.Clone(p.items), slices.Clone(p.readings)
	return kept
}

// done gives what a clause says its time, and reports whether that can be.
func (p *parser) done(kept state, whole bool) bool {
	p.open = len(p.readings) > 0 && len(p.items) == p.before && p.readings[len(p.readings)-1].clause == p.clause && p.own.at.IsZero()
	if p.own.at.IsZero() {
		return true
	}
	added := len(p.items) - len(kept.items)
	figures := len(p.readings) - len(kept.readings)
	switch {
	case p.own.at.Equal(p.time.at):
	case p.time.at.IsZero() && (whole || added+figures == 0 || p.mends || len(kept.items)+len(kept.readings) == 0):
		p.time = p.own
	case p.mends || whole || figures > 0 || p.own.ahead:
		return false
	default:
		for i := len(kept.items); i < len(p.items); i++ {
			p.items[i].at = p.own.at
		}
	}
	return true
}
