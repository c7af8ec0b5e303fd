// Package text renders a page as lines of plain text.
package text

import (
	"slices"
	"strings"

	"ashbook/journal/pattern"
	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

// Mark is printed before a row that differs.
const Mark = "≠ "

// Kind is the part of the page that a line belongs to.
type Kind uint8

// The values of Kind.
const (
	Words   Kind = iota // paragraphs and rows
	Title               // of the page
	Heading             // of a section, or within a table
	Label               // titles of columns; cells below their row
	Rest                // basis of the opened stop above
	Note                // footnotes
)

// Line is one line of a page.
type Line struct {
	Text string
	Kind Kind
}

// Stop is what a reader moves to in one step: a row, a fact, a paragraph or a picture.
// Its lines are First to End−1; its headings begin where the stop before it ends.
type Stop struct {
	First, End int
	Section    int  // number of the section, from 0
	Row        bool // a row or a fact
	Opens      bool // its basis can be opened
}

// Setting is a page rendered at one width.
type Setting struct {
	Lines []Line
	Stops []Stop
}

// Render renders the page at a width in cells; 0 is as wide as needed. All text is
// cleaned; the only control characters are the line ends of the page.
func Render(p page.Page, width int) string {
	lines := Set(p, width, -1).Lines
	size := 0
	for _, l := range lines {
		size += len(l.Text) + 1
	}
	var b strings.Builder
	b.Grow(size)
	for _, l := range lines {
		b.WriteString(l.Text)
		b.WriteByte('\n')
	}
	return b.String()
}

// Set renders the page, with the basis of stop number open below it; −1: none.
// Footnotes are below the section that first refers to them.
func Set(p page.Page, width, open int) Setting {
	d := drawing{width: width, open: open, notes: p.Notes, told: make([]bool, len(p.Notes))}
	d.as(Title, func() { d.opposite(p.Title, p.Aside) })
	d.refer(p.Title, p.Aside)
	for _, l := range p.Lead {
		d.text(l, 0)
	}
	d.footnotes()
	for _, s := range p.Sections {
		d.section++
		d.line("")
		d.heading(s.Heading, 0)
		for _, f := range s.Facts {
			d.fact(f, nameWidth(s.Facts))
		}
		d.table(s.Table)
		if len(s.Figure.Lines) > 0 {
			d.refer(s.Figure.Title)
			d.stand(false, s.Figure.Rests, nil, func() { d.figure(s.Figure) })
		}
		for _, l := range s.Lines {
			d.text(l, 2)
		}
		d.footnotes()
	}
	d.rest()
	return Setting{d.lines, d.stops}
}

type drawing struct {
	width    int
	open     int // number of the opened stop
	section  int
	kind     Kind
	lines    []Line
	stops    []Stop
	notes    []string
	referred []int // footnotes of this section, to be printed below it
	told     []bool

	// Memory for the row being drawn.
	cellLines [][]string
	room      []string
	chars     []byte
}

// line appends a line that is already clean and measured.
func (d *drawing) line(s string) {
	d.lines = append(d.lines, Line{strings.TrimRight(s, " "), d.kind})
}

// as calls draw and marks the lines that it draws as lines of a kind.
func (d *drawing) as(k Kind, draw func()) {
	was := d.kind
	d.kind = k
	draw()
	d.kind = was
}

func (d *drawing) heading(s string, indent int) {
	if s != "" {
		d.refer(s)
		d.section++
		d.as(Heading, func() { d.paragraph(s, indent) })
	}
}

// stand draws a stop, see Stop. If the stop is opened, its basis and the footnotes of
// its texts follow.
func (d *drawing) stand(row bool, rests, texts []string, draw func()) {
	rests = slices.Clip(rests)
	for _, i := range d.refer(texts...) {
		rests = append(rests, page.NoteMark(i)+" "+d.notes[i])
	}
	s := Stop{First: len(d.lines), Section: d.section, Row: row, Opens: len(rests) > 0}
	draw()
	if len(d.stops) == d.open {
		d.as(Rest, func() {
			for _, r := range rests {
				for _, l := range d.wrap(page.Clean(r), d.width-len(resting)) {
					d.line(resting + l)
				}
			}
		})
	}
	s.End = len(d.lines)
	d.stops = append(d.stops, s)
}

// resting is printed before each line of a basis.
const resting = "    | "

// refer records the footnotes that the texts refer to, and returns them.
func (d *drawing) refer(texts ...string) []int {
	if len(d.notes) == 0 {
		return nil
	}
	var out []int
	for _, text := range texts {
		for _, i := range page.Marks(text) {
			if i < len(d.notes) && d.notes[i] != "" {
				out = append(out, i)
			}
		}
	}
	d.referred = append(d.referred, out...)
	return out
}

// footnotes prints the recorded footnotes that are not printed yet.
func (d *drawing) footnotes() {
	for _, i := range d.referred {
		d.footnote(i)
	}
	d.referred = nil
}

// rest prints the footnotes that nothing refers to.
func (d *drawing) rest() {
	apart := true
	for i, n := range d.notes {
		if n != "" && !d.told[i] {
			if apart {
				d.line("")
			}
			apart = false
			d.footnote(i)
		}
	}
}

func (d *drawing) footnote(i int) {
	if !d.told[i] {
		d.told[i] = true
		d.as(Note, func() { d.paragraph(page.NoteMark(i)+" "+d.notes[i], 2) })
	}
}

// opposite prints two texts at the two ends of one line, or on two lines.
func (d *drawing) opposite(left, right string) {
	left, right = page.Clean(left), page.Clean(right)
	gap := d.width - ansi.StringWidth(left) - ansi.StringWidth(right)
	switch {
	case right == "":
		d.paragraph(left, 0)
	case d.width == 0:
		d.line(left + "   " + right)
	case gap < 2:
		d.paragraph(left, 0)
		d.paragraph(right, 0)
	default:
		d.line(left + strings.Repeat(" ", gap) + right)
	}
}

// text prints a paragraph that a reader can move to (see Stop).
func (d *drawing) text(s string, indent int) {
	d.stand(false, nil, []string{s}, func() { d.paragraph(s, indent) })
}

// paragraph wraps words to the width, indented.
func (d *drawing) paragraph(s string, indent int) {
	pad := strings.Repeat(" ", indent)
	for _, l := range d.wrap(page.Clean(s), d.width-indent) {
		d.line(pad + l)
	}
}

func (d *drawing) wrap(s string, width int) []string {
	if d.width == 0 || width < 10 {
		return []string{s}
	}
	return wrap(s, width)
}

// wrap breaks a text at spaces and hyphens, but not between a number and its unit, or
// inside the ID of a cook.
func wrap(s string, width int) []string {
	lines := strings.Split(ansi.Wrap(tied(s), width, ""), "\n")
	for i, l := range lines {
		lines[i] = untie.Replace(l)
	}
	return lines
}

// tied replaces spaces and hyphens that must not break by other characters.
func tied(s string) string {
	if !strings.ContainsAny(s, "0123456789") || !strings.ContainsAny(s, " -") {
		return s
	}
	return whole.ReplaceAllStringFunc(s, tie.Replace)
}

// whole matches cook IDs, and numbers with their units: "+10 °C", "5 h 57", "± 20 min".
var whole = pattern.New(`\d{4}-\d\d-\d\d(-\w+)*|\d (°C|°F|min|h/kg|h|kg|g/kg|g|lb|oz|cm|in|m/s)\b( \d\d\b)?|± \d|\d %`)

// Stand-ins for a space and a hyphen that must not break. Clean text never has
// noHyphen.
const noBreak, noHyphen = "\u00a0", "\ue000"

var tie, untie = strings.NewReplacer(" ", noBreak, "-", noHyphen), strings.NewReplacer(noBreak, " ", noHyphen, "-")

func nameWidth(facts []page.Fact) int {
	widest := 0
	for _, f := range facts {
		widest = max(widest, ansi.StringWidth(page.Clean(f.Name)))
	}
	return widest
}

// leastValue is the least width for a value beside its name; with less room the value
// is printed below the name (chosen).
const leastValue = 24

func (d *drawing) fact(f page.Fact, names int) {
	if f.Note != "" {
		f.Value += "; " + f.Note
	}
	d.stand(true, f.Rests, []string{f.Name, f.Value}, func() {
		if d.width > 0 && d.width-names-4 < leastValue {
			d.paragraph(f.Name, 2)
			d.paragraph(f.Value, 4)
			return
		}
		head := "  " + pad(page.Clean(f.Name), names, false) + "  "
		for _, l := range d.wrap(page.Clean(f.Value), d.width-ansi.StringWidth(head)) {
			d.line(head + l)
			head = strings.Repeat(" ", names+4)
		}
	})
}

func pad(s string, width int, right bool) string {
	gap := strings.Repeat(" ", max(0, width-ansi.StringWidth(s)))
	if right {
		return gap + s
	}
	return s + gap
}
