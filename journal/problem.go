package journal

import (
	"cmp"
	"fmt"
)

// Problem is something wrong in a file, found while the rest was read.
type Problem struct {
	File    string // path relative to the journal, with slashes
	Line    int    // from 1; 0: the file as a whole
	Col     int    // rune in the line, from 1; 0: the line as a whole
	Warning bool   // the cook is usable all the same
	Text    string // subject first, value quoted, what was expected
}

// Error returns "file:line:col: text".
func (p Problem) Error() string {
	at := p.File
	if p.Line > 0 {
		at = fmt.Sprintf("%s:%d", at, p.Line)
		if p.Col > 0 {
			at = fmt.Sprintf("%s:%d", at, p.Col)
		}
	}
	return at + ": " + p.Text
}

// Within returns "line 3:5: text", for a reader who knows which file it is; the
// text alone where it is about the file as a whole.
func (p Problem) Within() string {
	switch {
	case p.Line == 0:
		return p.Text
	case p.Col == 0:
		return fmt.Sprintf("line %d: %s", p.Line, p.Text)
	}
	return fmt.Sprintf("line %d:%d: %s", p.Line, p.Col, p.Text)
}

// ByPlace orders problems by file, line and column.
func ByPlace(a, b Problem) int {
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
}
