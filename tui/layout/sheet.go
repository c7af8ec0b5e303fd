package layout

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/rivo/uniseg"

	"ashbook/report/page"
	"ashbook/tui/style"
)

// Sheet is a frame being drawn.
type Sheet struct {
	w, h  int
	cells []cell
}

type cell struct {
	text  string // one grapheme; "" for a blank
	style style.Style
	half  bool // right half of a wide grapheme
}

// longest is the largest number of bytes drawn for one grapheme. A letter may have
// hundreds of marks, which a terminal would draw over its neighbours.
const longest = 32

// NewSheet returns a blank sheet.
func NewSheet(w, h int) *Sheet {
	w, h = max(0, w), max(0, h)
	return &Sheet{w: w, h: h, cells: make([]cell, w*h)}
}

// All returns the rectangle of the whole sheet.
func (s *Sheet) All() Rect { return Rect{W: s.w, H: s.h} }

// Span is a piece of text in one style.
type Span struct {
	Style style.Style
	Text  string
}

// Width returns the width of a text in cells, without its control characters.
func Width(text string) int {
	if plain(text) {
		return len(text)
	}
	return uniseg.StringWidth(page.Clean(text))
}

func plain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// Write draws spans from column dx of row dy of r. It cuts them at the right edge with
// "…" and returns the column after the last one.
func (s *Sheet) Write(r Rect, dx, dy int, spans ...Span) int {
	if dy < 0 || dy >= r.H || r.W < 1 {
		return dx
	}
	x, y, end := r.X+dx, r.Y+dy, min(r.X+r.W, s.w)
	if y < 0 || y >= s.h {
		return dx
	}
	for _, span := range spans {
		text := span.Text
		if !plain(text) {
			text = page.Clean(text)
		}
		state := -1
		for text != "" {
			var g string
			var w int
			g, text, w, state = uniseg.FirstGraphemeClusterInString(text, state)
			if w == 0 {
				continue
			}
			if x+w > end {
				s.cut(r, end-1, y)
				return end - r.X
			}
			if x >= r.X {
				s.put(x, y, g, w, span.Style)
			}
			x += w
		}
	}
	return x - r.X
}

func (s *Sheet) cut(r Rect, x, y int) {
	if x < r.X || x < 0 {
		return
	}
	s.put(x, y, "…", 1, s.cells[y*s.w+x].style)
}

func (s *Sheet) put(x, y int, g string, w int, st style.Style) {
	if x < 0 {
		return
	}
	if len(g) > longest {
		g = g[:longest]
		for !utf8.ValidString(g) {
			g = g[:len(g)-1]
		}
	}
	if g == tied {
		g = " "
	}
	at := y*s.w + x
	if s.cells[at].half && x > 0 {
		s.cells[at-1].text = ""
	}
	s.cells[at] = cell{text: g, style: st}
	for i := 1; i < w; i++ {
		s.cells[at+i] = cell{style: st, half: true}
	}
	if next := at + w; x+w < s.w && s.cells[next].half {
		s.cells[next] = cell{}
	}
}

// WriteRight draws spans that end at the right edge of r.
func (s *Sheet) WriteRight(r Rect, dy int, spans ...Span) {
	w := 0
	for _, sp := range spans {
		w += Width(sp.Text)
	}
	s.Write(r, max(0, r.W-w), dy, spans...)
}

// Missing draws that a cook is still being read, or why it cannot be read.
func (s *Sheet) Missing(head, r Rect, reading string, err error) {
	if err != nil {
		reading = "this cook cannot be read"
		for i, l := range Wrap(err.Error(), r.W-2) {
			s.Write(r, 1, i, Span{Style: style.Mind, Text: l})
		}
	}
	s.Write(head, 1, 0, Span{Style: style.Strong, Text: reading})
}

// Fill sets the style of all cells of a rectangle.
func (s *Sheet) Fill(r Rect, st style.Style) {
	for y := max(0, r.Y); y < min(s.h, r.Y+r.H); y++ {
		for x := max(0, r.X); x < min(s.w, r.X+r.W); x++ {
			s.cells[y*s.w+x].style = st
		}
	}
}

// Render returns the frame as text. A line is as long as the sheet is wide, or ends at
// its last visible cell.
func (s *Sheet) Render(l *style.Look) string {
	var out strings.Builder
	out.Grow(2 * len(s.cells))
	for y := range s.h {
		if y > 0 {
			out.WriteByte('\n')
		}
		row := s.cells[y*s.w : (y+1)*s.w]
		if !l.Night {
			row = trim(row)
		}
		for x := 0; x < len(row); {
			st := row[x].style
			on, off := l.Codes(st)
			out.WriteString(on)
			for ; x < len(row) && (row[x].style == st || row[x].blank() && !filled(st)); x++ {
				switch {
				case row[x].half:
				case row[x].text == "":
					out.WriteByte(' ')
				default:
					out.WriteString(row[x].text)
				}
			}
			out.WriteString(off)
		}
	}
	return out.String()
}

// trim cuts off blank cells at the end.
func trim(row []cell) []cell {
	n := len(row)
	for n > 0 && row[n-1].blank() {
		n--
	}
	return row[:n]
}

// blank reports whether a cell shows nothing.
func (c cell) blank() bool { return (c.text == "" || c.text == " ") && !c.half && !filled(c.style) }

// filled reports whether a style is visible on a blank cell.
func filled(st style.Style) bool { return st == style.Chosen || st == style.Banner }

// Tie joins words that Wrap must not separate, such as a number and its unit.
func Tie(text string) string { return strings.ReplaceAll(text, " ", tied) }

// tied is the no-break space, which is drawn as a space.
const tied = "\u00a0"

// Wrap breaks a text into lines of at most width cells, at spaces if possible.
func Wrap(text string, width int) []string {
	if width < 1 {
		return nil
	}
	var lines []string
	line, n := "", 0
	for _, word := range words(page.Clean(text), width) {
		w := uniseg.StringWidth(word)
		if n > 0 && n+1+w > width {
			lines, line, n = append(lines, line), "", 0
		}
		for w > width {
			head, rest := split(word, width)
			lines, word = append(lines, head), rest
			w = uniseg.StringWidth(word)
		}
		if n > 0 {
			line, n = line+" ", n+1
		}
		line, n = line+word, n+w
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Sentence returns the first sentence of a text.
func Sentence(text string) string { return text[:sentenceEnd(text, 0)] }

// Sentences wraps the first sentence of a text, and as many more whole sentences as fit
// into most lines.
func Sentences(text string, width, most int) []string {
	end := sentenceEnd(text, 0)
	lines := Wrap(text[:end], width)
	for end < len(text) {
		end = sentenceEnd(text, end)
		more := Wrap(text[:end], width)
		if len(more) > most {
			break
		}
		lines = more
	}
	return lines
}

// sentenceEnd returns the offset of the end of the sentence at from: after a full stop
// that a space and a capital letter follow.
func sentenceEnd(text string, from int) int {
	for i := from; i+2 < len(text); i++ {
		if text[i] != '.' || text[i+1] != ' ' {
			continue
		}
		if next, _ := utf8.DecodeRuneInString(text[i+2:]); unicode.IsUpper(next) || unicode.IsDigit(next) {
			return i + 1
		}
	}
	return len(text)
}

// words splits a text at spaces. Tied words are split too if they are wider than a
// line.
func words(text string, width int) []string {
	var out []string
	for _, word := range strings.Split(text, " ") {
		switch {
		case word == "":
		case uniseg.StringWidth(word) > width:
			out = append(out, strings.FieldsFunc(word, func(r rune) bool { return string(r) == tied })...)
		default:
			out = append(out, word)
		}
	}
	return out
}

// split cuts a word after as many cells as fit, but at least one grapheme.
func split(word string, width int) (head, rest string) {
	state, n := -1, 0
	rest = word
	for rest != "" {
		g, after, w, st := uniseg.FirstGraphemeClusterInString(rest, state)
		if n > 0 && n+w > width {
			break
		}
		head, rest, n, state = head+g, after, n+w, st
	}
	return head, rest
}
