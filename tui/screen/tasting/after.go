package tasting

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
)

// note is one of the texts written below the scores.
type note struct {
	text   string
	sent   string // text sent to be saved
	was    string // text before it was changed on this screen
	state  state
	err    error // why it could not be saved
	flags  []string
	asking backend.Request // pending; 0 for none
}

// unwritten returns the number of notes that are not saved.
func (s *Screen) unwritten() int {
	n := 0
	for _, t := range s.notes {
		if t.state == changed || t.state == queued {
			n++
		}
	}
	return n
}

// asWritten reports whether the line is the same as the saved text.
func (s *Screen) asWritten() bool {
	return s.mode == afterwards && strings.TrimSpace(s.line.Text()) == s.notes[s.on].text
}

// goBelow moves the choice to a note below the scores.
func (s *Screen) goBelow(what journal.After) { s.below, s.on = true, what }

// moveBelow moves the choice among the notes, and back up to the scores. It reports
// whether the intent was such a move. The weights are side by side.
func (s *Screen) moveBelow(in intent.Intent) bool {
	switch in.Do {
	case intent.Up:
		switch {
		case s.on.Weighs():
			s.on = journal.ToChange
		case s.on == journal.ToChange:
			s.on = journal.ToKeep
		case len(s.rows) > 0:
			s.below, s.roll.At = false, len(s.rows)-1
		}
	case intent.Down:
		if !s.on.Weighs() {
			s.on++
		}
	case intent.Left:
		s.on = max(s.on, 1) - 1
	case intent.Right:
		s.on = min(s.on+1, journal.LeftOver)
	default:
		return false
	}
	return true
}

// write puts the current text of a note on the line.
func (s *Screen) write(what journal.After) {
	s.goBelow(what)
	s.askAgain(afterwards)
}

// takeNote takes the typed note. After a weight it asks for the next one.
func (s *Screen) takeNote() tea.Cmd {
	text := strings.TrimSpace(s.line.Text())
	var cmd tea.Cmd
	if n := &s.notes[s.on]; n.text != text || n.state == changed {
		n.text, n.state, n.err = text, queued, nil
		cmd = s.send(s.on)
	}
	if s.on.Weighs() && s.on < journal.LeftOver {
		s.write(s.on + 1)
	} else {
		s.ask(grid)
	}
	return cmd
}

// send saves a note, unless that note is being saved already.
func (s *Screen) send(what journal.After) tea.Cmd {
	n := &s.notes[what]
	if n.asking != 0 {
		return nil
	}
	var cmd tea.Cmd
	n.asking, cmd = s.client.Write(s.id, what, n.text)
	n.sent = n.text
	return cmd
}

// writeAll tries again to save the notes that could not be saved.
func (s *Screen) writeAll() tea.Cmd {
	var cmds []tea.Cmd
	for i := range s.notes {
		if s.notes[i].state == changed {
			s.notes[i].state = queued
			cmds = append(cmds, s.send(journal.After(i)))
		}
	}
	return tea.Batch(cmds...)
}

// written marks a note as saved, or sends its newer text.
func (s *Screen) written(a backend.Answer[backend.Written]) tea.Cmd {
	for i := range s.notes {
		n := &s.notes[i]
		if n.asking != a.Request {
			continue
		}
		n.asking = 0
		switch {
		case n.text != n.sent:
			return s.send(journal.After(i))
		case a.Err != nil:
			n.state, n.err = changed, a.Err
		default:
			n.text, n.was, n.flags, n.state, n.err = a.Value.Is, a.Value.Was, a.Value.Flags, kept, nil
		}
	}
	return nil
}
