package reader

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// altering is the state while a value of the page is changed.
type altering struct {
	on      bool
	at      int // index of the value in the page's values
	line    lineedit.Line
	drafts  lineedit.Drafts // texts left unsaved, by the value's name
	saving  backend.Request // pending; 0 for none
	refused error           // why it was not saved; cleared by the next key
}

// choice returns the value being changed.
func (s *Screen) choice() (c backend.Value) {
	if all := s.opened.Values; s.alter.at < len(all) {
		c = all[s.alter.at]
	}
	return c
}

func (s *Screen) startAltering() {
	if len(s.opened.Values) == 0 {
		return
	}
	s.alter.on, s.alter.at = true, min(s.alter.at, len(s.opened.Values)-1)
	s.resume()
	s.lay()
}

// resume puts the value on the line, or what was typed for it before and not saved.
func (s *Screen) resume() {
	c := s.choice()
	s.alter.line.Set(s.alter.drafts.Resume(c.Name, c.Written))
}

// leave keeps what is typed for the value.
func (s *Screen) leave() {
	c := s.choice()
	s.alter.drafts.Leave(c.Name, &s.alter.line, c.Written)
}

// altered carries out an intent while a value is typed.
func (s *Screen) altered(in intent.Intent) (cmd tea.Cmd) {
	a := &s.alter
	if a.saving != 0 {
		return nil
	}
	a.refused = nil
	other := func(by int) {
		n := len(s.opened.Values)
		s.leave()
		a.at = (a.at + by + n) % n
		s.resume()
	}
	switch in.Do {
	case intent.Back:
		s.leave()
		a.on = false
		s.lay()
	case intent.Up:
		other(-1)
	case intent.Down:
		other(1)
	case intent.Enter:
		a.saving, cmd = s.client.Choose(s.wanted, s.choice(), a.line.Text())
	default:
		a.line.Edit(in)
	}
	return cmd
}

// chose takes the answer to saving a value, and loads the page again.
func (s *Screen) chose(a backend.Answer[backend.Chosen]) tea.Cmd {
	if a.Request != s.alter.saving {
		return nil
	}
	s.alter.saving, s.alter.refused = 0, a.Err
	if a.Err != nil {
		return nil
	}
	s.alter.on = false
	s.lay()
	return s.Init()
}

// drawAltering draws the value being changed: its meaning, the line, and an error if
// there is one.
func (s *Screen) drawAltering(sheet *layout.Sheet, r layout.Rect) {
	c := s.choice()
	what, r := r.Top(1)
	line, said := r.Top(1)
	sheet.Write(what, 0, 0, layout.Span{Style: style.Quiet, Text: fmt.Sprintf("%d of %d  %s", s.alter.at+1, len(s.opened.Values), c.What)})
	s.alter.line.Draw(sheet, line, c.Name+" › ", "not set")
	switch {
	case s.alter.saving != 0:
		sheet.Write(said, 0, 0, layout.Span{Style: style.Quiet, Text: "saving …"})
	case s.alter.refused != nil:
		sheet.Write(said, 0, 0, layout.Span{Style: style.Trouble, Text: "! not saved: " + s.alter.refused.Error()})
	default:
		sheet.Write(said, 0, 0, layout.Span{Style: style.Quiet, Text: "an empty line deletes it"})
	}
}
