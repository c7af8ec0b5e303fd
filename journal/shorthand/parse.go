package shorthand

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// parser turns tokens into items. It writes each item in the file's grammar and parses
// that, so that one grammar alone decides what is valid.
type parser struct {
	ctx     Context
	grammar journal.Grammar
	text    string  // the line as typed
	all     []token // the line's tokens
	words   string  // text after the dash
	dash    int     // byte offset of the dash
	dashed  bool
	now     time.Time
	written bool // the line is in the file's grammar
	// an entry of time now is being replaced: a clock time means the one nearest to now
	mends  bool
	barred map[int]taken // limits by group of clauses; a missing group has none
	// the only temperature unit typed on the line, after a space; "" for none or both
	neighbour string

	clauses []clause
	toks    []token // tokens of the current clause
	at      int     // index of the next token
	end     int     // column after the last token
	clause  int     // index of the current clause
	state
	when  time.Time // time of the line
	flags []string
}

// state is what has been read so far. A clause that is not understood must restore it.
type state struct {
	items     []typed
	figureSet             // the bare numbers of one time
	earlier   []figureSet // those of other times before them
	open      bool        // further bare figures may follow
	time      moment      // of the line; its at is zero where none was typed
	own       moment      // of the clause
}

// figureSet has the bare numbers that were read at one time.
type figureSet struct {
	readings []reading // each with its unit
	before   int       // items typed before them
	setAt    time.Time // zero for the line's time
}

// bare counts the bare figures of all times.
func (s state) bare() int {
	n := len(s.readings)
	for _, e := range s.earlier {
		n += len(e.readings)
	}
	return n
}

// typed is an item with its clause and the token of its number.
type typed struct {
	journal.Item
	from   token
	clause int
	at     time.Time // the clause's own time; zero for none
}

// reading is a bare figure and the index of its clause.
type reading struct {
	token
	clause int
}

// taken limits what may be taken from a group of clauses.
type taken uint8

const (
	anything   taken = iota
	onlyReads        // only readings that name what was read
	onlyAsWord       // nothing: the group is kept as words
)

// clause is a part of the line that is either understood as a whole or kept as words.
type clause struct {
	lo, hi int    // its tokens are all[lo:hi]
	group  int    // index of the first token of the clause it was split from
	ask    string // question to answer before saving; "" for none
	left   bool   // the clause stays words
}

// rest reports whether the clause is the part of a split clause after "and" or "then".
func (c clause) rest() bool { return c.lo != c.group }

// understand reads the line clause by clause. Nothing is refused. A clause that is not
// understood stays words, and so does a clause that shares its verb or object with it
// or that it takes back. Each round limits one more group, so the loop ends.
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
		case p.parted(c, sentenceJoints), (p.any(c.lo, c.hi, supposing) || p.any(c.lo, c.hi, turningDown)) && p.factFirst(c):
			i--
		case p.any(c.lo, c.hi, supposing) || p.elsewhere(c.lo, c.hi):
			for ; i < len(p.clauses) && (i+1 == len(p.clauses) || p.all[p.clauses[i+1].lo].low != "but"); i++ {
				p.clauses[i].left = true
			}
			if i == len(p.clauses) {
				return
			}
			p.clauses[i].left = true
		case p.any(c.lo, c.hi, turningDown):
			c.left = true
		case p.barred[c.group] == anything && p.terse(c.lo, c.hi):
		case p.barred[c.group] == anything && p.mended(c.lo, c.hi):
		case p.parted(c, joints):
			i--
		case p.barred[c.group] == anything && p.cut(i):
			i--
		case p.barred[c.group] == anything && p.tailed(i):
			i++
		default:
			c.left = true
			p.lead(i)
		}
		if p.time.ahead {
			p.flags = append(p.flags, p.time.at.Format(measure.Stamp)+" is in the future: kept as words")
			p.state = state{}
			p.leaveFrom(0)
			return
		}
	}
}

// bar limits what may be taken from groups of clauses. A group split at "and" of which
// one part is not understood may give only readings that name what they are of ("boxed
// and labelled the leftovers"). A group that the next clause takes back ("wrap, not
// yet") stays words. bar reports whether it set a new limit.
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

// toDo reports whether the clause names something still to be done: "still to wrap".
func (p *parser) toDo(lo, hi int) bool {
	for i := lo; i+1 < hi; i++ {
		if p.all[i+1].low == "to" && yetTo.has(p.all[i].low) {
			return true
		}
	}
	return false
}

// takesBack reports whether the clause only says that what came before did not happen,
// has not happened yet, or is about another cook.
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

// elsewhere reports whether the clause is about another cook or repeats what somebody
// said.
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

// longest is the largest number of tokens in a clause that is searched for items. A
// longer clause is prose (chosen).
const longest = 40

// leaveFrom keeps clause i and all clauses after it as words.
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

// onlyFigures reports whether the clause has nothing but numbers and at most a joining
// word.
func (p *parser) onlyFigures(lo, hi int) bool {
	for _, t := range p.all[lo:hi] {
		if _, _, ok := t.number(); !ok && !passing.has(t.low) {
			return false
		}
	}
	return true
}

// any reports whether one of the tokens from lo to hi is in words.
func (p *parser) any(lo, hi int, words *wordSet) bool {
	for _, t := range p.all[lo:hi] {
		if words.has(t.low) || words.has("n't") && strings.HasSuffix(t.low, "n't") {
			return true
		}
	}
	return false
}

// cut splits a clause into the readings it begins with and the acts that follow, if it
// understands both parts: "pit 112 core 68 f lump 1 kg". It reports whether it did.
func (p *parser) cut(i int) bool {
	c, figures, end := p.clauses[i], 0, 0
	for end = c.lo; end < c.hi; end++ {
		t := p.all[end]
		if _, _, isNum := t.number(); isNum {
			figures++
		} else if !readOf.has(t.low) && !readJoins.has(t.low) && !passing.has(t.low) && !p.ctx.named(t.low) && !temperatureUnit(t.text) {
			break
		}
	}
	for k := end; figures > 0 && k > c.lo && k < c.hi; k-- {
		kept := p.begin(c.lo, k)
		fits := (p.natural(c.lo, k) || p.terse(c.lo, k)) && (p.bare() > kept.bare() || len(p.items) > len(kept.items) && p.onlyReads(kept))
		reads := len(p.items)
		if p.bare() == kept.bare()+1 && p.bare() > 0 {
			fits = fits && p.couldStandAlone(p.readings[len(p.readings)-1].text)
		}
		fits = fits && (p.natural(k, c.hi) || p.terse(k, c.hi)) && len(p.items) > reads
		for _, it := range p.items[min(reads, len(p.items)):] {
			fits = fits && it.Act.TakesDetail() && it.Act.Key() != 0
		}
		if p.state = kept; fits {
			p.clauses[i].hi = k
			p.clauses = slices.Insert(p.clauses, i+1, clause{lo: k, hi: c.hi, group: k})
			return true
		}
	}
	return false
}

// lead takes two or more bare numbers at the start of a line as readings, whatever
// words follow. It does not do so if the words say that the readings are another
// cook's, not true or still to come, or if they name things that the numbers count.
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

// coldPit is the lowest pit temperature taken when unknown words follow, °C (chosen).
const coldPit = 60.0

// couldLead reports whether the first bare figure can be a pit and the others cooler
// cores in it.
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

// timed reports whether there is a time between tokens lo and hi.
func (p *parser) timed(lo, hi int) bool {
	p.begin(lo, hi)
	for i := range p.toks {
		if _, ok := p.moment(i); ok {
			return true
		}
	}
	return false
}

// mayBeBare reports whether n figures without a name may be readings in the current
// clause. If the clauses before it were not understood, a single figure is no reading,
// and no figure is one if those clauses end in figures: "in three places: 68, 70, 66".
func (p *parser) mayBeBare(n int) bool {
	if p.clause == 0 || !p.clauses[p.clause-1].left {
		return true
	}
	before := p.clauses[p.clause-1]
	return n > 1 && !p.all[before.hi-1].bare()
}

// typedScale returns a space and the temperature unit typed on the line. It returns ""
// if no unit or both were typed.
func (p *parser) typedScale() string {
	found := ""
	for i, t := range p.all {
		_, unit, ok := t.number()
		if !ok {
			continue
		}
		if unit == "" && i+1 < len(p.all) && !t.comma && temperatureUnit(p.all[i+1].text) && !(p.ctx.named(p.all[i+1].text) && i+2 < len(p.all) && isDigit(p.all[i+2].text[0])) {
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

// begin starts reading the tokens from lo to hi and returns the state before them.
func (p *parser) begin(lo, hi int) state {
	p.toks, p.at = slices.Clone(p.all[lo:hi]), 0
	p.end = utf8.RuneCountInString(p.text[:p.all[hi-1].to]) + 1
	p.own = moment{}
	kept := p.state
	kept.items, kept.readings, kept.earlier = slices.Clone(p.items), slices.Clone(p.readings), slices.Clone(p.earlier)
	return kept
}

// startSet begins the bare numbers of another time, if the clause names one: "9:05 96,
// 9:20 97". It reports whether that is allowed.
func (p *parser) startSet() bool {
	at := p.setAt
	if at.IsZero() {
		at = p.time.at
	}
	if p.own.at.IsZero() || p.own.at.Equal(at) {
		return false
	}
	p.earlier = append(p.earlier, p.figureSet)
	p.figureSet = figureSet{before: len(p.items)}
	return true
}

// done gives the items of a clause their time, and reports whether that time is
// possible.
func (p *parser) done(kept state, whole bool) bool {
	p.open = len(p.readings) > 0 && len(p.items) == p.before && p.readings[len(p.readings)-1].clause == p.clause && p.own.at.IsZero()
	if p.own.at.IsZero() && !p.mends && !p.time.at.IsZero() && !p.time.dated && slices.ContainsFunc(p.toks, func(t token) bool { return t.low == "now" }) {
		p.own = moment{at: p.now} // "fire low at 3, 108 now"
	}
	if p.own.at.IsZero() {
		return true
	}
	added := len(p.items) - len(kept.items)
	figures := p.bare() - kept.bare()
	switch {
	case p.own.at.Equal(p.time.at):
	case p.time.at.IsZero() && (whole && figures == 0 || added+figures == 0 || p.mends || len(kept.items)+kept.bare() == 0):
		p.time = p.own
	case p.mends || p.own.ahead:
		return false
	default:
		if figures > 0 {
			p.setAt = p.own.at
		}
		for i := len(kept.items); i < len(p.items); i++ {
			p.items[i].at = p.own.at
		}
	}
	return true
}
