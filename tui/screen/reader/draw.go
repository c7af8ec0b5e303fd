package reader

import (
	"fmt"

	"ashbook/report/page/text"
	"ashbook/tui/box"
	"ashbook/tui/look"
)

// frame is where things stand.
type frame struct{ turns, words, body, foot box.Rect }

func (s *Screen) frame(r box.Rect) frame {
	var f frame
	if len(s.opened.Turns) > 1 {
		f.turns, r = r.Top(1)
	}
	if s.typing || !s.words.Empty() {
		f.words, r = r.Top(1)
	}
	f.body, f.foot = r.Bottom(1)
	return f
}

// height is how many lines of the page are seen.
func (s *Screen) height() int { return max(1, s.frame(box.Rect{W: s.w, H: s.h}).body.H) }

// Draw draws the screen.
func (s *Screen) Draw(sheet *box.Sheet, r box.Rect) {
	f := s.frame(r)
	s.drawTurns(sheet, f.turns)
	if f.words.H > 0 {
		s.words.Draw(sheet, f.words.Pad(1), "/ ", "words of the rows to keep")
	}
	_, body := f.body.Left(1)
	switch {
	case s.err != nil:
		for y, l := range box.Wrap(s.err.Error(), body.W-1) {
			sheet.Write(body, 0, y, box.Span{Style: look.Mind, Text: l})
		}
		return
	case !s.known, s.turning:
		sheet.Write(body, 0, 0, box.Span{Style: look.Quiet, Text: "working it out; the first time it takes a while …"})
		return
	}
	chosen := s.chosen()
	for y := range body.H {
		i := s.top + y
		if i >= len(s.set.Lines) {
			break
		}
		l := s.set.Lines[i]
		style, sign := box.PageStyle(l.Kind), look.Strong
		if i >= chosen.First && i < chosen.End && chosen.Row && l.Kind == text.Words {
			style, sign = look.Chosen, look.Chosen
			sheet.Fill(box.Rect{X: f.body.X, Y: f.body.Y + y, W: f.body.W, H: 1}, style)
		}
		if i == chosen.First && len(s.set.Stops) > 0 {
			sheet.Write(f.body, 0, y, box.Span{Style: sign, Text: "›"})
		}
		sheet.Write(body, 0, y, box.Span{Style: style, Text: l.Text})
	}
	s.drawFoot(sheet, f.foot)
}

// drawTurns writes what the page may be turned to, as far as there is room.
func (s *Screen) drawTurns(sheet *box.Sheet, r box.Rect) {
	if r.H == 0 {
		return
	}
	at, width := 0, 0
	for i, t := range s.opened.Turns {
		if t == s.opened.Turn {
			at = i
		}
		width += box.Width(t) + 3
	}
	if width > r.W {
		sheet.Write(r, 1, 0, box.Span{Style: look.Quiet, Text: "← "}, box.Span{Style: look.Chosen, Text: " " + s.opened.Turn + " "},
			box.Span{Style: look.Quiet, Text: fmt.Sprintf(" →  %d of %d", at+1, len(s.opened.Turns))})
		return
	}
	x := 0
	for i, t := range s.opened.Turns {
		style := look.Quiet
		if i == at {
			style = look.Chosen
		}
		x = sheet.Write(r, x, 0, box.Span{Style: style, Text: " " + t + " "}) + 1
	}
}

// drawFoot says where in the page one is, and that there is more to the row.
func (s *Screen) drawFoot(sheet *box.Sheet, r box.Rect) {
	r = r.Pad(1)
	if len(s.set.Stops) == 0 && !s.words.Empty() {
		sheet.Write(r, 0, 0, box.Span{Style: look.Mind, Text: "nothing here holds all of these words; Esc shows all again"})
		return
	}
	text := "all of it"
	if n := len(s.set.Lines); n > s.height() {
		text = fmt.Sprintf("lines %d – %d of %d", s.top+1, min(n, s.top+s.height()), n)
	}
	switch {
	case s.typing:
	case s.open == s.at && s.chosen().Opens:
		sheet.Write(r, 0, 0, box.Span{Style: look.Quiet, Text: "Enter closes it"})
	case s.chosen().Opens:
		sheet.Write(r, 0, 0, box.Span{Style: look.Quiet, Text: "Enter: what it rests on"})
	}
	sheet.WriteRight(r, 0, box.Span{Style: look.Quiet, Text: text})
}
