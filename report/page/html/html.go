// Package html renders a page as one HTML file without scripts and without requests to
// other hosts. All text goes through esc.
package html

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/yuin/goldmark"

	"ashbook/journal/pattern"
	"ashbook/report/chart/svg"
	"ashbook/report/page"
)

// First is the comment in the second line of every file written here. A file with it
// may be replaced.
const First = "<!-- written by ashbook, which may replace this file -->"

// Policy is the part of the head that forbids the page to fetch or send anything.
const Policy = `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">` +
	`<meta name="referrer" content="no-referrer"><meta name="viewport" content="width=device-width, initial-scale=1">`

// Text escapes and cleans a text for HTML.
func Text(s string) string { return esc(s) }

// Heights of charts, px.
const (
	courseHeight = 280
	figureHeight = 250
)

// Options are the settings of a page. The zero value has no paper size and no extra
// elements.
type Options struct {
	Paper string   // "A4", "A5" or "letter"; "": the browser's paper size
	Top   []string // HTML elements above the sections, such as links to other pages; not escaped
	Foot  []string // HTML elements at the foot; not escaped
}

// Render renders a whole page.
func Render(p page.Page, o Options) []byte {
	d := &drawing{p: p, top: o.Top}
	d.write(`<!DOCTYPE html>`, First, `<html lang="en"><head><meta charset="utf-8">`,
		Policy,
		"<title>"+esc(p.Title)+"</title><style>"+style+paperStyle[o.Paper]+"</style></head><body><main>")
	d.body()
	d.write("</main>")
	if p.Source != "" || len(o.Foot) > 0 {
		d.write(`<footer class="foot">`)
		if p.Source != "" {
			d.write("<p>" + esc(p.Source) + "</p>")
		}
		d.write(o.Foot...)
		d.write("</footer>")
	}
	d.write("</body></html>")
	return d.b.Bytes()
}

// Body renders what Render puts between head and foot.
func Body(p page.Page) []byte {
	d := &drawing{p: p}
	d.body()
	return d.b.Bytes()
}

func (d *drawing) body() {
	p := d.p
	if p.Aside != "" {
		d.write(`<p class="aside">` + esc(p.Aside) + "</p>")
	}
	d.write("<h1>" + esc(p.Title) + "</h1>")
	for _, l := range p.Lead {
		d.write(`<p class="lead">` + d.text(l) + "</p>")
	}
	d.write(d.top...)
	for _, s := range p.Sections {
		d.section(s)
	}
	d.footnotes()
}

type drawing struct {
	p   page.Page
	top []string
	b   bytes.Buffer
	ids int
}

func (d *drawing) write(lines ...string) {
	for _, l := range lines {
		d.b.WriteString(l)
		d.b.WriteByte('\n')
	}
}

// esc makes text safe for HTML: cleaned as for a terminal and escaped. Numbers stay on
// one line with their units, and footnote marks with their words.
func esc(s string) string {
	s = unit.ReplaceAllString(page.Clean(s), "$1\u00a0$2")
	s = more.ReplaceAllString(s, "$1\u00a0$2")
	s = way.ReplaceAllString(s, "$1\u00a0$2")
	s = strings.ReplaceAll(s, " / ", "\u00a0/\u00a0")
	return html.EscapeString(footnote.ReplaceAllString(s, "\u00a0$1"))
}

// unit matches a number with its unit or month; way an effect with its direction; more
// hours with their minutes, and ± or a weekday with its number.
var (
	more     = pattern.New(`(\d\x{00a0}h|±|\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)) (\d)`)
	unit     = pattern.New(`([\d½]) (°C|°F|min|h/kg|h|kg|g/kg|g|lb|oz|cm|in|m/s|%|cooks?|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b`)
	way      = pattern.New(`(\d|min) (sooner|later|better|worse|less|more)\b`)
	footnote = pattern.New(` ([⁰¹²³⁴⁵⁶⁷⁸⁹]+)`)
)

// text does what esc does, and turns footnote marks into links to the notes.
func (d *drawing) text(s string) string {
	return mark.ReplaceAllStringFunc(esc(s), func(m string) string {
		if i := page.Marks(m); len(i) == 1 && i[0] < len(d.p.Notes) && d.p.Notes[i[0]] != "" {
			return fmt.Sprintf(`<a href="#n%d">%s</a>`, i[0]+1, m)
		}
		return m
	})
}

var mark = pattern.New(`[⁰¹²³⁴⁵⁶⁷⁸⁹]+`)

func (d *drawing) section(s page.Section) {
	end := "</section>"
	if s.Heading != "" {
		d.write("<section><h2>" + d.text(s.Heading) + "</h2>")
	} else {
		d.write(`<div class="plain">`)
		end = "</div>"
	}
	d.figure(s)
	d.facts(s.Facts)
	d.table(s)
	d.photos(s.Photos)
	if s.Prose != "" {
		d.write(`<div class="prose">` + Prose(s.Prose) + "</div>")
	} else {
		for _, l := range s.Lines {
			d.write("<p>" + d.text(l) + "</p>")
		}
	}
	d.write(end)
}

// A fact with longFact characters or more has a line of its own (chosen: half a line);
// of at most fewFacts facts each has one.
const (
	longFact = 38
	fewFacts = 3
)

func long(f page.Fact) bool {
	return utf8.RuneCountInString(f.Name)+utf8.RuneCountInString(f.Value) > longFact
}

// facts renders names beside values: short ones in two columns, right-aligned, others
// on a line each. Long facts that come before the short ones are placed above them.
func (d *drawing) facts(facts []page.Fact) {
	lines := 0
	for lines < len(facts) && long(facts[lines]) {
		lines++
	}
	if len(facts) <= fewFacts || slices.ContainsFunc(facts[lines:], long) {
		lines = len(facts)
	}
	d.list(` class="lines"`, facts[:lines])
	d.list("", facts[lines:])
}

func (d *drawing) list(class string, facts []page.Fact) {
	if len(facts) == 0 {
		return
	}
	d.write("<dl" + class + ">")
	seen := map[string]bool{}
	for _, f := range facts {
		if seen[f.Name] { // each name once in a list
			d.write("</dl><dl" + class + ">")
			clear(seen)
		}
		seen[f.Name] = true
		note := ""
		if f.Note != "" {
			note = "<small>" + d.text(f.Note) + "</small>"
		}
		d.write("<div><dt>" + d.text(f.Name) + "</dt><dd>" + d.text(f.Value) + note + "</dd></div>")
	}
	d.write("</dl>")
}

func (d *drawing) figure(s page.Section) {
	c := s.Figure.Chart()
	title := s.Figure.Title
	if title == "" {
		title = s.Heading
	}
	says := s.Figure.Says
	if says == "" {
		says = describe(s.Figure)
	}
	height := figureHeight
	if s.Figure.Picture != nil {
		height = courseHeight
	}
	d.ids++
	picture := svg.Draw(c, svg.Options{ID: fmt.Sprintf("f%d", d.ids), Title: title, Says: says, Height: height, Text: esc})
	if picture == "" {
		return
	}
	class := ""
	if len(c.Lanes) > 0 {
		class = ` class="named"`
	}
	d.write("<figure"+class+`><div class="plot">`, picture, "</div>")
	var words []string
	if svg.Letters(c) {
		for i, l := range c.Lines {
			words = append(words, svg.Letter(i)+" "+l.Name)
		}
	}
	if c.Apart {
		for i, l := range c.Lines {
			words = append(words, string([]rune("●○×")[i%3])+" "+l.Name)
		}
	}
	var captions []string
	for _, w := range []string{strings.Join(words, " · "), c.X.Title, s.Figure.Says} {
		if w != "" {
			captions = append(captions, d.text(w))
		}
	}
	if len(captions) > 0 {
		d.write("<figcaption>" + strings.Join(captions, "<br>") + "</figcaption>")
	}
	d.write("</figure>")
}

// describe returns a description of a figure for people who cannot see it.
func describe(f page.Figure) string {
	var names []string
	for _, l := range f.Lines {
		names = append(names, l.Name)
	}
	return strings.TrimSpace(strings.Join(names, ", ") + ", over " + f.XTitle)
}

// manyColumns is how many columns fit beside a picture, or on a phone, without smaller
// spacing.
const manyColumns = 4

func (d *drawing) table(s page.Section) {
	t := s.Table
	if len(t.Rows) == 0 {
		return
	}
	label := s.Heading
	if label == "" {
		label = d.p.Title
	}
	falls := fallsOf(t)
	scale := scaleOf(t, falls)
	shown := make([]bool, len(t.Columns))
	head, pictured := false, ""
	for i, c := range t.Columns {
		shown[i] = c.Draws == page.Cells || scale.known()
		switch {
		case shown[i] && c.Draws == page.Hours:
			pictured = "pictured hours"
		case shown[i] && c.Draws != page.Cells:
			pictured = "pictured"
		}
		head = head || shown[i] && (c.Title != "" || c.Ends != [2]string{})
	}
	if len(t.Columns) > manyColumns {
		pictured = strings.TrimSpace(pictured + " many")
	}
	if pictured != "" {
		pictured = ` class="` + pictured + `"`
	}
	d.write(fmt.Sprintf(`<div class="wide" role="group" tabindex="0" aria-label="%s"><table%s>`, esc(label), pictured))
	if head {
		d.tableHead(t, shown, scale)
	}
	d.write("<tbody>")
	for k, r := range t.Rows {
		switch {
		case len(r.Cells) > 0:
			d.tableRow(t, r, shown, func(as page.Drawing) string { return scale.draw(as, r.Span, falls[k]) })
		case r.Heading != "":
			d.write(fmt.Sprintf(`<tr class="part"><th scope="colgroup" colspan="%d">%s</th></tr>`, max(1, len(t.Columns)), d.text(r.Heading)))
		}
	}
	d.write("</tbody></table></div>")
}

// tableHead writes the titles of the columns that are shown. A column that is drawn has
// the ends of its scale instead.
func (d *drawing) tableHead(t page.Table, shown []bool, scale scale) {
	d.b.WriteString("<thead><tr>")
	for i, c := range t.Columns {
		switch {
		case !shown[i]:
		case c.Draws != page.Cells:
			d.b.WriteString(`<th class="picture" scope="col">` + scale.ends(c) + "</th>")
		case c.Title == "":
			d.b.WriteString("<td></td>")
		default:
			d.cell("th", ` scope="col"`, c, c.Title)
		}
	}
	d.write("</tr></thead>")
}

// tableRow writes one row. picture draws the cell of a column that is drawn.
func (d *drawing) tableRow(t page.Table, r page.Row, shown []bool, picture func(page.Drawing) string) {
	class := ""
	switch {
	case r.Rule:
		class = ` class="sum"`
	case r.Mark:
		class = ` class="differs"`
	}
	d.b.WriteString("<tr" + class + ">")
	for i, c := range t.Columns {
		text := ""
		if i < len(r.Cells) {
			text = r.Cells[i]
		}
		switch {
		case !shown[i]:
		case c.Draws != page.Cells:
			d.b.WriteString(`<td class="picture">` + picture(c.Draws) + "</td>")
		case i == 1 && r.Link != "":
			d.b.WriteString(`<td><a href="` + esc(r.Link) + `">` + d.text(text) + "</a></td>")
		case i == 0:
			d.cell("th", ` scope="row"`, c, text)
		default:
			d.cell("td", "", c, text)
		}
	}
	d.write("</tr>")
}

// photos embeds photographs in the page.
func (d *drawing) photos(photos []page.Photo) {
	for _, p := range photos {
		d.write(fmt.Sprintf(`<figure class="photo"><img width="%d" height="%d" alt="%s" src="data:image/jpeg;base64,%s"><figcaption>%[3]s</figcaption></figure>`,
			p.Width, p.Height, esc(p.Name), base64.StdEncoding.EncodeToString(p.JPEG)))
	}
}

func (d *drawing) cell(tag, attributes string, c page.Column, text string) {
	if c.Right {
		attributes += ` class="right"`
	}
	d.b.WriteString("<" + tag + attributes + ">" + d.text(text) + "</" + tag + ">")
}

func (d *drawing) footnotes() {
	open := false
	for i, n := range d.p.Notes {
		if n == "" {
			continue
		}
		if !open {
			d.write(`<section class="plain"><h2>Notes</h2>`)
			open = true
		}
		d.write(fmt.Sprintf(`<p class="note" id="n%d">%s %s</p>`, i+1, page.NoteMark(i), esc(n)))
	}
	if open {
		d.write("</section>")
	}
}

// Prose renders the person's own Markdown without raw HTML and images. Links may lead
// only to the web, to mail and to files beside the page. Headings are two levels lower.
func Prose(markdown string) string {
	var out bytes.Buffer
	src := []byte(clean(markdown))
	doc := prose().Parser().Parse(reader(src))
	tame(doc, src)
	if err := prose().Renderer().Render(&out, src, doc); err != nil {
		return "<p>" + esc(markdown) + "</p>"
	}
	return strings.TrimSpace(out.String())
}

var prose = sync.OnceValue(func() goldmark.Markdown { return goldmark.New() })

// clean applies page.Clean to each line, so that the lines of the Markdown stay.
func clean(s string) string {
	lines := strings.Split(strings.ReplaceAll(s, "\r\n", "\n"), "\n")
	for i, l := range lines {
		indent := l[:len(l)-len(strings.TrimLeft(l, " \t"))]
		lines[i] = indent + page.Clean(l[len(indent):])
	}
	return strings.Join(lines, "\n")
}
