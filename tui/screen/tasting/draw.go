package tasting

import (
	"cmp"
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Widths of the columns.
const (
	eaterWidth = 8
	stateWidth = 8
	fullTrait  = 11 // width from which the names of traits are written in full

	airy = 12 // number of rows for eaters and means from which one may stay empty
)

// short are the names of traits for narrow columns.
var short = map[journal.Trait]string{journal.Tenderness: "tender", journal.Moisture: "moist"}

// frame is where each part is drawn.
type frame struct {
	head, rule, titles, list, means, notes, said, line, heard layout.Rect
}

func split(r layout.Rect) frame {
	var f frame
	f.head, r = r.Top(1)
	f.rule, r = r.Top(1)
	f.titles, r = r.Top(1)
	r, f.heard = r.Bottom(1)
	r, f.line = r.Bottom(1)
	r, f.said = r.Bottom(1)
	r, f.notes = r.Bottom(3)
	if r.H >= airy {
		r, _ = r.Bottom(1)
	}
	f.list, f.means = r.Bottom(3)
	return f
}

func (s *Screen) listHeight() int { return max(1, split(layout.Rect{W: s.w, H: s.h}).list.H) }

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	f := split(r)
	if !s.ready {
		sheet.Missing(f.head, f.list, "reading the cook …", s.err)
		return
	}
	sheet.Write(f.head, 1, 0, layout.Span{Style: style.Strong, Text: "Tasting · " + s.title})
	sheet.Write(f.rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", max(0, r.W-2))})
	s.drawTitles(sheet, f.titles.Pad(1))
	for y := range f.list.H {
		if i := s.roll.Top + y; i < len(s.rows) {
			_, rest := f.list.Top(y)
			line, _ := rest.Top(1)
			s.drawRow(sheet, line.Pad(1), i)
		}
	}
	s.drawMeans(sheet, f.means.Pad(1))
	s.drawNotes(sheet, f.notes.Pad(1))
	if s.below && s.mode == grid && !s.leaving {
		s.drawNote(sheet, f)
		return
	}
	s.drawSaid(sheet, f.said.Pad(1))
	s.drawLine(sheet, f)
}

// name returns the name of a trait for a column of that width; width 0 means in a
// sentence.
func name(t journal.Trait, width int) string {
	n, ok := short[t]
	if !ok || width >= fullTrait {
		n = t.String()
	}
	if width > 0 && width < len("tender")+1 {
		n = n[:min(len(n), width-1)]
	}
	return n
}

func traitWidth(w int) int { return max(4, (w-eaterWidth-stateWidth)/len(journal.Traits)) }

func (s *Screen) drawTitles(sheet *layout.Sheet, r layout.Rect) {
	sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: "eater"})
	for i, t := range journal.Traits {
		st := style.Quiet
		if i == s.trait && s.mode == grid && !s.below {
			st = style.Strong
		}
		c := s.cell(r, i)
		c.W++
		sheet.Write(c, 0, 0, layout.Span{Style: st, Text: name(t, traitWidth(r.W))})
	}
}

func (s *Screen) cell(r layout.Rect, i int) layout.Rect {
	w := traitWidth(r.W)
	_, rest := r.Left(eaterWidth + i*w)
	c, _ := rest.Left(w - 1)
	return c
}

func (s *Screen) drawRow(sheet *layout.Sheet, r layout.Rect, i int) {
	e := s.rows[i]
	eater, _ := r.Left(eaterWidth - 1)
	st := style.Plain
	chosen := i == s.roll.At && !s.below
	if chosen {
		st = style.Strong
		sheet.Write(eater, 0, 0, layout.Span{Style: st, Text: "› " + e.Eater})
	} else {
		sheet.Write(eater, 2, 0, layout.Span{Style: st, Text: e.Eater})
	}
	for k := range journal.Traits {
		c := s.cell(r, k)
		text := e.Scores[k].String()
		if text == "" {
			text = "·"
		}
		st := st
		if chosen && k == s.trait && s.mode == grid {
			st = style.Chosen
			text = fmt.Sprintf(" %-3s", text)
			c.X, c.W = c.X-1, c.W+1
		}
		sheet.Write(c, 0, 0, layout.Span{Style: st, Text: text})
	}
	_, right := r.Right(stateWidth)
	sheet.Write(right, 0, 0, standing(e.state, e.err))
}

// standing says whether something is saved.
func standing(st state, err error) layout.Span {
	switch {
	case err != nil:
		return layout.Span{Style: style.Trouble, Text: "UNSAVED"}
	case st == changed:
		return layout.Span{Style: style.Mind, Text: "unsaved"}
	case st == queued:
		return layout.Span{Style: style.Quiet, Text: "saving"}
	case st == kept:
		return layout.Span{Style: style.Fine, Text: "saved"}
	}
	return layout.Span{}
}

// drawNotes draws the texts below the scores: one row for each text, and one for all
// weights.
func (s *Screen) drawNotes(sheet *layout.Sheet, r layout.Rect) {
	var weights note // the state of all weights together
	x := 0
	for i, what := range journal.Afters {
		n := &s.notes[i]
		_, row := r.Top(min(i, int(journal.CameOff)))
		row, _ = row.Top(1)
		mark, st, quiet := "  ", style.Plain, style.Quiet
		if s.below && s.on == what {
			mark, st, quiet = "› ", style.Strong, style.Strong
		}
		label := layout.Span{Style: quiet, Text: mark + what.String()}
		text := layout.Span{Style: st, Text: " " + cmp.Or(n.text, "·")}
		if !what.Weighs() {
			label.Text = fmt.Sprintf("%-*s", eaterWidth, label.Text)
			sheet.Write(markRight(sheet, row, n), 0, 0, label, text)
			continue
		}
		if n.state != fresh && (weights.state == fresh || n.state < weights.state) {
			weights.state = n.state
		}
		weights.err = cmp.Or(weights.err, n.err)
		if what == journal.LeftOver {
			row = markRight(sheet, row, &weights)
		}
		x = sheet.Write(row, x, 0, label, text) + 1
	}
}

// markRight writes at the end of a row whether a note is saved, and returns the rest of
// the row.
func markRight(sheet *layout.Sheet, row layout.Rect, n *note) layout.Rect {
	span := standing(n.state, n.err)
	if span.Text == "" {
		return row
	}
	row, right := row.Right(layout.Width(span.Text) + 1)
	sheet.Write(right, 1, 0, span)
	return row
}

// asks are the questions on the line, one for each text.
var asks = [len(journal.Afters)]string{
	journal.ToKeep: "what to do again next time", journal.ToChange: "what to do differently next time",
	journal.CameOff: "all of it, as it came off", journal.Discarded: "bone and fat thrown out", journal.LeftOver: "meat left over",
}

// drawNote draws the chosen note in full, and the text it replaces.
func (s *Screen) drawNote(sheet *layout.Sheet, f frame) {
	n := &s.notes[s.on]
	var lines []layout.Span
	add := func(st style.Style, text string) {
		for _, l := range layout.Wrap(text, f.said.W-2) {
			lines = append(lines, layout.Span{Style: st, Text: l})
		}
	}
	if n.err != nil {
		add(style.Trouble, "! "+s.on.String()+" not saved: "+n.err.Error())
	}
	for _, flag := range n.flags {
		add(style.Mind, "! "+flag)
	}
	if !s.on.Weighs() {
		add(style.Plain, n.text)
	}
	if n.state == kept && n.was != "" && n.was != n.text {
		add(style.Quiet, "before: "+n.was)
	}
	if len(lines) == 0 {
		add(style.Quiet, asks[s.on])
	}
	for i, at := range []layout.Rect{f.said, f.line, f.heard} {
		if i < len(lines) {
			sheet.Write(at.Pad(1), 0, 0, lines[i])
		}
	}
}

func (s *Screen) drawMeans(sheet *layout.Sheet, r layout.Rect) {
	var c journal.Cook
	for _, e := range s.rows {
		c.Tasting = append(c.Tasting, e.Taste)
	}
	sheet.Write(r, 0, 0, layout.Span{Style: style.Strong, Text: "mean"})
	sheet.Write(r, 0, 1, layout.Span{Style: style.Quiet, Text: "eaters"})
	if len(s.judged.Traits) > 0 {
		sheet.Write(r, 0, 2, layout.Span{Style: style.Quiet, Text: "adj."})
	}
	for _, x := range s.judged.Traits {
		text := fmt.Sprintf("%.1f", x.Adjusted)
		if traitWidth(r.W) >= fullTrait {
			text += fmt.Sprintf(" ± %.1f", x.Doubt)
		}
		sheet.Write(s.cell(r, int(x.Trait)), 0, 2, layout.Span{Style: style.Quiet, Text: text})
	}
	for i, t := range journal.Traits {
		mean, n := c.MeanScore(t)
		if n == 0 {
			continue
		}
		sheet.Write(s.cell(r, i), 0, 0, layout.Span{Style: style.Strong, Text: fmt.Sprintf("%.1f", mean)})
		sheet.Write(s.cell(r, i), 0, 1, layout.Span{Style: style.Quiet, Text: fmt.Sprint(n)})
	}
}

func (s *Screen) drawSaid(sheet *layout.Sheet, r layout.Rect) {
	if s.leaving {
		sheet.Write(r, 0, 0, layout.Span{Style: style.Mind, Text: s.Unkept()})
		return
	}
	if len(s.rows) == 0 || s.below {
		return
	}
	e := s.rows[s.roll.At]
	switch {
	case e.err != nil:
		sheet.Write(r, 0, 0, layout.Span{Style: style.Trouble, Text: "! " + e.Eater + " not saved: " + e.err.Error()})
	case s.mode == grid && e.Words == "" && len(s.judged.Says) > 0:
		sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: s.judged.Says[0]})
	case e.Words != "":
		sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: e.Eater + " said: "}, layout.Span{Style: style.Plain, Text: e.Words})
	}
}

func (s *Screen) drawLine(sheet *layout.Sheet, f frame) {
	line, heard := f.line.Pad(1), f.heard.Pad(1)
	switch s.mode {
	case initials:
		s.line.Draw(sheet, line, "new eater › ", "initials")
	case words:
		s.line.Draw(sheet, line, s.rows[s.roll.At].Eater+" said › ", "in the eater's own words")
	case afterwards:
		s.line.Draw(sheet, line, s.on.String()+" › ", asks[s.on])
	case round:
		s.line.Draw(sheet, line, "round › ", "initials and six digits: RT 876768")
		s.drawRound(sheet, heard)
	default:
		sheet.Write(line, 0, 0, layout.Span{Style: style.Quiet, Text: "liked 1 – 9, 9 most    + too much of it    - too little"})
	}
	if s.problem != "" {
		sheet.Write(heard, 0, 0, layout.Span{Style: style.Trouble, Text: "! " + s.problem})
	}
}

// drawRound says how the round typed so far is understood.
func (s *Screen) drawRound(sheet *layout.Sheet, r layout.Rect) {
	if s.problem != "" || s.line.Empty() {
		return
	}
	t, given, err := parseRound(s.line.Text())
	if t.Eater == "" {
		sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: err.Error()})
		return
	}
	parts := []string{t.Eater + ":"}
	if s.find(t.Eater) >= 0 {
		parts[0] = t.Eater + " again:"
	}
	for i := range given {
		if sc := t.Scores[i].String(); sc != "" {
			parts = append(parts, name(journal.Traits[i], 0)+" "+sc)
		}
	}
	next := ""
	switch {
	case given < len(journal.Traits):
		next = "  then " + name(journal.Traits[given], 0)
	case err != nil:
		next = "  " + err.Error()
	}
	sheet.Write(r, 0, 0, layout.Span{Style: style.Strong, Text: strings.Join(parts, "  ")}, layout.Span{Style: style.Quiet, Text: next})
}
