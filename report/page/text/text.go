// Package text draws a page as lines of plain text.
package text

import (
	"strings"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

// Mark stands before a row that differs.
const Mark = "≠ "

// Render draws the page at a width in cells; 0 means as wide as it needs. All
// text is cleaned; nothing but the page's own line ends is written.
func Render(p page.Page, width int) string {
	return strings.Join(Lines(p, width), "\n") + "\n"
}

// Lines is Render as lines without their ends.
func Lines(p page.Page, width int) []string {
	d := drawing{width: width}
	d.opposite(p.Title, p.Aside)
	for _, l := range p.Lead {
		d.paragraph(l, 0)
	}
	for _, s := range p.Sections {
		d.line("")
		if s.Heading != "" {
			d.line(s.Heading)
		}
		d.facts(s.Facts)
		d.table(s.Table)
		d.figure(s.Figure)
		for _, l := range s.Lines {
			d.paragraph(l, 2)
		}
	}
	if len(p.Notes) > 0 {
		d.line("")
	}
	for i, n := range p.Notes {
		d.paragraph(page.NoteMark(i)+" "+n, 0)
	}
	return d.lines
}

type drawing struct {
	width int
	lines []string
}

func (d *drawing) line(s string) {
	d.lines = append(d.lines, strings.TrimRight(page.Clean(s), " "))
}

// opposite sets two texts at the ends of one line, or of two.
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

// paragraph wraps words at the width, indented.
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
	return strings.Split(ansi.Wrap(s, width, ""), "\n")
}

func (d *drawing) facts(facts []page.Fact) {
	name := 0
	for _, f := range facts {
		name = max(name, ansi.StringWidth(page.Clean(f.Name)))
	}
	for _, f := range facts {
		head := "  " + pad(page.Clean(f.Name), name, false) + "  "
		for _, l := range d.wrap(page.Clean(f.Value), d.width-ansi.StringWidth(head)) {
			d.line(head + l)
			head = strings.Repeat(" ", name+4)
		}
	}
}

// table sets columns as wide as their widest cell; where the width does not
// suffice the widest columns give way first and their words wrap.
func (d *drawing) table(t page.Table) {
	if len(t.Rows) == 0 {
		return
	}
	widths := make([]int, len(t.Columns))
	for i, c := range t.Columns {
		widths[i] = ansi.StringWidth(page.Clean(c.Title))
	}
	for _, r := range t.Rows {
		for i, c := range r.Cells {
			widths[i] = max(widths[i], ansi.StringWidth(page.Clean(c)))
		}
	}
	d.shrink(widths)
	titles := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		titles[i] = c.Title
	}
	if strings.Join(titles, "") != "" {
		d.row(page.Row{Cells: titles}, t.Columns, widths)
	}
	for _, r := range t.Rows {
		if r.Heading != "" {
			d.line("  " + r.Heading)
		}
		if len(r.Cells) > 0 {
			d.row(r, t.Columns, widths)
		}
	}
}

const (
	gutter = 2
	narrow = 8 // a column is not made narrower than this
)

func (d *drawing) shrink(widths []int) {
	if d.width == 0 {
		return
	}
	total := ansi.StringWidth(Mark)
	for _, w := range widths {
		total += w + gutter
	}
	for total-gutter > d.width {
		widest := 0
		for i, w := range widths {
			if w >= widths[widest] {
				widest = i
			}
		}
		if widths[widest] <= narrow {
			return
		}
		widths[widest]--
		total--
	}
}

func (d *drawing) row(r page.Row, columns []page.Column, widths []int) {
	cells := make([][]string, len(r.Cells))
	height := 1
	for i, c := range r.Cells {
		cells[i] = []string{page.Clean(c)}
		if ansi.StringWidth(cells[i][0]) > widths[i] {
			cells[i] = strings.Split(ansi.Wrap(cells[i][0], widths[i], ""), "\n")
		}
		height = max(height, len(cells[i]))
	}
	for k := range height {
		head := "  "
		if r.Mark && k == 0 {
			head = Mark
		}
		parts := make([]string, len(cells))
		for i, c := range cells {
			cell := ""
			if k < len(c) {
				cell = c[k]
			}
			parts[i] = pad(cell, widths[i], columns[i].Right)
		}
		d.line(head + strings.Join(parts, strings.Repeat(" ", gutter)))
	}
}

func pad(s string, width int, right bool) string {
	gap := strings.Repeat(" ", max(0, width-ansi.StringWidth(s)))
	if right {
		return gap + s
	}
	return s + gap
}
