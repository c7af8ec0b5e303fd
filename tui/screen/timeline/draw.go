package timeline

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/component/entry"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Number of rows outside the list: title, rule above, rule below, line.
const fixedRows = 4

// saidRows is the number of rows below the list, for the chosen entry in full and for
// how the typed line is understood.
const saidRows = 3

func (s *Screen) listHeight() int { return max(1, s.h-fixedRows-saidRows) }

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	head, r := r.Top(1)
	rule, r := r.Top(1)
	if s.cook == nil {
		sheet.Missing(head, r, "reading the cook …", s.err)
		return
	}
	count := fmt.Sprintf("%d entries", s.count())
	if s.count() == 1 {
		count = "1 entry"
	}
	if s.cook.Aside != "" {
		count = "left out of reports"
	}
	left, _ := head.Pad(1).Left(head.W - 3 - layout.Width(count))
	sheet.Write(left, 0, 0, layout.Span{Style: style.Strong, Text: "Timeline · " + s.cook.Name()})
	sheet.WriteRight(head.Pad(1), 0, layout.Span{Style: style.Quiet, Text: count})
	sheet.Write(rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", max(0, rule.W-2))})
	list, below := r.Top(s.listHeight())
	s.drawList(sheet, list)
	parting, below := below.Top(1)
	sheet.Write(parting.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", max(0, parting.W-2))})
	said, line := below.Bottom(1)
	if s.mending {
		s.line.Draw(sheet, line.Pad(1), "› ", "a time, readings, acts; words after --")
	} else {
		said = below
	}
	_, upper := r.Bottom(line.H)
	upper.Y, upper.H = r.Y, said.Y+said.H-r.Y
	s.drawSaid(sheet, upper, said.H)
}

func (s *Screen) drawList(sheet *layout.Sheet, r layout.Rect) {
	if s.count() == 0 {
		sheet.Write(r.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: "nothing is noted yet"})
		return
	}
	roll := s.roll
	roll.Follow(s.count(), r.H)
	for y := range r.H {
		i := roll.Top + y
		if i >= s.count() {
			return
		}
		e := s.cook.Entries[i]
		face, sign := style.Plain, " "
		if i == roll.At {
			face, sign = style.Chosen, "›"
			sheet.Fill(layout.Rect{X: r.X, Y: r.Y + y, W: r.W, H: 1}, face)
		}
		sheet.Write(r, 0, y, layout.Span{Style: face, Text: sign + measure.FormatTime(e.Time, measure.DayClock, s.units) + s.cook.Offset(e) + "  " + s.shows[i]})
	}
}

// told returns an entry as text for one line.
func (s *Screen) told(e journal.Entry) string {
	return layout.Tie(measure.FormatTime(e.Time, measure.DayClock, s.units)+"  ") + e.Body()
}

// drawSaid draws messages upwards from the end of r, over the list if needed.
// Explanations stay in the last rows.
func (s *Screen) drawSaid(sheet *layout.Sheet, r layout.Rect, rows int) {
	face, lines := s.said(max(1, r.W-4))
	if face != style.Banner {
		lines = lines[:min(len(lines), rows)]
		_, r = r.Bottom(rows)
	} else {
		lines = lines[:min(len(lines), r.H)]
		_, r = r.Bottom(max(rows, len(lines)))
	}
	entry.Bar(sheet, r, 0, face, lines)
}

func (s *Screen) said(width int) (style.Style, []string) {
	face, heard := entry.Heard(s.heard, width)
	switch {
	case s.answer.head != "":
		lines := []string{s.answer.head}
		for _, l := range s.answer.lines {
			lines = append(lines, layout.Wrap(l, width)...)
		}
		return style.Banner, entry.Doubts(lines, s.answer.flags, width)
	case s.mending && s.unsure && s.line.Text() == s.old.Typed(s.units):
		return style.Strong, append(heard, layout.Wrap("Enter without a change: the reading is right.", width)...)
	case len(heard) > 0:
		return face, heard
	case len(s.queue) > 0:
		return style.Quiet, []string{"writing …"}
	case s.err != nil:
		return style.Trouble, layout.Wrap("! could not be read again: "+s.err.Error(), width)
	}
	if why := s.doubtsOf(s.roll.At); len(why) > 0 {
		return style.Mind, entry.Doubts(nil, why, width)
	}
	if e, ok := s.chosen(); ok && layout.Width(e.Body())+12 > s.w {
		return style.Plain, layout.Wrap(s.told(e), width)
	}
	return style.Plain, nil
}
