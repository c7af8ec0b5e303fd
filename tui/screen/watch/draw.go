package watch

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal/measure"
	"ashbook/report/chart"
	"ashbook/report/chart/cells"
	"ashbook/tui/box"
	"ashbook/tui/look"
	"ashbook/tui/part/entry"
	"ashbook/tui/part/figure"
	"ashbook/tui/port"
)

// plan is how the rows are shared out.
type plan struct {
	figure int // rows of a figure
	second int // rows below each figure
	curve  int // rows of the curve with the line above it; 0: none
}

// Rows outside the five and the curve: title, rule, what is said, entry line.
const fixedRows = 4

// labels is the rows of the two rows of labels.
const labels = 2

// Widths at which the range still fits large, and huge.
const (
	largeFrom = 104
	hugeFrom  = 170
)

// share shares out h rows. The curve gives way first, then second lines, then
// the size of the figures.
func share(w, h int) plan {
	best := plan{figure: figure.Row}
	for _, p := range []plan{
		{figure.Huge, 3, 10}, {figure.Large, 3, 12}, {figure.Large, 3, 8}, {figure.Small, 3, 8}, {figure.Small, 2, 6},
		{figure.Small, 3, 0}, {figure.Small, 2, 0}, {figure.Small, 1, 0}, {figure.Small, 0, 0},
		{figure.Row, 2, 0}, {figure.Row, 1, 0},
	} {
		if p.figure >= figure.Large && w < largeFrom || p.figure == figure.Huge && w < hugeFrom {
			continue
		}
		if left := h - fixedRows - labels - 2*(p.figure+p.second) - p.curve; left >= 0 {
			best = p
			if p.curve > 0 {
				best.curve += left
			}
			break
		}
	}
	return best
}

// Draw draws the screen.
func (s *Screen) Draw(sheet *box.Sheet, r box.Rect) {
	head, r := r.Top(1)
	rule, r := r.Top(1)
	if s.state == nil {
		sheet.Missing(head, r, "reading the cook …", s.err)
		return
	}
	s.drawHead(sheet, head.Pad(1))
	sheet.Write(rule.Pad(1), 0, 0, box.Span{Style: look.Quiet, Text: strings.Repeat("─", max(0, rule.W-2))})
	r, line := r.Bottom(1)
	stand := s.standingLines(max(1, r.W-4), s.h-fixedRows-labels-2*figure.Small+1)
	p := share(s.w, s.h-max(0, len(stand)-1))
	upper, r := r.Top(1 + p.figure + p.second)
	figures, spare := r.Top(1 + p.figure)
	s.drawFive(sheet, upper.Pad(1), box.Rect{X: figures.X, Y: figures.Y, W: r.W, H: figures.H + p.second}.Pad(1), p)
	if p.curve > 0 {
		_, curve := spare.Top(p.second)
		curve, _ = curve.Bottom(max(1, len(stand)))
		s.drawCurve(sheet, curve.Pad(1))
	}
	s.drawSaid(sheet, spare, stand)
	if s.bedding {
		s.bedLine.Draw(sheet, line.Pad(1), "wake me at › ", "04:30, or 3 for three hours")
		return
	}
	s.entry.Draw(sheet, line.Pad(1), s.hint())
}

func (s *Screen) drawHead(sheet *box.Sheet, r box.Rect) {
	clock := s.now.In(s.state.zone).Format("Mon 15:04")
	status := s.state.status.String()
	right := box.Width(clock) + box.Width(status) + 4
	left, _ := r.Left(r.W - right)
	sheet.Write(left, 0, 0, box.Span{Style: look.Strong, Text: s.state.title(left.W)})
	sheet.WriteRight(r, 0, box.Span{Style: look.Plain, Text: clock + "  "}, box.Span{Style: look.Strong, Text: status})
}

func (s *Screen) hint() string {
	if s.planned() {
		return "ctrl+l lights the fire; anything else may be noted too"
	}
	return "pit and core, then what was done"
}

// drawFive draws the five things.
func (s *Screen) drawFive(sheet *box.Sheet, upper, lower box.Rect, p plan) {
	third := upper.W / 3
	a, rest := upper.Left(third)
	b, c := rest.Left(third)
	off := s.offThing()
	d, e := lower.Left(max(upper.W-c.W, min(figure.Width(off.large, p.figure)+2, upper.W*3/4)))
	s.pitThing().draw(sheet, a, p)
	s.coreThing().draw(sheet, b, p)
	s.checkThing().draw(sheet, c, p)
	off.draw(sheet, d, p)
	s.doneThing().draw(sheet, e, p)
}

func (s *Screen) drawCurve(sheet *box.Sheet, r box.Rect) {
	top, r := r.Top(1)
	s.drawLegend(sheet, top, r.H)
	rows := cells.Draw(s.chart(r.H), r.W, r.H)
	if rows == nil {
		sheet.Write(r, 0, 0, box.Span{Style: look.Quiet, Text: "no readings yet"})
		return
	}
	for y, row := range rows {
		for x, c := range row {
			if c.Rune != 0 {
				sheet.Write(r, x, y, box.Span{Style: roleStyle[c.Role], Text: string(c.Rune)})
			}
		}
	}
}

// firesFrom is the height at which the pit is drawn above the cores and the
// expected band behind what has been; in a lower curve they would only clutter.
const firesFrom = 9

// chart is the chart as it is drawn h rows high.
func (s *Screen) chart(h int) chart.Chart {
	ch := s.state.chart
	if h < firesFrom {
		ch.Lines = slices.DeleteFunc(slices.Clone(ch.Lines), func(l chart.Line) bool { return l.Kind == chart.Fire || l.Kind == chart.Setting })
		ch.Band = slices.DeleteFunc(slices.Clone(ch.Band), func(b chart.Interval) bool { return b.Time.Before(ch.Now) })
	}
	return ch
}

var roleStyle = map[cells.Role]look.Style{
	cells.Axis: look.Quiet, cells.Band: look.Quiet, cells.Setting: look.Quiet, cells.Now: look.Quiet,
	cells.Fire: look.Fire, cells.Main: look.Meat, cells.Other: look.Meat, cells.Mark: look.Strong,
}

// drawLegend tells the shapes of the lines, on the line that parts the curve
// from the five.
func (s *Screen) drawLegend(sheet *box.Sheet, r box.Rect, h int) {
	sheet.Write(r, 0, 0, box.Span{Style: look.Quiet, Text: strings.Repeat("─", r.W)})
	unit := measure.Degrees(0, s.state.units).Unit.Symbol
	x := sheet.Write(r, 2, 0, box.Span{Style: look.Quiet, Text: " " + unit + " "})
	add := func(st look.Style, sign, name string) {
		x = sheet.Write(r, x, 0, box.Span{Style: st, Text: " " + sign}, box.Span{Style: look.Quiet, Text: " " + name + " "})
	}
	ch := s.chart(h)
	for i := len(ch.Lines) - 1; i >= 0; i-- {
		l := ch.Lines[i]
		name := strings.TrimSpace("core " + l.Name)
		switch l.Kind {
		case chart.Main:
			add(look.Meat, "▄", name)
		case chart.Other:
			add(look.Meat, "·", name)
		case chart.Fire:
			add(look.Fire, "─", "pit")
		case chart.Setting:
			add(look.Quiet, "╌", "setting")
		}
	}
	if len(ch.Band) > 0 {
		add(look.Quiet, "░", "expected")
	}
}

// drawSaid draws what there is to say, upwards from the entry line, over the
// curve and the second lines if need be: what somebody is to come for and the
// answer to the last wish in a bar that is seen from where one stands at the
// pit, else what the line will be taken for, else what stands.
func (s *Screen) drawSaid(sheet *box.Sheet, r box.Rect, stand []string) {
	style, lines := s.said(max(1, r.W-4), stand)
	pad := 0
	if style == look.Banner && len(lines) > 0 && len(lines)+2 < r.H {
		pad = 1
	}
	lines = lines[:min(len(lines), r.H)]
	_, r = r.Bottom(len(lines) + 2*pad)
	entry.Bar(sheet, r, pad, style, lines)
}

func (s *Screen) said(width int, stand []string) (look.Style, []string) {
	calls := s.callLines(width)
	style, line := s.entry.Said(width)
	switch {
	case s.sure:
		return look.Banner, box.Wrap(box.Tie("LIGHT THE FIRE?  ")+"Enter: it is lit now, "+s.now.In(s.state.zone).Format("15:04")+". Esc: not yet.", width)
	case s.bedding:
		return look.Strong, s.bedLines(width)
	case style == look.Banner:
		return style, append(calls, line...)
	case len(calls) > 0:
		return look.Banner, calls
	case len(line) > 0:
		return style, line
	case s.err != nil:
		return look.Trouble, box.Wrap("! not read again: "+s.err.Error(), width)
	case s.mute != nil:
		return look.Trouble, box.Wrap("! only the bell rings: "+s.mute.Error(), width)
	}
	return s.standStyle(), stand
}

// standingLines are what is said while nothing is typed; room is how many
// there may be.
func (s *Screen) standingLines(width, room int) []string {
	f := s.state.Forecast.Fire
	var lines []string
	switch {
	case s.choices:
		return s.choiceLines(width, room)
	case s.bed != nil:
		lines = s.asleepLines(width)
	}
	if f.Says == "" || !s.state.on {
		return lines
	}
	said := box.Wrap("fire: "+f.Says+".", width)
	if f.Caution != "" && len(lines)+len(said) < room {
		said = append(said, box.Wrap(f.Caution, width)...)
	}
	lines = append(said, lines...)
	return lines[:min(len(lines), max(1, room))]
}

// standStyle is by what stands: a fire's trouble is told by its words too.
func (s *Screen) standStyle() look.Style {
	if s.choices || s.bed != nil || !s.state.Forecast.Fire.Alert {
		return look.Plain
	}
	return tones[s.state.Forecast.Fire.Tone]
}

// choiceLines tells what could be done now, a line each; what each costs goes
// with it where it fits, else below it while there is room.
func (s *Screen) choiceLines(width, room int) []string {
	st := s.state
	if len(st.Forecast.Choices) == 0 {
		return box.Wrap("nothing is on, or not enough is known to say what a wrap would do", width)
	}
	clock := func(t time.Time) string { return t.In(st.zone).Format("15:04") }
	name := 0
	for _, c := range st.Forecast.Choices {
		name = max(name, box.Width(c.Name))
	}
	lines := []string{"if you now …"}
	spare := room - 1 - len(st.Forecast.Choices)
	for i, c := range st.Forecast.Choices {
		text := box.Tie("  "+c.Name+strings.Repeat(" ", name-box.Width(c.Name))+"  ") + clock(c.Early) + " – "
		if c.Open {
			text += "?, may not get there"
		} else {
			text += clock(c.Late) + ", likely " + clock(c.Likely)
		}
		switch {
		case i == 0 || c.Open:
		case c.Saves >= time.Minute:
			text += ", " + span(c.Saves) + " sooner"
		case c.Saves <= -time.Minute:
			text += ", " + span(-c.Saves) + " later"
		default:
			text += ", no sooner"
		}
		note := ""
		switch {
		case c.Note == "":
		case box.Width(text)+3+box.Width(c.Note) <= width:
			text += " · " + c.Note
		case spare > 0:
			spare--
			note = strings.Repeat(" ", name+4) + c.Note
		}
		lines = append(lines, box.Wrap(text, width)...)
		if note != "" {
			lines = append(lines, box.Tie(note))
		}
	}
	return lines[:min(len(lines), max(1, room))]
}

var tones = map[port.Tone]look.Style{port.Good: look.Fine, port.Careful: look.Mind, port.Bad: look.Trouble}
