package shelf

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// From this width on the page is beside the list. In a narrower window of at least this
// height it is below the list, and in any other it is shown only when opened.
const (
	besideFrom = 110
	belowFrom  = 18
)

// mostNotices is the largest number of lines for notices.
const mostNotices = 3

// frame is where each part is drawn.
type frame struct {
	head, words, titles, list, notices, page layout.Rect
	rule                                     layout.Rect // between the list and the page
}

func (s *Screen) frame(r layout.Rect) frame {
	var f frame
	f.head, r = r.Top(1)
	f.words, r = r.Top(1)
	r, f.notices = r.Bottom(len(s.noticeLines(r.W - 2)))
	switch {
	case r.W >= besideFrom:
		r, f.page = r.Right(r.W * 2 / 5)
		f.rule, f.page = f.page.Left(2)
	case r.H >= belowFrom-4:
		r, f.page = r.Bottom(r.H / 2)
		f.rule, f.page = f.page.Top(1)
	}
	f.titles, f.list = r.Top(1)
	return f
}

func (s *Screen) notices() []string {
	switch {
	case s.unlit != nil:
		return []string{"not lit: " + s.unlit.Error()}
	case s.lighting:
		return []string{"Light the fire outdoors only: carbon monoxide kills indoors and in tents (CPSC)."}
	case s.err != nil:
		return []string{"the journal cannot be read: " + s.err.Error()}
	}
	return s.shelf.Notices
}

// noticeLines wraps the notices at width. If they need more than mostNotices lines, the
// last line has the rest and is cut with "…".
func (s *Screen) noticeLines(width int) []string {
	var lines []string
	for _, n := range s.notices() {
		lines = append(lines, layout.Wrap("! "+n, width)...)
	}
	if len(lines) > mostNotices {
		lines = append(lines[:mostNotices-1], strings.Join(lines[mostNotices-1:], " "))
	}
	return lines
}

func (s *Screen) area() layout.Rect { return layout.Rect{W: s.w, H: s.h} }

func (s *Screen) listHeight() int { return max(1, s.frame(s.area()).list.H) }

// pageWidth returns the width of the page beside or below the list.
func (s *Screen) pageWidth() int { return s.frame(s.area()).page.W - 2 }

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	f := s.frame(r)
	sheet.Write(f.head, 1, 0, layout.Span{Style: style.Strong, Text: "ashbook"})
	sheet.WriteRight(f.head.Pad(1), 0, layout.Span{Style: style.Quiet, Text: s.count()})
	if s.lighting {
		s.words.Draw(sheet, f.words.Pad(1), "Light now, cut › ", "such as pork shoulder; no meal needed")
	} else {
		s.words.Draw(sheet, f.words.Pad(1), "› ", "type to narrow by title, cut, pit, wood or notes")
	}
	s.drawList(sheet, f)
	for i, n := range s.noticeLines(f.notices.W - 2) {
		sheet.Write(f.notices.Pad(1), 0, i, layout.Span{Style: style.Mind, Text: n})
	}
	s.drawPreview(sheet, f)
}

// count says how many cooks are listed and how many are marked.
func (s *Screen) count() string {
	if n := len(s.marked); n > 0 {
		return fmt.Sprintf("%d marked · %s", n, s.found())
	}
	return s.found()
}

func (s *Screen) found() string {
	switch n := len(s.shelf.Rows); {
	case s.searching != 0 && s.shelf.Total == 0:
		return ""
	case s.shown == "":
		return measure.Count(s.shelf.Total, "cook")
	default:
		return fmt.Sprintf("%d of %s", n, measure.Count(s.shelf.Total, "cook"))
	}
}

// column is one column of the list.
type column struct {
	title string
	width int
	right bool
	drop  int // columns with the lowest number are left out first
	text  func(backend.Row, measure.System) string
}

// titleColumn is the column that takes the remaining width.
const titleColumn = 2

// titleWidth is the width that the title keeps before other columns are left out.
const titleWidth = 18

var columns = []column{
	{"", 9, false, 9, func(r backend.Row, _ measure.System) string { return state(r.State) }},
	{"date", 11, true, 8, func(r backend.Row, _ measure.System) string { return date(r.Date) }},
	{"cook", 0, false, 9, func(r backend.Row, _ measure.System) string { return r.Title }},
	{"cut", 15, false, 4, func(r backend.Row, _ measure.System) string { return r.Cut }},
	{"weight", 7, true, 5, func(r backend.Row, u measure.System) string { return weight(r.Kg, u) }},
	{"pit", 8, false, 2, func(r backend.Row, _ measure.System) string { return r.Pit }},
	{"took", 7, true, 6, func(r backend.Row, _ measure.System) string { return took(r.Took) }},
	{"liked", 5, true, 3, func(r backend.Row, _ measure.System) string { return score(r) }},
}

// state returns the last word for the state of a cook: "stalling" for "wrapped,
// stalling".
func state(words string) string {
	return strings.TrimSpace(words[strings.LastIndexByte(words, ',')+1:])
}

func date(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2 Jan 2006")
}

func weight(kg float64, u measure.System) string {
	if kg == 0 {
		return ""
	}
	return measure.FormatMass(kg, u)
}

func took(d time.Duration) string {
	if d == 0 {
		return ""
	}
	return measure.FormatDuration(d)
}

func score(r backend.Row) string {
	if r.Eaters == 0 {
		return ""
	}
	return fmt.Sprintf("%.1f", r.Score)
}

// fit returns the widths of the columns, 0 for those left out.
func fit(w int) []int {
	widths := make([]int, len(columns))
	for i, c := range columns {
		widths[i] = c.width
	}
	for {
		left, least := w, -1
		for i, c := range columns {
			if widths[i] == 0 {
				continue
			}
			left -= widths[i] + 2
			if least < 0 || c.drop < columns[least].drop {
				least = i
			}
		}
		if left >= titleWidth || least < 0 {
			widths[titleColumn] = max(0, left)
			return widths
		}
		widths[least] = 0
	}
}

func (s *Screen) drawList(sheet *layout.Sheet, f frame) {
	list := f.list.Pad(1)
	widths := fit(list.W)
	x := 0
	for i, c := range columns {
		drawCell(sheet, f.titles.Pad(1), x, 0, widths[i], c.right, style.Quiet, c.title)
		x += step(widths[i])
	}
	if len(s.shelf.Rows) == 0 {
		text := "no cooks yet; ctrl+l lights one now, ctrl+o plans one from its meal"
		switch {
		case s.err != nil:
			text = ""
		case s.searching != 0 && s.shown == "" && s.shelf.Total == 0:
			text = "reading the journal …"
		case s.shown != "":
			text = "no cook has all of these words; Esc shows all again"
		}
		for y, l := range layout.Wrap(text, list.W) {
			sheet.Write(list, 0, y, layout.Span{Style: style.Quiet, Text: l})
		}
		return
	}
	roll := s.roll
	roll.Follow(len(s.shelf.Rows), list.H)
	for y := range list.H {
		i := roll.Top + y
		if i >= len(s.shelf.Rows) {
			break
		}
		row := s.shelf.Rows[i]
		face := map[backend.Group]style.Style{backend.Burning: style.Strong, backend.Past: style.Plain}[row.Group]
		sign := signs[i == roll.At][slices.Contains(s.marked, row.ID)]
		if i == roll.At {
			face = style.Chosen
			sheet.Fill(layout.Rect{X: f.list.X, Y: list.Y + y, W: f.list.W, H: 1}, face)
		}
		sheet.Write(f.list, 0, y, layout.Span{Style: face, Text: sign})
		x := 0
		for k, c := range columns {
			drawCell(sheet, list, x, y, widths[k], c.right, face, c.text(row, s.shelf.Units))
			x += step(widths[k])
		}
	}
}

// signs are the marks before a row, by whether it is chosen and whether it is marked.
var signs = map[bool]map[bool]string{false: {true: "+"}, true: {false: "›", true: "»"}}

func step(width int) int {
	if width == 0 {
		return 0
	}
	return width + 2
}

func drawCell(sheet *layout.Sheet, r layout.Rect, x, y, w int, right bool, st style.Style, text string) {
	_, r = r.Left(x)
	r, _ = r.Left(w)
	if right {
		_, line := r.Top(y)
		line, _ = line.Top(1)
		sheet.WriteRight(line, 0, layout.Span{Style: st, Text: text})
		return
	}
	sheet.Write(r, 0, y, layout.Span{Style: st, Text: text})
}

func (s *Screen) drawPreview(sheet *layout.Sheet, f frame) {
	if f.page.H == 0 || f.page.W < 2 {
		return
	}
	for y := range f.rule.H {
		sheet.Write(f.rule, 0, y, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", f.rule.W)[:len("─")*min(f.rule.W, rule(f))]})
	}
	row, ok := s.chosen()
	if !ok {
		return
	}
	s.drawLines(sheet, f.page.Pad(1), row.ID)
}

// rule returns how much of the line between list and page to draw: all of a horizontal
// one, nothing of a vertical one, where an empty column is enough.
func rule(f frame) int {
	if f.rule.H > 1 {
		return 0
	}
	return f.rule.W
}

func (s *Screen) drawLines(sheet *layout.Sheet, r layout.Rect, id string) {
	if s.page.id != id {
		return
	}
	if s.page.err != nil {
		for y, l := range layout.Wrap(s.page.err.Error(), r.W) {
			sheet.Write(r, 0, y, layout.Span{Style: style.Mind, Text: l})
		}
		return
	}
	for y := range r.H {
		if y < len(s.page.lines) {
			l := s.page.lines[y]
			sheet.Write(r, 0, y, layout.Span{Style: layout.PageStyle(l.Kind), Text: l.Text})
		}
	}
}
