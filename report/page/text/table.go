package text

import (
	"slices"
	"strings"
	"unicode"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

// Sizes of columns in cells (chosen: words that wrap at soft are still read in
// one go, a picture of fewer cells shows nothing).
const (
	gutter      = 2
	soft        = 16
	pictureFrom = 15
	pictureGood = 23 // up to here it takes room from words that would wrap
	pictureMost = 41
)

// grid is a table being set: which of its columns stand side by side, and how
// wide they are.
type grid struct {
	table  page.Table
	least  []int   // to which a column may be narrowed
	widest []int   // the room it can use
	parts  [][]int // columns side by side; further parts repeat the first one
	widths []int
	under  []int // columns whose cells stand under their rows
	scale  scale
}

func newGrid(t page.Table, width int) *grid {
	g := &grid{table: t, widths: make([]int, len(t.Columns)), scale: scaleOf(t)}
	shown := []int{}
	for i, c := range t.Columns {
		least, widest := g.room(i)
		g.least, g.widest = append(g.least, least), append(g.widest, widest)
		if c.Draws == page.Cells && widest > 0 || c.Draws != page.Cells && !g.scale.empty() {
			shown = append(shown, i)
		}
	}
	if width == 0 {
		copy(g.widths, g.widest)
		g.parts = [][]int{shown}
		return g
	}
	width -= ansi.StringWidth(Mark)
	for sum(g.least, shown) > width {
		k := g.giving(shown)
		if k < 0 {
			break
		}
		if g.table.Columns[shown[k]].Draws == page.Cells {
			g.under = append([]int{shown[k]}, g.under...)
		}
		shown = append(shown[:k:k], shown[k+1:]...)
	}
	g.parts = g.split(shown, width)
	for k, part := range g.parts {
		if k > 0 {
			part = append([]int{shown[0]}, part...)
			g.parts[k] = part
		}
		g.widen(part, width)
	}
	return g
}

// room returns to how few cells a column may be narrowed, and how many it can
// use. Numbers are kept whole, words wrap; a title never takes more than its
// longest word.
func (g *grid) room(i int) (least, widest int) {
	c := g.table.Columns[i]
	if c.Draws != page.Cells {
		return pictureFrom, pictureMost
	}
	title := page.Clean(c.Title)
	least, widest = longestWord(title), ansi.StringWidth(title)
	for _, r := range g.table.Rows {
		if i >= len(r.Cells) {
			continue
		}
		cell := page.Clean(r.Cells[i])
		w := ansi.StringWidth(cell)
		widest = max(widest, w)
		switch {
		case !c.Right:
			least = max(least, min(w, soft))
		case strings.ContainsFunc(cell, unicode.IsDigit):
			least = max(least, w)
		default:
			least = max(least, longestWord(cell))
		}
	}
	return min(least, widest), widest
}

func longestWord(s string) int {
	longest := 0
	for _, w := range strings.Fields(s) {
		longest = max(longest, ansi.StringWidth(w))
	}
	return longest
}

func sum(widths []int, of []int) int {
	total := -gutter
	for _, i := range of {
		total += widths[i] + gutter
	}
	return total
}

// giving is the column to go next, by its place among those shown; −1: none.
func (g *grid) giving(shown []int) int {
	at := -1
	for k, i := range shown {
		if c := g.table.Columns[i]; c.Gives > 0 && (at < 0 || c.Gives >= g.table.Columns[shown[at]].Gives) {
			at = k
		}
	}
	return at
}

// split parts the columns where they do not fit side by side: each part with
// as many as do beside the first one.
func (g *grid) split(shown []int, width int) [][]int {
	if len(shown) == 0 {
		return nil
	}
	parts, last := [][]int{{shown[0]}}, 0
	left := width - g.least[shown[0]]
	for _, i := range shown[1:] {
		if left -= g.least[i] + gutter; left < 0 && (last > 0 || len(parts[0]) > 1) {
			parts, last = append(parts, nil), last+1
			left = width - g.least[shown[0]] - g.least[i] - gutter
		}
		parts[last] = append(parts[last], i)
	}
	return parts
}

// widen gives the columns what is left over, always to the one that misses
// most; pictures are made larger than good last. Where even the least is too
// much the widest column gives way.
func (g *grid) widen(part []int, width int) {
	for _, i := range part {
		g.widths[i] = g.least[i]
	}
	for _, picture := range []int{pictureGood, pictureMost} {
		missing := func(i int) int {
			if g.table.Columns[i].Draws != page.Cells {
				return picture - g.widths[i]
			}
			return g.widest[i] - g.widths[i]
		}
		for sum(g.widths, part) < width {
			most := slices.MaxFunc(part, func(a, b int) int { return missing(a) - missing(b) })
			if missing(most) <= 0 {
				break
			}
			g.widths[most]++
		}
	}
	for sum(g.widths, part) > width {
		most := slices.MaxFunc(part, func(a, b int) int { return g.widths[a] - g.widths[b] })
		if g.widths[most] <= 1 {
			return
		}
		g.widths[most]--
	}
}

func (d *drawing) table(t page.Table) {
	if len(t.Rows) == 0 {
		return
	}
	g := newGrid(t, d.width)
	for k, part := range g.parts {
		if k > 0 {
			d.line("")
		}
		d.titles(g, part)
		for _, r := range t.Rows {
			d.heading(r.Heading, 2)
			if r.Rule {
				d.rule(g, part)
			}
			if len(r.Cells) > 0 {
				d.stand(true, r.Rests, r.Cells, func() { d.row(g, part, r, k == 0) })
			}
		}
	}
}

func (d *drawing) titles(g *grid, part []int) {
	cells := make([][]string, len(part))
	height, any := 0, false
	for k, i := range part {
		c := g.table.Columns[i]
		if c.Draws != page.Cells {
			cells[k] = []string{g.scale.ends(c.Ends, g.widths[i])}
		} else {
			d.refer(c.Title)
			cells[k] = wrapCell(c.Title, g.widths[i])
		}
		height, any = max(height, len(cells[k])), any || strings.TrimSpace(strings.Join(cells[k], "")) != ""
	}
	if !any {
		return
	}
	for k, c := range cells { // titles stand on their column
		cells[k] = append(make([]string, height-len(c)), c...)
	}
	d.as(Label, func() { d.cells(g, part, cells, "  ") })
}

// row draws a row, and in the first part of a table under it the cells of the
// columns that gave way.
func (d *drawing) row(g *grid, part []int, r page.Row, first bool) {
	cells := make([][]string, len(part))
	height := 1
	for k, i := range part {
		if i < len(r.Cells) && g.table.Columns[i].Draws == page.Cells {
			cells[k] = wrapCell(r.Cells[i], g.widths[i])
			height = max(height, len(cells[k]))
		}
	}
	for k, i := range part {
		if draws := g.table.Columns[i].Draws; draws != page.Cells && r.Span != nil {
			cells[k] = g.scale.draw(draws, *r.Span, g.widths[i], height)
		}
	}
	head := "  "
	if r.Mark {
		head = Mark
	}
	d.cells(g, part, cells, head)
	if !first {
		return
	}
	var under []string
	for _, i := range g.under {
		if i < len(r.Cells) && r.Cells[i] != "" {
			under = append(under, strings.TrimSpace(g.table.Columns[i].Title+" "+r.Cells[i]))
		}
	}
	if len(under) > 0 {
		d.as(Label, func() { d.paragraph(strings.Join(under, "; "), 6) })
	}
}

// rule draws the line above a sum, under the numbers.
func (d *drawing) rule(g *grid, part []int) {
	cells := make([][]string, len(part))
	for k, i := range part {
		if g.table.Columns[i].Right {
			cells[k] = []string{strings.Repeat("─", g.widths[i])}
		}
	}
	d.cells(g, part, cells, "  ")
}

func wrapCell(text string, width int) []string {
	text = page.Clean(text)
	if ansi.StringWidth(text) <= width {
		return []string{text}
	}
	return wrap(text, width)
}

// cells writes cells of several lines each side by side.
func (d *drawing) cells(g *grid, part []int, cells [][]string, head string) {
	height := 0
	for _, c := range cells {
		height = max(height, len(c))
	}
	for y := range height {
		parts := make([]string, len(cells))
		for k, c := range cells {
			cell := ""
			if y < len(c) {
				cell = c[y]
			}
			i := part[k]
			parts[k] = pad(cell, g.widths[i], g.table.Columns[i].Right)
		}
		d.line(head + strings.Join(parts, strings.Repeat(" ", gutter)))
		head = "  "
	}
}
