package shorthand

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// parser turns tokens into items by writing each out as it is in a file
// and reading that: the file's grammar is the only judge of an item.
type parser struct {
	ctx       Context
	grammar   journal.Grammar
	text      string  // the line
	all       []token // of the line
	words     string  // after the dash
	dash      int     // where it is, in bytes
	dashed    bool
	now       time.Time
	written   bool          // the line is one of the file, taken as it is
	mends     bool          // an entry at now: clock times are those nearest to it
	barred    map[int]taken // what may be taken of a group of clauses; none named: anything
	neighbour string        // the one unit of temperature typed on the line, with a space before it

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

// typed is an item, the clause it is in and where its figures were typed.
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

// taken is how much of a group of clauses may be taken.
type taken uint8

const (
	anything   taken = iota
	onlyReads        // readings that name what they are of
	onlyAsWord       // nothing
)

// clause is a part of the line that stands or falls whole.
type clause struct {
	lo, hi int    // its tokens
	group  int    // first token of the clause it was split from
	ask    string // what is asked before it is saved; "" for nothing
	left   bool   // it stays words
}

// rest reports whether the clause is what was behind an "and".
func (c clause) rest() bool { return c.lo != c.group }

// understand reads the line clause by clause. Nothing is refused: what is not
// understood stays words, and so does what shares its verb or its object with that,
// or is taken back by it. Each round bars at least one group, so the rounds end.
func (p *parser) understand() {
	p.neighbour = p.typedScale()
	p.barred = map[int]taken{}
	for {
		p.clauses, p.state, p.flags = nil, state{}, nil
		p.readClauses()
		if !p.bar() {
			return
		}
	}
}

func (p *parser) readClauses() {
	lo := 0
	for i, t := range p.all {
		if t.comma || i == len(p.all)-1 {
			p.clauses = append(p.clauses, clause{lo: lo, hi: i + 1, group: lo})
			lo = i + 1
		}
	}
	for i := 0; i < len(p.clauses); i++ {
		c := &p.clauses[i]
		p.clause = i
		switch {
		case p.asked(c.lo, c.hi), p.toDo(c.lo, c.hi):
			p.leaveFrom(i)
			return
		case p.barred[c.group] == onlyAsWord:
			c.left = true
		case c.hi-c.lo > longest:
			c.left = true
			p.lead(i)
		case c.rest() && p.onlyFigures(c.lo, c.hi): // "between 105 and 115"
			c.left = true
		case p.natural(c.lo, c.hi):
		case p.any(c.lo, c.hi, supposing) || p.elsewhere(c.lo, c.hi):
			p.leaveFrom(i)
			return
		case p.any(c.lo, c.hi, turningDown):
			c.left = true
		case p.barred[c.group] == anything && p.terse(c.lo, c.hi):
		case p.barred[c.group] == anything && p.mended(c.lo, c.hi):
		case p.parted(c):
			i--
		case p.barred[c.group] == anything && p.tailed(i):
			i++
		default:
			c.left = true
			p.lead(i)
		}
		if p.time.ahead {
			p.flags = append(p.flags, p.time.at.Format(measure.Stamp)+" is still to come: kept as words")
			p.state = state{}
			p.leaveFrom(0)
			return
		}
	}
}

// bar finds the groups of which no more than named readings may be taken, those
// separated by "and" that are not understood whole ("boxed and labelled the
// leftovers"), and those that stay words whole, as the next clause takes them back
// ("wrap, not yet"). It reports whether there is a new one.
func (p *parser) bar() (found bool) {
	bar := func(group int, to taken) {
		found = found || p.barred[group] < to
		p.barred[group] = max(p.barred[group], to)
	}
	for i, c := range p.clauses {
		if c.left && (c.rest() || i+1 < len(p.clauses) && p.clauses[i+1].group == c.group) {
			bar(c.group, onlyReads)
		}
		if i > 0 && c.left && p.takesBack(c.lo, c.hi) {
			for k := range i {
				if p.clauses[k].group == p.clauses[i-1].group || p.elsewhere(c.lo, c.hi) {
					bar(p.clauses[k].group, onlyAsWord)
				}
			}
		}
	}
	return found
}

// toDo reports whether a clause names what is still to be done: "still to wrap".
func (p *parser) toDo(lo, hi int) bool {
	for i := lo; i+1 < hi; i++ {
		if p.all[i+1].low == "to" && yetTo.has(p.all[i].low) {
			return true
		}
	}
	return false
}

// takesBack reports whether a clause only says that what was said is not so, not
// yet, or of another cook.
func (p *parser) takesBack(lo, hi int) bool {
	if !p.any(lo, hi, supposing) && !p.any(lo, hi, turningDown) && !p.elsewhere(lo, hi) {
		return false
	}
	if p.all[lo].low == "that" || p.all[lo].low == "but" && hi > lo+1 && p.all[lo+1].low == "that" {
		return true
	}
	for i := lo; i < hi; i++ {
		low := p.all[i].low
		if !passing.has(low) && !supposing.has(low) && !turningDown.has(low) && !occasions.has(low) && low != "yet" && low != "or" && low != "on" && low != "for" && low != "in" && low != "last" && low != "next" {
			return false
		}
	}
	return true
}

// elsewhere reports whether a clause tells of another cook, or what somebody says.
func (p *parser) elsewhere(lo, hi int) bool {
	for i := lo; i < hi; i++ {
		low := p.all[i].low
		if hearsay.has(low) || i+1 < hi && (low == "last" || low == "next" || low == "other" || low == "previous" || low == "first") && occasions.has(p.all[i+1].low) {
			return true
		}
		if owner, ok := strings.CutSuffix(low, "'s"); ok && len(owner) > 1 && !passing.has(low) && !ours.has(owner) && !p.ctx.named(owner) {
			return true
		}
	}
	return false
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
		if _, _, ok := t.number(); !ok && !passing.has(t.low) {
			return false
		}
	}
	return true
}

// any reports whether a token between lo and hi is one of the words.
func (p *parser) any(lo, hi int, words *wordSet) bool {
	for _, t := range p.all[lo:hi] {
		if words.has(t.low) || words.has("n't") && strings.HasSuffix(t.low, "n't") {
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
			rest := clause{lo: k, hi: c.hi, group: c.group}
			c.hi = k
			p.clauses = slices.Insert(p.clauses, p.clause+1, rest)
			return true
		}
	}
	return false
}

// lead takes the bare figures a line begins with, two or more, whatever words
// follow: but not where those say that it is another cook's, not so or not yet, or
// name what the figures count.
func (p *parser) lead(i int) {
	c := p.clauses[i]
	n := 0
	for i == 0 && c.lo+n < c.hi && p.all[c.lo+n].bare() {
		n++
	}
	if n < 2 || n == c.hi-c.lo {
		return
	}
	if next := c.lo + n; p.elsewhere(next, c.hi) || p.any(next, c.hi, supposing) || p.any(next, c.hi, turningDown) || p.all[next].low == "in" || p.all[next].low == "next" || strings.HasSuffix(p.all[next].low, "s") || p.timed(next, c.hi) {
		return
	}
	kept := p.begin(c.lo, c.lo+n)
	if !p.terse(c.lo, c.lo+n) {
		return
	}
	if !p.couldLead() {
		p.state = kept
		return
	}
	p.clauses[i].hi, p.clauses[i].left = c.lo+n, false
	p.clauses = slices.Insert(p.clauses, i+1, clause{lo: c.lo + n, hi: c.hi, group: c.group, left: true})
}

// coldPit is what a pit beside unknown words is at least, °C (chosen).
const coldPit = 60.0

// couldLead reports whether the bare figures can be a pit and what is cooler in it.
func (p *parser) couldLead() bool {
	var c []float64
	for _, r := range p.readings {
		t, err := measure.ParseTemperature(r.text, p.grammar.Units)
		if err != nil {
			return false
		}
		c = append(c, t.Base)
	}
	return len(c) > 1 && c[0] >= coldPit && slices.Max(c) == c[0]
}

// timed reports whether a time is between lo and hi.
func (p *parser) timed(lo, hi int) bool {
	p.begin(lo, hi)
	for i := range p.toks {
		if _, ok := p.moment(i); ok {
			return true
		}
	}
	return false
}

// mayBeBare reports whether n figures without a word may be readings in the clause
// that is read: behind words that are not understood one alone is none, and none is
// where those end in figures: "in three places: 68, 70, 66".
func (p *parser) mayBeBare(n int) bool {
	if p.clause == 0 || !p.clauses[p.clause-1].left {
		return true
	}
	before := p.clauses[p.clause-1]
	return n > 1 && !p.all[before.hi-1].bare()
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
