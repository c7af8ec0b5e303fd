// Package shorthand reads the entry line: one line of a few letters and
// figures, typed beside the pit, into an entry of the timeline.
//
// Figures come first: "112 71" is pit and core, further figures are further
// pieces. An act is its word, its letter (v f w l s t c, and b p r before a
// figure) or a beginning that no other word shares; it takes what follows it
// up to a comma, a time, or the next act. "-20" is twenty minutes ago, "01:10"
// the last ten past one, and words follow "--". A line that could mean two
// things is an error that names both; a line that only looks odd is read, and
// flagged.
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

// Context is what the reading of a line depends on beside the line.
type Context struct {
	Now      time.Time        // in the person's zone; the entry's time unless the line names one
	Settings journal.Settings // the unit of bare numbers
	Cook     *journal.Cook    // pieces and earlier readings; nil for none
}

// Line is what a line was understood as.
type Line struct {
	Entry journal.Entry // its time to the minute, or the second where it was typed
	Flags []string      // what looks odd: "core 17 °C, last was 71 °C: swapped digits?"
	Undo  bool          // take the last entry back; Entry is empty

	ago time.Duration // how far before now the line said it was; 0 for now
}

// Error says which word of a line was not understood and why.
type Error struct {
	Word string // empty when something is missing at the end
	Col  int    // of its first rune, from 1
	Text string // what was expected
}

// Error returns `column 8: "chery": …`.
func (e *Error) Error() string {
	if e.Word == "" {
		return fmt.Sprintf("column %d: %s", e.Col, e.Text)
	}
	return fmt.Sprintf("column %d: %q: %s", e.Col, e.Word, e.Text)
}

// MaxRunes is the longest line read: several screens of words (chosen).
const MaxRunes = 2000

// Parse reads a line. An error is an *Error, and the Line then is zero.
func Parse(line string, ctx Context) (Line, error) {
	if err := printable(line); err != nil {
		return Line{}, err
	}
	p := newParser(line, ctx)
	if len(p.toks) > 0 && undoes(p.toks[0].text) {
		if len(p.toks) > 1 || p.words != "" {
			return Line{}, p.toks[0].errorf("undo stands alone on its line")
		}
		return Line{Undo: true}, nil
	}
	if err := p.line(); err != nil {
		return Line{}, err
	}
	if len(p.items) == 0 && p.words == "" {
		return Line{}, &Error{Col: p.end, Text: "nothing to note; such as 112 71, or words after --"}
	}
	l := p.read()
	l.ago = p.now.Sub(p.when)
	return l, nil
}

// read is the line once all of it is understood.
func (p *parser) read() Line {
	l := Line{Entry: journal.Entry{Time: p.when, Words: p.words}}
	for _, it := range p.items {
		l.Entry.Items = append(l.Entry.Items, it.Item)
	}
	l.Flags = append(p.flags, p.oddities()...)
	return l
}

// printable refuses what a line of the file must never carry.
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

// undoes reports whether a word is undo, or its shortest beginnings.
func undoes(word string) bool {
	return slices.Contains([]string{"u", "und", "undo"}, strings.ToLower(word))
}

// Understood repeats the line for the eye: "pit 112 °C · wood cherry 90 g ·
// 20 min ago — pale on the left". It does not hold the flags.
func (l Line) Understood(sys measure.System) string {
	if l.Undo {
		return "undo: the last entry is taken back"
	}
	parts := make([]string, 0, len(l.Entry.Items)+1)
	for _, it := range l.Entry.Items {
		s := it.String()
		switch {
		case it.Act.TakesTemperature():
			s = strings.TrimSuffix(s, it.Temp.String()) + it.Temp.In(sys)
		case it.Act.TopGrade() > 0:
			s += " " + it.GradeWord()
		}
		parts = append(parts, s)
	}
	if l.ago != 0 {
		parts = append(parts, ago(l.ago, l.Entry.Time))
	}
	s := strings.Join(parts, " · ")
	if l.Entry.Words != "" {
		s = strings.TrimLeft(s+" — "+l.Entry.Words, " ")
	}
	return s
}

// ago tells a time before now: "20 min ago", "1 h 20 min ago"; the date where it is
// over a day away or still to come.
func ago(d time.Duration, t time.Time) string {
	minutes := int(d.Minutes())
	switch {
	case d < 0 || d > longAgo:
		return "at " + t.Format("2006-01-02 15:04")
	case minutes < 60:
		return fmt.Sprintf("%d min ago", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h ago", minutes/60)
	}
	return fmt.Sprintf("%d h %d min ago", minutes/60, minutes%60)
}
