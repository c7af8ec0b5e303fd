// Package reader is the screen of one page: a cook, cooks side by side, why one was early
// or late, what matters, hindsight. The page comes as data, is laid out again for every
// window, and is read row by row. Each row opens to show what it is based on.
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

// none is no stop.
const none = -1

// Port is what the screen asks for; backend.Client answers.
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
	known   bool // opened is an answer
	turning bool // the page of another turn is on its way
	err     error
	request backend.Request // 0: none under way

	settling backend.Request // 0: none under way
	unsaved  error           // why it was not settled

	alter altering // a value being changed

	words  lineedit.Line // that narrow the page
	typing bool          // those words are being typed

	set  text.Setting
	at   int // the stop the keys act on
	open int // the stop that is opened
	top  int // first line shown
}

// New returns a page of a kind: of cooks by their IDs.
func New(c Port, kind intent.Place, of ...string) *Screen {
	return &Screen{client: c, wanted: backend.Wanted{Kind: kind, Of: of}, open: none}
}

// Init asks for the page, now or again.
func (s *Screen) Init() tea.Cmd {
	var cmd tea.Cmd
	s.request, cmd = s.client.Page(s.wanted)
	return cmd
}

// Keys is the keys that count now.
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

// More is empty: the keys say it all.
func (s *Screen) More() [][2]string { return nil }

// Resize takes a new size.
func (s *Screen) Resize(w, h int) tea.Cmd {
	same := w == s.w
	if s.w, s.h = w, h; same {
		s.follow()
		return nil
	}
	s.lay()
	return nil
}

// Receive takes the page.
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

// lay lays the page out, and keeps the chosen row visible.
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

// follow scrolls as little as shows the chosen stop and the headings above it;
// where both are higher than the window, their beginning.
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

// move goes n stops on; of a stop higher than the window first the rest of it.
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

// leaf goes a screenful on or back, to the first stop that begins there.
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

// point chooses the stop at a row of the screen; once chosen, it opens it.
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

// section goes to the first stop of the next section, or of the one before.
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
		s.top = len(s.set.Lines) // so that the section begins at the top
	}
	s.follow()
}

// Handle does what the intent asks for.
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

// settle chooses one of the values that two people set at once, for the first such pair
// on the page.
func (s *Screen) settle(do intent.Do) (cmd tea.Cmd) {
	if len(s.opened.Others) == 0 || s.settling != 0 || s.request != 0 {
		return nil
	}
	s.settling, cmd = s.client.Note(s.wanted.Of[0], backend.Wish{Do: do, Other: s.opened.Others[0]})
	return cmd
}

// afresh sets the page from its beginning.
func (s *Screen) afresh() {
	s.at, s.top, s.open = 0, 0, none
	s.lay()
}

// back shows all rows again, and with nothing hidden leaves.
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
		s.top = end - s.height() // of a high picture: the rows below it
	}
}

func (s *Screen) chosen() text.Stop {
	if s.at >= len(s.set.Stops) {
		return text.Stop{}
	}
	return s.set.Stops[s.at]
}

// turn asks for the next turn of the page, or the one before.
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
