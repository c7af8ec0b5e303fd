package shorthand

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// weigh checks the items against the state of the cook. Meat that is "pulled" while in
// the pit is taken off the pit. It asks about a bare number that fits only in the other
// temperature scale, and about an act that would end a cook still in the pit.
func (p *parser) weigh() {
	stage := journal.Planned
	if p.ctx.Cook != nil {
		stage = p.ctx.Cook.Status(p.when).Stage
	}
	onGrate := stage >= journal.Cooking && stage < journal.TakenOff && !p.names(journal.Off)
	for i := range p.items {
		switch it := &p.items[i]; it.Act {
		case journal.Pulled:
			switch said := strings.ToLower(it.from.text); {
			case !onGrate || p.names(journal.Served, journal.Sliced) || !p.pieceOnGrate(it.Piece):
			case said == "shredded" || said == "chopped":
				p.ask(it.clause, it.Act.Word()+", while the meat is still in the pit?")
			default:
				it.Act, onGrate = journal.Off, false
				p.flags = append(p.flags, "pulled is read as off: the meat is still in the pit")
			}
		case journal.Chilled, journal.Served, journal.Sliced:
			if onGrate {
				p.ask(it.clause, it.Act.Word()+", while the meat is still in the pit?")
			}
		}
		if it := p.items[i]; it.Act >= journal.Off && it.Act <= journal.Chilled && it.Piece == "" {
			if named := p.namedBeside(it.clause); named != "" {
				p.ask(it.clause, fmt.Sprintf("%s: all pieces, or only %s?", it.Act.Word(), named))
			}
		}
	}
	p.neighbours()
	p.otherScale()
}

// namedBeside returns a piece that another clause of the line names. It returns "" if
// there is none, or if the cook has one piece.
func (p *parser) namedBeside(clause int) string {
	if p.pieceCount() < 2 {
		return ""
	}
	for _, it := range p.items {
		if it.clause != clause && it.Piece != "" {
			return it.Piece
		}
	}
	for _, c := range p.clauses {
		for k := c.lo; c.left && k < c.hi; k++ {
			if low := p.called(strings.TrimSuffix(p.all[k].low, "'s")); p.ctx.named(low) {
				return low
			}
		}
	}
	return ""
}

// neighbours gives bare numbers the unit typed with another number on the line. If the
// number is plausible only in the journal's unit, it keeps that unit and asks.
func (p *parser) neighbours() {
	if p.neighbour == "" {
		return
	}
	for i := range p.items {
		it := &p.items[i]
		was, own := it.Temp, len(p.doubts())
		if !was.Known || !bareNumber(it.from.text) {
			continue
		}
		t, err := measure.ParseTemperature(it.from.text+p.neighbour, p.grammar.Units)
		if err != nil || t.Unit == was.Unit {
			continue
		}
		if it.Temp = t; len(p.doubts()) > own {
			it.Temp = was
			p.ask(it.clause, fmt.Sprintf("%s: meant as %s, beside one in%s?", p.name(*it), was, p.neighbour))
		}
	}
}

// otherScale reads bare numbers in the scale that the journal does not use where the
// journal's unit makes them implausible, and asks whether that is right.
func (p *parser) otherScale() {
	doubts := p.doubts()
	if len(doubts) == 0 {
		return
	}
	fromPit := slices.ContainsFunc(doubts, func(d journal.Doubt) bool { return d.Slip == journal.FromPit })
	for i := range p.items {
		it := &p.items[i]
		if it.Act != journal.ReadPit && it.Act != journal.ReadCore || !bareNumber(it.from.text) || p.neighbour != "" {
			continue
		}
		other := p.inOther(*it)
		tooHot := it.Act == journal.ReadCore && it.Temp.Base > coreMost && inMeat <= other.Base && other.Base <= coreMost && !fromPit
		if tooHot || slices.ContainsFunc(doubts, func(d journal.Doubt) bool { return d.Item == i && d.Slip == journal.OtherUnit }) {
			p.ask(it.clause, fmt.Sprintf("%s: meant as %s?", p.name(*it), other))
			it.Temp = other
		}
	}
}

// Limits of a core temperature, °C (chosen): brine boils below coreMost, and meat that
// has been in the pit for hours is above inMeat.
const (
	coreMost = 105.0
	inMeat   = 55.0
)

// doubts returns the doubts that the cook's other notes raise about the items read so
// far.
func (p *parser) doubts() []journal.Doubt {
	var all []journal.Doubt
	done := map[time.Time]bool{}
	for _, first := range p.items {
		if done[first.at] {
			continue
		}
		done[first.at] = true
		e := journal.Entry{Time: p.when}
		if !first.at.IsZero() {
			e.Time = first.at
		}
		var places []int
		for i, it := range p.items {
			if it.at.Equal(first.at) {
				e.Items, places = append(e.Items, it.Item), append(places, i)
			}
		}
		for _, d := range p.doubtsOf(e) {
			d.Item = places[d.Item]
			all = append(all, d)
		}
	}
	return all
}

// doubtsOf returns the doubts that the cook's other notes raise about an entry.
func (p *parser) doubtsOf(e journal.Entry) []journal.Doubt {
	c := p.ctx.Cook
	if c == nil {
		c = &journal.Cook{}
	}
	return c.DoubtsOf(e)
}

// doubted returns the indexes of the entry's items that conflict with the cook's other
// notes.
func (p *parser) doubted(e journal.Entry) (items []int) {
	for _, d := range p.doubtsOf(e) {
		items = append(items, d.Item)
	}
	return items
}

// inOther returns the temperature if its bare number is read in the other scale.
func (p *parser) inOther(it typed) measure.Temperature {
	unit := " °F"
	if p.grammar.Units == measure.US {
		unit = " °C"
	}
	t, err := measure.ParseTemperature(it.from.text+unit, p.grammar.Units)
	if err != nil {
		return it.Temp
	}
	return t
}

// name returns the words for a reading in a question: "core small 160".
func (p *parser) name(it typed) string {
	words := []string{it.Act.Word()}
	if it.Piece != "" {
		words = append(words, it.Piece)
	}
	return strings.Join(append(words, it.from.text), " ")
}

// names reports whether any of the acts is on the line.
func (p *parser) names(acts ...journal.Act) bool {
	return slices.ContainsFunc(p.items, func(it typed) bool { return slices.Contains(acts, it.Act) })
}

func (p *parser) pieceOnGrate(name string) bool {
	if p.ctx.Cook == nil {
		return false
	}
	if name == "" {
		return true
	}
	s := p.ctx.Cook.PieceStage(p.pieceIndex(name), p.when)
	return s >= journal.Cooking && s < journal.TakenOff
}
