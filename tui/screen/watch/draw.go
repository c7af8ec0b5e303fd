package watch

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal/measure"
	"ashbook/report/chart"
	"ashbook/report/chart/cells"
	"ashbook/tui/backend"
	"ashbook/tui/component/alarm"
	"ashbook/tui/component/bigtext"
	"ashbook/tui/component/entry"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// plan is how the rows of the window are divided.
type plan struct {
	figure int // height of the large figures
	second int // text rows below each figure
	curve  int // rows of the curve with the rule above it; 0 for no curve
}

// Rows besides the five figures and the curve: title, rule, message, entry line.
const fixedRows = 4

// tallFrom is the window height from which the usual cause of an event is shown beside
// the curve. In a lower window it is only on the cook's page.
const tallFrom = 40

// labels is the number of rows with the figures' labels.
const labels = 2

// Widths from which the time range fits in large and in huge letters.
const (
	largeFrom = 104
	hugeFrom  = 170
)

// share divides h rows. If they are few, the curve is left out first, then the text
// rows, then the figures get smaller.
func share(w, h int) plan {
	best := plan{figure: bigtext.Row}
	for _, p := range []plan{
		{bigtext.Huge, 3, 10}, {bigtext.Large, 3, 12}, {bigtext.Large, 3, 8}, {bigtext.Small, 3, 8}, {bigtext.Small, 2, 6},
		{bigtext.Small, 3, 0}, {bigtext.Small, 2, 0}, {bigtext.Small, 1, 0}, {bigtext.Small, 0, 0},
		{bigtext.Row, 2, 0}, {bigtext.Row, 1, 0},
	} {
		if p.figure >= bigtext.Large && w < largeFrom || p.figure == bigtext.Huge && w < hugeFrom {
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
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	head, r := r.Top(1)
	rule, r := r.Top(1)
	if s.state == nil {
		sheet.Missing(head, r, "reading the cook …", s.err)
		return
	}
	s.drawHead(sheet, head.Pad(1))
	sheet.Write(rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", max(0, rule.W-2))})
	r, line := r.Bottom(1)
	others := s.companyLines(max(1, r.W-4), s.companyRows())
	r, company := r.Bottom(len(others))
	stand := s.standingLines(max(1, r.W-4), s.h-len(others)-fixedRows-labels-2*bigtext.Small+1)
	p := share(s.w, s.h-len(others)-max(0, len(stand)-1))
	upper, r := r.Top(1 + p.figure + p.second)
	figures, spare := r.Top(1 + p.figure)
	s.drawFive(sheet, upper.Pad(1), layout.Rect{X: figures.X, Y: figures.Y, W: r.W, H: figures.H + p.second}.Pad(1), p)
	if p.curve > 0 {
		_, curve := spare.Top(p.second)
		curve, _ = curve.Bottom(max(1, len(stand)))
		s.drawCurve(sheet, curve.Pad(1))
	}
	s.drawSaid(sheet, spare, stand)
	for y, l := range others {
		sheet.Write(company.Pad(2), 0, y, layout.Span{Style: s.companyStyle(), Text: l})
	}
	if s.bedding {
		s.bedLine.Draw(sheet, line.Pad(1), "wake me at › ", "04:30, or 3 for three hours")
		return
	}
	s.entry.Draw(sheet, line.Pad(1), s.hint())
}

func (s *Screen) drawHead(sheet *layout.Sheet, r layout.Rect) {
	clock := measure.FormatTime(s.now.In(s.state.zone), measure.DayClock, s.state.units)
	status := s.state.status.String()
	right := layout.Width(clock) + layout.Width(status) + 4
	left, _ := r.Left(r.W - right)
	sheet.Write(left, 0, 0, layout.Span{Style: style.Strong, Text: s.state.title(left.W)})
	sheet.WriteRight(r, 0, layout.Span{Style: style.Plain, Text: clock + "  "}, layout.Span{Style: style.Strong, Text: status})
}

func (s *Screen) hint() string {
	if s.planned() {
		return "ctrl+l lights the fire; you can note anything else too"
	}
	if len(s.state.unsure) > 0 {
		return entry.DoubtHint
	}
	return "pit and core, then what was done"
}

// drawFive draws the five figures.
func (s *Screen) drawFive(sheet *layout.Sheet, upper, lower layout.Rect, p plan) {
	third := upper.W / 3
	a, rest := upper.Left(third)
	b, c := rest.Left(third)
	off := s.offThing()
	d, e := lower.Left(max(upper.W-c.W, min(bigtext.Width(off.large, p.figure)+2, upper.W*3/4)))
	s.pitThing().draw(sheet, a, p)
	s.coreThing().draw(sheet, b, p)
	s.checkThing().draw(sheet, c, p)
	off.draw(sheet, d, p)
	s.doneThing().draw(sheet, e, p)
}

func (s *Screen) drawCurve(sheet *layout.Sheet, r layout.Rect) {
	top, r := r.Top(1)
	s.drawLegend(sheet, top, r.H)
	rows := cells.Draw(s.chart(r.H), r.W, r.H)
	if rows == nil {
		sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: "no readings yet"})
		return
	}
	for y, row := range rows {
		for x, c := range row {
			if c.Rune != 0 {
				sheet.Write(r, x, y, layout.Span{Style: roleStyle[c.Role], Text: string(c.Rune)})
			}
		}
	}
}

// firesFrom is the height of the chart, in rows, from which it also shows the pit, and
// the expected range behind past readings. In a lower chart they would hide the cores.
const firesFrom = 9

// chart returns the chart for h rows.
func (s *Screen) chart(h int) chart.Chart {
	ch := s.state.chart
	if h < firesFrom {
		ch.Lines = slices.DeleteFunc(slices.Clone(ch.Lines), func(l chart.Line) bool { return l.Kind == chart.Fire || l.Kind == chart.Setting })
		ch.Band = slices.DeleteFunc(slices.Clone(ch.Band), func(b chart.Interval) bool { return b.X < ch.Rules[0].X })
	}
	return ch
}

var roleStyle = map[cells.Role]style.Style{
	cells.Axis: style.Quiet, cells.Band: style.Quiet, cells.Setting: style.Quiet, cells.Now: style.Quiet,
	cells.Fire: style.Fire, cells.Main: style.Meat, cells.Other: style.Meat, cells.Mark: style.Strong,
}

// drawLegend explains the kinds of line, on the row between the curve and the figures.
func (s *Screen) drawLegend(sheet *layout.Sheet, r layout.Rect, h int) {
	sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", r.W)})
	unit := measure.Degrees(0, s.state.units).Unit.Symbol
	x := sheet.Write(r, 2, 0, layout.Span{Style: style.Quiet, Text: " " + unit + " "})
	add := func(st style.Style, sign, name string) {
		x = sheet.Write(r, x, 0, layout.Span{Style: st, Text: " " + sign}, layout.Span{Style: style.Quiet, Text: " " + name + " "})
	}
	ch := s.chart(h)
	for i := len(ch.Lines) - 1; i >= 0; i-- {
		l := ch.Lines[i]
		name := strings.TrimSpace("core " + l.Name)
		switch l.Kind {
		case chart.Main:
			add(style.Meat, "▄", name)
		case chart.Other:
			add(style.Meat, "·", name)
		case chart.Fire:
			add(style.Fire, "─", "pit")
		case chart.Setting:
			add(style.Quiet, "╌", "setting")
		}
	}
	if len(ch.Band) > 0 {
		add(style.Quiet, "░", "expected")
	}
}

// drawSaid draws messages upwards from the entry line, over the curve and the text rows
// if needed. Calls and the answer to the last wish are in a bar that can be read from
// the pit. Without them it draws how the typed line is understood, or, if nothing is
// typed, the lines stand.
func (s *Screen) drawSaid(sheet *layout.Sheet, r layout.Rect, stand []string) {
	face, lines := s.said(max(1, r.W-4), stand)
	pad := 0
	if face == style.Banner && len(lines) > 0 && len(lines)+2 < r.H {
		pad = 1
	}
	lines = lines[:min(len(lines), r.H)]
	_, r = r.Bottom(len(lines) + 2*pad)
	entry.Bar(sheet, r, pad, face, lines)
}

func (s *Screen) said(width int, stand []string) (style.Style, []string) {
	calls := s.callLines(width)
	face, line := s.entry.Said(width)
	switch {
	case s.asking == isRight:
		return style.Banner, entry.IsItRight(backend.Why(s.state.unsure), width)
	case s.asking == isLit:
		return style.Banner, layout.Wrap(layout.Tie("LIGHT THE FIRE?  ")+"Enter: it is lit now, "+measure.FormatTime(s.now.In(s.state.zone), measure.Clock, s.state.units)+". Esc: not yet.", width)
	case s.bedding:
		return style.Strong, s.bedLines(width)
	case face == style.Banner:
		return face, slices.Concat(calls, line, s.waitingLines(width), s.othersLines(width))
	case len(calls) > 0:
		return style.Banner, slices.Concat(calls, s.besideCalls(width), s.waitingLines(width))
	case len(line) > 0:
		return face, line
	case s.err != nil:
		return style.Trouble, layout.Wrap("! could not be read again: "+s.err.Error(), width)
	case s.mute != nil:
		return style.Trouble, layout.Wrap("! only the bell rings: "+s.mute.Error(), width)
	}
	return s.standStyle(), stand
}

// standingLines returns at most room lines to show while nothing is typed.
func (s *Screen) standingLines(width, room int) []string {
	f := s.state.Forecast.Fire
	var lines []string
	switch {
	case s.choices:
		return s.choiceLines(width, room)
	case s.bed != nil:
		lines = s.asleepLines(width)
	}
	if care := s.state.Forecast.Care; care != "" {
		most := 2
		switch {
		case s.h >= tallFrom:
			most = room
		case s.h >= 24:
			most = 3
		}
		lines = append(layout.Sentences("! "+care, width, most), lines...)
	}
	if f.Says != "" && s.state.on {
		said := layout.Wrap("fire: "+f.Says+".", width)
		if f.Caution != "" && len(lines)+len(said) < room {
			said = append(said, layout.Wrap(f.Caution, width)...)
		}
		lines = append(said, lines...)
	}
	lines = append(lines, s.waitingLines(width)...)
	if e := s.state.event; len(lines) == 0 && e.Name != "" {
		said := s.state.told(e)
		if s.h >= tallFrom {
			said += " " + e.Usual
		}
		lines = layout.Wrap(said, width)
	}
	if fuel := s.state.Forecast.Fuel; fuel != "" && len(lines) == 0 {
		lines = layout.Wrap("fuel "+fuel+".", width)
	}
	lines = append(lines, s.othersLines(width)...)
	if moved := s.state.Forecast.Moved; len(lines) == 0 && moved != "" && s.state.off.IsZero() && share(s.w, s.h).second < movedRow {
		lines = layout.Wrap(moved, width)
	}
	return lines[:min(len(lines), max(1, room))]
}

// movedRow is the row below READY TO TAKE OFF that says what moved the forecast. If it
// is not shown, a line above the entry line says that.
const movedRow = 3

// othersLines returns what two people set for the same thing, one thing at a time.
func (s *Screen) othersLines(width int) []string {
	others := s.state.Cook.Cook.Others
	if len(others) == 0 {
		return nil
	}
	return layout.Wrap("! "+entry.WhichIsRight(others[0]), width)
}

// besideCalls returns the lines below the calls: urgent cautions and the sleep.
func (s *Screen) besideCalls(width int) (lines []string) {
	act := layout.Sentence(s.state.Forecast.Care)
	if act != "" && !slices.ContainsFunc(s.unheard(), func(c alarm.Call) bool { return c.Text == act }) {
		lines = layout.Wrap("! "+act, width)
	}
	if s.bed != nil {
		lines = append(lines, layout.Sentences(s.asleep(), width, 2)...)
	}
	return lines
}

// waiting says that the notes are saved and why they are not in history yet.
func waiting(why string) string { return "noted, but not in history yet: " + why }

func (s *Screen) waitingLines(width int) []string {
	if s.state.Waiting == "" {
		return nil
	}
	return layout.Wrap("! "+waiting(s.state.Waiting), width)
}

// standStyle returns the style of standingLines. The trouble of a fire is also named in
// words.
func (s *Screen) standStyle() style.Style {
	if s.state.Forecast.Care != "" && !s.choices {
		return style.Trouble
	}
	if s.choices || s.bed != nil || !s.state.Forecast.Fire.Alert {
		return style.Plain
	}
	return tones[s.state.Forecast.Fire.Tone]
}

// choiceLines returns a line for each thing that can be done now. What it costs follows
// on the same line, or on the next if there is room.
func (s *Screen) choiceLines(width, room int) []string {
	st := s.state
	if len(st.Forecast.Choices) == 0 {
		return layout.Wrap("no meat is on, or too little is known to say what a change would do", width)
	}
	clock := func(t time.Time) string { return measure.FormatTime(t.In(st.zone), measure.Clock, s.state.units) }
	name := 0
	for _, c := range st.Forecast.Choices {
		name = max(name, layout.Width(c.Name))
	}
	lines := []string{"if you now …"}
	spare := room - 1 - len(st.Forecast.Choices)
	for i, c := range st.Forecast.Choices {
		text := layout.Tie("  "+c.Name+strings.Repeat(" ", name-layout.Width(c.Name))+"  ") + clock(c.Early) + " – "
		if c.Open {
			text += "?, may not get there"
		} else {
			text += clock(c.Late) + ", likely " + clock(c.Likely)
		}
		switch {
		case i == 0 || c.Open:
		case c.Saves >= time.Minute:
			text += ", " + measure.FormatDuration(c.Saves) + " sooner"
		case c.Saves <= -time.Minute:
			text += ", " + measure.FormatDuration(-c.Saves) + " later"
		default:
			text += ", not earlier"
		}
		note := ""
		switch {
		case c.Note == "":
		case layout.Width(text)+3+layout.Width(c.Note) <= width:
			text += " · " + c.Note
		case spare > 0:
			spare--
			note = strings.Repeat(" ", name+4) + c.Note
		}
		lines = append(lines, layout.Wrap(text, width)...)
		if note != "" {
			lines = append(lines, layout.Tie(note))
		}
	}
	return lines[:min(len(lines), max(1, room))]
}

var tones = map[backend.Tone]style.Style{backend.Good: style.Fine, backend.Careful: style.Mind, backend.Bad: style.Trouble}
