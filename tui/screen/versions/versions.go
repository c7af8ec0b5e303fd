// Package versions is the screen of a cook's past versions: who changed what and when.
// Any version can be brought back.
package versions

import (
	"cmp"
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	report "ashbook/report/page"
	"ashbook/report/page/text"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Versions(id string) (backend.Request, tea.Cmd)
	VersionPage(id string, v backend.Version) (backend.Request, tea.Cmd)
	Bring(id string, v backend.Version) (backend.Request, tea.Cmd)
}

// Screen shows the versions of one cook.
type Screen struct {
	intent.Mover
	client Port
	id     string
	w, h   int

	all     []backend.Version // nil until loaded
	err     error
	loading backend.Request // pending; 0 for none
	list    layout.Roll

	page    page
	writing backend.Request   // pending; 0 for none
	before  []backend.Version // the versions that were replaced by bringing one back, oldest first
	undoing bool              // the version being brought back undoes a previous one
	head    string            // outcome of the last wish; cleared by the next key
	text    string
}

// page is what the chosen version changed, or the request for it.
type page struct {
	n       int // number of its version; 0 for none
	told    report.Page
	set     text.Setting // laid out at the window's width
	err     error
	request backend.Request // pending; 0 for none
	roll    layout.Roll
}

// New returns the versions of the cook with that ID.
func New(c Port, id string) *Screen { return &Screen{client: c, id: id} }

// Init loads the versions.
func (s *Screen) Init() tea.Cmd {
	var cmd tea.Cmd
	s.page.n = 0
	s.loading, cmd = s.client.Versions(s.id)
	return cmd
}

// Cooks returns the ID of the cook.
func (s *Screen) Cooks() []string { return []string{s.id} }

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map { return keys.Versions }

// Typed returns false: nothing is typed on this screen.
func (s *Screen) Typed() bool { return false }

// Unkept says that a version is being brought back; "" if none is.
func (s *Screen) Unkept() string {
	if s.writing != 0 {
		return "still writing"
	}
	return ""
}

// More returns nil: the list of keys says everything.
func (s *Screen) More() [][2]string { return nil }

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	s.list.Follow(len(s.all), s.frame().list.H)
	s.lay()
	return s.ask()
}

// lay lays the page out at the available width.
func (s *Screen) lay() {
	s.page.set = text.Set(s.page.told, max(1, s.frame().page.W-2), -1)
	s.page.roll.Scroll(0, len(s.page.set.Lines), s.frame().page.H)
}

func (s *Screen) chosen() (backend.Version, bool) {
	if s.list.At < 0 || s.list.At >= len(s.all) {
		return backend.Version{}, false
	}
	return s.all[s.list.At], true
}

// ask requests the page of the chosen version, one at a time.
func (s *Screen) ask() tea.Cmd {
	v, ok := s.chosen()
	if !ok || s.page.request != 0 || s.page.n == v.N {
		return nil
	}
	var cmd tea.Cmd
	s.page = page{n: v.N}
	s.page.request, cmd = s.client.VersionPage(s.id, v)
	return cmd
}

// Receive takes answers of the backend.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case backend.Answer[[]backend.Version]:
		if msg.Request != s.loading {
			return nil
		}
		s.loading, s.err = 0, msg.Err
		if msg.Err == nil {
			s.all = msg.Value
			s.list.Follow(len(s.all), s.frame().list.H)
		}
		return s.ask()
	case backend.Answer[report.Page]:
		if msg.Request != s.page.request {
			return nil
		}
		s.page.request, s.page.told, s.page.err = 0, msg.Value, msg.Err
		s.lay()
		return s.ask()
	case backend.Answer[backend.Version]:
		if msg.Request == s.writing {
			return s.brought(msg)
		}
	}
	return nil
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	if in.Do != intent.Nothing {
		s.head, s.text = "", ""
	}
	f := s.frame()
	switch in.Do {
	case intent.Back:
		if s.writing == 0 { // the screen must stay until everything is saved
			s.Close()
			return nil
		}
	case intent.Bring:
		switch v, ok := s.chosen(); {
		case ok && s.list.At == 0 && v.Now == "":
			s.head, s.text = notBrought, "this is the file as it is now"
		case ok && v.Gone:
			s.head, s.text = notBrought, "in this version the file was deleted"
		case ok:
			return s.bring(v, false)
		}
	case intent.TakeBack:
		if n := len(s.before); n > 0 {
			return s.bring(s.before[n-1], true)
		}
		s.head, s.text = notBrought, "no version was brought back here yet"
	case intent.Up:
		s.list.Move(-1, len(s.all))
	case intent.Down:
		s.list.Move(1, len(s.all))
	case intent.First:
		s.list.Move(-len(s.all), len(s.all))
	case intent.Last:
		s.list.Move(len(s.all), len(s.all))
	case intent.PageDown:
		s.page.roll.Scroll(f.page.H-1, len(s.page.set.Lines), f.page.H)
	case intent.PageUp:
		s.page.roll.Scroll(1-f.page.H, len(s.page.set.Lines), f.page.H)
	}
	s.list.Follow(len(s.all), f.list.H)
	return s.ask()
}

// Large words that say what became of a wish.
const (
	brought    = "BROUGHT BACK"
	notBrought = "NOT BROUGHT BACK"
)

func (s *Screen) bring(v backend.Version, undoing bool) tea.Cmd {
	if s.writing != 0 || len(s.all) == 0 {
		return nil
	}
	var cmd tea.Cmd
	s.undoing = undoing
	s.writing, cmd = s.client.Bring(s.id, v)
	return cmd
}

func (s *Screen) brought(a backend.Answer[backend.Version]) tea.Cmd {
	s.writing = 0
	if a.Err != nil {
		s.head, s.text = notBrought, a.Err.Error()
		return nil
	}
	s.head, s.text = brought, fmt.Sprintf("version %d; u undoes it", a.Value.N)
	if s.undoing {
		s.before = s.before[:len(s.before)-1]
		s.head, s.text = "AS IT WAS", fmt.Sprintf("version %d", a.Value.N)
	} else {
		was := s.all[0]
		was.Hash, was.Now = cmp.Or(was.Now, was.Hash), ""
		s.before = append(s.before, was)
	}
	s.list = layout.Roll{}
	return s.Init()
}

// besideFrom is the window width from which the page is beside the list.
const besideFrom = 110

// frame is where each part is drawn.
type frame struct{ head, rule, list, part, page, said layout.Rect }

func (s *Screen) frame() frame {
	var f frame
	r := layout.Rect{W: s.w, H: s.h}
	f.head, r = r.Top(1)
	f.rule, r = r.Top(1)
	r, f.said = r.Bottom(1)
	if r.W >= besideFrom {
		f.list, f.page = r.Left(r.W / 2)
		return f
	}
	f.list, r = r.Top(max(1, r.H*2/5))
	f.part, f.page = r.Top(1)
	return f
}

// Draw draws the screen.
func (s *Screen) Draw(sheet *layout.Sheet, _ layout.Rect) {
	f := s.frame()
	sheet.Write(f.head, 1, 0, layout.Span{Style: style.Strong, Text: "Past versions · " + s.id})
	rule := strings.Repeat("─", max(0, s.w-2))
	sheet.Write(f.rule.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: rule})
	sheet.Write(f.part.Pad(1), 0, 0, layout.Span{Style: style.Quiet, Text: rule})
	switch {
	case s.err != nil:
		for y, l := range layout.Wrap(s.err.Error(), f.list.W-2) {
			sheet.Write(f.list, 1, y, layout.Span{Style: style.Mind, Text: l})
		}
		return
	case s.all == nil:
		sheet.Write(f.list, 1, 0, layout.Span{Style: style.Quiet, Text: "reading history …"})
		return
	}
	s.drawList(sheet, f.list)
	s.drawPage(sheet, f.page.Pad(1))
	switch {
	case s.head != "":
		sheet.Write(f.said, 0, 0, layout.Span{Style: style.Banner, Text: strings.Repeat(" ", f.said.W)})
		sheet.Write(f.said, 2, 0, layout.Span{Style: style.Banner, Text: s.head + "  " + s.text})
	case s.writing != 0:
		sheet.Write(f.said, 1, 0, layout.Span{Style: style.Quiet, Text: "writing …"})
	case len(s.page.set.Lines) > f.page.H:
		last := min(len(s.page.set.Lines), s.page.roll.Top+f.page.H)
		sheet.WriteRight(f.said.Pad(1), 0, layout.Span{Style: style.Quiet, Text: fmt.Sprintf("lines %d – %d of %d", s.page.roll.Top+1, last, len(s.page.set.Lines))})
	}
}

func (s *Screen) drawList(sheet *layout.Sheet, r layout.Rect) {
	roll := s.list
	roll.Follow(len(s.all), r.H)
	number := len(fmt.Sprint(len(s.all)))
	for y := range r.H {
		i := roll.Top + y
		if i >= len(s.all) {
			return
		}
		v := s.all[i]
		face, sign := style.Plain, " "
		if i == roll.At {
			face, sign = style.Chosen, "›"
			sheet.Fill(layout.Rect{X: r.X, Y: r.Y + y, W: r.W, H: 1}, face)
		}
		text := fmt.Sprintf("%s%*d  %s  %s  %s", sign, number, v.N, v.When.Format(measure.DateClock), v.Who, v.What)
		if i == 0 {
			text += " (now)"
		}
		sheet.Write(r, 0, y, layout.Span{Style: face, Text: text})
	}
}

func (s *Screen) drawPage(sheet *layout.Sheet, r layout.Rect) {
	v, _ := s.chosen()
	switch {
	case s.page.n != v.N || s.page.request != 0:
		sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: "comparing …"})
	case s.page.err != nil:
		for y, l := range layout.Wrap(s.page.err.Error(), r.W) {
			sheet.Write(r, 0, y, layout.Span{Style: style.Mind, Text: l})
		}
	default:
		for y := range r.H {
			if i := s.page.roll.Top + y; i < len(s.page.set.Lines) {
				l := s.page.set.Lines[i]
				sheet.Write(r, 0, y, layout.Span{Style: layout.PageStyle(l.Kind), Text: l.Text})
			}
		}
	}
}
