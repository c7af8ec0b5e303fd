package shorthand

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// aloneIsPit is where a lone figure is the pit when nothing was read before:
// no core that is still cooking comes near it (chosen).
const aloneIsPit = 95.0 // °C

// loneMargin is how much nearer to one reading than to the other a lone figure
// must lie not to be flagged, K (chosen).
const loneMargin = 5.0

// settle gives the bare figures their acts, once it is known what the rest of
// the line names and when it was, and looks at what each act means where the
// cook stands.
func (p *parser) settle() {
	for i, it := range p.items {
		if it.Act == journal.ReadCore && it.Piece == "" && p.pieceCount() > 1 {
			p.items[i].Piece = p.pieceName(p.piecesOn()[0])
		}
	}
	if err := p.bareFigures(); err != nil {
		p.hint(err)
		for _, r := range p.readings {
			p.drop(r.clause)
		}
	}
	for i := 0; i < len(p.items); i++ {
		for _, o := range p.items[:i] {
			if it := p.items[i]; it.repeats(o) {
				if it.Temp.Known && it.Temp.Base == o.Temp.Base || it.Act.TakesPiece() && !it.Temp.Known && it.Grade == o.Grade {
					p.items = slices.Delete(p.items, i, i+1)
				} else {
					p.drop(it.clause)
				}
				i = -1
				break
			}
		}
	}
	p.weigh()
}

// hint says why something stays words, where that helps to write it better.
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

// drop leaves a clause as words and takes its items out.
func (p *parser) drop(clause int) {
	p.clauses[clause].left = true
	p.items = slices.DeleteFunc(p.items, func(t typed) bool { return t.clause == clause })
}

// repeats reports whether two items say the same thing twice. Vents, fuel,
// wood and the like may be named more than once.
func (t typed) repeats(o typed) bool {
	return t.Act == o.Act && !t.Act.TakesDetail() && strings.EqualFold(t.Piece, o.Piece) && t.at.Equal(o.at)
}

func (p *parser) bareFigures() error {
	if len(p.readings) == 0 {
		return nil
	}
	pit, cores := p.readings[:1], p.readings[1:]
	if len(p.readings) == 1 {
		isPit, err := p.alone(p.readings[0].token)
		if err != nil {
			return err
		}
		p.askAlone(isPit)
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
			return cores[n].errorf("one reading too many: pit, then %s", coresWanted(len(p.piecesOn()), p.pieceCount()))
		}
	}
	at := p.before
	for _, t := range pit {
		p.clause = t.clause
		if err := p.add(journal.ReadPit.Word()+" "+t.text, t.token, at); err != nil {
			return err
		}
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
		at++
	}
	return nil
}

func coresWanted(on, all int) string {
	switch {
	case all == 1:
		return "one core"
	case on == all:
		return fmt.Sprintf("%d cores", all)
	case on == 1:
		return fmt.Sprintf("the core still on, or all %d", all)
	}
	return fmt.Sprintf("the %d cores still on, or all %d", on, all)
}

// alone decides whether a lone figure is the pit or the core: the one the line
// does not name, else the one whose last reading lies nearer.
func (p *parser) alone(t token) (isPit bool, err error) {
	q, err := measure.ParseTemperature(t.text, p.grammar.Units)
	if err != nil {
		return false, t.errorf("%v", err)
	}
	first := p.piecesOn()[0]
	var pitNamed, coreNamed bool
	for _, it := range p.items {
		pitNamed = pitNamed || it.Act == journal.ReadPit
		coreNamed = coreNamed || it.Act == journal.ReadCore && p.pieceIndex(it.Piece) == first
	}
	if pitNamed != coreNamed {
		return coreNamed, nil
	}
	if q.Base <= coreMost && p.names(journal.Feel, journal.Off, journal.PutWrap, journal.Bark) {
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
	if math.Abs(toPit-toCore) < loneMargin {
		as := journal.ReadCore
		if isPit {
			as = journal.ReadPit
		}
		p.ask(p.readings[0].clause, fmt.Sprintf("%s read as %s: pit was %s, core %s", t.text, as.Word(), p.show(pit.C), p.show(core.C)))
	}
	return isPit, nil
}

// askAlone asks about a lone figure that may be something else than the reading it
// is nearest to: one that is no likely reading, or the core of one of several.
func (p *parser) askAlone(isPit bool) {
	r := p.readings[0]
	it := journal.Item{Act: journal.ReadPit}
	if !isPit {
		on := p.piecesOn()
		it.Act, it.Piece = journal.ReadCore, p.pieceName(on[0])
		if len(on) > 1 {
			p.ask(r.clause, fmt.Sprintf("%s read as core %s: or another piece?", r.text, it.Piece))
			return
		}
	}
	t, err := measure.ParseTemperature(r.text, p.grammar.Units)
	if err != nil || len(p.items) > 0 {
		return
	}
	it.Temp = t
	_, known := p.lastPit()
	if !isPit {
		_, known = p.lastCore(p.pieceIndex(it.Piece))
	}
	var why []string
	if known {
		why = p.ctx.Cook.DoubtsOf(journal.Entry{Time: p.when, Items: []journal.Item{it}})
	}
	slip := func(why string) bool { return strings.HasSuffix(why, "?") } // a slip of the pen explains it
	if !known && !p.couldStandAlone(r.text) || slices.ContainsFunc(why, func(w string) bool { return !slip(w) }) {
		p.ask(r.clause, fmt.Sprintf("%s read as %s: is it a reading?", r.text, it.Act.Word()))
	}
}

// show prints a reading in the journal's own unit.
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

// piecesOn lists the pieces not yet off when the line is about; all of them
// where every one is.
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
