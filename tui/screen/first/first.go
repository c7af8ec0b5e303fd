// Package first is the screen of the first run: three questions with answers already
// filled in, so that Enter is enough.
package first

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// question is one of the three.
type question int

const (
	units question = iota
	where
	with
	questions
)

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Begin() backend.Beginning
	Make(b backend.Beginning) (backend.Request, tea.Cmd)
}

// Screen asks how the journal is to begin.
type Screen struct {
	intent.Mover
	client Port
	w, h   int
	begin  backend.Beginning
	at     question
	typing bool // the folder is being typed
	line   lineedit.Line
	making backend.Request // pending; 0 for none
	err    error           // why the journal could not be made; cleared by the next key
}

// New returns the screen.
func New(c Port) *Screen { return &Screen{client: c, begin: c.Begin()} }

// Init returns nil: there is nothing to load.
func (s *Screen) Init() tea.Cmd { return nil }

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	if s.typing {
		return keys.FirstRunLine
	}
	return keys.FirstRun
}

// Typed reports whether the folder is being typed.
func (s *Screen) Typed() bool { return s.typing && !s.line.Empty() }

// Unkept returns "": leaving loses nothing.
func (s *Screen) Unkept() string { return "" }

// More returns nil: the list of keys says everything.
func (s *Screen) More() [][2]string { return nil }

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	return nil
}

// Receive ends the program once the journal is made.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	a, ok := msg.(backend.Answer[backend.Beginning])
	if !ok || a.Request != s.making {
		return nil
	}
	s.making = 0
	if s.err = a.Err; s.err != nil {
		return nil
	}
	return tea.Quit
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	if in.Do != intent.Nothing {
		s.err = nil
	}
	if s.typing {
		s.edit(in)
		return nil
	}
	switch in.Do {
	case intent.Back:
		return tea.Quit
	case intent.Up:
		s.move(-1)
	case intent.Down:
		s.move(1)
	case intent.Left, intent.Right:
		switch s.at {
		case units:
			s.begin.Units = measure.Metric + measure.US - s.begin.Units
		case with:
			s.begin.Sample = !s.begin.Sample
		default:
			s.write(s.begin.Where)
		}
	case intent.Enter:
		if s.making == 0 {
			var cmd tea.Cmd
			s.making, cmd = s.client.Make(s.begin)
			return cmd
		}
	case intent.Text, intent.Erase, intent.EraseWord, intent.EraseLine:
		if s.at == where {
			s.write(s.begin.Where)
			if in.Text == "/" || in.Text == "~" { // replaces the folder instead of adding to it
				s.line.Set("")
			}
			s.line.Edit(in)
		}
	}
	return nil
}

func (s *Screen) move(by question) { s.at = (s.at + by + questions) % questions }

func (s *Screen) write(text string) {
	s.typing = true
	s.line.Set(text)
}

// edit edits the folder. It is taken on Enter or when another question is chosen; an
// empty line keeps the old folder.
func (s *Screen) edit(in intent.Intent) {
	switch in.Do {
	case intent.Back:
		s.typing = false
	case intent.Enter, intent.Up, intent.Down:
		s.typing = false
		if text := strings.TrimSpace(s.line.Text()); text != "" {
			s.begin.Where = text
		}
		if in.Do != intent.Enter {
			s.move(map[intent.Do]question{intent.Up: -1, intent.Down: 1}[in.Do])
		}
	default:
		s.line.Edit(in)
	}
}

// answers returns the questions with their current answers.
func (s *Screen) answers() [questions][2]string {
	out := [questions][2]string{units: {"units", "metric: °C, kg, cm"}, where: {"where", s.begin.Where}, with: {"begin", "with an empty journal"}}
	if s.begin.Units == measure.US {
		out[units][1] = "US: °F, lb, in"
	}
	if s.begin.Sample {
		out[with][1] = "by looking around in an invented one"
		out[where][1] = "in a temporary folder: it is deleted when you leave"
	}
	return out
}

// says returns lines that explain the answers.
func (s *Screen) says() []string {
	out := []string{"Numbers typed without a unit are read in these units; every number keeps the unit it was typed in."}
	switch {
	case s.begin.Sample:
		out = []string{"A village hall that cooks for harvest and feast-day suppers, in the middle of a night's cook. Note and taste as you like. These questions are asked again next time."}
	case s.begin.Where != s.begin.Usual:
		out = append(out, "Start ashbook inside this folder, or set ASHBOOK_JOURNAL to it. Elsewhere ashbook does not find it.")
	default:
		out = append(out, "Cooks are plain Markdown files in this folder. git keeps every version.")
	}
	return out
}

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, r layout.Rect) {
	const column = 8
	head, r := r.Top(1)
	rule, r := r.Top(1)
	sheet.Write(head, 1, 0, layout.Span{Style: style.Strong, Text: "ashbook, a cook journal: the first run"})
	sheet.Write(rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: strings.Repeat("─", max(0, rule.W-2))})
	if s.begin.Because != "" {
		lines := layout.Wrap(s.begin.Because, r.W-2)
		for y, l := range lines {
			sheet.Write(r, 1, y, layout.Span{Style: style.Quiet, Text: l})
		}
		_, r = r.Top(len(lines) + 1)
	}
	list, r := r.Top(int(questions))
	for i, a := range s.answers() {
		_, row := list.Top(i)
		row, _ = row.Top(1)
		face, sign, label := style.Plain, " ", style.Quiet
		if i == int(s.at) {
			face, sign, label = style.Chosen, "›", style.Chosen
			if s.typing {
				_, value := row.Left(1)
				sheet.Write(row, 0, 0, layout.Span{Style: face, Text: sign})
				s.line.Draw(sheet, value, a[0]+strings.Repeat(" ", column-len(a[0])), "")
				continue
			}
			sheet.Fill(row, face)
		}
		x := sheet.Write(row, 0, 0, layout.Span{Style: face, Text: sign}, layout.Span{Style: label, Text: a[0] + strings.Repeat(" ", column-len(a[0]))})
		sheet.Write(row, x, 0, layout.Span{Style: face, Text: a[1]})
	}
	y := 1
	for _, p := range s.says() {
		for _, l := range layout.Wrap(p, r.W-2) {
			sheet.Write(r, 1, y, layout.Span{Style: style.Plain, Text: l})
			y++
		}
	}
	if s.err != nil {
		for i, l := range layout.Wrap("not made: "+s.err.Error(), r.W-2) {
			sheet.Write(r, 1, y+1+i, layout.Span{Style: style.Trouble, Text: l})
		}
	}
}
