package shorthand

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// terse reads a clause made of letters, numbers and beginnings of words.
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
	bare := p.bare() - kept.bare()
	lone := bare == 1 && len(p.readings) == 1 && len(p.items) > len(kept.items)
	// in "5 off" the figure is no reading
	if lone && !p.couldStandAlone(p.readings[0].text) || bare > 0 && !p.mayBeBare(bare) || !p.done(kept, true) {
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

// here returns the next token, or an empty one at the end, for an error that says what
// is missing.
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
		return true, t.errorf("this is a second time; a line has only one")
	}
	p.at, p.own = m.end, m
	return true, nil
}

// figures reads the bare figures: the pit, the core, then further cores.
func (p *parser) figures() error {
	if len(p.readings) > 0 && !(p.open && p.at == 0) && !p.startSet() {
		return p.here().errorf("readings go together, pit first, or each after its word: core 70")
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
			return t.errorf("a reading does not begin with 0; write a time as 01:10")
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

// quantity takes a number and a unit after a space, and returns both as one token. The
// next token must be a number.
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

// act reads an act and its argument.
func (p *parser) act(t token) error {
	f := lookup(t.text)
	switch {
	case len(f.shared) > 0:
		return t.errorf("could be %s; write a letter more", either(f.shared))
	case f.act == journal.NoAct:
		return p.unknown(t)
	case f.act == journal.Bark && f.rest == "4" && p.at+1 < len(p.toks) && len(p.toks[p.at+1].text) > 1 && !isDigit(p.toks[p.at+1].text[0]):
		return t.errorf("bark 4, or before? write bark 4")
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
	if !p.mends && len(p.all) > 1 && !p.mayBegin(act, piece) {
		return t.errorf("the meat is on already")
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
		if arg, err = p.detail(act); err == nil && (act.Key() == 0 && (arg == "" || bareNumber(arg)) || act == journal.Turn && vagueTurn.has(strings.ToLower(arg))) {
			err = t.errorf("expected what of the %s", act.Word())
		}
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

// bareNumber reports whether an argument is a number without a unit.
func bareNumber(arg string) bool { return token{text: arg}.bare() }

// add parses an item in the file's grammar and inserts it at index i of p.items.
func (p *parser) add(text string, from token, i int) error {
	it, err := journal.ParseItem(text, p.grammar)
	if err == nil && it.Act == journal.NoAct {
		err = fmt.Errorf("%q is not an item", text)
	}
	if err != nil {
		return from.errorf("%v", err)
	}
	it.Temp.Assumed, it.After.Assumed = false, false // the file writes the unit out
	p.items = slices.Insert(p.items, i, typed{Item: it, from: from, clause: p.clause})
	return nil
}

// aimed takes the second word of an aim, pit or core, and returns its act.
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

// piece takes the name of a piece, or its beginning, after an act that may have one.
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
		return "", t.errorf("no piece has that name; the pieces are %s", strings.Join(p.grammar.Pieces, ", "))
	case len(m) == 0 || !must && f.exact:
		return "", nil
	case len(m) > 1:
		return "", t.errorf("this could be the piece %s; write one more letter", either(m))
	case other && !must:
		return "", t.errorf("this could be the piece %s or an act; write it in full", m[0])
	}
	p.at++
	return m[0], nil
}

// wholePiece returns the longest piece name that comes next in full, and how many
// tokens it takes.
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

// argument takes the number that an act must have. want says in the error what is
// missing.
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

// span takes a duration: "30", "1h30", "1 h 30 min".
func (p *parser) span(act journal.Act) (string, error) {
	s, err := p.argument(act, "a time to wait, such as 30 min", spanUnit)
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

// wrap takes a kind of wrap or its beginning, and "loose" if it follows.
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
		return "", t.errorf("this is not a kind of wrap; expected %s", either(kinds))
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

// unknown returns the error for a word that is not known. It lists similar words.
func (p *parser) unknown(t token) error {
	if undoes(t.text) {
		return t.errorf("undo must be alone on its line")
	}
	if isDigit(t.text[0]) {
		return t.errorf("expected a reading such as 112 or 112°C, or a time such as 01:10 or -20")
	}
	near := ""
	if n := nearest(t.text, p.grammar.Pieces); len(n) > 0 {
		near = "; nearest: " + strings.Join(n, ", ")
	}
	return t.errorf("there is no such act%s; free words go after --", near)
}

// either joins names for a message: "rest or recheck".
func either(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}
