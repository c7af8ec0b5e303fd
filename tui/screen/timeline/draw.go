package timeline

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/tui/box"
	"ashbook/tui/look"
	"ashbook/tui/part/entry"
)

// Rows outside the list: title, rule above, rule below, the line.
const fixedRows = 4

// saidRows is how many rows below the list are kept for what is said: the
// chosen entry in full, what the line is taken for.
const saidRows = 3

func (s *Screen) listHeight() int { return max(1, s.h-fixedRows-saidRows) }

// Draw draws the screen.
func (s *Screen) Draw(sheet *box.Sheet, r box.Rect) {
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
		count = "put aside: does not count"
	}
	left, _ := head.Pad(1).Left(head.W - 3 - box.Width(count))
	sheet.Write(left, 0, 0, box.Span{Style: look.Strong, Text: "Timeline · " + s.cook.Name()})
	sheet.WriteRight(head.Pad(1), 0, box.Span{Style: look.Quiet, Text: count})
	sheet.Write(rule.Pad(1), 0, 0, box.Span{Style: look.Quiet, Text: strings.Repeat("─", max(0, rule.W-2))})
	list, below := r.Top(s.listHeight())
	s.drawList(sheet, list)
	parting, below := below.Top(1)
	sheet.Write(parting.Pad(1), 0, 0, box.Span{Style: look.Quiet, Text: strings.Repeat("─", max(0, parting.W-2))})
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

func (s *Screen) drawList(sheet *box.Sheet, r box.Rect) {
	if s.count() == 0 {
		sheet.Write(r.Pad(1), 0, 0, box.Span{Style: look.Quiet, Text: "nothing is noted yet"})
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
		style, sign := look.Plain, " "
		if i == roll.At {
			style, sign = look.Chosen, "›"
			sheet.Fill(box.Rect{X: r.X, Y: r.Y + y, W: r.W, H: 1}, style)
		}
		sheet.Write(r, 0, y, box.Span{Style: style, Text: sign + e.Time.Format("Mon 15:04") + "  " + e.Body()})
	}
}

// told is an entry as it is spoken of.
func told(e journal.Entry) string { return box.Tie(e.Time.Format("Mon 15:04")+"  ") + e.Body() }

// drawSaid draws what there is to say, upwards from the end of r, over the list
// if need be; what only explains keeps to the last rows.
func (s *Screen) drawSaid(sheet *box.Sheet, r box.Rect, rows int) {
	style, lines := s.said(max(1, r.W-4))
	if style != look.Banner {
		lines = lines[:min(len(lines), rows)]
		_, r = r.Bottom(rows)
	} else {
		lines = lines[:min(len(lines), r.H)]
		_, r = r.Bottom(max(rows, len(lines)))
	}
	entry.Bar(sheet, r, 0, style, lines)
}

func (s *Screen) said(width int) (look.Style, []string) {
	style, heard := entry.Heard(s.heard, width)
	switch {
	case s.answer.head != "":
		lines := []string{s.answer.head}
		for _, l := range s.answer.lines {
			lines = append(lines, box.Wrap(l, width)...)
		}
		return look.Banner, entry.Doubts(lines, s.answer.flags, width)
	case len(heard) > 0:
		return style, heard
	case len(s.queue) > 0:
		return look.Quiet, []string{"writing …"}
	case s.err != nil:
		return look.Trouble, box.Wrap("! not read again: "+s.err.Error(), width)
	}
	if e, ok := s.chosen(); ok && box.Width(e.Body())+12 > s.w {
		return look.Plain, box.Wrap(told(e), width)
	}
	return look.Plain, nil
}
