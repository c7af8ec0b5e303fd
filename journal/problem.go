package journal

import (
	"cmp"
	"fmt"
)

// Problem is something wrong in a file whose other parts could be read.
type Problem struct {
	File    string // path relative to the journal, with slashes
	Line    int    // from 1; 0 for the whole file
	Col     int    // in runes from 1; 0 for the whole line
	Warning bool   // the file is usable all the same
	Text    string // subject first, value quoted, then what was expected
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

// Within returns "line 3:5: text", for a reader who knows the file. It returns only the
// text if the problem is about the whole file.
func (p Problem) Within() string {
	switch {
	case p.Line == 0:
		return p.Text
	case p.Col == 0:
		return fmt.Sprintf("line %d: %s", p.Line, p.Text)
	}
	return fmt.Sprintf("line %d:%d: %s", p.Line, p.Col, p.Text)
}

// ByPlace compares problems by file, line and column.
func ByPlace(a, b Problem) int {
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
}
