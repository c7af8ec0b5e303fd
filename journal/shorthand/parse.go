package shorthand

import (
	"fmt"
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

// terse reads a clause of letters, figures and the beginnings of words.
func (p *parser) terse(lo, hi int) bool {
	kept := p.begin(lo, hi)
	for p.at < len(p.toks) {
		t := p.toks[p.at]
		_, _, figure := t.number()
		isTime, err := p.takeTime(t)
		switch {
		case err != nil || isTime:
		case t.low == "and":
			p.at++
		case figure:
			err = p.figures()
		default:
			err = p.act(t)
		}
		if err != nil {
			p.state = kept
			return false
		}
	}
	lone := len(p.readings) == len(kept.readings)+1 && len(p.readings) == 1 && len(p.items) > len(kept.items)
	if lone && !p.couldStandAlone(p.readings[0].text) || !p.done(kept, true) { // "5 off"
		p.state = kept
		return false
	}
	return true
}

// peek returns the next token; ok is false at the end.
func (p *parser) peek() (token, bool) {
	if p.at >= len(p.toks) {
		return token{}, false
	}
	return p.toks[p.at], true
}

// here is the place of the next token, for an error about what is missing.
func (p *parser) here() token {
	if t, ok := p.peek(); ok {
		return t
	}
	return token{col: p.end}
}

// takeTime takes a time: "-20", "-1h20", "-20 min", "01:10" or a whole RFC 3339 time.
func (p *parser) takeTime(t token) (bool, error) {
	m, ok := p.moment(p.at)
	if !ok {
		return false, nil
	}
	if !p.own.at.IsZero() {
		return true, t.errorf("a second time; a line has one")
	}
	p.at, p.own = m.end, m
	return true, nil
}

// figures takes the bare figures: pit, core, further cores.
func (p *parser) figures() error {
	if len(p.readings) > 0 && !(p.open && p.at == 0) {
		return p.here().errorf("the readings stand together, pit first, or each after its word: core 70")
	}
	if len(p.readings) == 0 {
		p.before = len(p.items)
	}
	taken := 0
	for {
		t, ok := p.peek()
		num, unit, figure := t.number()
		if !ok || !figure || signOf(num) > 0 {
			break
		}
		whole, part, comma := strings.Cut(num, ",")
		switch {
		case comma && unit == "" && len(part) > 1:
			return t.errorf("one reading or two? write %s.%s, or %s %s", whole, part, whole, part)
		case len(whole) > 1 && whole[0] == '0':
			return t.errorf("no reading begins with 0; the clock is written 01:10")
		}
		text, end, ok := p.temperature(p.at)
		if !ok {
			return t.errorf("expected a temperature")
		}
		t.text, p.at = text, end
		p.readings = append(p.readings, reading{t, p.clause})
		taken++
	}
	if taken == 0 {
		return p.here().errorf("expected a reading without a sign, or such as -20 for twenty minutes ago")
	}
	return nil
}

// quantity takes a number and a unit that stands apart; the token returned has
// both. The next token must be a number.
func (p *parser) quantity(isUnit func(string) bool) token {
	t := p.toks[p.at]
	p.at++
	if _, unit, ok := t.number(); ok && unit == "" && !t.comma {
		if next, more := p.peek(); more && isUnit(next.text) {
			p.at++
			t.text, t.comma = t.text+" "+next.text, next.comma
		}
	}
	return t
}

// act takes an act and its argument.
func (p *parser) act(t token) error {
	f := lookup(t.text)
	switch {
	case len(f.shared) > 0:
		return t.errorf("could be %s; write a letter more", either(f.shared))
	case f.act == journal.NoAct:
		return p.unknown(t)
	case f.rest != "":
		p.toks[p.at].comma = false
		p.toks = slices.Insert(p.toks, p.at+1, token{text: f.rest, low: f.rest, col: t.col + 1, comma: t.comma})
	}
	p.at++
	act := f.act
	if act == journal.SetPit {
		var err error
		if act, err = p.aimed(); err != nil {
			return err
		}
	}
	piece, err := p.piece(act)
	if err != nil {
		return err
	}
	var arg string
	from := p.here()
	switch {
	case act.TakesTemperature():
		arg, err = p.argument(act, "a temperature", temperatureUnit)
	case act.TopGrade() > 0:
		arg, err = p.argument(act, fmt.Sprintf("0 to %d", act.TopGrade()), func(string) bool { return false })
	case act == journal.Recheck:
		arg, err = p.span(act)
	case act == journal.PutWrap:
		arg, err = p.wrap(act)
	case act.TakesDetail():
		arg, err = p.detail(act)
	case act.TakesName():
		err = t.errorf("expected a name after it")
	}
	if err != nil {
		return err
	}
	if arg != "" {
		t = token{text: arg, col: from.col}
	}
	return p.add(act.Word()+" "+piece+" "+arg, t, len(p.items))
}

// bareNumber reports whether an argument is a number without its unit.
func bareNumber(arg string) bool { return token{text: arg}.bare() }

// add reads an item as it stands in a file and puts it at place i.
func (p *parser) add(text string, from token, i int) error {
	it, err := journal.ParseItem(text, p.grammar)
	if err == nil && it.Act == journal.NoAct {
		err = fmt.Errorf("%q is no item", text)
	}
	if err != nil {
		return from.errorf("%v", err)
	}
	it.Temp.Assumed, it.After.Assumed = false, false // the unit is written out
	p.items = slices.Insert(p.items, i, typed{Item: it, from: from, clause: p.clause})
	return nil
}

// aimed takes the second word of a setting.
func (p *parser) aimed() (journal.Act, error) {
	t, ok := p.peek()
	if ok {
		switch m := matches(t.text, []string{"pit", "core"}); {
		case len(m) == 1 && m[0] == "pit":
			p.at++
			return journal.SetPit, nil
		case len(m) == 1:
			p.at++
			return journal.SetCore, nil
		}
	}
	return journal.NoAct, p.here().errorf("expected aim pit or aim core, then a temperature")
}

// piece takes the name of a piece, or its beginning, after an act that may
// have one.
func (p *parser) piece(act journal.Act) (string, error) {
	if !act.TakesPiece() || len(p.grammar.Pieces) == 0 {
		return "", nil
	}
	if name, n := p.wholePiece(); n > 0 {
		p.at += n
		return name, nil
	}
	t, ok := p.peek()
	if _, _, figure := t.number(); !ok || figure {
		return "", nil
	}
	must := act.TakesTemperature() || act.TopGrade() > 0
	m := matches(t.text, p.grammar.Pieces)
	f := lookup(t.text)
	other := f.act != journal.NoAct || len(f.shared) > 0
	switch {
	case len(m) == 0 && must:
		return "", t.errorf("no piece is named so; the pieces are %s", strings.Join(p.grammar.Pieces, ", "))
	case len(m) == 0 || !must && f.exact:
		return "", nil
	case len(m) > 1:
		return "", t.errorf("could be the piece %s; write a letter more", either(m))
	case other && !must:
		return "", t.errorf("could be the piece %s or an act; write it out", m[0])
	}
	p.at++
	return m[0], nil
}

// wholePiece finds the longest name of a piece that stands next in full.
func (p *parser) wholePiece() (name string, tokens int) {
	for _, n := range p.grammar.Pieces {
		fields := strings.Fields(n)
		if k := len(fields); k > tokens && p.at+k <= len(p.toks) {
			if slices.EqualFunc(fields, p.toks[p.at:p.at+k], func(f string, t token) bool { return strings.EqualFold(f, t.text) }) {
				name, tokens = n, k
			}
		}
	}
	return name, tokens
}

// argument takes the number an act must have.
func (p *parser) argument(act journal.Act, want string, isUnit func(string) bool) (string, error) {
	t, ok := p.peek()
	if _, _, figure := t.number(); !ok || !figure {
		hint := ""
		if act == journal.Feel {
			hint = "; the pit is pit or pi"
		}
		return "", p.here().errorf("expected %s for %s%s", want, act.Word(), hint)
	}
	if act.TakesTemperature() {
		text, end, ok := p.temperature(p.at)
		if !ok {
			return "", t.errorf("expected %s for %s", want, act.Word())
		}
		p.at = end
		return text, nil
	}
	return p.quantity(isUnit).text, nil
}

// span takes a time to wait: "30", "1h30", "1 h 30 min".
func (p *parser) span(act journal.Act) (string, error) {
	s, err := p.argument(act, "a time to wait such as 30 min", spanUnit)
	if err != nil {
		return "", err
	}
	hours, err := measure.ParseSpan(s)
	if t, ok := p.peek(); ok && err == nil && hours.Unit.Symbol == "h" && t.bare() {
		if minutes, err := measure.ParseSpan(t.text); err == nil && minutes.Base < time.Hour.Seconds() {
			s += " " + p.quantity(spanUnit).text
		}
	}
	return s, nil
}

// wrap takes a kind of wrap or its beginning, and perhaps loose.
func (p *parser) wrap(act journal.Act) (string, error) {
	kinds := make([]string, len(journal.Wraps))
	for i, w := range journal.Wraps {
		kinds[i] = string(w)
	}
	t, ok := p.peek()
	if !ok {
		return "", p.here().errorf("expected a kind of %s: %s", act.Word(), either(kinds))
	}
	m := matches(t.text, kinds)
	switch {
	case len(m) == 0:
		return "", t.errorf("no kind of wrap; expected %s", either(kinds))
	case len(m) > 1:
		return "", t.errorf("could be %s; write a letter more", either(m))
	}
	p.at++
	if next, ok := p.peek(); ok && !t.comma && len(next.text) > 1 && begins(looseWord, next.text) {
		p.at++
		return m[0] + " " + looseWord, nil
	}
	return m[0], nil
}

const looseWord = "loose"

// unknown says that a word is none of ours, and which are like it.
func (p *parser) unknown(t token) error {
	if undoes(t.text) {
		return t.errorf("undo stands alone on its line")
	}
	if isDigit(t.text[0]) {
		return t.errorf("expected a reading such as 112 or 112°C, or a time such as 01:10 or -20")
	}
	near := ""
	if n := nearest(t.text, p.grammar.Pieces); len(n) > 0 {
		near = "; nearest: " + strings.Join(n, ", ")
	}
	return t.errorf("no act begins so%s; free words go after --", near)
}

// either joins names: "rest or recheck".
func either(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}
