package text

import (
	"bytes"
	"slices"
	"strings"
	"unicode"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

// Widths of columns in cells (chosen: words wrapped at soft are easy to read; tight is
// for tables that otherwise do not fit; a narrower picture shows nothing).
const (
	gutter      = 2
	soft        = 16
	tight       = 8
	pictureFrom = 15
	pictureGood = 23 // pictures up to this width take room from words that would wrap
	pictureMost = 41
)

// grid is the layout of a table.
type grid struct {
	table  page.Table
	least  []int // least width of each column
	widest []int // greatest useful width of each column
	parts  []part
	under  []int // columns whose cells are below their rows
	scale  scale
}

// part is a set of columns side by side. Every part begins with the first column.
type part struct {
	columns []int
	widths  []int // by index of the table's columns
}

func newGrid(t page.Table, width int) *grid {
	g := &grid{table: t, scale: scaleOf(t)}
	shown := []int{}
	for i, c := range t.Columns {
		least, widest := g.room(i, soft)
		g.least, g.widest = append(g.least, least), append(g.widest, widest)
		if c.Draws == page.Cells && widest > 0 || c.Draws != page.Cells && !g.scale.empty() {
			shown = append(shown, i)
		}
	}
	if width == 0 {
		g.parts = []part{{shown, g.widest}}
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
	for words := soft - 1; words >= tight && sum(g.least, shown) > width; words-- {
		for i := range g.least {
			g.least[i], _ = g.room(i, words)
		}
	}
	for k, columns := range g.split(shown, width) {
		if k > 0 {
			columns = append([]int{shown[0]}, columns...)
		}
		g.parts = append(g.parts, part{columns, g.widen(columns, width)})
	}
	return g
}

// room returns the least and the greatest useful width of a column. Numbers stay whole;
// words wrap at the given width, longer words are kept whole up to soft; a title needs
// at most its longest word.
func (g *grid) room(i, words int) (least, widest int) {
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
		w := cellsOf(cell)
		widest = max(widest, w)
		switch {
		case w <= least: // no word of it is longer
		case !c.Right:
			least = max(least, min(w, max(words, min(longestWord(cell), soft))))
		case strings.IndexFunc(cell, unicode.IsDigit) >= 0 && strings.IndexFunc(cell, unicode.IsLetter) != 0:
			least = max(least, w)
		default:
			least = max(least, longestWord(cell))
		}
	}
	return min(least, widest), widest
}

func longestWord(s string) int {
	longest := 0
	for w := range strings.SplitSeq(tied(s), " ") {
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

// giving returns the position among those shown of the next column to move below the
// rows, or −1.
func (g *grid) giving(shown []int) int {
	at := -1
	for k, i := range shown {
		if c := g.table.Columns[i]; c.Gives > 0 && (at < 0 || c.Gives >= g.table.Columns[shown[at]].Gives) {
			at = k
		}
	}
	return at
}

// split divides columns that do not fit side by side into parts, each with the first
// column.
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

// widen distributes spare cells, always to the column that lacks most; pictures beyond
// pictureGood come last. If even the least widths are too wide, the widest column
// shrinks.
func (g *grid) widen(columns []int, width int) []int {
	widths := slices.Clone(g.least)
	for _, picture := range []int{pictureGood, pictureMost} {
		missing := func(i int) int {
			if g.table.Columns[i].Draws != page.Cells {
				return picture - widths[i]
			}
			return g.widest[i] - widths[i]
		}
		for sum(widths, columns) < width {
			most := slices.MaxFunc(columns, func(a, b int) int { return missing(a) - missing(b) })
			if missing(most) <= 0 {
				break
			}
			widths[most]++
		}
	}
	for sum(widths, columns) > width {
		most := slices.MaxFunc(columns, func(a, b int) int { return widths[a] - widths[b] })
		if widths[most] <= 1 {
			break
		}
		widths[most]--
	}
	return widths
}

func (d *drawing) table(t page.Table) {
	if len(t.Rows) == 0 {
		return
	}
	g := newGrid(t, d.width)
	d.lines, d.stops = slices.Grow(d.lines, len(t.Rows)), slices.Grow(d.stops, len(t.Rows))
	for k, p := range g.parts {
		if k > 0 {
			d.line("")
		}
		d.titles(g, p)
		for _, r := range t.Rows {
			d.heading(r.Heading, 2)
			if r.Rule {
				d.rule(g, p)
			}
			if len(r.Cells) > 0 {
				d.stand(true, r.Rests, r.Cells, func() { d.row(g, p, r, k == 0) })
			}
		}
	}
	if g.unsure() {
		d.as(Label, func() { d.paragraph(string(surely)+" is more than chance, "+string(unsurely)+" may be chance.", 2) })
	}
}

// unsure reports whether a range that includes zero is drawn.
func (g *grid) unsure() bool {
	drawn := slices.ContainsFunc(g.parts, func(p part) bool {
		return slices.ContainsFunc(p.columns, func(i int) bool { return g.table.Columns[i].Draws == page.Ranges })
	})
	return drawn && slices.ContainsFunc(g.table.Rows, func(r page.Row) bool { return r.Span != nil && r.Span.Unsure })
}

func (d *drawing) titles(g *grid, p part) {
	cells := make([][]string, len(p.columns))
	height, any := 0, false
	for k, i := range p.columns {
		c := g.table.Columns[i]
		if c.Draws != page.Cells {
			cells[k] = []string{g.scale.ends(c.Ends, p.widths[i])}
		} else {
			d.refer(c.Title)
			cells[k] = wrapCell(nil, c.Title, p.widths[i])
		}
		height, any = max(height, len(cells[k])), any || strings.TrimSpace(strings.Join(cells[k], "")) != ""
	}
	if !any {
		return
	}
	for k, c := range cells { // titles are at the bottom
		cells[k] = append(make([]string, height-len(c)), c...)
	}
	d.as(Label, func() { d.cells(g, p, cells, "  ") })
}

// row draws a row; in the first part of a table the cells of moved columns follow below
// it.
func (d *drawing) row(g *grid, p part, r page.Row, first bool) {
	n := len(p.columns)
	d.cellLines = slices.Grow(d.cellLines[:0], n)[:n]
	d.room = slices.Grow(d.room[:0], n)[:n]
	cells, room, height := d.cellLines, d.room, 1
	clear(cells)
	for k, i := range p.columns {
		if i < len(r.Cells) && g.table.Columns[i].Draws == page.Cells {
			cells[k] = wrapCell(room[k:k:k+1], r.Cells[i], p.widths[i])
			height = max(height, len(cells[k]))
		}
	}
	for k, i := range p.columns {
		if draws := g.table.Columns[i].Draws; draws != page.Cells && r.Span != nil {
			cells[k] = g.scale.draw(draws, *r.Span, p.widths[i], height)
		}
	}
	head := "  "
	if r.Mark {
		head = Mark
	}
	d.cells(g, p, cells, head)
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

// rule draws the line above a sum, below the numbers.
func (d *drawing) rule(g *grid, p part) {
	cells := make([][]string, len(p.columns))
	for k, i := range p.columns {
		if g.table.Columns[i].Right {
			cells[k] = []string{strings.Repeat("─", p.widths[i])}
		}
	}
	d.cells(g, p, cells, "  ")
}

// wrapCell wraps a cell into lines; room is the memory for a cell of one line.
func wrapCell(room []string, text string, width int) []string {
	text = page.Clean(text)
	if cellsOf(text) <= width {
		return append(room, text)
	}
	return wrap(text, width)
}

// cellsOf returns how many terminal cells clean text takes.
func cellsOf(s string) int {
	if page.IsPlain(s) {
		return len(s)
	}
	return ansi.StringWidth(s)
}

func blanks(b []byte, n int) []byte {
	for range n {
		b = append(b, ' ')
	}
	return b
}

// cells writes cells of several lines side by side.
func (d *drawing) cells(g *grid, p part, cells [][]string, head string) {
	height := 0
	for _, c := range cells {
		height = max(height, len(c))
	}
	b := d.chars
	for y := range height {
		b = append(b[:0], head...)
		for k, c := range cells {
			cell := ""
			if y < len(c) {
				cell = c[y]
			}
			i := p.columns[k]
			gap := max(0, p.widths[i]-cellsOf(cell))
			if k > 0 {
				b = blanks(b, gutter)
			}
			if g.table.Columns[i].Right {
				b = append(blanks(b, gap), cell...)
			} else {
				b = blanks(append(b, cell...), gap)
			}
		}
		d.line(string(bytes.TrimRight(b, " ")))
		head = "  "
	}
	d.chars = b
}
