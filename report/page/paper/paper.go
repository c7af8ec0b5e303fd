// Package paper renders sheets to fill in with a pencil: the cook sheet with a row for
// each hour, and cards for the eaters. Each is one HTML file without scripts, measured
// in millimetres, for a browser to print.
package paper

import (
	"fmt"
	"math"
	"strings"

	"ashbook/report/page/html"
)

// Size is a paper size, mm.
type Size struct {
	Name          string
	Width, Height float64
}

// Sizes lists the known sizes: ISO 216, and Letter of ANSI/ASME Y14.1.
var Sizes = []Size{{"A4", 210, 297}, {"A5", 148, 210}, {"letter", 215.9, 279.4}}

// SizeOf finds a size by its name in any case.
func SizeOf(name string) (Size, bool) {
	for _, s := range Sizes {
		if strings.EqualFold(s.Name, name) {
			return s, true
		}
	}
	return Size{}, false
}

// Sheet is a form for noting one cook on paper.
type Sheet struct {
	Title string
	Date  string   // to the right of the title
	Meal  string   // below the title
	Plan  string   // cut, pit and aims
	Times string   // on by, likely off, latest off
	Cores []string // names of the core columns, one a piece
	Mass  string   // unit of masses to fill in
	Thick string
	Temp  string
	Rows  []Row
	Curve []Point // expected core; empty: no curve
	Ticks [3]string
	Foot  []string // cautions
}

// Row is the row of one hour.
type Row struct {
	Hour  string // "18"; empty: left blank
	Day   string // the day, in the first hour of each day
	Notes []string
}

// Point is one point of the expected core.
type Point struct {
	Row            float64 // position in rows: 1.5 is half past the second hour
	Low, Mid, High float64 // share of the axis, 0 to 1
}

// Lengths on a sheet, mm.
const (
	leastRow = 9.0
	mostRow  = 11.0
)

// margin is the free margin of a sheet, mm.
func (s Size) margin() float64 { return math.Min(10, s.Width/20) }

// narrow reports whether the lines above and below the rows wrap on this paper.
func (s Size) narrow() bool { return s.Width < 180 }

// room is the height available for rows, mm: the paper without head and foot as set in
// the style.
func (s Size) room() float64 {
	head, foot := 41.0, 34.0
	if s.narrow() {
		head, foot = 54, 46
	}
	return s.Height - 2*s.margin() - head - foot
}

// letters are the letters of the acts. The cook circles them on the sheet, and types
// them later.
const letters = "w v f l s t"

// sides distributes n rows over as many sides as they need, and returns rows a side and
// their height, mm.
func (s Size) sides(n int) (perSide int, height float64) {
	room := s.room()
	most := max(1, int(room/leastRow))
	sides := (n + most - 1) / most
	perSide = (n + max(1, sides) - 1) / max(1, sides)
	return perSide, math.Max(leastRow, math.Min(mostRow, room/float64(max(1, perSide))))
}

// Render renders the sheet for a paper size, on as many sides as it needs.
func (s Sheet) Render(size Size) []byte {
	var b strings.Builder
	perSide, height := size.sides(len(s.Rows))
	clock, reading, curve, done := s.columns(size)
	cores := reading * float64(len(s.Cores))
	more := ""
	if size.narrow() {
		more = ".ring{font-size:8pt;word-spacing:0}.ring .gap{width:2mm}.gap{width:3.5mm}.rows tbody th{font-size:11pt}"
	}
	open(&b, s.Title, size, more+fmt.Sprintf(".sheet{padding:%.1fmm}.rows tbody tr{height:%.2fmm}.clock{width:%.1fmm}.reading{width:%.1fmm}.curve{width:%.1fmm}.done{width:%.1fmm}.rows svg{left:%.1fmm;width:%.1[5]fmm}",
		size.margin(), height, clock, reading, curve, done, clock+reading+cores))
	for from := 0; from < len(s.Rows) || from == 0; from += max(1, perSide) {
		to := min(from+perSide, len(s.Rows))
		b.WriteString(`<section class="sheet">`)
		s.head(&b, from == 0)
		s.table(&b, curve, from, to, height)
		s.foot(&b)
		b.WriteString("</section>\n")
		if len(s.Rows) == 0 {
			break
		}
	}
	b.WriteString("</main></body></html>\n")
	return []byte(b.String())
}

func open(b *strings.Builder, title string, size Size, more string) {
	fmt.Fprintf(b, "<!DOCTYPE html>\n%s\n<html lang=\"en\"><head><meta charset=\"utf-8\">%s<title>%s</title><style>@page{size:%.1fmm %.1fmm;margin:0}.sheet{width:%.1[4]fmm;height:%.1[5]fmm}%[6]s%[7]s</style></head><body><main tabindex=\"0\">\n",
		html.First, html.Policy, html.Text(title), size.Width, size.Height, style, more)
}

func (s Sheet) head(b *strings.Builder, first bool) {
	title := "h1"
	if !first {
		title = "h2"
	}
	fmt.Fprintf(b, `<header><%[1]s>%[2]s</%[1]s><p class="when">%[3]s<br><b>%[4]s</b></p></header><p class="plan">%[5]s<br><b>%[6]s</b></p>`,
		title, html.Text(s.Title), html.Text(s.Date), html.Text(s.Meal), html.Text(s.Plan), html.Text(s.Times))
	b.WriteString(`<p class="blanks">`)
	for _, c := range s.Cores {
		if name := strings.TrimSpace(strings.TrimPrefix(c, "core")); name != "" {
			fmt.Fprintf(b, "<b>%s</b> ", html.Text(name))
		}
		blanks(b, "trimmed "+s.Mass, "thick "+s.Thick, "core "+s.Temp)
	}
	blanks(b, "fuel in "+s.Mass, "air "+s.Temp, "wind")
	b.WriteString("</p>")
}

func blanks(b *strings.Builder, names ...string) {
	for _, n := range names {
		fmt.Fprintf(b, `<span class="blank">%s</span> `, n)
	}
}

// columns returns the widths of the columns, mm.
func (s Sheet) columns(size Size) (clock, reading, curve, done float64) {
	room := size.Width - 2*size.margin()
	clock, reading, curve, done = 22, 19, 30, 43
	if len(s.Curve) == 0 {
		curve = 0
	}
	if fixed := clock + curve + done + reading*float64(1+len(s.Cores)); fixed > room-25 {
		scale := math.Max(.5, (room-25)/fixed)
		clock, reading, curve, done = clock*scale, reading*scale, curve*scale, done*scale
	}
	return clock, reading, curve, done
}

func (s Sheet) table(b *strings.Builder, curve float64, from, to int, height float64) {
	b.WriteString(`<div class="rows"><table><thead><tr><th scope="col" class="clock">clock</th><th scope="col" class="reading">pit</th>`)
	for _, c := range s.Cores {
		fmt.Fprintf(b, `<th scope="col" class="reading">%s</th>`, html.Text(c))
	}
	if curve > 0 {
		fmt.Fprintf(b, `<th scope="col" class="curve"><small>expected core, %s</small><span><i>%s</i><i>%s</i><i>%s</i></span></th>`,
			s.Temp, s.Ticks[0], s.Ticks[1], s.Ticks[2])
	}
	b.WriteString(`<th scope="col" class="done">done: ring it</th><th scope="col">words</th></tr></thead><tbody>`)
	for _, r := range s.Rows[from:to] {
		class := ""
		if r.Day != "" {
			class = ` class="midnight"`
		}
		hour := r.Hour
		if hour == "" {
			hour = `<span class="gap"></span>`
		}
		fmt.Fprintf(b, `<tr%s><th scope="row"><small>%s</small> %s:<span class="gap"></span></th><td></td>`, class, r.Day, hour)
		b.WriteString(strings.Repeat("<td></td>", len(s.Cores)))
		if curve > 0 {
			b.WriteString(`<td class="plain"></td>`)
		}
		fmt.Fprintf(b, `<td class="ring">%s <span>b<span class="gap"></span> p<span class="gap"></span></span></td><td class="notes">%s</td></tr>`,
			letters, html.Text(strings.Join(r.Notes, " · ")))
	}
	b.WriteString("</tbody></table>")
	if curve > 0 {
		s.curve(b, curve, float64(from), float64(to), height)
	}
	b.WriteString("</div>")
}

// curve draws the expected core beside the rows from and to.
func (s Sheet) curve(b *strings.Builder, width, from, to, height float64) {
	var low, mid, high []string
	at := func(share, row float64) string { return fmt.Sprintf("%.2f %.2f", share*width, (row-from)*height) }
	for _, p := range s.Curve {
		if p.Row < from || p.Row > to {
			continue
		}
		low = append([]string{at(p.Low, p.Row)}, low...)
		mid, high = append(mid, at(p.Mid, p.Row)), append(high, at(p.High, p.Row))
	}
	if len(mid) < 2 {
		return
	}
	fmt.Fprintf(b, `<svg height="%gmm" viewBox="0 0 %g %[1]g" aria-hidden="true"><path class="band" d="M%[3]s"/><path class="mid" d="M%s"/></svg>`,
		(to-from)*height, width, strings.Join(append(high, low...), "L"), strings.Join(mid, "L"))
}

func (s Sheet) foot(b *strings.Builder) {
	b.WriteString(`<p class="key">w wood · v vent · f fuel · l lid · s spritz · t turn · b bark, 0 pale to 4 dark · p probe, 0 hard to 3 slides in. Minutes after the colon; a second look halves the row.</p><p class="blanks">`)
	blanks(b, "off at", "boxed at", "box core "+s.Temp, "unboxed", "core "+s.Temp, "off "+s.Mass, "bone, fat "+s.Mass, "left over "+s.Mass, "fuel left "+s.Mass)
	b.WriteString(`</p><p class="cautions">`)
	for i, l := range s.Foot {
		if i > 0 {
			b.WriteString("<br>")
		}
		b.WriteString(html.Text(l))
	}
	b.WriteString("</p>")
}
