package html

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/report/page"
)

// scale is the common scale of the pictures in a table.
type scale struct{ low, high float64 }

// fallsOf returns where the bar of each row begins: at the end of the bar above it.
func fallsOf(t page.Table) []float64 {
	out, sum := make([]float64, len(t.Rows)), 0.0
	for i, r := range t.Rows {
		out[i] = sum
		if r.Span != nil && finite(r.Span.At) {
			sum += r.Span.At
		}
	}
	return out
}

func finite(v float64) bool { return math.Abs(v) < 1e100 }

func scaleOf(t page.Table, falls []float64) scale {
	s := scale{math.Inf(1), math.Inf(-1)}
	if !slices.ContainsFunc(t.Columns, func(c page.Column) bool { return c.Draws == page.Falls }) {
		falls = make([]float64, len(t.Rows))
	}
	for i, r := range t.Rows {
		if r.Span == nil {
			continue
		}
		for _, v := range []float64{0, r.Span.Low, r.Span.At, r.Span.High} {
			if finite(v) {
				s.low, s.high = min(s.low, falls[i]+v), max(s.high, falls[i]+v)
			}
		}
	}
	return s
}

func (s scale) known() bool { return s.low < s.high }

func (s scale) x(v float64) float64 {
	return max(0, min(100*(v-s.low)/(s.high-s.low), 100))
}

// ends returns the titles left and right of zero, for the head of a column of pictures.
func (s scale) ends(c page.Column) string {
	switch {
	case c.Draws == page.Hours:
		return s.hours()
	case c.Ends == [2]string{}:
		return esc(c.Title)
	}
	x := s.x(0)
	return fmt.Sprintf(`<svg class="span" width="100%%" height="16" role="img" aria-label="%s, %s"><text class="soft" x="%.2f%%" dx="-6" y="12" text-anchor="end">%[1]s</text><text class="soft" x="%.2[3]f%%" dx="6" y="12">%[2]s</text></svg>`, esc(c.Ends[0]), esc(c.Ends[1]), x)
}

// every is the distance, in hours, between the clock hours in the head of a column of
// nights.
const every = 6

// eachHour calls do for each hour of the clock that is shown.
func (s scale) eachHour(do func(hour float64)) {
	for h := every * math.Ceil(s.low/every); h <= s.high; h += every {
		do(h)
	}
}

// hours draws the hours of the clock for the head of a column of nights.
func (s scale) hours() string {
	var b strings.Builder
	b.WriteString(`<svg class="span" width="100%" height="16" role="img" aria-label="hours of the clock">`)
	s.eachHour(func(h float64) {
		fmt.Fprintf(&b, `<text class="soft" x="%.2f%%" y="12" text-anchor="middle">%02.0f</text>`, s.x(h), math.Mod(h+48, 24))
	})
	b.WriteString("</svg>")
	return b.String()
}

// draw returns the picture of one cell; the cell beside it has the number.
func (s scale) draw(draws page.Drawing, v *page.Span, from float64) string {
	if v == nil {
		return ""
	}
	var b strings.Builder
	b.WriteString(`<svg class="span" width="100%" height="20" aria-hidden="true">`)
	line := func(class string, from, to float64) {
		fmt.Fprintf(&b, `<line class="%s" x1="%.2f%%" y1="10" x2="%.2f%%" y2="10"/>`, class, s.x(from), s.x(to))
	}
	way := "bar later"
	switch draws {
	case page.Hours:
		s.eachHour(func(h float64) {
			fmt.Fprintf(&b, `<line class="grid" x1="%.2f%%" y1="0" x2="%.2[1]f%%" y2="20"/>`, s.x(h))
		})
		line("bar night", v.Low, v.High)
		if finite(v.At) {
			fmt.Fprintf(&b, `<circle class="ring" cx="%.2f%%" cy="10" r="4"/>`, s.x(v.At))
		}
	case page.Falls:
		if v.At < 0 {
			way = "bar sooner"
		}
		line(way, from, from+v.At)
		if v.Low < v.High {
			line("range", from+v.Low, from+v.High)
		}
	case page.Ranges:
		line("range", v.Low, v.High)
		class := "dot"
		if v.Unsure {
			class = "ring"
		}
		fmt.Fprintf(&b, `<circle class="%s" cx="%.2f%%" cy="10" r="4"/>`, class, s.x(v.At))
	}
	if s.low <= 0 && s.high >= 0 && draws != page.Hours {
		fmt.Fprintf(&b, `<line class="grid" x1="%.2f%%" y1="0" x2="%.2[1]f%%" y2="20"/>`, s.x(0))
	}
	b.WriteString("</svg>")
	return b.String()
}
