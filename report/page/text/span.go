package text

import (
	"math"
	"slices"
	"strings"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

// scale is the common scale of the spans of a table, with zero on it.
type scale struct{ low, high float64 } // low ≤ 0 ≤ high

// mostOf is the largest length of a span relative to the median of all; a longer one is
// cut and ends in an arrow, so that one very uncertain row does not shrink the others
// to a point (chosen).
const mostOf = 5

func scaleOf(t page.Table) scale {
	bars := slices.ContainsFunc(t.Columns, func(c page.Column) bool { return c.Draws == page.Falls })
	var ends []float64
	var reach []float64 // largest distance from zero of each row
	for _, r := range t.Rows {
		if r.Span == nil {
			continue
		}
		of := []float64{r.Span.Low, r.Span.High}
		if bars {
			of = []float64{r.Span.At}
		}
		long := 0.0
		for _, v := range of {
			if math.Abs(v) < math.MaxFloat64 { // not NaN
				ends, long = append(ends, v), max(long, math.Abs(v))
			}
		}
		if long > 0 {
			reach = append(reach, long)
		}
	}
	if len(reach) == 0 {
		return scale{}
	}
	most := math.Inf(1)
	if slices.Sort(reach); !bars { // bars that add up are never cut
		most = mostOf * reach[len(reach)/2]
	}
	var s scale
	for _, v := range ends {
		s.low, s.high = min(s.low, max(v, -most)), max(s.high, min(v, most))
	}
	return s
}

func (s scale) empty() bool { return !(s.low < s.high) }

// place returns the cell of zero among w cells and the value of one cell, the smallest
// with which both sides fit.
func (s scale) place(w int) (zero int, step float64) {
	step = math.Inf(1)
	for z := range w {
		if one := max(over(-s.low, z), over(s.high, w-1-z)); one < step {
			zero, step = z, one
		}
	}
	return zero, step
}

// over returns the length that one cell stands for; a length of zero needs no cells.
func over(long float64, cells int) float64 {
	if long <= 0 {
		return 0
	}
	return long / float64(cells)
}

// ends writes the titles of both sides of zero, if there is room.
func (s scale) ends(names [2]string, w int) string {
	z, _ := s.place(w)
	title := strings.Repeat(" ", z) + "0"
	if left := names[0]; ansi.StringWidth(left) < z {
		title = pad(left, z-1, true) + " 0"
	}
	if right := names[1]; z+2+ansi.StringWidth(right) <= w {
		title += " " + right
	}
	return title
}

// draw draws a span in w cells; lines after the first show only zero.
func (s scale) draw(as page.Drawing, span page.Span, w, height int) []string {
	z, step := s.place(w)
	cells := []rune(strings.Repeat(" ", w))
	cells[z] = '│'
	plain := string(cells)
	if as == page.Falls {
		s.bar(cells, z, span.At/step)
	} else {
		s.reach(cells, z, span, step)
	}
	lines := []string{string(cells)}
	for len(lines) < height {
		lines = append(lines, plain)
	}
	return lines
}

// bar fills cells from zero on, the last one by halves.
func (s scale) bar(cells []rune, z int, long float64) {
	halves := int(math.Round(2 * math.Abs(long)))
	at, step, half, thin := z+1, 1, '▌', '▏'
	if long < 0 {
		at, step, half, thin = z-1, -1, '▐', '▕'
	}
	set := func(r rune) {
		if at >= 0 && at < len(cells) {
			cells[at] = r
		}
		at += step
	}
	if halves == 0 && long != 0 {
		set(thin)
	}
	for ; halves >= 2; halves -= 2 {
		set('█')
	}
	if halves == 1 {
		set(half)
	}
}

func arrow(v float64) rune {
	if v < 0 {
		return '◂'
	}
	return '▸'
}

// Marks of the most likely value: range without zero, range with zero.
const surely, unsurely = '●', '○'

// reach draws a line from low to high with a mark.
func (s scale) reach(cells []rune, z int, span page.Span, step float64) {
	place := func(v float64) int {
		return z + int(math.Round(max(-1e6, min(v/step, 1e6))))
	}
	low, high := place(span.Low), place(span.High)
	for x := max(0, low); x <= min(high, len(cells)-1); x++ {
		if cells[x] = '─'; x == z {
			cells[x] = '┼'
		}
	}
	mark := surely
	if span.Unsure {
		mark = unsurely
	}
	if !math.IsNaN(span.At) {
		cells[max(0, min(place(span.At), len(cells)-1))] = mark
	}
	if low < 0 {
		cells[0] = arrow(-1)
	}
	if high >= len(cells) {
		cells[len(cells)-1] = arrow(1)
	}
}
