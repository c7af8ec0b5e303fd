package shorthand

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
)

// Mend reads a line that replaces the entry old. Without a time, the entry's time
// stays. A clock time means the one nearest to the entry, and "-20" is twenty minutes
// before it. A line that is only a time changes only the time. Bare readings are
// assigned and flagged as if old did not exist. A line in the file's own grammar is
// read by that grammar.
func Mend(line string, old journal.Entry, ctx Context) (Line, error) {
	if err := printable(line); err != nil {
		return Line{}, err
	}
	if ctx.Cook != nil {
		without := *ctx.Cook
		if i := slices.IndexFunc(without.Entries, func(e journal.Entry) bool { return e.Line == old.Line && e.Time.Equal(old.Time) }); i >= 0 {
			without.Entries = slices.Delete(slices.Clone(without.Entries), i, i+1)
		}
		ctx.Cook = &without
	}
	p := newParser(line, ctx)
	p.now, p.mends = old.Time, true
	if len(p.all) == 1 && (undoes(p.all[0].text) || p.all[0].low == "redo") {
		return Line{}, p.all[0].errorf("expected what the entry should say")
	}
	if p.asWritten(line) {
		return p.read(), nil
	}
	p.understand()
	l := p.read()
	if len(l.Entry.Items) == 0 && l.Entry.Words == "" {
		if p.time.at.IsZero() {
			return Line{}, &Error{Col: p.end, Text: "nothing is left of the entry; to delete it, use drop"}
		}
		return Line{Entry: journal.Entry{Time: p.when, Items: old.Items, Words: old.Words}, Flags: p.oddTime()}, nil
	}
	l.Flags, l.ago = append(l.Asks, l.Flags...), 0
	return l, nil
}

// asWritten reads the line by the file's grammar and reports whether every part of it
// is an item.
func (p *parser) asWritten(line string) bool {
	head := line
	if p.dashed {
		head = line[:p.dash]
	}
	when := p.now
	if clock, rest, _ := strings.Cut(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(head), "- ")), " "); clock != "" {
		if len(p.all) > 0 {
			p.toks = p.all[:1]
			if t, ok := p.moment(0); ok && clock == p.all[0].text {
				when, head = t.at, rest
			}
		}
	}
	items, left, _ := journal.ParseBody(head, p.grammar)
	if left != "" || len(items) == 0 {
		return false
	}
	for _, it := range items {
		if it.Temp.Assumed || it.After.Assumed {
			return false
		}
		p.items = append(p.items, typed{Item: it, from: token{text: it.String()}})
	}
	p.time, p.written = moment{at: when}, true
	p.clauses = []clause{{hi: len(p.all)}}
	return true
}

// halfDay is the largest distance between the entry and a clock time typed for it.
const halfDay = 12 * time.Hour

// clock returns the last time before now when a clock showed hour:minute. When an entry
// is being mended, it returns the one nearest to the entry.
func (p *parser) clock(hour, minute int) time.Time {
	from := p.now
	if p.mends {
		from = from.Add(halfDay)
	}
	return journal.ClockBefore(from, hour, minute, p.now.Location())
}

func newParser(line string, ctx Context) *parser {
	p := &parser{ctx: ctx, text: line, end: utf8.RuneCountInString(line) + 1, now: ctx.Now.Truncate(time.Minute)}
	p.all, p.words, p.dash, p.dashed = scan(line)
	p.all = joinedUp(p.all, line)
	p.grammar.Units = ctx.Settings.Units
	if ctx.Cook != nil {
		p.grammar.Pieces = ctx.Cook.PieceNames()
	}
	p.all = readSpoken(p.all, p.grammar.Pieces)
	return p
}
