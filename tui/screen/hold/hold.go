// Package hold is the screen of the insulated box: until when the meat stays hot
// enough, in letters large enough for a kitchen; what to do if that is before the meal;
// then how much time is left to chill the leftovers.
package hold

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/tui/backend"
	"ashbook/tui/component/bigtext"
	"ashbook/tui/component/entry"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// reload is how often the state of the box is computed again.
const reload = time.Minute

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	entry.Port
	Hold(id string, now time.Time) (backend.Request, tea.Cmd)
	Alert(text string) tea.Cmd
}

// Screen is the screen of one cook's box.
type Screen struct {
	intent.Mover
	client Port
	id     string
	w, h   int
	now    time.Time
	asked  time.Time // when the box was last asked for

	box     *backend.Hold // nil until the first answer
	err     error
	loading backend.Request // pending; 0 for none
	rung    bool            // it has rung because the meat is near the limit
	asking  bool            // asks whether a doubted reading is right
	roll    layout.Roll
	entry   entry.Entry
}

// New returns the screen of the cook with that ID.
func New(c Port, id string) *Screen {
	return &Screen{client: c, id: id, entry: entry.New(c, id)}
}

// Init asks for the box once the time is known.
func (s *Screen) Init() tea.Cmd {
	if s.now.IsZero() || s.loading != 0 {
		return nil
	}
	return s.load()
}

// load asks for the box. It drops a pending answer.
func (s *Screen) load() tea.Cmd {
	var cmd tea.Cmd
	s.asked = s.now
	s.loading, cmd = s.client.Hold(s.id, s.now)
	return cmd
}

// Cooks returns the ID of the cook.
func (s *Screen) Cooks() []string { return []string{s.id} }

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	switch {
	case s.box == nil:
		return keys.Unread
	case s.asking:
		return keys.Sure
	}
	return keys.Hold
}

// Typed reports whether an entry is begun.
func (s *Screen) Typed() bool { return !s.entry.Empty() }

// Full reports whether more text would change nothing.
func (s *Screen) Full() bool { return s.entry.Full() }

// Unkept names what is typed or being written but not noted yet; "" for nothing.
func (s *Screen) Unkept() string { return s.entry.Unkept() }

// More returns example lines.
func (s *Screen) More() [][2]string {
	rows := [][2]string{{"", ""}, {"", "On the line, for example:"}}
	for _, e := range []string{"boxed", "core 82", "box 71", "unboxed", "pulled, served", "core 21", "chilled"} {
		if u := s.client.Understand(s.id, s.now, e); u.Err == nil {
			rows = append(rows, [2]string{e, u.Text})
		}
	}
	return rows
}

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	return nil
}

// Receive takes answers of the backend and ticks of the clock.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case backend.Time:
		before := s.now
		s.now = msg.Now
		s.entry.Hear(s.now)
		ring := s.due(before)
		if s.loading == 0 && s.now.Sub(s.asked) >= reload {
			return tea.Batch(ring, s.Init())
		}
		return ring
	case backend.Answer[backend.Hold]:
		if msg.Request != s.loading {
			return nil
		}
		s.loading, s.err = 0, msg.Err
		if msg.Err != nil {
			return nil
		}
		s.box = &msg.Value
		s.entry.Hear(s.now)
		return s.near()
	case backend.Answer[backend.Noted]:
		cmd, changed := s.entry.Receive(msg)
		if changed {
			s.rung = false
			return tea.Batch(cmd, s.load())
		}
		return cmd
	}
	return nil
}

// near rings once when the meat has cooled so far that it is time to decide.
func (s *Screen) near() tea.Cmd {
	if !s.box.Near || s.rung {
		return nil
	}
	s.rung = true
	return s.client.Alert("the box: " + s.box.Answer)
}

// due rings for a step whose time came after before.
func (s *Screen) due(before time.Time) tea.Cmd {
	if s.box == nil || before.IsZero() {
		return nil
	}
	for _, d := range s.box.Do {
		if !d.By.IsZero() && d.By.After(before) && !d.By.After(s.now) {
			return s.client.Alert(d.Value)
		}
	}
	return nil
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	if s.box == nil {
		if in.Do == intent.Back {
			s.Close()
			return nil
		}
		return nil
	}
	if s.asking {
		s.asking = false
		if in.Do == intent.Enter {
			return s.entry.Confirm()
		}
		return nil
	}
	switch in.Do {
	case intent.Enter:
		if s.entry.Empty() && s.box.Unsure != "" {
			s.asking = true
			return nil
		}
	case intent.Back:
		if s.entry.Empty() {
			if s.entry.Busy() { // the screen must stay until everything is saved
				return nil
			}
			s.Close()
			return nil
		}
	case intent.PageDown:
		s.scroll(1)
		return nil
	case intent.PageUp:
		s.scroll(-1)
		return nil
	}
	s.entry.Forget(in)
	return s.entry.Handle(in)
}

func (s *Screen) scroll(by int) {
	_, body := s.frame()
	s.roll.Scroll(by*max(1, body.H-1), len(s.body(body.W-2)), body.H)
}

// largeFrom is the window size from which the time is drawn large.
const (
	largeFromW = 100
	largeFromH = 30
)

func (s *Screen) figure() int {
	if s.w >= largeFromW && s.h >= largeFromH {
		return bigtext.Large
	}
	return bigtext.Small
}

// frame divides the window: top for the large time with the meal below it, body for the
// rest.
func (s *Screen) frame() (top, body layout.Rect) {
	r := layout.Rect{Y: 2, W: s.w, H: max(0, s.h-3)}
	return r.Top(1 + s.figure() + min(3, len(s.meal())+1))
}

func (s *Screen) meal() []string { return layout.Wrap(s.box.Meal, s.w-2) }

var tones = map[backend.Tone]style.Style{backend.Even: style.Strong, backend.Good: style.Fine, backend.Careful: style.Mind, backend.Bad: style.Trouble}

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	head, rest := r.Top(1)
	rule, rest := rest.Top(1)
	if s.box == nil {
		sheet.Missing(head, rest, "reading the box …", s.err)
		return
	}
	b := s.box
	clock := measure.FormatTime(s.now, measure.DayClock, b.Units)
	left, _ := head.Pad(1).Left(head.W - layout.Width(clock+b.Stage) - 6)
	sheet.Write(left, 0, 0, layout.Span{Style: style.Strong, Text: b.Title})
	sheet.WriteRight(head.Pad(1), 0, layout.Span{Style: style.Plain, Text: clock + "  "}, layout.Span{Style: style.Strong, Text: b.Stage})
	sheet.Write(rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", max(0, rule.W-2))})
	top, body := s.frame()
	s.drawFigure(sheet, top.Pad(1))
	s.drawBody(sheet, body.Pad(1), top.Pad(1))
	above, line := r.Bottom(1)
	hint := "boxed, core 82, unboxed, served …"
	if b.Unsure != "" {
		hint = entry.DoubtHint
	}
	if s.asking {
		asked := entry.IsItRight(b.Unsure, max(1, above.W-4))
		_, bar := above.Bottom(min(len(asked), above.H))
		entry.Bar(sheet, bar, 0, style.Banner, asked)
	} else {
		s.entry.DrawSaid(sheet, above)
	}
	s.entry.Draw(sheet, line.Pad(1), hint)
}

func (s *Screen) drawFigure(sheet *layout.Sheet, r layout.Rect) {
	b := s.box
	label, r := r.Top(1)
	sheet.Write(label, 0, 0, layout.Span{Style: style.Quiet, Text: b.Label})
	height := s.figure()
	fig, r := r.Top(height)
	if b.Large == "" {
		for i, l := range layout.Wrap(b.Answer, fig.W) {
			sheet.Write(fig, 0, i, layout.Span{Style: style.Strong, Text: l})
		}
	} else {
		x := bigtext.Draw(sheet, fig, 0, height, tones[b.Tone], b.Large)
		for i, text := range b.Beside {
			sheet.Write(fig, x+3, min(height-1, height-len(b.Beside)+i), layout.Span{Style: style.Plain, Text: text})
		}
	}
	for i, l := range s.meal() {
		sheet.Write(r, 0, i, layout.Span{Style: tones[b.MealTone], Text: l})
	}
}

// row is one line of the body.
type row struct {
	face style.Style
	text string
}

// body returns the lines of what to do, the leftovers and the box.
func (s *Screen) body(width int) []row {
	b := s.box
	var do []page.Fact
	for _, d := range b.Do {
		do = append(do, d.Fact)
	}
	var rows []row
	if b.Unsure != "" {
		for _, l := range layout.Wrap("? not counted: "+b.Unsure, width) {
			rows = append(rows, row{style.Mind, l})
		}
	}
	add := func(heading string, facts []page.Fact) {
		if len(facts) == 0 {
			return
		}
		if len(rows) > 0 {
			rows = append(rows, row{})
		}
		rows = append(rows, row{style.Quiet, heading})
		name := 0
		for _, f := range facts {
			name = max(name, min(layout.Width(f.Name), width/3))
		}
		for _, f := range facts {
			face := style.Plain
			if f.Name == "now" {
				face = style.Mind
			}
			for i, l := range layout.Wrap(f.Value, width-name-2) {
				head := f.Name
				if i > 0 {
					head = ""
				}
				rows = append(rows, row{face, head + strings.Repeat(" ", max(0, name-layout.Width(head))) + "  " + l})
			}
		}
	}
	add("WHAT TO DO", do)
	add("LEFTOVERS", b.Leftovers)
	add("THE BOX", b.Box)
	return rows
}

// drawBody draws the body. If it does not fit, it says so on the row of the label.
func (s *Screen) drawBody(sheet *layout.Sheet, r, label layout.Rect) {
	rows := s.body(r.W)
	roll := s.roll
	roll.Scroll(0, len(rows), r.H)
	for y := range r.H {
		if i := roll.Top + y; i < len(rows) {
			sheet.Write(r, 0, y, layout.Span{Style: rows[i].face, Text: rows[i].text})
		}
	}
	if len(rows) > roll.Top+r.H {
		sheet.WriteRight(label, 0, layout.Span{Style: style.Quiet, Text: "more: PgDn"})
	}
}
