// Package ready is the screen of what to prepare and buy before a cook: the task lists
// of its file, ticked with one key.
package ready

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Tasks(id string) (backend.Request, tea.Cmd)
	SetTask(id string, t backend.Task, done bool) (backend.Request, tea.Cmd)
}

// Screen is the lists of one cook.
type Screen struct {
	intent.Mover
	client Port
	id     string
	w, h   int

	tasks   *backend.Tasks // nil until loaded
	err     error
	loading backend.Request // pending; 0 for none
	roll    layout.Roll     // window onto the tasks

	queue   []backend.Task  // tasks to tick or untick, as they were before; the first has been sent
	writing backend.Request // pending; 0 for none
	failed  error           // why the last tick could not be saved; cleared by the next key
}

// New returns the lists of the cook with that ID.
func New(c Port, id string) *Screen { return &Screen{client: c, id: id} }

// Init loads the lists, unless ticks wait to be saved.
func (s *Screen) Init() tea.Cmd {
	if len(s.queue) > 0 {
		return nil
	}
	var cmd tea.Cmd
	s.loading, cmd = s.client.Tasks(s.id)
	return cmd
}

// Cooks returns the ID of the cook.
func (s *Screen) Cooks() []string { return []string{s.id} }

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map { return keys.Ready }

// Typed returns false: nothing is typed on this screen.
func (s *Screen) Typed() bool { return false }

// Unkept says that ticks are not saved yet.
func (s *Screen) Unkept() string {
	if len(s.queue) > 0 {
		return "still writing"
	}
	return ""
}

// More returns nil: the list of keys says everything.
func (s *Screen) More() [][2]string { return nil }

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	s.settle()
	return nil
}

// height is the number of rows for the lists, without title, rule and message.
func (s *Screen) height() int { return max(1, s.h-3) }

// settle keeps the chosen task and the heading above it visible.
func (s *Screen) settle() {
	if s.tasks == nil {
		return
	}
	rows := s.rows(s.w - 2)
	from, to := -1, 0
	for i, x := range rows {
		if x.task == s.roll.At {
			to = i
			if from < 0 {
				from = i
			}
		}
	}
	if from > 0 && rows[from-1].task < 0 {
		from--
	}
	view := layout.Roll{Top: s.roll.Top, At: to}
	view.Follow(len(rows), s.height())
	view.At = max(0, from)
	view.Follow(len(rows), s.height())
	s.roll.Top = view.Top
}

func (s *Screen) count() int {
	if s.tasks == nil {
		return 0
	}
	return len(s.tasks.All)
}

// Receive takes answers of the backend.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	defer s.settle()
	switch msg := msg.(type) {
	case backend.Answer[backend.Tasks]:
		if msg.Request != s.loading {
			return nil
		}
		s.loading, s.err = 0, msg.Err
		if msg.Err == nil {
			s.tasks = &msg.Value
			s.roll.Move(0, s.count())
		}
	case backend.Answer[backend.Task]:
		if msg.Request != s.writing {
			return nil
		}
		s.queue, s.writing = s.queue[1:], 0
		if s.failed = msg.Err; msg.Err != nil {
			s.queue = nil // the later ticks are dropped, and the lists are loaded again
			return s.Init()
		}
		return s.write()
	}
	return nil
}

// write saves the ticks one at a time, in order.
func (s *Screen) write() tea.Cmd {
	if s.writing != 0 || len(s.queue) == 0 {
		return nil
	}
	var cmd tea.Cmd
	s.writing, cmd = s.client.SetTask(s.id, s.queue[0], !s.queue[0].Done)
	return cmd
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	defer s.settle()
	if in.Do != intent.Nothing {
		s.failed = nil
	}
	switch in.Do {
	case intent.Back:
		if len(s.queue) == 0 { // the screen must stay until everything is saved
			s.Close()
			return nil
		}
	case intent.Tick:
		if s.count() > 0 {
			t := &s.tasks.All[s.roll.At]
			s.queue = append(s.queue, *t)
			t.Done = !t.Done
			return s.write()
		}
	case intent.Up:
		s.roll.Move(-1, s.count())
	case intent.Down:
		s.roll.Move(1, s.count())
	case intent.PageUp:
		s.roll.Move(-s.height(), s.count())
	case intent.PageDown:
		s.roll.Move(s.height(), s.count())
	case intent.First:
		s.roll.Move(-s.count(), s.count())
	case intent.Last:
		s.roll.Move(s.count(), s.count())
	}
	return nil
}

// row is one line of the lists.
type row struct {
	face style.Style
	text string
	task int // index of the task; −1 for a heading or a blank line
}

// rows returns the lines of the lists at that width.
func (s *Screen) rows(width int) []row {
	var rows []row
	for i, t := range s.tasks.All {
		if i == 0 || t.Section != s.tasks.All[i-1].Section {
			if i > 0 {
				rows = append(rows, row{task: -1})
			}
			if t.Section != "" {
				rows = append(rows, row{style.Quiet, strings.ToUpper(t.Section), -1})
			}
		}
		face, sign := style.Plain, "☐ "
		if t.Done {
			face, sign = style.Quiet, "☑ "
		}
		for k, l := range layout.Wrap(t.Text, width-4) {
			if k > 0 {
				sign = "  "
			}
			rows = append(rows, row{face, sign + l, i})
		}
	}
	return rows
}

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	head, r := r.Top(1)
	rule, r := r.Top(1)
	title := "Make ready"
	if s.tasks != nil {
		title += " · " + s.tasks.Title
		open := 0
		for _, t := range s.tasks.All {
			if !t.Done {
				open++
			}
		}
		text := fmt.Sprintf("%d of %d to do", open, s.count())
		switch {
		case s.count() == 0:
			text = ""
		case open == 0:
			text = "all done"
		}
		if serve := s.tasks.Serve; !serve.IsZero() && s.w >= 80 {
			text = measure.FormatTime(serve, "serve "+measure.DayDateClock, s.tasks.Units) + "   " + text
		}
		sheet.WriteRight(head.Pad(1), 0, layout.Span{Style: style.Strong, Text: text})
		head, _ = head.Left(head.W - layout.Width(text) - 3)
	}
	sheet.Write(head, 1, 0, layout.Span{Style: style.Strong, Text: title})
	sheet.Write(rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", max(0, rule.W-2))})
	switch {
	case s.err != nil:
		for y, l := range layout.Wrap(s.err.Error(), r.W-2) {
			sheet.Write(r, 1, y, layout.Span{Style: style.Mind, Text: l})
		}
		return
	case s.tasks == nil:
		sheet.Write(r, 1, 0, layout.Span{Style: style.Quiet, Text: "reading the lists …"})
		return
	case s.count() == 0:
		for y, l := range layout.Wrap("This cook has no list. Work back makes one; any \"- [ ] …\" line you write into its file (v) counts too.", r.W-2) {
			sheet.Write(r, 1, y, layout.Span{Style: style.Quiet, Text: l})
		}
		return
	}
	r, said := r.Bottom(1)
	s.drawRows(sheet, r)
	if more := len(s.rows(r.W-2)) - s.roll.Top - r.H; more > 0 {
		sheet.WriteRight(said.Pad(1), 0, layout.Span{Style: style.Quiet, Text: fmt.Sprintf("↓ %d more", more)})
	}
	if s.failed != nil {
		sheet.Write(said, 0, 0, layout.Span{Style: style.Banner, Text: strings.Repeat(" ", said.W)})
		sheet.Write(said, 2, 0, layout.Span{Style: style.Banner, Text: "NOT SAVED  " + s.failed.Error()})
	}
}

func (s *Screen) drawRows(sheet *layout.Sheet, r layout.Rect) {
	rows := s.rows(r.W - 2)
	first := true
	for y := range r.H {
		i := s.roll.Top + y
		if i >= len(rows) {
			return
		}
		x := rows[i]
		face, sign := x.face, " "
		if x.task == s.roll.At {
			face = style.Chosen
			if first {
				sign, first = "›", false
			}
			sheet.Fill(layout.Rect{X: r.X, Y: r.Y + y, W: r.W, H: 1}, face)
		}
		sheet.Write(r, 0, y, layout.Span{Style: face, Text: sign + x.text})
	}
}
