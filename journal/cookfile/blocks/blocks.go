// Package blocks finds the structure of a cook's text below its front matter: which
// lines are headings, tasks, code or comments, and where a merge left a conflict. No
// other package parses Markdown. The blocks are those of CommonMark 0.31 as goldmark
// reads them, with two differences so that no entry is lost:
//
//   - a fence or a comment that is never closed is text and is reported;
//     CommonMark hides everything below it;
//   - the markers of a merge conflict (see Conflict) do not count as text.
//
// Positions are byte offsets in the text.
package blocks

import (
	"iter"
	"slices"
	"strings"
)

// Span is the bytes from From up to To.
type Span struct{ From, To int }

// Kind is the kind of a line.
type Kind uint8

const (
	Text    Kind = iota // any other line, list items and blank lines included
	Title               // a heading outside lists and quotes
	Code                // fenced or indented code, its fences included
	Comment             // <!-- … -->
	Markup              // another HTML block
	Marker              // a marker of a conflict, or a line of the common version
)

// Heading is a heading outside lists and quotes, in either syntax of CommonMark
// (sections 4.2 and 4.3).
type Heading struct {
	Span         // its lines with their line ends
	Level int    // 1 to 6
	Title string // on one line, without # or underline
}

// Task is an item of a task list, at any depth (GitHub Flavored Markdown 0.29,
// section 5.3).
type Task struct {
	Line Span   // without its line end
	Mark int    // byte between the brackets: a space, x or X
	Text string // the rest of the line
}

// Open is a block of code or HTML that is never closed.
type Open struct {
	At    int    // offset of its start
	Close string // text that would close it
}

// Structure is the blocks of a text.
type Structure struct {
	Headings []Heading
	Tasks    []Task
	Open     []Open

	text   string
	from   int
	marks  []Span   // lines of conflicts that are no text, in order
	hidden []hidden // in order, not adjacent
}

// hidden is a range of lines that are no text.
type hidden struct {
	Span
	kind Kind
}

// Line is one line of a text.
type Line struct {
	Span          // with its line end
	Text string   // without its line end
	Kind Kind     //
	Head *Heading // set on the first line of a heading
}

// Lines returns an iterator over the lines of the text.
func (s *Structure) Lines() iter.Seq[Line] {
	return func(yield func(Line) bool) {
		heads, hides, marks := s.Headings, s.hidden, s.marks
		title, hide, mark := 0, hidden{}, Span{}
		for off := s.from; off < len(s.text); {
			text, next := LineAt(s.text, off)
			l := Line{Span: Span{off, next}, Text: text}
			if len(heads) > 0 && heads[0].From <= off {
				l.Head = &heads[0]
				title, heads = heads[0].To, heads[1:]
			}
			if len(hides) > 0 && hides[0].From <= off {
				hide, hides = hides[0], hides[1:]
			}
			if len(marks) > 0 && marks[0].From <= off {
				mark, marks = marks[0], marks[1:]
			}
			switch {
			case off < mark.To:
				l.Kind = Marker
			case off < title:
				l.Kind = Title
			case off < hide.To:
				l.Kind = hide.kind
			}
			if !yield(l) {
				return
			}
			off = next
		}
	}
}

// LineAt returns the line that begins at off, without its line end, and the offset of
// the next line.
func LineAt(text string, off int) (line string, next int) {
	i := strings.IndexByte(text[off:], '\n')
	if i < 0 {
		return text[off:], len(text)
	}
	return strings.TrimSuffix(text[off:off+i], "\r"), off + i + 1
}

// Section returns the title of the last heading above the offset; "" for none.
func (s *Structure) Section(off int) string {
	n, _ := slices.BinarySearchFunc(s.Headings, off, func(h Heading, off int) int { return h.From - off })
	if n == 0 {
		return ""
	}
	return s.Headings[n-1].Title
}
