package shorthand

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// longAgo is the age from which a line's time gets a flag.
const longAgo = 24 * time.Hour

// oddities returns one message for each odd thing about the line as a whole.
func (p *parser) oddities() []string {
	flags := p.oddTime()
	for _, it := range p.items {
		if on := p.piecesOn(); it.Act == journal.Feel && it.Piece == "" && len(on) > 1 {
			flags = append(flags, fmt.Sprintf("feel %d without a piece counts for all %d", it.Grade, len(on)))
		}
	}
	for _, d := range p.doubts() {
		flags = append(flags, d.Why)
	}
	return flags
}

func (p *parser) oddTime() []string {
	var flags []string
	at := measure.FormatTime(p.when, measure.Clock, p.grammar.Units)
	now := p.now
	if p.mends {
		now = p.ctx.Now
	}
	switch d := now.Sub(p.when); {
	case d < 0:
		flags = append(flags, fmt.Sprintf("%s is in the future", measure.FormatTime(p.when, measure.Stamp, p.grammar.Units)))
	case d > longAgo && !p.mends:
		flags = append(flags, fmt.Sprintf("%s is over a day ago", measure.FormatTime(p.when, measure.Stamp, p.grammar.Units)))
	}
	first := func(t time.Time) bool { // t is before every other entry
		c := p.ctx.Cook
		return c != nil && len(c.Entries) > 0 && t.Before(c.Entries[0].Time)
	}
	if c := p.ctx.Cook; first(p.when) && !(p.mends && first(p.now)) {
		flags = append(flags, fmt.Sprintf("%s is before the first entry, %s", at, measure.FormatTime(c.Entries[0].Time.In(p.when.Location()), measure.Clock, p.grammar.Units)))
	}
	return flags
}
