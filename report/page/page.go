// Package page is a report as data: what is on it, not how it looks. The
// packages below it draw the same page in a terminal or a browser.
package page

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"ashbook/report/chart"
)

// Page is one report.
type Page struct {
	Title    string
	Aside    string // is opposite the title: state, date
	Lead     []string
	Sections []Section
	Notes    []string // numbered footnotes, in order; Note adds one
	Source   string   // the foot: which file or cooks it was made from, and when
}

// Section is one part of a page. Any of its fields may be empty.
type Section struct {
	Heading string
	Facts   []Fact
	Table   Table
	Figure  Figure
	Lines   []string // paragraphs
	Prose   string   // the person's own Markdown, where a page can set it; Lines say the same
	Photos  []Photo  // where a page can show them
}

// Photo is one photograph: a JPEG, upright, with nothing in it but the picture.
type Photo struct {
	Name          string // of its file
	Width, Height int    // pixels
	JPEG          []byte
}

// Figure is a picture of numbers; without Lines there is none.
type Figure struct {
	Title          string
	XTitle, YTitle string   // what the axes show, with the unit
	XWords         []string // names of X = 0, 1, 2 …; nil: X is a number
	Lines          []Series
	Points         bool // each point by itself, not joined
	// Picture is the figure as a browser draws it, where it shows more than Lines
	// do. Nil: Lines, over their own axes.
	Picture *chart.Chart
	Says    string   // one sentence: what there is to be seen; read aloud in place of the picture
	Rests   []string // what it is based on, shown when asked for
}

// Series is one curve, or one cloud of points.
type Series struct {
	Name string
	X, Y []float64 // of one length; X ascending where the points are joined
}

// Fact is a name and what is known under it.
type Fact struct {
	Name  string
	Value string
	Note  string   // what is said of the value, smaller, below it
	Rests []string // what it is based on, shown when asked for
}

// Table is rows under named columns.
type Table struct {
	Columns []Column
	Rows    []Row
}

// Column is one column of a table.
type Column struct {
	Title string
	Right bool // numbers: set flush right
	// Gives says which column goes first where the page is too narrow, the one
	// with the greatest: its cells are then under their rows. 0: it stays.
	Gives int
	Draws Drawing
	Ends  [2]string // titles of the two ends of a column of pictures: below zero, and above
}

// Drawing is how a column shows the spans of its rows, on one scale about zero.
type Drawing uint8

// The drawings.
const (
	Cells  Drawing = iota // none: the column holds text
	Falls                 // bars that add up: each begins where the last ended; in cells, each from zero
	Ranges                // from low to high, with a mark where it most likely is
	Hours                 // from low to high by the clock, h since midnight, with a ring; no ring where At is not a number
)

// Row is one row; a row with a Heading and no cells parts the table, a row with
// a Rule stands for the line above a sum.
type Row struct {
	Heading string
	Rule    bool
	Mark    bool // differs, or is to be looked at; drawn with a sign, not a colour alone
	Cells   []string
	Link    string   // a page beside this one, which the second cell leads to where pages can
	Span    *Span    // shown in the column that draws; nil: nothing there
	Rests   []string // what it is based on, shown when asked for
}

// Span is a number and how far it may be off.
type Span struct {
	Low, At, High float64
	Unsure        bool // it cannot be told from zero; drawn with another sign
}

// Empty reports whether nothing is in the section.
func (s Section) Empty() bool {
	return len(s.Facts) == 0 && len(s.Table.Rows) == 0 && len(s.Figure.Lines) == 0 && s.Figure.Picture == nil && len(s.Photos) == 0 && len(s.Lines) == 0
}

// Add appends a section unless it is empty.
func (p *Page) Add(s Section) {
	if !s.Empty() {
		p.Sections = append(p.Sections, s)
	}
}

// Note adds a footnote, once, and returns its mark.
func (p *Page) Note(text string) string {
	for i, n := range p.Notes {
		if n == text {
			return superscript(i + 1)
		}
	}
	p.Notes = append(p.Notes, text)
	return superscript(len(p.Notes))
}

// digits are those of footnote marks.
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

// Clean makes text from a file harmless to show on one line: control
// characters, invalid bytes, marks that turn the direction of writing and
// characters without width are shown as their number between ‹ and ›, tabs and
// line ends as a space. Text that needs nothing is returned as it is.
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

// IsPlain reports text of printable ASCII alone: harmless, each byte one cell wide.
func IsPlain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// Unsafe reports characters that a terminal acts on, or that hide or reorder
// others: the control and format categories (which hold the bidirectional
// marks of Unicode Standard Annex 9), line and paragraph separators, private
// use and the variation and tag characters.
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

// Chart returns the figure as a chart, its letters or names at the ends of the
// lines. Without Lines and Picture it is empty.
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

// finite reports a number that has a place on an axis.
func finite(v float64) bool { return math.Abs(v) < 1e100 }
