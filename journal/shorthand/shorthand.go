// Package shorthand reads the entry line: one line that a cook types at the pit, in
// letters and figures or in everyday words. It returns entries of the timeline.
//
// Figures come first: "112 71" is pit and core, and further figures are the cores of
// further pieces. An act is named by its word, by its letter (v f w l s t c, and b p r
// before a figure), by a beginning that no other word shares, or by one of the phrases
// that people use. "-20" is twenty minutes ago, "01:10" the last time a clock showed
// that, and free text follows "--".
//
// The line is read clause by clause. Commas and full stops separate clauses, and where
// the whole is not understood so do "so", "but", "because", "while", "and" and "then". A
// clause gives items only if known words use up all of it; if not, the whole clause stays
// words, and the others count. A word that can only be a slip of the thumb is read as the
// word that was meant. Nothing is refused, and the line asks before it saves a guess.
package shorthand

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Context is what reading a line needs besides the line.
type Context struct {
	// current time in the user's zone; the entry's time unless the line names one
	Now      time.Time
	Settings journal.Settings // Units is the unit of bare numbers
	Cook     *journal.Cook    // pieces and earlier readings; nil for no cook
}

// named reports whether s is the name of a piece.
func (c Context) named(s string) bool { return c.Cook != nil && c.Cook.PieceIndex(s) >= 0 }

// Line is how a line was understood.
type Line struct {
	// its time is to the minute, or to the second if typed so; its Words include Left
	Entry journal.Entry
	Also  []journal.Entry // entries at other times that the line names: "point off 8:20, flat off 9:05"
	Left  []string        // clauses not understood, as typed
	Asks  []string        // questions; a second Enter answers yes
	Flags []string        // warnings: "core 17 °C, last was 71 °C: swapped digits?"
	Undo  bool            // the line undoes the last entry; Entry is empty
	Redo  bool            // the line restores what undo removed; Entry is empty

	doubted []int // indexes of items of Entry that conflict with the cook's other notes

	ago  time.Duration // how long before now the line said it was; 0 for now
	sure *Line         // the line with its questions kept as words; nil if it has no questions
}

// Sure returns the line to save when nobody can answer: each clause in question stays
// words.
func (l Line) Sure() Line {
	if l.sure != nil {
		return *l.sure
	}
	return l
}

// Entries returns all entries of the line, ordered by time.
func (l Line) Entries() []journal.Entry {
	all := append([]journal.Entry(nil), l.Also...)
	if len(l.Entry.Items) > 0 || l.Entry.Words != "" {
		all = append(all, l.Entry)
	}
	journal.SortEntries(all)
	return all
}

// Confirm reports whether the line needs a second Enter.
func (l Line) Confirm() bool { return len(l.Left)+len(l.Asks) > 0 }

// Error says which word of a line is wrong and why.
type Error struct {
	Word string // empty if something is missing at the end
	Col  int    // column of its first rune, from 1
	Text string // what was expected
}

// Error returns `column 8: "chery": …`.
func (e *Error) Error() string {
	if e.Word == "" {
		return fmt.Sprintf("column %d: %s", e.Col, e.Text)
	}
	return fmt.Sprintf("column %d: %q: %s", e.Col, e.Word, e.Text)
}

// MaxRunes is the longest line accepted, in runes: several screens of words (chosen).
const MaxRunes = 2000

// Parse reads a line. What it does not understand stays words. It fails only for an
// empty line and for characters that no file may contain; then the error is an *Error
// and the Line is zero.
func Parse(line string, ctx Context) (Line, error) {
	if err := printable(line); err != nil {
		return Line{}, err
	}
	p := newParser(line, ctx)
	if len(p.all) == 1 && p.words == "" {
		switch {
		case undoes(p.all[0].text):
			return Line{Undo: true}, nil
		case p.all[0].low == "redo":
			return Line{Redo: true}, nil
		}
	}
	if len(p.all) > 0 && p.stamped() && p.asWritten(line) {
		return p.read(), nil
	}
	p.understand()
	l := p.read()
	if len(l.Entry.Items) == 0 && l.Entry.Words == "" && len(l.Also) == 0 && len(p.all) > 1 { // "it is 1 am"
		l.Entry.Words = p.raw(0, len(p.all))
		l.Left = []string{l.Entry.Words}
	}
	if len(l.Entry.Items) == 0 && l.Entry.Words == "" && len(l.Also) == 0 {
		return Line{}, &Error{Col: p.end, Text: "nothing to note; type a line such as 112 71, or words after --"}
	}
	return l, nil
}

// stamped reports whether the line begins like a timeline line of the file.
func (p *parser) stamped() bool {
	if strings.HasPrefix(strings.TrimSpace(p.text), "- ") {
		return true
	}
	_, err := journal.ParseTime(p.all[0].text)
	return err == nil
}

// read returns the Line once all clauses are understood.
func (p *parser) read() Line {
	p.when = p.now
	if !p.time.at.IsZero() {
		p.when = p.time.at
	}
	if !p.written {
		p.settle()
	}
	if p.time.vague {
		for i := range p.clauses {
			if !p.clauses[i].left {
				p.ask(i, fmt.Sprintf("at %s, %s?", measure.FormatTime(p.when, measure.Clock, p.grammar.Units), ago(p.now.Sub(p.when), p.when, p.grammar.Units)))
			}
		}
	}
	l := p.assemble(false)
	l.ago, l.doubted = p.now.Sub(p.when), p.doubted(l.Entry)
	l.Flags = append(p.flags, p.oddities()...)
	for _, c := range p.clauses {
		if c.ask != "" {
			l.Asks = append(l.Asks, c.ask)
		}
	}
	if len(l.Asks) > 0 {
		sure := p.assemble(true)
		sure.ago, sure.Flags, sure.doubted = l.ago, l.Flags, p.doubted(sure.Entry)
		l.sure = &sure
	}
	return l
}

// assemble joins the items and words into a Line. If sure is set, a clause with a
// question stays words.
func (p *parser) assemble(sure bool) Line {
	var l Line
	l.Entry.Time = p.when
	stays := func(c int) bool {
		return c < len(p.clauses) && (p.clauses[c].left || sure && p.clauses[c].ask != "")
	}
	for _, it := range p.items {
		switch i := slices.IndexFunc(l.Also, func(e journal.Entry) bool { return e.Time.Equal(it.at) }); {
		case stays(it.clause):
		case it.at.IsZero() || it.at.Equal(p.when):
			l.Entry.Items = append(l.Entry.Items, it.Item)
		case i >= 0:
			l.Also[i].Items = append(l.Also[i].Items, it.Item)
		default:
			l.Also = append(l.Also, journal.Entry{Time: it.at, Items: []journal.Item{it.Item}})
		}
	}
	for i := 0; i < len(p.clauses); i++ {
		if !stays(i) {
			continue
		}
		from := p.clauses[i].lo
		for i+1 < len(p.clauses) && stays(i+1) {
			i++
		}
		if raw := p.raw(from, p.clauses[i].hi); raw != "" {
			l.Left = append(l.Left, raw)
		}
	}
	l.Entry.Words = strings.Join(l.Left, ", ")
	switch {
	case l.Entry.Words == "":
		l.Entry.Words = p.words
	case p.words != "":
		l.Entry.Words += " — " + p.words
	}
	return l
}

// raw returns the typed text of tokens lo to hi, without the separators around it.
func (p *parser) raw(lo, hi int) string {
	from := p.all[lo].from
	if lo > 0 {
		from = max(from, p.all[lo-1].to)
	} else {
		from = 0
	}
	s := strings.TrimSpace(p.text[from:p.all[hi-1].to])
	s = strings.TrimSpace(strings.TrimRight(s, ",;"))
	if lo > 0 {
		s = strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(s, "and "), "then "))
	}
	return s
}

// printable returns an error if the line has a character that no file may contain.
func printable(line string) error {
	col := 0
	for i, r := range line {
		col++
		if _, n := utf8.DecodeRuneInString(line[i:]); r == utf8.RuneError && n == 1 {
			return &Error{Col: col, Text: "the line is not valid UTF-8 here"}
		}
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return &Error{Col: col, Text: fmt.Sprintf("control character %U; expected one line of plain text", r)}
		}
		if col > MaxRunes {
			return &Error{Col: col, Text: fmt.Sprintf("the line is longer than %d characters", MaxRunes)}
		}
	}
	return nil
}

// undoes reports whether the word is "undo" or short for it.
func undoes(word string) bool {
	return slices.Contains([]string{"u", "und", "undo"}, strings.ToLower(word))
}

// Understood formats the line for the screen: "pit 112 °C · wood cherry 90 g · 20 min
// ago — pale on the left". It leaves out the flags.
func (l Line) Understood(sys measure.System) string {
	switch {
	case l.Undo:
		return "undo the last entry"
	case l.Redo:
		return "redo: puts back what undo removed"
	}
	parts := make([]string, 0, len(l.Entry.Items)+1)
	for i, it := range l.Entry.Items {
		said := understood(it, sys)
		if slices.Contains(l.doubted, i) {
			said += journal.Questioned
		}
		parts = append(parts, said)
	}
	if l.ago != 0 && len(l.Entry.Items)+len(l.Entry.Words) > 0 {
		parts = append(parts, ago(l.ago, l.Entry.Time, sys))
	}
	for _, e := range l.Also {
		for _, it := range e.Items {
			parts = append(parts, understood(it, sys))
		}
		parts = append(parts, "at "+measure.FormatTime(e.Time, measure.Clock, sys))
	}
	s := strings.Join(parts, " · ")
	if l.Entry.Words != "" {
		s = strings.TrimLeft(s+" — "+l.Entry.Words, " ")
	}
	return s
}

func understood(it journal.Item, sys measure.System) string {
	s := it.String()
	switch {
	case it.Temp.Known:
		s = strings.TrimSuffix(s, it.Temp.String()) + it.Temp.In(sys)
	case it.Act.TopGrade() > 0:
		s += " " + it.GradeWord()
	}
	return s
}

// ago formats a time before now: "20 min ago", "1 h 20 ago". It gives the date if the
// time is over a day away or in the future.
func ago(d time.Duration, t time.Time, sys measure.System) string {
	if d < 0 || d > longAgo {
		return "at " + measure.FormatTime(t, measure.Stamp, sys)
	}
	return measure.FormatSpan(d) + " ago"
}
