package text

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"ashbook/report/chart"
	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

// Sizes of a figure in cells (chosen: two of them fit a screen).
const (
	figureRows   = 13 // most rows; fewer if that makes the ticks even
	figureWidth  = 76 // if the page has no width
	figureNarrow = 16 // a narrower plot is left out
)

// signs mark the series of a figure without colour.
var signs = []rune("●○×+▲△■□abcdefghijklmnopqrstuvwxyz")

func sign(series int) rune { return signs[series%len(signs)] }

// plot is a figure while it is drawn.
type plot struct {
	rows   [][]rune // from the top
	x0, x1 float64
	y0, y1 float64
}

// figure draws the plot with its axes and a line of legend for each series.
func (d *drawing) figure(f page.Figure) {
	x0, x1, whole, ok := bounds(f.Lines, func(s page.Series, i int) float64 { return s.X[i] })
	y0, y1, _, _ := bounds(f.Lines, func(s page.Series, i int) float64 { return s.Y[i] })
	if !ok {
		return
	}
	d.caption(f.Title, 2)
	rows, yTicks := figureRows, chart.Ticks(y0, y1, figureRows/2)
	if n := len(yTicks); n > 1 {
		step := yTicks[1] - yTicks[0]
		y0, y1 = math.Floor(y0/step+1e-9)*step, math.Ceil(y1/step-1e-9)*step
		steps := int(math.Round((y1 - y0) / step))
		yTicks = chart.Ticks(y0, y1, steps+1)
		rows = (figureRows-1)/steps*steps + 1
	}
	left := 0
	for _, t := range yTicks {
		left = max(left, ansi.StringWidth(label(t)))
	}
	width := d.width
	if width == 0 {
		width = figureWidth
	}
	if w := width - left - 4; w >= figureNarrow {
		xTicks := xTicks(x0, x1, max(3, w/8), whole)
		if f.Points { // keep points away from the axis
			x0, x1 = x0-.03*(x1-x0), x1+.03*(x1-x0)
		}
		p := plot{rows: make([][]rune, rows), x0: x0, x1: x1, y0: y0, y1: y1}
		for i := range p.rows {
			p.rows[i] = []rune(strings.Repeat(" ", w))
		}
		several := p.fill(f)
		d.caption(f.YTitle, 2)
		d.plot(&p, left, xTicks, yTicks)
		x := f.XTitle
		for i, w := range f.XWords {
			x += fmt.Sprintf("%s%d %s", []string{": ", ", "}[min(i, 1)], i, w)
		}
		d.caption(x, left+4)
		if several {
			d.paragraph("2 – 9  number of points in one place", 2)
		}
	}
	for k, s := range f.Lines {
		d.paragraph(string(sign(k))+" "+s.Name, 2)
	}
}

// caption writes a paragraph unless s is empty.
func (d *drawing) caption(s string, indent int) {
	if s != "" {
		d.paragraph(s, indent)
	}
}

// bounds returns the least and greatest finite numbers, widened if they are equal.
// whole reports that all are integers, ok that there are any.
func bounds(lines []page.Series, of func(page.Series, int) float64) (low, high float64, whole, ok bool) {
	low, high, whole = math.Inf(1), math.Inf(-1), true
	for _, s := range lines {
		for i := range s.X {
			if finite(s, i) {
				v := of(s, i)
				low, high, whole = min(low, v), max(high, v), whole && v == math.Trunc(v)
			}
		}
	}
	if low == high {
		low, high = low-.5, high+.5
	}
	return low, high, whole, low < high
}

// finite reports whether a point has a place on the axes; NaN has none.
func finite(s page.Series, i int) bool {
	const huge = 1e100
	return math.Abs(s.X[i]) < huge && math.Abs(s.Y[i]) < huge
}

// xTicks returns the ticks of the x axis, integers only if whole.
func xTicks(low, high float64, most int, whole bool) []float64 {
	var out []float64
	for _, t := range chart.Ticks(low, high, most) {
		if !whole || math.Abs(t-math.Round(t)) < 1e-9 {
			out = append(out, t)
		}
	}
	return out
}

func label(v float64) string {
	return strings.Replace(strconv.FormatFloat(v+0, 'g', 6, 64), "-", "−", 1)
}

func (p *plot) column(x float64) int {
	return int(math.Round((x - p.x0) / (p.x1 - p.x0) * float64(len(p.rows[0])-1)))
}

func (p *plot) row(y float64) int {
	top := len(p.rows) - 1
	return top - int(math.Round((y-p.y0)/(p.y1-p.y0)*float64(top)))
}

// fill draws all series; several reports that a cell has more than one point.
func (p *plot) fill(f page.Figure) (several bool) {
	for k, s := range f.Lines {
		in := map[[2]int]int{}
		var known page.Series
		for i := range s.X {
			if !finite(s, i) {
				continue
			}
			known.X, known.Y = append(known.X, s.X[i]), append(known.Y, s.Y[i])
			at := [2]int{p.row(s.Y[i]), p.column(s.X[i])}
			in[at]++
			if f.Points || len(s.X) == 1 {
				r := sign(k)
				if n := in[at]; n > 1 {
					r, several = rune('0'+min(n, 9)), true
				}
				p.rows[at[0]][at[1]] = r
			}
		}
		if !f.Points {
			p.curve(known, k, len(f.Lines))
		}
	}
	return several
}

// curve joins the points; where curves meet, their signs alternate.
func (p *plot) curve(s page.Series, k, of int) {
	w := len(p.rows[0])
	for c := range w {
		x := p.x0 + (p.x1-p.x0)*float64(c)/float64(w-1)
		i := sort.SearchFloat64s(s.X, x)
		if i == len(s.X) || i == 0 && s.X[0] > x {
			continue
		}
		y := s.Y[i]
		if s.X[i] > x {
			y = s.Y[i-1] + (y-s.Y[i-1])*(x-s.X[i-1])/(s.X[i]-s.X[i-1])
		}
		if cell := &p.rows[p.row(y)][c]; *cell == ' ' || c%of == k {
			*cell = sign(k)
		}
	}
}

// plot writes the rows with the y axis, and the numbers of the x axis below.
func (d *drawing) plot(p *plot, left int, xTicks, yTicks []float64) {
	marks := map[int]string{}
	for _, t := range yTicks {
		marks[p.row(t)] = label(t)
	}
	for i, r := range p.rows {
		edge := "│"
		if marks[i] != "" {
			edge = "┤"
		}
		d.line(fmt.Sprintf("  %s %s%s", pad(marks[i], left, true), edge, string(r)))
	}
	axis, numbers := []rune(strings.Repeat("─", len(p.rows[0]))), []rune(strings.Repeat(" ", len(p.rows[0])))
	free := 0
	for _, t := range xTicks {
		at, text := p.column(t), []rune(label(t))
		axis[at] = '┬'
		if from := max(0, min(at-len(text)/2, len(numbers)-len(text))); from >= free {
			free = from + copy(numbers[from:], text) + 1
		}
	}
	head := strings.Repeat(" ", left+3)
	d.line(head + "└" + string(axis))
	d.line(head + " " + string(numbers))
}
