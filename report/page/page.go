// Package page is a report as data, without its looks. The packages below it render it
// for a terminal, a browser or paper.
package page

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"ashbook/report/chart"
)

// Page is one report, as data.
type Page struct {
	Title    string
	Aside    string // right of the title: state, date
	Lead     []string
	Sections []Section
	Notes    []string // numbered footnotes, in order; Note adds one
	Source   string   // files or cooks it was made from, and when, for the foot
}

// Section is one part of a page. Any of its fields may be empty.
type Section struct {
	Heading string
	Facts   []Fact
	Table   Table
	Figure  Figure
	Lines   []string // paragraphs
	Prose   string   // the person's own Markdown, for pages that can show it; Lines have the same text
	Photos  []Photo  // for pages that can show them
}

// Photo is one photograph: an upright JPEG without metadata.
type Photo struct {
	Name          string // of its file
	Width, Height int    // pixels
	JPEG          []byte
}

// Figure is a chart. Without Lines it is empty.
type Figure struct {
	Title          string
	XTitle, YTitle string   // titles of the axes, with the unit
	XWords         []string // names of X = 0, 1, 2 …; nil: X is a number
	Lines          []Series
	Points         bool // draw points without joining them
	// Picture is the chart for a browser if it shows more than Lines; nil: Lines are
	// drawn on their own axes.
	Picture *chart.Chart
	Says    string   // one sentence that describes the picture, read aloud in place of it
	Rests   []string // what it is based on, shown when asked for
}

// Series is one curve or one set of points.
type Series struct {
	Name string
	X, Y []float64 // of equal length; X ascending if the points are joined
}

// Fact is a named value.
type Fact struct {
	Name  string
	Value string
	Note  string   // a remark about the value, smaller, below it
	Rests []string // what it is based on, shown when asked for
}

// Table is rows of named columns.
type Table struct {
	Columns []Column
	Rows    []Row
}

// Column is one column of a table.
type Column struct {
	Title string
	Right bool // align right, for numbers
	// Gives orders the columns that are moved below their rows on a narrow page,
	// greatest first. 0: never moved.
	Gives int
	Draws Drawing
	Ends  [2]string // titles of the two ends of a column of pictures: below zero, above zero
}

// Drawing is how a column draws the spans of its rows, on one scale with a common zero.
type Drawing uint8

// The values of Drawing.
const (
	Cells  Drawing = iota // text, no drawing
	Falls                 // bars that add up: each begins where the last ended; in a terminal each begins at zero
	Ranges                // a line from Low to High with a mark at At
	Hours                 // a bar from Low to High, in h since midnight, with a ring at At unless that is NaN
)

// Row is one row. A row with a Heading and no cells starts a part of the table; a row
// with Rule is the line above a sum.
type Row struct {
	Heading string
	Rule    bool
	Mark    bool // it differs or needs attention; shown by a sign, not by colour alone
	Cells   []string
	Link    string   // page that the second cell links to, for renderers with links
	Span    *Span    // drawn in the column with a Drawing; nil: nothing
	Rests   []string // what it is based on, shown when asked for
}

// Span is a value with a range.
type Span struct {
	Low, At, High float64
	Unsure        bool // the range includes zero; drawn with another sign
}

// Empty reports whether a section has no content.
func (s Section) Empty() bool {
	return len(s.Facts) == 0 && len(s.Table.Rows) == 0 && len(s.Figure.Lines) == 0 && s.Figure.Picture == nil && len(s.Photos) == 0 && len(s.Lines) == 0
}

// Add appends a section unless it is empty.
func (p *Page) Add(s Section) {
	if !s.Empty() {
		p.Sections = append(p.Sections, s)
	}
}

// Note adds a footnote unless the page has it, and returns its mark.
func (p *Page) Note(text string) string {
	for i, n := range p.Notes {
		if n == text {
			return superscript(i + 1)
		}
	}
	p.Notes = append(p.Notes, text)
	return superscript(len(p.Notes))
}

// digits are the digits of footnote marks.
const digits = "⁰¹²³⁴⁵⁶⁷⁸⁹"

func superscript(n int) string {
	var b strings.Builder
	for _, d := range fmt.Sprint(n) {
		b.WriteRune([]rune(digits)[d-'0'])
	}
	return b.String()
}

// NoteMark returns the mark of the i-th footnote, from 0.
func NoteMark(i int) string { return superscript(i + 1) }

// Clean makes text from a file harmless on one line. Control characters, invalid bytes,
// characters that change the writing direction and characters without width become
// their number between ‹ and ›; tabs and line ends become spaces. Harmless text is
// returned unchanged.
func Clean(s string) string {
	if IsPlain(s) || strings.IndexFunc(s, Unsafe) < 0 && utf8.ValidString(s) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, "‹%02X›", s[i])
		case r == '\t' || r == '\n' || r == '\r':
			b.WriteByte(' ')
		case Unsafe(r):
			fmt.Fprintf(&b, "‹%02X›", r)
		default:
			b.WriteRune(r)
		}
		i += n
	}
	return b.String()
}

// IsPlain reports whether s is printable ASCII: harmless, and one cell for each byte.
func IsPlain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// Unsafe reports whether a terminal acts on r, or r can hide or reorder other
// characters: control and format characters (including the bidirectional marks of
// Unicode Standard Annex 9), line and paragraph separators, private use, variation
// selectors and tags.
func Unsafe(r rune) bool {
	switch {
	case r < ' ', 0x7f <= r && r < 0xa0:
		return true
	case r < 0xad:
		return false
	}
	return unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co, unicode.Cs) ||
		0xfe00 <= r && r <= 0xfe0f || 0xe0100 <= r && r <= 0xe01ef ||
		r == 0x115f || r == 0x1160 || r == 0x3164 || r == 0xffa0 || r == 0x034f
}

// Chart returns the figure as a chart with letters or names at the ends of the lines.
// It is empty if the figure has neither Lines nor Picture.
func (f Figure) Chart() chart.Chart {
	if f.Picture != nil {
		return *f.Picture
	}
	c := chart.Chart{X: chart.Axis{Kind: chart.Number, Title: f.XTitle}, YTitle: f.YTitle, Apart: f.Points}
	c.From, c.To = math.Inf(1), math.Inf(-1)
	for i, l := range f.Lines {
		line := chart.Line{Name: l.Name}
		if i > 0 {
			line.Kind = chart.Other
		}
		for k := range l.X {
			if !finite(l.X[k]) || !finite(l.Y[k]) {
				continue
			}
			line.Points = append(line.Points, chart.Point{X: l.X[k], Y: l.Y[k]})
			c.From, c.To = min(c.From, l.X[k]), max(c.To, l.X[k])
		}
		c.Lines = append(c.Lines, line)
	}
	if len(f.XWords) > 0 {
		for i := range c.Lines {
			for k := range c.Lines[i].Points {
				c.Lines[i].Points[k].X++ // the axis counts from 1
			}
		}
		c.X.Words, c.From, c.To = f.XWords, .5, float64(len(f.XWords))+.5
		return c
	}
	if pad := .03 * (c.To - c.From); f.Points && pad > 0 {
		c.From, c.To = c.From-pad, c.To+pad
	}
	if c.From == c.To {
		c.From, c.To = c.From-.5, c.To+.5
	}
	return c
}

// finite reports whether v can be placed on an axis.
func finite(v float64) bool { return math.Abs(v) < 1e100 }
