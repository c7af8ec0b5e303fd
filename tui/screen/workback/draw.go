package workback

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/page/text"
	"ashbook/tui/backend"
	"ashbook/tui/component/bigtext"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// stripWidth is the width of the list of starts beside the fields, fieldsWidth the
// largest width of the fields, and barWidth the width of a start's bar if there is
// room.
const (
	stripWidth  = 26
	fieldsWidth = 48
	barWidth    = 20
)

// frame is where each part is drawn.
type frame struct{ head, rule, fields, figure, strip, part, plan, said layout.Rect }

func (s *Screen) frame() frame {
	var f frame
	r := layout.Rect{W: s.w, H: s.h}
	f.head, r = r.Top(1)
	f.rule, r = r.Top(1)
	r, f.said = r.Bottom(1)
	top, r := r.Top(len(names) + 1 + bigtext.Small)
	f.part, f.plan = r.Top(1)
	if top.W >= 2*stripWidth {
		top, f.strip = top.Left(min(top.W-stripWidth, fieldsWidth))
	}
	f.fields, f.figure = top.Top(len(names))
	return f
}

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	f := s.frame()
	sheet.Write(f.head, 1, 0, layout.Span{Style: style.Strong, Text: "Work back from the meal"})
	rule := strings.Repeat("─", max(0, s.w-2))
	sheet.Write(f.rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: rule})
	if s.kitchen == nil {
		text, face := "reading the journal …", style.Quiet
		if s.err != nil {
			text, face = s.err.Error(), style.Mind
		}
		for y, l := range layout.Wrap(text, f.fields.W-2) {
			sheet.Write(f.fields, 1, y, layout.Span{Style: face, Text: l})
		}
		return
	}
	if s.working != 0 {
		sheet.WriteRight(f.head.Pad(1), 0, layout.Span{Style: style.Quiet, Text: "working it out …"})
	}
	s.drawFields(sheet, f.fields)
	sheet.Write(f.part.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: rule})
	switch {
	case s.refused != nil:
		said := layout.Wrap(s.refused.Error(), f.plan.W-2)
		for y, l := range said {
			sheet.Write(f.plan, 1, y, layout.Span{Style: style.Mind, Text: l})
		}
		_, line := f.plan.Top(len(said) + 1)
		switch line, _ = line.Pad(1).Top(1); {
		case s.typing && s.answers:
			s.line.Draw(sheet, line, "pieces  ", "")
		case s.asks() != "":
			sheet.Write(line, 0, 0, layout.Span{Style: style.Quiet, Text: "type how many and Enter; it is noted with the pit"})
		}
	case s.worked != nil:
		s.drawFigure(sheet, f.figure.Pad(1))
		s.drawStrip(sheet, f.strip)
		s.drawPlan(sheet, f.plan.Pad(1))
	}
	switch {
	case s.head != "":
		sheet.Write(f.said, 0, 0, layout.Span{Style: style.Banner, Text: strings.Repeat(" ", f.said.W)})
		sheet.Write(f.said, 2, 0, layout.Span{Style: style.Banner, Text: s.head + "  " + s.text})
	case s.problem != nil:
		sheet.Write(f.said, 1, 0, layout.Span{Style: style.Mind, Text: "not yet: " + s.problem.Error()})
	case s.saving != 0:
		sheet.Write(f.said, 1, 0, layout.Span{Style: style.Quiet, Text: "writing …"})
	case s.refused == nil && s.worked != nil && len(s.rows(f.plan.W-2)) > s.roll.Top+f.plan.H:
		sheet.WriteRight(f.said.Pad(1), 0, layout.Span{Style: style.Quiet, Text: "more: PgDn"})
	}
}

func (s *Screen) drawFields(sheet *layout.Sheet, r layout.Rect) {
	const column = 8
	for i, name := range names {
		at := i == int(s.field)
		_, row := r.Top(i)
		row, _ = row.Top(1)
		face, sign := style.Plain, " "
		if at {
			face, sign = style.Chosen, "›"
		}
		if at && (!s.typing || s.answers) {
			sheet.Fill(row, face)
		}
		sheet.Write(row, 0, 0, layout.Span{Style: face, Text: sign})
		if at && s.typing && !s.answers {
			_, value := row.Left(1)
			s.line.Draw(sheet, value, name+strings.Repeat(" ", column-len(name)), "")
			continue
		}
		label := style.Quiet
		if at {
			label = face
		}
		x := sheet.Write(row, 1, 0, layout.Span{Style: label, Text: name + strings.Repeat(" ", column-len(name))})
		sheet.Write(row, x, 0, layout.Span{Style: face, Text: s.shown(backend.Field(i))})
	}
}

// drawFigure draws the on-by time in large letters, with the time to light the fire
// beside it.
func (s *Screen) drawFigure(sheet *layout.Sheet, r layout.Rect) {
	w := s.worked
	label, fig := r.Top(1)
	what, face := "ON BY", style.Strong
	if w.TooLate > 0 {
		what, face = "ON AT, LIT NOW", style.Trouble
	}
	sheet.Write(label, 0, 0, layout.Span{Style: style.Quiet, Text: what})
	on := w.OnBy.In(s.meal.Serve.Location())
	x := bigtext.Draw(sheet, fig, 0, bigtext.Small, face, measure.FormatTime(on, measure.Clock, s.kitchen.Units))
	sheet.Write(fig, x+2, 0, layout.Span{Style: style.Plain, Text: on.Format("Mon 2 Jan")})
	if w.TooLate > 0 {
		sheet.Write(fig, x+2, 1, layout.Span{Style: style.Trouble, Text: "on by has passed"})
		sheet.Write(fig, x+2, 2, layout.Span{Style: style.Trouble, Text: fmt.Sprintf("late: %.0f %%", 100*w.TooLate)})
		return
	}
	if !w.Light.IsZero() {
		sheet.Write(fig, x+2, 2, layout.Span{Style: style.Plain, Text: "lit " + measure.FormatTime(w.Light.In(on.Location()), measure.Clock, s.kitchen.Units)})
	}
}

// drawStrip draws the outcome of other starts: how often the meal is late, and how long
// the meat is held.
func (s *Screen) drawStrip(sheet *layout.Sheet, r layout.Rect) {
	sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: " on          late    held"})
	starts := s.worked.Starts
	is := max(0, slices.IndexFunc(starts, func(st backend.Start) bool { return st.Is }))
	from := max(0, min(is-(r.H-1)/2, len(starts)-(r.H-1)))
	for i, st := range starts[from:] {
		face, sign := style.Plain, " "
		if st.Is {
			face, sign = style.Strong, "›"
		}
		late := fmt.Sprintf("%.0f %%", 100*st.Late)
		held := measure.FormatHalf(math.Abs(st.Hold))
		text := fmt.Sprintf("%s%s  %5s %7s", sign, measure.FormatTime(st.On.In(s.meal.Serve.Location()), measure.DayClock, s.kitchen.Units), late, held)
		x := sheet.Write(r, 0, i+1, layout.Span{Style: face, Text: text})
		if r.W >= stripWidth+2+barWidth {
			n := int(math.Round(barWidth * max(0, min(1, st.Late))))
			sheet.Write(r, x+2, i+1, layout.Span{Style: face, Text: strings.Repeat("█", n) + strings.Repeat("·", barWidth-n)})
		}
	}
	if r.W >= stripWidth+2+barWidth {
		sheet.Write(r, stripWidth+2, 0, layout.Span{Style: style.Quiet, Text: "how often late"})
	}
}

// row is one line of the plan.
type row struct {
	face style.Style
	text string
}

// rows returns the summary, then the whole plan.
func (s *Screen) rows(width int) []row {
	if s.worked == nil {
		return nil
	}
	var rows []row
	for _, l := range s.worked.Sentence {
		for _, line := range layout.Wrap(l, width) {
			rows = append(rows, row{style.Strong, line})
		}
	}
	rows = append(rows, row{})
	for _, l := range text.Set(s.worked.Page, max(1, width), -1).Lines {
		rows = append(rows, row{layout.PageStyle(l.Kind), l.Text})
	}
	return rows
}

func (s *Screen) drawPlan(sheet *layout.Sheet, r layout.Rect) {
	rows := s.rows(r.W)
	for y := range r.H {
		if i := s.roll.Top + y; i < len(rows) {
			sheet.Write(r, 0, y, layout.Span{Style: rows[i].face, Text: rows[i].text})
		}
	}
}
