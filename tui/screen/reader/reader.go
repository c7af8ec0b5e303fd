// Package reader is the screen of one page: a cook, cooks side by side, why one was
// early or late, what matters, hindsight. The page comes as data, is laid out again for
// each window size, and is read row by row. A row can be opened to show what it is
// based on.
package reader

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/report/page/text"
	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
)

// none means that no row is chosen.
const none = -1

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Page(w backend.Wanted) (backend.Request, tea.Cmd)
	Note(id string, w backend.Wish) (backend.Request, tea.Cmd)
	Choose(w backend.Wanted, c backend.Value, value string) (backend.Request, tea.Cmd)
}

// Screen shows one page.
type Screen struct {
	intent.Mover
	client Port
	wanted backend.Wanted
	w, h   int

	opened  backend.Opened
	known   bool // opened has an answer
	turning bool // another turn (variant) of the page has been requested
	err     error
	request backend.Request // pending; 0 for none

	settling backend.Request // pending; 0 for none
	unsaved  error           // why the value could not be settled

	alter altering // the value being changed

	words  lineedit.Line // words by which the page is narrowed
	typing bool          // those words are being typed

	set  text.Setting
	at   int // index of the row that keys act on; see Setting.Stops
	open int // index of the opened row
	top  int // index of the first line shown
}

// New returns the page of that kind for the cooks with these IDs.
func New(c Port, kind intent.Place, of ...string) *Screen {
	return &Screen{client: c, wanted: backend.Wanted{Kind: kind, Of: of}, open: none}
}

// Init loads the page.
func (s *Screen) Init() tea.Cmd {
	var cmd tea.Cmd
	s.request, cmd = s.client.Page(s.wanted)
	return cmd
}

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	switch {
	case s.typing:
		return keys.Narrowing
	case s.alter.on:
		return keys.Altering
	case len(s.opened.Values) > 0 && len(s.opened.Turns) > 1:
		return keys.TurningAlterable
	case len(s.opened.Values) > 0:
		return keys.Alterable
	case len(s.opened.Turns) > 1:
		return keys.Turning
	case s.wanted.Kind == intent.Cook:
		return keys.Page
	}
	return keys.Reader
}

// Cooks returns the cooks of the page.
func (s *Screen) Cooks() []string { return s.wanted.Of }

// Typed reports whether words or a value are being typed.
func (s *Screen) Typed() bool { return s.typing && !s.words.Empty() || s.alter.on }

// Unkept says that a value is typed and not saved.
func (s *Screen) Unkept() string {
	switch c := s.choice(); {
	case s.alter.saving != 0:
		return "still writing"
	case s.alter.on && s.alter.line.Text() != c.Written:
		return c.Name + " is not saved"
	}
	return ""
}

// More returns nil: the list of keys says everything.
func (s *Screen) More() [][2]string { return nil }

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	same := w == s.w
	if s.w, s.h = w, h; same {
		s.follow()
		return nil
	}
	s.lay()
	return nil
}

// Receive takes answers of the backend.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch a := msg.(type) {
	case backend.Answer[backend.Opened]:
		if a.Request == s.request {
			s.request, s.opened, s.err, s.known, s.turning = 0, a.Value, a.Err, true, false
			s.lay()
		}
	case backend.Answer[backend.Noted]:
		if a.Request == s.settling {
			s.settling, s.unsaved = 0, a.Err
			return s.Init()
		}
	case backend.Answer[backend.Chosen]:
		return s.chose(a)
	}
	return nil
}

// lay lays the page out at the window's width, with the chosen row visible.
func (s *Screen) lay() {
	if !s.known || s.w < 3 {
		s.set = text.Setting{}
		return
	}
	p := s.opened.Page.Holding(strings.Fields(s.words.Text()))
	s.set = text.Set(p, s.w-2, s.open)
	s.at = max(0, min(s.at, len(s.set.Stops)-1))
	s.follow()
}

// follow scrolls just enough to show the chosen row and the headings above it. If they
// are higher than the window, it shows their start.
func (s *Screen) follow() {
	count, height := len(s.set.Lines), s.height()
	if len(s.set.Stops) == 0 {
		s.top = 0
		return
	}
	stop := s.set.Stops[s.at]
	from, end := 0, count
	if s.at > 0 {
		for from = s.set.Stops[s.at-1].End; from < stop.First && s.set.Lines[from].Text == ""; from++ {
		}
	}
	if s.at < len(s.set.Stops)-1 {
		end = stop.End
	}
	s.top = max(0, min(max(s.top, end-height), from))
}

// move moves the choice by n rows. A row higher than the window is first scrolled to
// its end.
func (s *Screen) move(n int) {
	if len(s.set.Stops) == 0 {
		return
	}
	stop, height := s.set.Stops[s.at], s.height()
	step := max(1, height/2)
	switch {
	case n > 0 && stop.End > s.top+height:
		s.top += min(step, stop.End-s.top-height)
	case n < 0 && stop.First < s.top:
		s.top -= min(step, s.top-stop.First)
	default:
		s.at = max(0, min(s.at+n, len(s.set.Stops)-1))
		s.follow()
	}
}

// leaf scrolls by n windows and chooses the first row that begins there.
func (s *Screen) leaf(n int) {
	s.top = max(0, min(s.top+n*s.height(), len(s.set.Lines)-s.height()))
	s.at = max(0, len(s.set.Stops)-1)
	for i, stop := range s.set.Stops {
		if stop.First >= s.top {
			s.at = i
			break
		}
	}
	if n > 0 && s.top >= len(s.set.Lines)-s.height() {
		s.at = max(0, len(s.set.Stops)-1)
	}
}

// point chooses the row at a line of the window; if it is chosen already, it opens it.
func (s *Screen) point(row int) {
	body := s.frame(layout.Rect{W: s.w, H: s.h}).body
	line := s.top + row - body.Y
	for i, stop := range s.set.Stops {
		if row >= body.Y && row < body.Y+body.H && line >= stop.First && line < stop.End {
			if i == s.at {
				s.enter()
			}
			s.at = i
			return
		}
	}
}

// section chooses the first row of the next or the previous section.
func (s *Screen) section(by int) {
	stops := s.set.Stops
	if len(stops) == 0 {
		return
	}
	here := stops[s.at].Section
	if by < 0 && s.at > 0 && stops[s.at-1].Section != here {
		here = stops[s.at-1].Section
	} else if by > 0 {
		for _, stop := range stops[s.at:] {
			if stop.Section > here {
				here = stop.Section
				break
			}
		}
	}
	s.at = max(0, slices.IndexFunc(stops, func(stop text.Stop) bool { return stop.Section == here }))
	if by > 0 {
		s.top = len(s.set.Lines) // puts the section's heading at the top
	}
	s.follow()
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	if s.alter.on {
		return s.altered(in)
	}
	switch in.Do {
	case intent.Alter:
		s.startAltering()
	case intent.Back:
		return s.back()
	case intent.Enter:
		s.enter()
	case intent.Narrow:
		s.typing = true
	case intent.Point:
		s.point(in.Row)
	case intent.Up:
		s.move(-1)
	case intent.Down:
		s.move(1)
	case intent.Stands, intent.Other:
		return s.settle(in.Do)
	case intent.Next:
		s.section(1)
	case intent.Previous:
		s.section(-1)
	case intent.PageUp:
		s.leaf(-1)
	case intent.PageDown:
		s.leaf(1)
	case intent.First:
		s.at, s.top = 0, 0
	case intent.Last:
		s.at = max(0, len(s.set.Stops)-1)
		s.top = max(0, len(s.set.Lines)-s.height())
	default:
		switch {
		case s.typing && s.words.Edit(in):
			s.afresh()
		case !s.typing && in.Do == intent.Left:
			return s.turn(-1)
		case !s.typing && in.Do == intent.Right:
			return s.turn(1)
		}
	}
	return nil
}

// settle decides the first pair of values on the page that two people set for the same
// thing.
func (s *Screen) settle(do intent.Do) (cmd tea.Cmd) {
	if len(s.opened.Others) == 0 || s.settling != 0 || s.request != 0 {
		return nil
	}
	s.settling, cmd = s.client.Note(s.wanted.Of[0], backend.Wish{Do: do, Other: s.opened.Others[0]})
	return cmd
}

// afresh lays the page out and shows its start.
func (s *Screen) afresh() {
	s.at, s.top, s.open = 0, 0, none
	s.lay()
}

// back shows all rows again. If no row is hidden, it leaves the screen.
func (s *Screen) back() tea.Cmd {
	if s.typing || !s.words.Empty() {
		s.typing = false
		s.words.Set("")
		s.afresh()
		return nil
	}
	s.Close()
	return nil
}

// enter opens the chosen row, or closes it.
func (s *Screen) enter() {
	switch {
	case s.typing:
		s.typing = false
	case s.open == s.at:
		s.open = none
	case s.chosen().Opens:
		s.open = s.at
	}
	s.lay()
	if end := s.chosen().End; s.open == s.at && end > s.top+s.height() {
		s.top = end - s.height() // show the rows below a high picture
	}
}

func (s *Screen) chosen() text.Stop {
	if s.at >= len(s.set.Stops) {
		return text.Stop{}
	}
	return s.set.Stops[s.at]
}

// turn requests the next or the previous turn of the page.
func (s *Screen) turn(by int) tea.Cmd {
	all := s.opened.Turns
	if len(all) < 2 {
		return nil
	}
	at := slices.Index(all, s.opened.Turn)
	s.opened.Turn = all[(at+by+len(all))%len(all)]
	s.wanted.Turn, s.turning = s.opened.Turn, true
	s.at, s.top, s.open = 0, 0, none
	return s.Init()
}
