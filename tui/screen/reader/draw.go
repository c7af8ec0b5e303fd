package reader

import (
	"fmt"

	"ashbook/report/page/text"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// frame is where each part is drawn.
type frame struct{ turns, words, body, foot layout.Rect }

func (s *Screen) frame(r layout.Rect) frame {
	var f frame
	if len(s.opened.Turns) > 1 {
		f.turns, r = r.Top(1)
	}
	if s.typing || !s.words.Empty() {
		f.words, r = r.Top(1)
	}
	foot := 1
	if s.alter.on {
		foot = 3
	}
	f.body, f.foot = r.Bottom(foot)
	return f
}

// height returns how many lines of the page are visible.
func (s *Screen) height() int { return max(1, s.frame(layout.Rect{W: s.w, H: s.h}).body.H) }

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	f := s.frame(r)
	s.drawTurns(sheet, f.turns)
	if f.words.H > 0 {
		s.words.Draw(sheet, f.words.Pad(1), "/ ", "words of the rows to show")
	}
	_, body := f.body.Left(1)
	switch {
	case s.err != nil:
		for y, l := range layout.Wrap(s.err.Error(), body.W-1) {
			sheet.Write(body, 0, y, layout.Span{Style: style.Mind, Text: l})
		}
		return
	case !s.known, s.turning:
		sheet.Write(body, 0, 0, layout.Span{Style: style.Quiet, Text: "working it out; the first time it takes a while …"})
		return
	}
	chosen := s.chosen()
	for y := range body.H {
		i := s.top + y
		if i >= len(s.set.Lines) {
			break
		}
		l := s.set.Lines[i]
		face, sign := layout.PageStyle(l.Kind), style.Strong
		if i >= chosen.First && i < chosen.End && chosen.Row && l.Kind == text.Words {
			face, sign = style.Chosen, style.Chosen
			sheet.Fill(layout.Rect{X: f.body.X, Y: f.body.Y + y, W: f.body.W, H: 1}, face)
		}
		if i == chosen.First && len(s.set.Stops) > 0 {
			sheet.Write(f.body, 0, y, layout.Span{Style: sign, Text: "›"})
		}
		sheet.Write(body, 0, y, layout.Span{Style: face, Text: l.Text})
	}
	s.drawFoot(sheet, f.foot)
}

// drawTurns draws the turns of the page, as many as fit.
func (s *Screen) drawTurns(sheet *layout.Sheet, r layout.Rect) {
	if r.H == 0 {
		return
	}
	at, width := 0, 0
	for i, t := range s.opened.Turns {
		if t == s.opened.Turn {
			at = i
		}
		width += layout.Width(t) + 3
	}
	if width > r.W {
		sheet.Write(r, 1, 0, layout.Span{Style: style.Quiet, Text: "← "}, layout.Span{Style: style.Chosen, Text: " " + s.opened.Turn + " "},
			layout.Span{Style: style.Quiet, Text: fmt.Sprintf(" →  %d of %d", at+1, len(s.opened.Turns))})
		return
	}
	x := 0
	for i, t := range s.opened.Turns {
		face := style.Quiet
		if i == at {
			face = style.Chosen
		}
		x = sheet.Write(r, x, 0, layout.Span{Style: face, Text: " " + t + " "}) + 1
	}
}

// drawFoot draws the position in the page, and says if the chosen row has more to show.
func (s *Screen) drawFoot(sheet *layout.Sheet, r layout.Rect) {
	r = r.Pad(1)
	if s.alter.on {
		s.drawAltering(sheet, r)
		return
	}
	if len(s.set.Stops) == 0 && !s.words.Empty() {
		sheet.Write(r, 0, 0, layout.Span{Style: style.Mind, Text: "nothing here has all of these words; Esc shows everything again"})
		return
	}
	text := "all of it"
	if n := len(s.set.Lines); n > s.height() {
		text = fmt.Sprintf("lines %d – %d of %d", s.top+1, min(n, s.top+s.height()), n)
	}
	switch {
	case s.unsaved != nil:
		sheet.Write(r, 0, 0, layout.Span{Style: style.Trouble, Text: "! not settled: " + s.unsaved.Error()})
	case s.typing:
	case len(s.opened.Others) > 0 && s.set.Stops != nil && s.at == 0:
		stands, other := s.opened.Others[0].Both()
		sheet.Write(r, 0, 0, layout.Span{Style: style.Mind, Text: "F5: " + stands + ", F6: " + other})
	case s.open == s.at && s.chosen().Opens:
		sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: "Enter closes it"})
	case s.chosen().Opens:
		sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: "Enter: what it is based on"})
	}
	sheet.WriteRight(r, 0, layout.Span{Style: style.Quiet, Text: text})
}
