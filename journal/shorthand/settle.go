package shorthand

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// aloneIsPit is the value from which a lone figure is the pit when nothing was read
// before, °C (chosen): no core that is still cooking gets close to it.
const aloneIsPit = 95.0

// loneMargin is how much nearer a lone figure must be to one of the last pit and core
// readings than to the other, K (chosen). Within it, the line asks.
const loneMargin = 5.0

// loneLeap is how far, K, a single number may be above the last core reading of the
// last two hours and still count as a core without a question (chosen: most cores rise
// by less than 10 K an hour).
const loneLeap = 15.0

// settle decides what each bare number was a reading of, after the rest of the line and
// its time are known. It also checks what each act means at this stage of the cook.
func (p *parser) settle() {
	for i, it := range p.items {
		switch {
		case it.Piece != "" || p.pieceCount() < 2:
		case it.Act == journal.ReadCore:
			p.items[i].Piece = p.pieceName(p.piecesOn()[0])
		case it.Act == journal.Feel && i > 0 && p.items[i-1].clause == it.clause: // "big is 94, like butter"
			p.items[i].Piece = p.items[i-1].Piece
		}
	}
	p.allFigures()
	for i := 0; i < len(p.items); i++ {
		for _, o := range p.items[:i] {
			if it := p.items[i]; it.repeats(o) {
				if it.Temp.Known && it.Temp.Base == o.Temp.Base || strings.EqualFold(it.String(), o.String()) {
					p.items = slices.Delete(p.items, i, i+1)
				} else {
					p.drop(it.clause)
				}
				i = -1
				break
			}
		}
	}
	p.plans()
	p.stillAsleep()
	p.coldBox()
	p.weigh()
	p.timeInWords()
}

// timeInWords asks whether readings are from now if words with a clock time come just
// before them: "shoulder in at 21:05, core 4".
func (p *parser) timeInWords() {
	for _, it := range slices.Clone(p.items) {
		i := it.clause
		if i == 0 || i >= len(p.clauses) || !p.clauses[i-1].left || !it.at.IsZero() || !p.time.at.IsZero() || !it.Act.TakesTemperature() || p.clauses[i].ask != "" {
			continue
		}
		p.begin(p.clauses[i-1].lo, p.clauses[i-1].hi)
		for k := range p.toks {
			if m, ok := p.clockOf(k); ok && !m.ahead && !m.at.Equal(p.when) {
				p.ask(i, fmt.Sprintf("%s: now, or at %s?", it.String(), measure.FormatTime(m.at, measure.Clock, p.grammar.Units)))
				break
			}
		}
	}
}

// leastBox is the lowest bare figure read as the air of a hot box, °C (chosen: a room).
// A lower one is an hour.
const leastBox = 20.0

// coldBox keeps "box at 9" and "box at 835" as words.
func (p *parser) coldBox() {
	for _, it := range slices.Clone(p.items) {
		if it.Act != journal.ReadBox || it.Temp.Base >= leastBox && it.Temp.Base <= coreMost || it.clause >= len(p.clauses) {
			continue
		}
		if _, unit, ok := p.all[p.clauses[it.clause].hi-1].number(); ok && unit == "" {
			p.drop(it.clause)
		}
	}
}

// toDo are words for a wrap that do not say whether it was done.
var toDo = newWords("wrap|unwrap|foil|paper|boat|pan")

// plans asks whether a wrap "at" a core was done: "wrap at 165" may be a plan.
func (p *parser) plans() {
	for _, it := range p.items {
		if it.Act != journal.PutWrap && it.Act != journal.Unwrap || it.clause >= len(p.clauses) {
			continue
		}
		c := p.clauses[it.clause]
		at := slices.ContainsFunc(p.all[c.lo:c.hi], func(t token) bool { return t.low == "at" })
		if read := slices.ContainsFunc(p.items, func(o typed) bool { return o.clause == it.clause && o.Act == journal.ReadCore }); at && read && toDo.has(p.all[c.lo].low) {
			p.ask(it.clause, fmt.Sprintf("%s: done, or still to do?", p.raw(c.lo, c.hi)))
		}
	}
}

// stillAsleep asks about a sleep that ends later than now.
func (p *parser) stillAsleep() {
	for _, it := range p.items {
		fields := strings.Fields(strings.ReplaceAll(it.Detail, "-", " "))
		if it.Act != journal.Sleep || len(fields) < 2 || it.clause >= len(p.clauses) {
			continue
		}
		end := strings.TrimRight(fields[len(fields)-1], "apm")
		if !strings.Contains(end, ":") {
			end += ":00"
		}
		if h, m, ok := journal.ParseClock(end); ok && p.clockTime(h, m, h <= 12, false, 0).ahead {
			p.ask(it.clause, fmt.Sprintf("asleep until %s, which is in the future?", fields[len(fields)-1]))
		}
	}
}

// hint adds a flag that says why something stays words, so that the user can type it
// differently.
func (p *parser) hint(err error) {
	var e *Error
	if !errors.As(err, &e) {
		return
	}
	text := e.Text
	if e.Word != "" {
		text = fmt.Sprintf("%q: %s", e.Word, text)
	}
	p.flags = append(p.flags, text)
}

// drop removes the items of the clause and keeps it as words.
func (p *parser) drop(clause int) {
	p.clauses[clause].left = true
	p.items = slices.DeleteFunc(p.items, func(t typed) bool { return t.clause == clause })
}

// repeats reports whether two items set the same value. Acts with a detail, such as
// vent, fuel and wood, may come more than once.
func (t typed) repeats(o typed) bool {
	return t.Act == o.Act && (!t.Act.TakesDetail() || t.Detail == "" && o.Detail == "") && strings.EqualFold(t.Piece, o.Piece) && t.at.Equal(o.at)
}

// allFigures decides what each bare number on the line was a reading of, for one time
// after the other. It begins with the last time, so that the items it inserts do not
// move those of the earlier times.
func (p *parser) allFigures() {
	when, sets := p.when, append(p.earlier, p.figureSet)
	for _, s := range slices.Backward(sets) {
		if p.figureSet = s; !s.setAt.IsZero() {
			p.when = s.setAt
		}
		if err := p.bareFigures(); err != nil {
			p.hint(err)
			for _, r := range s.readings {
				p.drop(r.clause)
			}
		}
		p.when = when
	}
}

// besides returns the other items of the time whose bare numbers are being read.
func (p *parser) besides() (items []typed) {
	for _, it := range p.items {
		if it.at.Equal(p.setAt) {
			items = append(items, it)
		}
	}
	return items
}

func (p *parser) bareFigures() error {
	if len(p.readings) == 0 {
		return nil
	}
	pit, cores := p.readings[:1], p.readings[1:]
	switch {
	case len(p.readings) > 1 && len(p.readings) == len(p.piecesOn()) && slices.ContainsFunc(p.besides(), func(it typed) bool { return it.Act == journal.ReadPit }): // "66/70 pit 113"
		pit, cores = nil, p.readings
	case len(p.readings) == 1:
		isPit, err := p.alone(p.readings[0].token)
		if err != nil {
			return err
		}
		if !isPit {
			pit, cores = nil, p.readings
		}
	}
	var pieces []int
	if len(cores) > 0 {
		pieces = p.piecesOn()
		if all := p.pieceCount(); len(cores) >= all {
			pieces = upTo(all)
		}
		if n := len(pieces); len(cores) > n {
			return cores[n].errorf("one reading too many: type the pit, then %s", coresWanted(len(p.piecesOn()), p.pieceCount()))
		}
	}
	at := p.before
	for _, t := range pit {
		p.clause = t.clause
		if err := p.add(journal.ReadPit.Word()+" "+t.text, t.token, at); err != nil {
			return err
		}
		p.items[at].at = p.setAt
		at++
	}
	for i, t := range cores {
		p.clause = t.clause
		word := journal.ReadCore.Word()
		if p.pieceCount() > 1 {
			name := p.pieceName(pieces[i])
			if name == "" {
				return t.errorf("piece %d has no name; name the pieces to read them apart", pieces[i]+1)
			}
			word += " " + name
		}
		if err := p.add(word+" "+t.text, t.token, at); err != nil {
			return err
		}
		p.items[at].at = p.setAt
		at++
	}
	p.askBare(p.items[p.before:p.before+len(pit)], p.items[p.before+len(pit):at])
	return nil
}

func coresWanted(on, all int) string {
	switch {
	case all == 1:
		return "one core"
	case on == all:
		return fmt.Sprintf("%d cores", all)
	case on == 1:
		return fmt.Sprintf("the core still in the pit, or all %d", all)
	}
	return fmt.Sprintf("the %d cores still in the pit, or all %d", on, all)
}

// alone decides whether a lone figure is the pit or the core. If the line names one of
// the two, the figure is the other one. If not, it is the one whose last reading is nearer.
func (p *parser) alone(t token) (isPit bool, err error) {
	q, err := measure.ParseTemperature(t.text, p.grammar.Units)
	if err != nil {
		return false, t.errorf("%v", err)
	}
	first := p.piecesOn()[0]
	var pitNamed, coreNamed bool
	for _, it := range p.besides() {
		pitNamed = pitNamed || it.Act == journal.ReadPit
		coreNamed = coreNamed || it.Act == journal.ReadCore && p.pieceIndex(it.Piece) == first
	}
	if pitNamed != coreNamed {
		return coreNamed, nil
	}
	if q.Base <= coreMost && slices.ContainsFunc(p.besides(), func(it typed) bool {
		return it.Act == journal.Feel || it.Act == journal.Off || it.Act == journal.PutWrap || it.Act == journal.Bark
	}) {
		return false, nil
	}
	pit, pitRead := p.lastPit()
	core, coreRead := p.lastCore(first)
	if !pitRead || !coreRead {
		return q.Base >= aloneIsPit, nil
	}
	toPit, toCore := math.Abs(q.Base-pit.C), math.Abs(q.Base-core.C)
	if math.Abs(toPit-toCore) < 1e-6 {
		return false, t.errorf("as near to pit %s as to core %s; write pit or core before it", p.show(pit.C), p.show(core.C))
	}
	isPit = toPit < toCore
	leaps := !isPit && q.Base-core.C > loneLeap && p.when.Sub(core.Time) < 2*time.Hour && q.Base < pit.C
	if math.Abs(toPit-toCore) < loneMargin || leaps {
		as := journal.ReadCore
		if isPit {
			as = journal.ReadPit
		}
		p.ask(p.readings[0].clause, fmt.Sprintf("%s read as %s: pit was %s, core %s", t.text, as.Word(), p.show(pit.C), p.show(core.C)))
	}
	return isPit, nil
}

// askBare asks about bare numbers that may not be readings of the pit and the core:
// they may be the core of another piece, a pit as cool as its meat, or too far from the
// last readings. Values that a known typing slip explains are flagged elsewhere.
func (p *parser) askBare(pit, cores []typed) {
	c := p.readings[0].clause
	for i := c + 1; i < len(p.clauses) && len(p.readings) == 1; i++ {
		first := p.clauses[i].lo
		if low := p.all[first].low; (low == "then" || low == "now") && first+1 < p.clauses[i].hi {
			first++
		}
		if p.clauses[i].left && p.all[first].bare() { // "113, then 108, now 111"
			p.ask(c, fmt.Sprintf("%s, with %s behind it: the reading now?", p.readings[0].text, p.all[first].text))
			return
		}
	}
	if len(pit) == 0 && len(cores) == 1 && len(p.piecesOn()) > 1 {
		p.ask(c, fmt.Sprintf("%s read as %s: or another piece?", p.readings[0].text, strings.TrimSpace(journal.ReadCore.Word()+" "+cores[0].Piece)))
		return
	}
	here := p.besides()
	if len(here) > len(p.readings) {
		return
	}
	e, off, follows := journal.Entry{Time: p.when}, false, true
	for _, it := range here {
		e.Items = append(e.Items, it.Item)
		off = off || len(pit) > 0 && it.Act == journal.ReadCore && it.Temp.Base >= pit[0].Temp.Base
		last, ok := p.lastPit()
		if it.Act == journal.ReadCore {
			last, ok = p.lastCore(p.pieceIndex(it.Piece))
		}
		follows = follows && ok && math.Abs(it.Temp.Base-last.C) <= loneMargin
	}
	why := p.doubtsOf(e)
	explained := func(d journal.Doubt) bool { // by a slip of the pen
		return d.Slip != journal.NoSlip && d.Slip != journal.MissingDigit
	}
	switch _, known := p.lastCore(p.piecesOn()[0]); {
	case follows:
		return
	case len(pit) > 0 && pit[0].Temp.Base < leastAlone:
		off = true
	case slices.ContainsFunc(why, explained):
		return
	case len(pit) > 0 && p.allCores(pit[0], cores), len(pit) == 0 && !known && cores[0].Temp.Base < leastAlone:
		off = true
	}
	if off || len(why) > 0 {
		var figures []string
		for _, r := range p.readings {
			figures = append(figures, r.text)
		}
		p.ask(c, fmt.Sprintf("%s: %s?", strings.Join(figures, " "), plural(len(figures), "a reading", "readings")))
	}
}

// allCores reports whether the figures are as many as the pieces in the pit, and each
// is nearer to its piece's last core than the first is to the last pit.
func (p *parser) allCores(pit typed, cores []typed) bool {
	on := p.piecesOn()
	last, ok := p.lastPit()
	if !ok || len(on) < 2 || len(on) != len(cores)+1 {
		return false
	}
	for i, it := range append([]typed{pit}, cores...) {
		core, ok := p.lastCore(on[i])
		if off := math.Abs(it.Temp.Base - core.C); !ok || off > loneMargin || off > math.Abs(pit.Temp.Base-last.C) {
			return false
		}
	}
	return true
}

func plural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// show formats a temperature in °C in the journal's unit.
func (p *parser) show(c float64) string { return measure.FormatTemperature(c, p.grammar.Units) }

func (p *parser) lastPit() (journal.Reading, bool) {
	if p.ctx.Cook == nil {
		return journal.Reading{}, false
	}
	return p.ctx.Cook.LastPit(p.when)
}

func (p *parser) lastCore(piece int) (journal.Reading, bool) {
	if p.ctx.Cook == nil {
		return journal.Reading{}, false
	}
	return p.ctx.Cook.LastCore(piece, p.when)
}

func (p *parser) pieceCount() int {
	if p.ctx.Cook == nil {
		return 1
	}
	return max(1, len(p.ctx.Cook.Pieces))
}

func (p *parser) pieceName(i int) string {
	if p.ctx.Cook == nil || i >= len(p.ctx.Cook.Pieces) {
		return ""
	}
	return p.ctx.Cook.Pieces[i].Name
}

func (p *parser) pieceIndex(name string) int {
	if p.ctx.Cook == nil {
		return 0
	}
	return p.ctx.Cook.PieceIndex(name)
}

// piecesOn returns the indexes of the pieces not yet off at the line's time; all pieces
// if every one is off.
func (p *parser) piecesOn() []int {
	all := upTo(p.pieceCount())
	if p.ctx.Cook == nil {
		return all
	}
	var on []int
	for _, i := range all {
		if p.ctx.Cook.PieceStage(i, p.when) < journal.TakenOff {
			on = append(on, i)
		}
	}
	if len(on) == 0 {
		return all
	}
	return on
}

func upTo(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}
