// Package svg draws a chart as an SVG element for an HTML page. Horizontal positions are
// in per cent and vertical ones in pixels, so the letters have one size on a phone, in a
// wide window and on paper. Classes refer to the style sheet of the page; shape and
// stroke width tell lines apart without colour.
package svg

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"ashbook/report/chart"
)

// Heights and distances, px.
const (
	laneHeight  = 20
	titleHeight = 26 // height of a lane's title
	dotHeight   = 9  // height of one dot in a stack
	wordHeight  = 13 // height of one word in a stack
	apart       = 15 // least distance of names at the line ends
	foot        = 22 // height of the axis labels
	head        = 20 // height of the words above the rules
)

// mostTicks is the greatest number of axis labels: one every two hours over a day.
const mostTicks = 12

// wide is the width of the inner picture in its own units; it is stretched to the width
// of the page.
const wide = 2000

// Options says how a chart is placed in its page.
type Options struct {
	ID     string // unique on the page; letters and digits
	Title  string // short name of the picture
	Says   string // one sentence on what it shows
	Height int    // height of the plot, px
	// Text escapes any text for HTML.
	Text func(string) string
}

// wordApart is the distance below which two equal words of a lane are printed once, per
// cent: they would overlap on a phone.
const wordApart = 4

// leaning is the distance below which the words of two rules are aligned away from each
// other, per cent.
const leaning = 25

// Draw returns the chart as an svg element, or "" if there is nothing to draw. The page
// must leave margins for the labels: 46 px left and 92 px right, or 34 and 74 on a phone.
func Draw(c chart.Chart, o Options) string {
	low, high, field := c.Range()
	if c.From >= c.To || !field && len(c.Lanes) == 0 {
		return ""
	}
	d := &drawing{c: c, o: o, low: low, high: high}
	if field && c.YTitle != "" && !d.degrees() || slices.ContainsFunc(c.Rules, func(r chart.Rule) bool { return r.Word != "" }) {
		d.y = head
	}
	d.top = d.y
	ticks := c.XTicks(mostTicks)
	if field {
		d.bottom = d.top + o.Height
		d.y = d.bottom
		d.field()
		d.y += d.axis(ticks)
	} else {
		d.bottom = d.top
	}
	for _, l := range c.Lanes {
		d.lane(l)
	}
	if !field {
		d.y += d.axis(ticks)
	}
	d.rules()
	return fmt.Sprintf(`<svg class="chart" width="100%%" height="%d" role="img" aria-labelledby="%s-t %[2]s-d"><title id="%[2]s-t">%[3]s</title><desc id="%[2]s-d">%[4]s</desc>`,
		d.y, o.ID, o.Text(o.Title), o.Text(o.Says)) + d.under.String() + d.b.String() + "</svg>"
}

type drawing struct {
	c           chart.Chart
	o           Options
	low, high   float64
	top, bottom int // edges of the plot, px from the top
	y           int // top of the next element, px
	under, b    strings.Builder
}

// x returns the position of a value on the horizontal axis, per cent.
func (d *drawing) x(v float64) float64 {
	return 100 * (v - d.c.From) / (d.c.To - d.c.From)
}

// degrees reports whether the vertical axis is a temperature, whose labels carry a "°".
func (d *drawing) degrees() bool { return d.c.YTitle == "°C" || d.c.YTitle == "°F" }

func (d *drawing) inside(v float64) bool { return v >= d.c.From && v <= d.c.To }

// py returns the vertical position of a value, px from the top.
func (d *drawing) py(v float64) float64 {
	return float64(d.bottom) - (v-d.low)/(d.high-d.low)*float64(d.bottom-d.top)
}

func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

func (d *drawing) line(class string, x1, y1, x2, y2 float64) string {
	return fmt.Sprintf(`<line class="%s" x1="%s%%" y1="%s" x2="%s%%" y2="%s"/>`, class, num(x1), num(y1), num(x2), num(y2))
}

// text returns a text element at x per cent and y px, moved dx px to the right. Anchor is
// start, middle or end.
func (d *drawing) text(class, anchor string, x, dx, y float64, words string) string {
	return fmt.Sprintf(`<text class="%s" x="%s%%" dx="%s" y="%s" text-anchor="%s">%s</text>`, class, num(x), num(dx), num(y), anchor, d.o.Text(words))
}

func (d *drawing) field() {
	for _, t := range chart.Ticks(d.low, d.high, 7) {
		d.b.WriteString(d.line("grid", 0, d.py(t), 100, d.py(t)))
		label := chart.Label(t)
		if d.degrees() {
			label += "°"
		}
		d.b.WriteString(d.text("num", "end", 0, -8, d.py(t)+4, label))
	}
	if d.c.YTitle != "" && !d.degrees() {
		d.b.WriteString(d.text("num", "start", 0, 0, 13, d.c.YTitle))
	}
	fmt.Fprintf(&d.b, `<svg x="0" y="%d" width="100%%" height="%d" viewBox="0 0 %d %[2]d" preserveAspectRatio="none">`, d.top, d.bottom-d.top, wide)
	d.band()
	if !d.c.Apart {
		others := 0
		for _, l := range d.c.Lines {
			class := [...]string{"main", "other", "fire", "setting"}[l.Kind]
			if l.Kind == chart.Other {
				others++
				class += [...]string{"", "", " third", " fourth"}[min(others, 3)]
			}
			d.path(class, l.Points)
		}
	}
	d.b.WriteString("</svg>")
	if d.c.Apart {
		d.points()
		return
	}
	for _, q := range d.c.Doubts {
		if d.inside(q.X) {
			y := min(max(d.py(q.Y), float64(d.top)+wordHeight), float64(d.bottom)-1)
			d.b.WriteString(d.text("plain", "middle", d.x(q.X), 0, y, "?"))
		}
	}
	d.ends()
	for _, s := range d.c.Spans {
		d.span(s)
	}
	d.bandWord()
}

func (d *drawing) px(v float64) string { return num(d.x(v) * wide / 100) }

func (d *drawing) iy(v float64) string { return num(d.py(v) - float64(d.top)) }

func (d *drawing) path(class string, points []chart.Point) {
	var p strings.Builder
	for _, q := range chart.Thin(points, 600) {
		if !d.inside(q.X) {
			continue
		}
		word := "L"
		if p.Len() == 0 {
			word = "M"
		}
		p.WriteString(word + d.px(q.X) + " " + d.iy(q.Y))
	}
	if p.Len() == 0 {
		return
	}
	fmt.Fprintf(&d.b, `<path class="%s" vector-effect="non-scaling-stroke" d="%s"/>`, class, p.String())
}

func (d *drawing) band() {
	var up, down []string
	for _, i := range d.c.Band {
		if d.inside(i.X) {
			up = append(up, d.px(i.X)+" "+d.iy(i.High))
			down = append(down, d.px(i.X)+" "+d.iy(i.Low))
		}
	}
	if len(up) < 2 {
		return
	}
	slices.Reverse(down)
	fmt.Fprintf(&d.b, `<path class="band" d="M%sZ"/>`, strings.Join(append(up, down...), "L"))
}

// bandWord prints the word of the band where the band is highest, if there is room.
func (d *drawing) bandWord() {
	best, at := 0.0, chart.Interval{}
	for _, i := range d.c.Band {
		if h := d.py(i.Low) - d.py(i.High); d.inside(i.X) && h > best {
			best, at = h, i
		}
	}
	if d.c.BandWord == "" || best < apart {
		return
	}
	d.b.WriteString(d.text("soft", "middle", d.x(at.X), 0, (d.py(at.Low)+d.py(at.High))/2+4, d.c.BandWord))
}

// ends prints the names at the right ends of the lines, at least apart px from each other.
func (d *drawing) ends() {
	type label struct {
		y     float64
		class string
		words string
	}
	var all []label
	for i, l := range d.c.Lines {
		n := len(l.Points)
		if n == 0 || l.Kind == chart.Setting {
			continue
		}
		words := l.Name
		if d.c.X.Kind == chart.Clock {
			words = strings.TrimSpace(l.Name + " " + chart.Label(math.Round(l.Points[n-1].Y)) + "°")
		} else if Letters(d.c) {
			words = Letter(i)
		}
		all = append(all, label{d.py(l.Points[n-1].Y), [...]string{"strong", "plain", "fireword", ""}[l.Kind], words})
	}
	slices.SortStableFunc(all, func(a, b label) int { return int(a.y - b.y) })
	for i := 1; i < len(all); i++ {
		all[i].y = max(all[i].y, all[i-1].y+apart)
	}
	if n := len(all); n > 0 {
		if over := all[n-1].y - float64(d.bottom); over > 0 {
			all[n-1].y -= over
			for i := n - 2; i >= 0; i-- {
				all[i].y = min(all[i].y, all[i+1].y-apart)
			}
		}
	}
	for _, l := range all {
		d.b.WriteString(d.text(l.class, "start", 100, 8, l.y+4, l.words))
	}
}

// Line ends carry letters instead of names if there are at least lettersFrom lines or a
// name has at least longName characters: the margin on a phone is narrow.
const (
	lettersFrom = 4
	longName    = 12
)

// Letter returns the letter of line i: a, b, c …
func Letter(i int) string { return string(rune('a' + i%26)) }

// Letters reports whether the line ends carry letters.
func Letters(c chart.Chart) bool {
	long := func(l chart.Line) bool { return utf8.RuneCountInString(l.Name) >= longName }
	return c.X.Kind != chart.Clock && !c.Apart && (len(c.Lines) >= lettersFrom || slices.ContainsFunc(c.Lines, long))
}

// points draws the points of lines that are not joined: dots, rings or crosses.
func (d *drawing) points() {
	for k, l := range d.c.Lines {
		for _, p := range l.Points {
			x, y := num(d.x(p.X)), num(d.py(p.Y))
			if k%3 == 2 {
				fmt.Fprintf(&d.b, `<text class="plain" x="%s%%" y="%s" text-anchor="middle" dy="4">×</text>`, x, y)
				continue
			}
			fmt.Fprintf(&d.b, `<circle class="%s" cx="%s%%" cy="%s" r="3.5"/>`, [...]string{"dot", "ring"}[k%3], x, y)
		}
	}
}

func (d *drawing) span(s chart.Span) {
	if !d.inside(s.From) && !d.inside(s.To) {
		return
	}
	from, to, y := d.x(max(s.From, d.c.From)), d.x(min(s.To, d.c.To)), d.py(s.Y)
	d.b.WriteString(d.line("bracket", from, y, to, y) + d.line("bracket", from, y-5, from, y+.5) + d.line("bracket", to, y-5, to, y+.5))
	d.b.WriteString(d.text("plain", "middle", (from+to)/2, 0, y+15, s.Word))
}

// axis draws the axis labels at d.y and returns their height, px.
func (d *drawing) axis(ticks []chart.Tick) int {
	if len(ticks) == 0 {
		return 0
	}
	for i, t := range ticks {
		class := "num"
		if i%2 == 1 && len(d.c.X.Words) == 0 {
			class += " spare" // hidden on phones
		}
		words := t.Label
		if d.c.X.Kind == chart.Clock {
			words = strings.TrimSuffix(words, ":00")
		}
		d.b.WriteString(d.text(class, "middle", d.x(t.X), 0, float64(d.y)+16, words))
	}
	for _, t := range ticks {
		if d.c.X.Kind == chart.Clock {
			fmt.Fprintf(&d.under, `<line class="grid" x1="%s%%" y1="%d" x2="%[1]s%%" y2="%[3]d"/>`, num(d.x(t.X)), d.top, d.y+4)
		}
	}
	return foot
}

// lane draws one lane at d.y.
func (d *drawing) lane(l chart.Lane) {
	height := laneHeight
	stacked := map[float64]int{}
	for _, dot := range l.Dots {
		stacked[dot.X]++
		step := dotHeight
		if dot.Word != "" {
			step = wordHeight
		}
		height = max(height, stacked[dot.X]*step+8)
	}
	if l.Title != "" {
		d.b.WriteString(d.text("strong", "start", 0, 0, float64(d.y)+18, l.Title))
		d.y += titleHeight
	}
	base := float64(d.y + height - 7)
	mid := float64(d.y) + float64(height)/2
	d.b.WriteString(d.text("name", "end", 0, -8, base+1, l.Name))
	if l.End != "" {
		d.b.WriteString(d.text("strong", "start", 100, 8, base+1, l.End))
	}
	if len(l.Dots) > 0 {
		d.b.WriteString(d.line("grid", 0, base+3, 100, base+3))
	}
	for _, b := range l.Bars {
		y := mid
		if b.Thin && len(l.Dots) > 0 { // below the dots
			y = base + 3
		}
		d.bar(b, y)
	}
	for i, m := range l.Marks {
		if !d.inside(m.X) || m.Word != "" && i > 0 && m.Word == l.Marks[i-1].Word && d.x(m.X)-d.x(l.Marks[i-1].X) < wordApart {
			continue
		}
		if m.Word != "" {
			d.b.WriteString(d.text("plain", "middle", d.x(m.X), 0, mid+4, m.Word))
			continue
		}
		from, to := mid-6, mid+6
		if len(l.Dots) > 0 { // below the letters
			from, to = base, base+7
		}
		d.b.WriteString(d.line("stroke", d.x(m.X), from, d.x(m.X), to))
	}
	d.dots(l.Dots, base)
	d.y += height
}

// dots draws stacked dots, rings and words upwards from base px.
func (d *drawing) dots(dots []chart.Dot, base float64) {
	stacked := map[float64]int{}
	for _, dot := range dots {
		n := float64(stacked[dot.X])
		stacked[dot.X]++
		switch {
		case dot.Word != "":
			d.b.WriteString(d.text("plain", "middle", d.x(dot.X), 0, base-n*wordHeight, dot.Word))
		default:
			class := "dot"
			if dot.Ring {
				class = "ring"
			}
			fmt.Fprintf(&d.b, `<circle class="%s" cx="%s%%" cy="%s" r="3.5"/>`, class, num(d.x(dot.X)), num(base-2-n*dotHeight))
		}
	}
}

func (d *drawing) bar(b chart.Bar, mid float64) {
	if b.To < d.c.From || b.From > d.c.To {
		return
	}
	from, to := d.x(max(b.From, d.c.From)), d.x(min(b.To, d.c.To))
	class := "bar"
	if b.Thin {
		class = "range"
	}
	d.b.WriteString(d.line(class, from, mid, to, mid))
	if b.Word != "" {
		d.b.WriteString(d.text("plain", "end", from, -5, mid+4, b.Word))
	}
	if d.inside(b.At) { // false for NaN
		fmt.Fprintf(&d.b, `<circle class="dot" cx="%s%%" cy="%s" r="3"/>`, num(d.x(b.At)), num(mid))
	}
}

// rules draws the vertical lines, through the lanes too.
func (d *drawing) rules() {
	var last float64
	for i, r := range d.c.Rules {
		if !d.inside(r.X) {
			continue
		}
		x := d.x(r.X)
		end := float64(d.y)
		if d.bottom > d.top && len(d.c.Lanes) == 0 {
			end = float64(d.bottom)
		}
		d.b.WriteString(d.line("rule", x, float64(d.top), x, end))
		if r.Word == "" {
			continue
		}
		anchor := "middle"
		near := i > 0 && x-last < leaning
		leads := i+1 < len(d.c.Rules) && d.x(d.c.Rules[i+1].X)-x < leaning
		switch {
		case x < 8, near && !leads:
			anchor = "start"
		case leads && !near: // the two words are aligned away from each other
			anchor = "end"
		}
		last = x
		d.b.WriteString(d.text("plain", anchor, x, 0, 13, r.Word))
	}
}
