// Package reader is the screen of one page: a cook, why it was early or late,
// what matters, hindsight. The page comes as lines and fills the window.
package reader

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/box"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/look"
	"ashbook/tui/port"
)

// Screen shows one page.
type Screen struct {
	client *port.Client
	kind   port.Page
	of     string // the cook's ID, or what is asked about
	w, h   int

	lines   []string
	err     error
	width   int          // of the lines, or of those on their way
	request port.Request // 0: none under way
	roll    box.Roll
}

// New returns the page of a kind: of a cook by its ID; What matters of a
// target, or of time where of is empty.
func New(c *port.Client, kind port.Page, of string) *Screen {
	if kind == port.MattersPage && of == "" {
		of = c.Targets()[0]
	}
	return &Screen{client: c, kind: kind, of: of}
}

// Init asks for the page again.
func (s *Screen) Init() tea.Cmd {
	s.width = 0
	return s.ask()
}

// ask asks for the lines of this width, unless they are there or on their way.
func (s *Screen) ask() tea.Cmd {
	if s.w < 3 || s.width == s.w-2 {
		return nil
	}
	s.width = s.w - 2
	var cmd tea.Cmd
	s.request, cmd = s.client.Page(s.kind, s.of, s.width)
	return cmd
}

// Keys is the keys that count now.
func (s *Screen) Keys() keys.Map {
	switch s.kind {
	case port.CookPage:
		return keys.Page
	case port.MattersPage:
		return keys.Matters
	}
	return keys.Reader
}

// Typed is false: nothing is typed here.
func (s *Screen) Typed() bool { return false }

// Unkept is empty: nothing is changed here.
func (s *Screen) Unkept() string { return "" }

// More is empty: the keys say it all.
func (s *Screen) More() [][2]string { return nil }

// Resize takes a new size.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	s.roll.Scroll(0, len(s.lines), s.height())
	return s.ask()
}

func (s *Screen) height() int { return max(1, s.h-2) }

// Receive takes the page.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	if a, ok := msg.(port.Answer[[]string]); ok && a.Request == s.request {
		s.request, s.lines, s.err = 0, a.Value, a.Err
		s.roll.Scroll(0, len(s.lines), s.height())
	}
	return nil
}

// Handle does what is wanted.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	count, height := len(s.lines), s.height()
	switch in.Do {
	case intent.Back:
		return func() tea.Msg { return intent.Close{} }
	case intent.ToTasting:
		return s.open(intent.Tasting)
	case intent.ToWhy:
		return s.open(intent.Why)
	case intent.Left:
		return s.turn(-1)
	case intent.Right:
		return s.turn(1)
	case intent.Up:
		s.roll.Scroll(-1, count, height)
	case intent.Down:
		s.roll.Scroll(1, count, height)
	case intent.PageUp:
		s.roll.Scroll(-height, count, height)
	case intent.PageDown:
		s.roll.Scroll(height, count, height)
	case intent.First:
		s.roll = box.Roll{}
	case intent.Last:
		s.roll.Scroll(count, count, height)
	}
	return nil
}

func (s *Screen) open(p intent.Place) tea.Cmd {
	return func() tea.Msg { return intent.Open{Place: p, Cook: s.of} }
}

// turn asks what matters for the next target, or the one before.
func (s *Screen) turn(by int) tea.Cmd {
	all := s.client.Targets()
	for i, t := range all {
		if t == s.of {
			s.of = all[(i+by+len(all))%len(all)]
			break
		}
	}
	s.roll, s.lines = box.Roll{}, nil
	return s.Init()
}

// Draw draws the screen.
func (s *Screen) Draw(sheet *box.Sheet, r box.Rect) {
	body, foot := r.Bottom(1)
	body, _ = body.Top(s.height())
	body = body.Pad(1)
	switch {
	case s.err != nil:
		for y, l := range box.Wrap(s.err.Error(), body.W) {
			sheet.Write(body, 0, y, box.Span{Style: look.Mind, Text: l})
		}
		return
	case s.lines == nil:
		sheet.Write(body, 0, 0, box.Span{Style: look.Quiet, Text: "working it out …"})
		return
	}
	for y := range body.H {
		if i := s.roll.Top + y; i < len(s.lines) {
			style := look.Plain
			if i == 0 {
				style = look.Strong
			}
			sheet.Write(body, 0, y, box.Span{Style: style, Text: s.lines[i]})
		}
	}
	text := "all of it"
	if n := len(s.lines); n > body.H {
		text = fmt.Sprintf("lines %d – %d of %d", s.roll.Top+1, min(n, s.roll.Top+body.H), n)
	}
	sheet.WriteRight(foot.Pad(1), 0, box.Span{Style: look.Quiet, Text: text})
}
