// Package cells draws a chart in terminal cells. The shape shows what a line is: blocks
// for the core of the slowest piece, dots for other cores, a thin line for the pit, a
// broken line for its setting, shading for the expected range.
package cells

import (
	"math"

	"github.com/charmbracelet/x/ansi"
	"github.com/rivo/uniseg"

	"ashbook/report/chart"
)

// Role says what a cell shows.
type Role uint8

// The roles.
const (
	Blank Role = iota
	Axis
	Band
	Setting
	Fire
	Other
	Main
	Mark
	Now
)

// Cell is one terminal cell.
type Cell struct {
	Rune rune // 0: blank
	Role Role
}

// MinWidth and MinHeight are the least size, in cells, at which Draw draws.
const (
	MinWidth  = 24
	MinHeight = 5
)

// Characters for a value within its cell, from bottom to top.
var (
	blocks  = []rune("▁▂▃▄▅▆▇█")
	dots    = []rune(".·˙")
	strokes = []rune("▁─▔")
)

// canvas is a chart being drawn.
type canvas struct {
	chart     chart.Chart
	rows      [][]Cell
	left      int     // first column of the plot
	w, h      int     // size of the plot
	low, high float64 // ends of the vertical axis
}

// Draw returns h rows of w cells: the plot, a row of marks and a row of hours. It
// returns nil if there is nothing to draw or too little room.
func Draw(c chart.Chart, w, h int) [][]Cell {
	low, high, ok := c.Range()
	if !ok || c.From >= c.To || w < MinWidth || h < MinHeight {
		return nil
	}
	p := &canvas{chart: c, rows: make([][]Cell, h), low: low, high: high, h: h - 2}
	for i := range p.rows {
		p.rows[i] = make([]Cell, w)
	}
	ticks := chart.Ticks(low, high, max(2, p.h/2+1))
	for _, t := range ticks {
		p.left = max(p.left, ansi.StringWidth(chart.Label(t)))
	}
	p.left += 2
	p.w = w - p.left
	p.axes(ticks)
	p.band()
	for _, l := range c.Lines {
		p.line(l)
	}
	for _, d := range c.Doubts {
		p.set(p.column(d.X), p.height(d.Y), Cell{'?', Mark})
	}
	p.marks()
	p.hours()
	return p.rows
}

// column returns the column of the plot at x.
func (p *canvas) column(x float64) int {
	return int(math.Floor(float64(p.w) * (x - p.chart.From) / (p.chart.To - p.chart.From)))
}

// middle returns the x at the middle of a column.
func (p *canvas) middle(x int) float64 {
	return p.chart.From + (float64(x)+.5)/float64(p.w)*(p.chart.To-p.chart.From)
}

// height returns the height of v in rows from the bottom of the plot.
func (p *canvas) height(v float64) float64 {
	return max(0, min((v-p.low)/(p.high-p.low), 1)) * (float64(p.h) - 1e-6)
}

func (p *canvas) set(x int, y float64, c Cell) {
	row := p.h - 1 - int(y)
	if x >= 0 && x < p.w && row >= 0 && row < p.h {
		p.rows[row][p.left+x] = c
	}
}

func (p *canvas) text(row, x int, s string, role Role) {
	for _, r := range s {
		if x >= 0 && x < len(p.rows[row]) {
			p.rows[row][x] = Cell{r, role}
		}
		x++
	}
}

func (p *canvas) axes(ticks []float64) {
	for y := range p.h {
		p.text(y, p.left-1, "│", Axis)
	}
	for _, t := range ticks {
		row := p.h - 1 - int(p.height(t))
		p.text(row, p.left-1, "┤", Axis)
		s := chart.Label(t)
		p.text(row, p.left-2-ansi.StringWidth(s), s, Axis)
	}
	p.text(p.h, p.left-1, "└", Axis)
	for x := range p.w {
		p.text(p.h, p.left+x, "─", Axis)
	}
	for _, r := range p.chart.Rules {
		if n := p.column(r.X); r.Now && n >= 0 && n < p.w {
			for y := range p.h {
				p.text(y, p.left+n, "┊", Now)
			}
			p.text(p.h, p.left+n, "┴", Now)
		}
	}
}

func (p *canvas) band() {
	for x := range p.w {
		low, high, ok := p.chart.BandAt(p.middle(x))
		if !ok {
			continue
		}
		for y := math.Floor(p.height(low)); y <= p.height(high); y++ {
			p.set(x, y, Cell{'░', Band})
		}
	}
}

func (p *canvas) line(l chart.Line) {
	shapes, role := blocks, Main
	switch l.Kind {
	case chart.Other:
		shapes, role = dots, Other
	case chart.Fire:
		shapes, role = strokes, Fire
	case chart.Setting:
		shapes, role = []rune("╌"), Setting
	}
	drawn := false
	put := func(x int, v float64) {
		y := p.height(v)
		p.set(x, y, Cell{shapes[int((y-math.Floor(y))*float64(len(shapes)))], role})
		drawn = true
	}
	for x := range p.w {
		if v, ok := l.At(p.middle(x)); ok {
			put(x, v)
		}
	}
	if n := len(l.Points); !drawn && n > 0 { // all within half a column
		put(min(p.column(l.Points[n-1].X), p.w-1), l.Points[n-1].Y)
	}
}

// marks prints the words of the marks on the axis; only the first letter if the next
// mark is too close.
func (p *canvas) marks() {
	end := -1 // first free column
	for i, m := range p.chart.Marks {
		x := max(p.column(m.X), end)
		if x < 0 || x >= p.w || x > p.column(m.X)+1 {
			continue
		}
		word := m.Word
		next := p.w
		if i+1 < len(p.chart.Marks) {
			next = p.column(p.chart.Marks[i+1].X)
		}
		if x+uniseg.StringWidth(word) >= next || i > 0 && x == end {
			word, _, _, _ = uniseg.FirstGraphemeClusterInString(word, -1)
		}
		p.text(p.h, p.left+x, word, Mark)
		end = x + uniseg.StringWidth(word)
	}
}

func (p *canvas) hours() {
	const wide = 8
	for _, t := range p.chart.XTicks(max(2, p.w/wide)) {
		x := max(p.left, p.left+p.column(t.X)-ansi.StringWidth(t.Label)/2)
		if x+ansi.StringWidth(t.Label) <= p.left+p.w {
			p.text(p.h+1, x, t.Label, Axis)
		}
	}
}
