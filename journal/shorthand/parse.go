package shorthand

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// parser turns tokens into items by writing each out as it stands in a file
// and reading that: the file's grammar is the only judge of an item.
type parser struct {
	ctx     Context
	grammar journal.Grammar
	toks    []token
	words   string // after the dash
	dash    int    // where it stands, in bytes
	dashed  bool
	at      int // next token
	end     int // column after the line
	now     time.Time
	mends   bool // an entry at now: clock times are those nearest to it

	items    []typed
	readings []token // the bare figures, each with its unit
	before   int     // items typed before the bare figures
	when     time.Time
	timed    bool
	flags    []string
}

// typed is an item and where its figures were typed.
type typed struct {
	journal.Item
	from token
}

func (p *parser) line() error {
	p.when = p.now
	for p.at < len(p.toks) {
		t := p.toks[p.at]
		_, _, figure := t.number()
		isTime, err := p.time(t)
		switch {
		case err != nil:
			return err
		case isTime:
		case p.at == 0 && t.text == "-": // a line of the file, typed or pasted whole
			p.at++
		case figure:
			err = p.figures()
		default:
			err = p.act(t)
		}
		if err != nil {
			return err
		}
	}
	return p.settle()
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

// parted reports whether a comma stands before the next token.
func (p *parser) parted() bool { return p.at > 0 && p.toks[p.at-1].comma }

// time takes "-20", "-1h20", "-20 min", "01:10" or a whole RFC 3339 time.
func (p *parser) time(t token) (bool, error) {
	when, ok := p.timeOf(t)
	if !ok {
		return false, nil
	}
	if p.timed {
		return true, t.errorf("a second time; a line has one")
	}
	p.at++
	if num, unit, ok := t.number(); ok && unit == "" && signOf(num) > 0 {
		if next, ok := p.peek(); ok && !t.comma && spanUnit(next.text) {
			when, _ = p.timeOf(token{text: t.text + next.text})
			p.at++
		}
	}
	p.when, p.timed = when, true
	return true, nil
}

func (p *parser) timeOf(t token) (time.Time, bool) {
	if hour, minute, ok := journal.ParseClock(t.text); ok {
		return p.clock(hour, minute), true
	}
	if n := signOf(t.text); n > 0 && t.text[0] != '+' {
		back, err := measure.ParseSpan(t.text[n:])
		if err != nil || back.Base < 0 {
			return time.Time{}, false
		}
		return p.now.Add(-measure.Duration(back).Truncate(time.Second)), true
	}
	if len(t.text) < len("2006-01-02T15:04Z") || !isDigit(t.text[0]) {
		return time.Time{}, false
	}
	when, err := journal.ParseTime(t.text)
	return when.Truncate(time.Second), err == nil
}

// figures takes the bare figures: pit, core, further cores.
func (p *parser) figures() error {
	if len(p.readings) > 0 {
		return p.here().errorf("the readings stand together, pit first, or each after its word: core 70")
	}
	p.before = len(p.items)
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
		p.readings = append(p.readings, p.quantity(temperatureUnit))
	}
	if len(p.readings) == 0 {
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
		p.toks = slices.Insert(p.toks, p.at+1, token{text: f.rest, col: t.col + 1, comma: t.comma})
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
	p.items = slices.Insert(p.items, i, typed{it, from})
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
	if !act.TakesPiece() || len(p.grammar.Pieces) == 0 || p.parted() {
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
	if _, _, figure := t.number(); !ok || !figure || p.parted() {
		hint := ""
		if act == journal.Feel {
			hint = "; the pit is pit or pi"
		}
		return "", p.here().errorf("expected %s for %s%s", want, act.Word(), hint)
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
	if t, ok := p.peek(); ok && err == nil && hours.Unit.Symbol == "h" && !p.parted() && t.bare() {
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
	if !ok || p.parted() {
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
