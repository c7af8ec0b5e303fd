package text

import (
	"math"
	"slices"
	"strings"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

// scale is what the spans of a table are drawn on: all of them about one zero.
type scale struct{ low, high float64 } // low ≤ 0 ≤ high

// mostOf is how many times the middle reach of all spans the longest may have
// before it is cut, with an arrow: one that nothing is known of must not press
// the others into a point (chosen).
const mostOf = 5

func scaleOf(t page.Table) scale {
	bars := slices.ContainsFunc(t.Columns, func(c page.Column) bool { return c.Draws == page.Falls })
	var ends []float64
	var reach []float64 // of each row
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
	if slices.Sort(reach); !bars { // the bars of a sum are told whole
		most = mostOf * reach[len(reach)/2]
	}
	var s scale
	for _, v := range ends {
		s.low, s.high = min(s.low, max(v, -most)), max(s.high, min(v, most))
	}
	return s
}

func (s scale) empty() bool { return !(s.low < s.high) }

// place is the cell of zero among w, and what one cell stands for: the least
// with which both sides find room.
func (s scale) place(w int) (zero int, step float64) {
	step = math.Inf(1)
	for z := range w {
		if one := max(over(-s.low, z), over(s.high, w-1-z)); one < step {
			zero, step = z, one
		}
	}
	return zero, step
}

// over shares a length out over cells; none is enough for nothing.
func over(long float64, cells int) float64 {
	if long <= 0 {
		return 0
	}
	return long / float64(cells)
}

// ends writes what is on either side of zero above its cell, where there is
// room.
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

// draw draws a span in w cells; lines after the first show where zero is.
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

// bar fills the cells from zero on, the last one by halves.
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

// Marks where a number most likely is.
const surely, unsurely = '●', '○'

// reach draws a line from low to high and a mark between.
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
