// Package tasting is the screen for the eaters' scores: one row for each eater, one
// column for each trait.
package tasting

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
)

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Load(id string) (backend.Request, tea.Cmd)
	Judge(id string) (backend.Request, tea.Cmd)
	Taste(id string, t journal.Taste) (backend.Request, tea.Cmd)
	Write(id string, what journal.After, text string) (backend.Request, tea.Cmd)
}

// Screen is the tasting of one cook.
type Screen struct {
	intent.Mover
	client Port
	id     string
	w, h   int
	title  string
	err    error
	rows   []row
	roll   layout.Roll
	trait  int // index of the column that keys act on

	loading backend.Request // pending; 0 for none
	ready   bool            // the cook was loaded
	keeping backend.Request // pending; 0 for none
	kept    string          // eater whose scores are being saved
	judging backend.Request // pending; 0 for none
	judged  drivers.Judgement

	notes [len(journal.Afters)]note // the texts below the scores
	below bool                      // the choice is on the notes, at note on
	on    journal.After

	mode    mode
	line    lineedit.Line
	drafts  lineedit.Drafts // lines left, by draftName
	problem string          // why the line cannot be taken
	leaving bool            // asks whether to leave without saving
}

// row is one eater.
type row struct {
	journal.Taste
	state state
	err   error // why it could not be saved
}

// state is whether an eater's scores are saved.
type state uint8

const (
	fresh   state = iota // as in the file, or no score given yet
	changed              // not saved
	queued               // waiting to be saved
	kept
)

// mode is what the line is for. Without a mode the keys act on the grid.
type mode uint8

const (
	grid mode = iota
	initials
	round
	words
	afterwards
)

// New returns the tasting of the cook with that ID.
func New(c Port, id string) *Screen { return &Screen{client: c, id: id} }

// Init loads the cook, unless scores wait to be saved.
func (s *Screen) Init() tea.Cmd {
	if s.Unkept() != "" {
		return nil
	}
	var cmd tea.Cmd
	s.loading, cmd = s.client.Load(s.id)
	return cmd
}

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	switch {
	case s.leaving:
		return keys.KeepFirst
	case s.mode == afterwards:
		return keys.AfterLine
	case s.mode == round && s.line.Empty():
		return keys.RoundLine
	case s.mode != grid:
		return keys.GridLine
	case s.below:
		return keys.Afterwards
	}
	return keys.Grid
}

// Cooks returns the screen's cook.
func (s *Screen) Cooks() []string { return []string{s.id} }

// Typed reports whether something is on the line.
func (s *Screen) Typed() bool { return !s.line.Empty() }

// waiting returns the number of eaters whose scores are not saved yet.
func (s *Screen) waiting() int {
	n := 0
	for _, r := range s.rows {
		if r.state == changed || r.state == queued {
			n++
		}
	}
	return n
}

// Unkept names what is not saved; "" for nothing.
func (s *Screen) Unkept() string {
	n, lines := s.waiting(), s.unwritten()
	switch {
	case n == 0 && lines == 0 && s.mode != grid && s.Typed() && !s.asWritten():
		return "the line is not saved"
	case n == 0 && lines == 0:
		return ""
	case lines == 0:
		return counted(n, "one eater is", "eaters are") + " not saved"
	case n == 0:
		return counted(lines, "one line is", "lines are") + " not saved"
	}
	return counted(n, "one eater", "eaters") + " and " + counted(lines, "one line", "lines") + " are not saved"
}

func counted(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// More returns nil: the list of keys says everything.
func (s *Screen) More() [][2]string { return nil }

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	s.settle()
	return nil
}

// settle keeps the chosen row visible.
func (s *Screen) settle() { s.roll.Follow(len(s.rows), s.listHeight()) }

// Receive takes answers of the backend.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case backend.Answer[backend.Loaded]:
		if msg.Request != s.loading {
			return nil
		}
		s.loading, s.err = 0, msg.Err
		if msg.Err == nil {
			s.take(msg.Value.Cook.Cook)
			return s.judge()
		}
	case backend.Answer[drivers.Judgement]:
		if msg.Request == s.judging {
			s.judging = 0
			if msg.Err == nil {
				s.judged = msg.Value
			}
		}
	case backend.Answer[backend.Written]:
		return s.written(msg)
	case backend.Answer[backend.Tasted]:
		if msg.Request == s.keeping {
			return s.taken(msg)
		}
	}
	return nil
}

func (s *Screen) take(c *journal.Cook) {
	s.ready, s.title = true, c.Name()
	s.rows = s.rows[:0]
	for _, t := range c.Tasting {
		s.rows = append(s.rows, row{Taste: t})
	}
	for i, what := range journal.Afters {
		s.notes[i] = note{text: what.Of(c)}
	}
	s.settle()
	if len(s.rows) == 0 && !s.below {
		s.ask(round)
	}
}

// taken marks an eater's scores as saved, unless they have changed since.
func (s *Screen) taken(a backend.Answer[backend.Tasted]) tea.Cmd {
	s.keeping = 0
	if i := s.find(s.kept); i >= 0 {
		r := &s.rows[i]
		switch {
		case a.Err != nil:
			r.state, r.err = changed, a.Err
		case r.Taste == a.Value.Taste:
			r.state, r.err = kept, nil
		}
	}
	return tea.Batch(s.keep(), s.judge())
}

// judge asks for the scores corrected for each rater's severity.
func (s *Screen) judge() tea.Cmd {
	var cmd tea.Cmd
	s.judging, cmd = s.client.Judge(s.id)
	return cmd
}

// keep saves the scores that wait, one eater at a time.
func (s *Screen) keep() tea.Cmd {
	if s.keeping != 0 {
		return nil
	}
	for _, r := range s.rows {
		if r.state == queued {
			var cmd tea.Cmd
			s.kept = r.Eater
			s.keeping, cmd = s.client.Taste(s.id, r.Taste)
			return cmd
		}
	}
	return nil
}

func (s *Screen) keepAll() tea.Cmd {
	for i := range s.rows {
		if s.rows[i].state == changed {
			s.rows[i].state = queued
		}
	}
	return s.keep()
}

func (s *Screen) find(eater string) int {
	return slices.IndexFunc(s.rows, func(r row) bool { return strings.EqualFold(r.Eater, eater) })
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	defer s.settle()
	switch {
	case s.leaving:
		return s.leave(in)
	case s.mode != grid:
		return s.typing(in)
	}
	if s.below && s.moveBelow(in) {
		return nil
	}
	switch in.Do {
	case intent.Up:
		s.roll.Move(-1, len(s.rows))
	case intent.Down:
		if s.roll.At+1 >= len(s.rows) {
			s.goBelow(journal.ToKeep)
			return nil
		}
		s.roll.Move(1, len(s.rows))
	case intent.Left:
		s.step(-1)
	case intent.Right:
		s.step(1)
	case intent.Score, intent.TooMuch, intent.TooLittle, intent.Clear:
		s.score(in)
	case intent.Enter:
		if s.below {
			s.write(s.on)
			return nil
		}
		return s.keepAll()
	case intent.Keep:
		s.write(journal.ToKeep)
	case intent.Change:
		s.write(journal.ToChange)
	case intent.Weigh:
		s.write(journal.CameOff)
	case intent.NewEater:
		s.askAgain(initials)
	case intent.Round:
		s.askAgain(round)
	case intent.Words:
		if len(s.rows) > 0 {
			s.askAgain(words)
		}
	case intent.Back:
		if s.waiting()+s.unwritten() > 0 {
			s.leaving = true
			return nil
		}
		s.Close()
		return nil
	}
	return nil
}

// leave takes the answer to the question whether to leave without saving.
func (s *Screen) leave(in intent.Intent) tea.Cmd {
	s.leaving = false
	switch in.Do {
	case intent.Enter:
		return tea.Batch(s.keepAll(), s.writeAll())
	case intent.Back:
		s.Close()
		return nil
	}
	return nil
}

// step moves the choice by n scores, from the end of a row to the start of the next.
func (s *Screen) step(n int) {
	at := s.roll.At*len(journal.Traits) + s.trait + n
	if at < 0 || at >= len(s.rows)*len(journal.Traits) {
		return
	}
	s.roll.At, s.trait = at/len(journal.Traits), at%len(journal.Traits)
}

func (s *Screen) score(in intent.Intent) {
	if len(s.rows) == 0 {
		return
	}
	r := &s.rows[s.roll.At]
	sc := &r.Scores[s.trait]
	switch in.Do {
	case intent.Score:
		given, err := journal.ParseScore(in.Text)
		if err != nil {
			return
		}
		*sc = given
	case intent.Clear:
		*sc = journal.Score{}
	default:
		lean := 1
		if in.Do == intent.TooLittle {
			lean = -1
		}
		if sc.Liked == 0 {
			return
		}
		if sc.Lean == lean {
			lean = 0
		}
		sc.Lean = lean
	}
	r.state, r.err = changed, nil
}

func (s *Screen) ask(m mode) {
	s.mode, s.problem = m, ""
	s.line.Set("")
	s.below = m == afterwards || s.below && m == grid
}

// askAgain asks with what was typed for the same before and left with Esc.
func (s *Screen) askAgain(m mode) {
	s.ask(m)
	name, began := s.draftName()
	s.line.Set(s.drafts.Resume(name, began))
}

// drop leaves the line, which comes back when the same is asked again.
func (s *Screen) drop() {
	name, began := s.draftName()
	s.drafts.Leave(name, &s.line, began)
}

// draftName returns a name of what is being typed, and the text its line begins with.
func (s *Screen) draftName() (name, began string) {
	switch s.mode {
	case words:
		r := s.rows[s.roll.At]
		return "words of " + r.Eater, r.Words
	case afterwards:
		return "after " + s.on.String(), s.notes[s.on].text
	case initials:
		return "initials", ""
	}
	return "round", ""
}

// typing edits the line, and takes it on Enter.
func (s *Screen) typing(in intent.Intent) tea.Cmd {
	switch in.Do {
	case intent.Back:
		s.drop()
		s.ask(grid)
	case intent.Enter:
		if s.mode == afterwards {
			return s.takeNote()
		}
		if s.line.Empty() {
			s.ask(grid)
			return nil
		}
		return s.takeLine()
	case intent.Down:
		s.drop()
		s.ask(grid)
		s.goBelow(journal.ToKeep)
	default:
		s.line.Edit(in)
		s.problem = ""
	}
	return nil
}

func (s *Screen) takeLine() tea.Cmd {
	text := strings.TrimSpace(s.line.Text())
	switch s.mode {
	case words:
		if r := &s.rows[s.roll.At]; r.Words != text {
			r.Words, r.state = text, changed
		}
		s.ask(grid)
	case initials:
		if err := checkEater(text); err != nil {
			s.problem = err.Error()
			return nil
		}
		s.roll.At = s.eater(text)
		s.trait = 0
		s.ask(grid)
	case round:
		t, _, err := parseRound(text)
		if err != nil {
			s.problem = err.Error()
			return nil
		}
		i := s.eater(t.Eater)
		t.Eater = s.rows[i].Eater
		if t.Words == "" {
			t.Words = s.rows[i].Words
		}
		s.rows[i] = row{Taste: t, state: queued}
		s.roll.At = i
		s.ask(round)
		return s.keep()
	}
	return nil
}

// eater returns the index of an eater's row, which it adds if there is none.
func (s *Screen) eater(name string) int {
	if i := s.find(name); i >= 0 {
		return i
	}
	s.rows = append(s.rows, row{Taste: journal.Taste{Eater: name}})
	return len(s.rows) - 1
}
