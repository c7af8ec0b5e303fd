// Package shelf is the screen of all cooks: running ones first, then planned ones, then
// past ones. Typing narrows the list; Enter opens a cook.
package shelf

import (
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/report/page"
	"ashbook/report/page/text"
	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
)

// refresh is how often the shelf is loaded again while it is shown.
const refresh = time.Minute

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Search(words string) (backend.Request, tea.Cmd)
	Page(w backend.Wanted) (backend.Request, tea.Cmd)
	LightNew(cut string) (backend.Request, tea.Cmd)
}

// Screen is the shelf.
type Screen struct {
	intent.Mover
	client Port
	w, h   int
	words  lineedit.Line
	shelf  backend.Shelf
	err    error
	roll   layout.Roll
	read   time.Time // when the shelf was last asked for
	now    time.Time

	searching backend.Request // pending; 0 for none
	searched  string          // the words of the pending search
	shown     string          // the words of the search whose rows are shown

	page   cookPage
	marked []string // IDs in the order they were marked

	lighting bool            // the line has the cut of a new cook
	begun    backend.Request // request for the new cook; 0 for none
	unlit    error           // why the new cook could not be made; cleared by the next key
}

// cookPage is the page of the chosen cook, or the request for it.
type cookPage struct {
	id      string // ID of the page's cook
	page    page.Page
	lines   []text.Line // the page laid out
	width   int
	err     error
	request backend.Request // pending; 0 for none
	asked   string          // ID of the requested cook
}

// lay lays the page out at width, unless it is laid out so already.
func (p *cookPage) lay(width int) {
	if p.lines == nil || p.width != width {
		p.width, p.lines = width, text.Set(p.page, width, -1).Lines
	}
}

// New returns the shelf.
func New(c Port) *Screen { return &Screen{client: c} }

// Init loads the shelf.
func (s *Screen) Init() tea.Cmd {
	s.page.id = ""
	return s.search(true)
}

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	switch {
	case s.lighting:
		return keys.Lighting
	case len(s.marked) > 0:
		return keys.Marked
	}
	return keys.Shelf
}

// Typed reports whether words are typed that narrow the list.
func (s *Screen) Typed() bool { return !s.words.Empty() }

// Cooks returns the chosen cook, then the marked ones.
func (s *Screen) Cooks() []string {
	row, ok := s.chosen()
	if !ok {
		return s.marked
	}
	return append([]string{row.ID}, s.marked...)
}

// mark marks the chosen cook, or removes its mark.
func (s *Screen) mark() {
	row, ok := s.chosen()
	if !ok {
		return
	}
	if i := slices.Index(s.marked, row.ID); i >= 0 {
		s.marked = slices.Delete(s.marked, i, i+1)
		return
	}
	s.marked = append(s.marked, row.ID)
}

// Unkept names a cook that is being made; "" for none.
func (s *Screen) Unkept() string {
	if s.begun != 0 {
		return "still lighting"
	}
	return ""
}

// More returns nil: the list of keys says everything.
func (s *Screen) More() [][2]string { return nil }

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	return s.preview()
}

// search asks for the cooks with the typed words, one search at a time. If again is
// set, it asks even if the words have not changed.
func (s *Screen) search(again bool) tea.Cmd {
	if s.searching != 0 || !again && s.words.Text() == s.shown {
		return nil
	}
	var cmd tea.Cmd
	s.searched, s.read = s.words.Text(), s.now
	s.searching, cmd = s.client.Search(s.searched)
	return cmd
}

// preview requests the page of the chosen cook, one at a time.
func (s *Screen) preview() tea.Cmd {
	s.roll.Follow(len(s.shelf.Rows), s.listHeight())
	row, ok := s.chosen()
	width := s.pageWidth()
	switch {
	case !ok || width < 1:
		return nil
	case s.page.id == row.ID:
		s.page.lay(width)
		return nil
	case s.page.request != 0:
		return nil
	}
	var cmd tea.Cmd
	s.page.asked = row.ID
	s.page.request, cmd = s.client.Page(backend.Wanted{Kind: intent.Cook, Of: []string{row.ID}})
	return cmd
}

func (s *Screen) chosen() (backend.Row, bool) {
	if s.roll.At < 0 || s.roll.At >= len(s.shelf.Rows) {
		return backend.Row{}, false
	}
	return s.shelf.Rows[s.roll.At], true
}

// Receive takes answers of the backend and ticks of the clock.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case backend.Time:
		s.now = msg.Now
		if s.read.IsZero() {
			s.read = s.now
		}
		if s.now.Sub(s.read) >= refresh {
			return s.search(true)
		}
	case backend.Answer[backend.Shelf]:
		if msg.Request != s.searching {
			return nil
		}
		s.searching = 0
		s.take(msg)
		return tea.Batch(s.search(false), s.preview())
	case backend.Answer[backend.Begun]:
		if msg.Request != s.begun {
			return nil
		}
		s.begun, s.unlit = 0, msg.Err
		if msg.Err == nil {
			s.lighting = false
			s.words.Set("")
			s.Open(intent.Open{Place: intent.Watch, Cook: msg.Value.ID})
		}
	case backend.Answer[backend.Opened]:
		if msg.Request != s.page.request {
			return nil
		}
		s.page.request = 0
		s.page.id, s.page.page, s.page.lines, s.page.err = s.page.asked, msg.Value.Page, nil, msg.Err
		return s.preview()
	}
	return nil
}

// take shows the cooks found. If the words are the same, the chosen cook stays chosen.
func (s *Screen) take(a backend.Answer[backend.Shelf]) {
	if s.err = a.Err; s.err != nil {
		s.shown = s.searched
		return
	}
	was, had := s.chosen()
	s.shelf = a.Value
	if s.searched != s.shown {
		s.roll = layout.Roll{}
	} else if had {
		for i, r := range s.shelf.Rows {
			if r.ID == was.ID {
				s.roll.At = i
				break
			}
		}
	}
	s.shown = s.searched
	s.roll.Move(0, len(s.shelf.Rows))
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	if in.Do != intent.Nothing {
		s.unlit = nil
	}
	if s.lighting {
		return s.typeCut(in)
	}
	count := len(s.shelf.Rows)
	switch in.Do {
	case intent.Begin:
		s.lighting = true
	case intent.MarkCook:
		s.mark()
	case intent.Point:
		list := s.frame(s.area()).list
		i := s.roll.Top + in.Row - list.Y
		switch {
		case in.Row < list.Y || in.Row >= list.Y+list.H || i >= count:
		case i == s.roll.At:
			return s.Handle(intent.Intent{Do: intent.Enter})
		default:
			s.roll.At = i
		}
	case intent.Up:
		s.roll.Move(-1, count)
	case intent.Down:
		s.roll.Move(1, count)
	case intent.PageUp:
		s.roll.Move(-s.listHeight(), count)
	case intent.PageDown:
		s.roll.Move(s.listHeight(), count)
	case intent.First:
		s.roll.Move(-count, count)
	case intent.Last:
		s.roll.Move(count, count)
	case intent.Back:
		if s.words.Empty() {
			s.marked = nil
		}
		s.words.Set("")
		return s.search(false)
	case intent.Enter:
		switch row, ok := s.chosen(); {
		case ok && row.Group == backend.Burning && (row.State == journal.Holding.String() || row.State == journal.TakenOff.String()):
			return s.open(intent.Hold)
		case ok && row.Group != backend.Past:
			return s.open(intent.Watch)
		}
		return s.open(intent.Cook)
	default:
		s.words.Edit(in)
		return s.search(false)
	}
	return s.preview()
}

// typeCut edits the cut of a new cook, and lights the cook on Enter. It begins with the
// words typed to narrow the list, and Esc narrows the list by them again.
func (s *Screen) typeCut(in intent.Intent) tea.Cmd {
	switch in.Do {
	case intent.Back:
		s.lighting = false
		return s.search(false)
	case intent.Enter:
		if cut := strings.TrimSpace(s.words.Text()); cut != "" && s.begun == 0 {
			var cmd tea.Cmd
			s.begun, cmd = s.client.LightNew(cut)
			return cmd
		}
	default:
		s.words.Edit(in)
	}
	return nil
}

func (s *Screen) open(p intent.Place) tea.Cmd {
	row, ok := s.chosen()
	if !ok {
		return nil
	}
	s.Open(intent.Open{Place: p, Cook: row.ID})
	return nil
}
