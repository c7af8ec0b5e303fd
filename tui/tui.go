// Package tui is the screens of ashbook. It draws what a port.Port knows and
// asks it, by commands, for what a person wants done.
package tui

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/box"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/look"
	"ashbook/tui/port"
	"ashbook/tui/screen/reader"
	"ashbook/tui/screen/shelf"
	"ashbook/tui/screen/tasting"
	"ashbook/tui/screen/watch"
)

// Options say how to start.
type Options struct {
	Look  look.Options
	Place intent.Place // the screen to begin with, over the shelf
	Cook  string       // its cook; not needed for the shelf
}

// Smallest window in which the screens make sense.
const (
	minWidth  = 40
	minHeight = 12
)

// screen is what one place on the stack can do. A screen never sees keys.
type screen interface {
	Init() tea.Cmd // also when the screen above it is left
	Handle(intent.Intent) tea.Cmd
	Receive(tea.Msg) tea.Cmd // answers and the clock
	Resize(w, h int) tea.Cmd
	Keys() keys.Map
	More() [][2]string // what to tell below the keys
	Typed() bool       // something stands on the line being typed
	Unkept() string    // what would be lost by leaving ashbook now; empty: nothing
	Draw(*box.Sheet, box.Rect)
}

// App is the program: a stack of screens, the lowest being the shelf.
type App struct {
	client  *port.Client
	options Options
	look    *look.Look
	stack   []screen
	w, h    int
	keys    bool // all keys are shown
	roll    box.Roll
	notice  string // said once in place of the keys, until the next key
	asked   bool   // the notice asks whether to lose what is not kept
	now     time.Time
}

// New returns the program's model. The terminal is never asked about itself;
// what it can do stands in o.
func New(p port.Port, o Options) tea.Model {
	a := &App{client: port.NewClient(p), options: o, look: look.New(o.Look)}
	a.stack = []screen{shelf.New(a.client)}
	if s := a.screenFor(intent.Open{Place: o.Place, Cook: o.Cook}); s != nil {
		a.stack = append(a.stack, s)
	}
	return a
}

// screenFor makes a screen; nil for the shelf, which is always there.
func (a *App) screenFor(o intent.Open) screen {
	switch o.Place {
	case intent.Watch:
		return watch.New(a.client, o.Cook)
	case intent.Tasting:
		return tasting.New(a.client, o.Cook)
	case intent.Cook:
		return reader.New(a.client, port.CookPage, o.Cook)
	case intent.Why:
		return reader.New(a.client, port.WhyPage, o.Cook)
	case intent.Matters:
		return reader.New(a.client, port.MattersPage, o.Cook)
	case intent.Hindsight:
		return reader.New(a.client, port.HindsightPage, o.Cook)
	}
	return nil
}

func (a *App) top() screen { return a.stack[len(a.stack)-1] }

// Init starts the clock and the screens.
func (a *App) Init() tea.Cmd {
	cmds := []tea.Cmd{a.client.Clock()}
	for _, s := range a.stack {
		cmds = append(cmds, s.Init())
	}
	return tea.Batch(cmds...)
}

// Update takes one message.
func (a *App) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		a.w, a.h = msg.Width, msg.Height
		return a, a.each(func(s screen) tea.Cmd { return s.Resize(a.w, a.h-1) })
	case tea.KeyMsg:
		return a, a.press(msg)
	case intent.Open:
		if s := a.screenFor(msg); s != nil {
			a.stack = append(a.stack, s)
			return a, tea.Batch(s.Resize(a.w, a.h-1), s.Receive(port.Time{Now: a.now}), s.Init())
		}
	case intent.Close:
		return a, a.leave()
	case port.Time:
		a.now = msg.Now
		return a, tea.Batch(a.each(func(s screen) tea.Cmd { return s.Receive(msg) }), a.client.Tick(untilNext(msg.Now)))
	default:
		return a, a.each(func(s screen) tea.Cmd { return s.Receive(msg) })
	}
	return a, nil
}

// longestTick bounds how late the clock shown may be after the machine slept.
const longestTick = 15 * time.Second

// untilNext is the wait until the clock shows another minute.
func untilNext(now time.Time) time.Duration {
	return min(longestTick, now.Truncate(time.Minute).Add(time.Minute).Sub(now))
}

func (a *App) each(f func(screen) tea.Cmd) tea.Cmd {
	var cmds []tea.Cmd
	for _, s := range a.stack {
		if cmd := f(s); cmd != nil {
			cmds = append(cmds, cmd)
		}
	}
	return tea.Batch(cmds...)
}

// press takes a key message. Keys typed fast, or over a slow line, arrive
// several in one; each is a key all the same.
func (a *App) press(k tea.KeyMsg) tea.Cmd {
	if k.Type != tea.KeyRunes || k.Paste || len(k.Runes) < 2 {
		return a.key(k)
	}
	var cmds []tea.Cmd
	for _, r := range k.Runes {
		cmds = append(cmds, a.key(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: k.Alt}))
	}
	return tea.Batch(cmds...)
}

func (a *App) key(k tea.KeyMsg) tea.Cmd {
	in := a.top().Keys().Intent(k, a.top().Typed())
	if in.Do == intent.Quit {
		a.keys = false
		return a.quit()
	}
	a.notice, a.asked = "", false
	if a.keys {
		a.overview(keys.Overview.Intent(k, false))
		return nil
	}
	switch in.Do {
	case intent.Nothing:
		return nil
	case intent.Help:
		a.keys, a.roll = true, box.Roll{}
		return nil
	case intent.Night:
		a.options.Look.Night = !a.options.Look.Night
		a.look = look.New(a.options.Look)
		if a.options.Look.Night && !a.look.Night {
			a.notice = "night mode needs colour, and colour is turned off"
		}
		return nil
	}
	return a.top().Handle(in)
}

func (a *App) quit() tea.Cmd {
	if !a.asked {
		for _, s := range a.stack {
			if what := s.Unkept(); what != "" {
				a.notice, a.asked = what+": ctrl+c again leaves all the same", true
				return nil
			}
		}
	}
	return tea.Quit
}

func (a *App) leave() tea.Cmd {
	if len(a.stack) < 2 {
		return nil
	}
	a.stack = a.stack[:len(a.stack)-1]
	return a.top().Init()
}

// told is every key of the screen, and what else there is to tell.
func (a *App) told() [][2]string { return append(a.top().Keys().All(), a.top().More()...) }

func (a *App) overview(in intent.Intent) {
	switch in.Do {
	case intent.Back, intent.Help:
		a.keys = false
	case intent.Up:
		a.roll.Scroll(-1, len(a.told()), a.h-3)
	case intent.Down:
		a.roll.Scroll(1, len(a.told()), a.h-3)
	}
}

// View draws the frame.
func (a *App) View() string {
	s := box.NewSheet(a.w, a.h)
	all := s.All()
	if a.w < minWidth || a.h < minHeight {
		s.Write(all, 0, 0, box.Span{Style: look.Plain, Text: "too small"})
		s.Write(all, 0, 1, box.Span{Style: look.Quiet, Text: fmt.Sprintf("%d×%d is needed", minWidth, minHeight)})
		return s.Render(a.look)
	}
	rest, foot := all.Bottom(1)
	m := a.top().Keys()
	if a.keys {
		a.drawKeys(s, rest, m)
		m = keys.Overview
	} else {
		a.top().Draw(s, rest)
	}
	if a.notice != "" {
		s.Write(foot, 1, 0, box.Span{Style: look.Mind, Text: a.notice})
	} else {
		s.Write(foot, 1, 0, box.Span{Style: look.Quiet, Text: m.Foot(!a.keys && m.Typing && a.top().Typed(), func(t string) bool { return box.Width(t) < a.w-1 })})
	}
	return s.Render(a.look)
}

func (a *App) drawKeys(s *box.Sheet, r box.Rect, m keys.Map) {
	head, r := r.Top(2)
	s.Write(head, 1, 0, box.Span{Style: look.Strong, Text: m.Name + ": all keys"})
	rows, column := a.told(), 0
	for _, row := range rows {
		column = max(column, box.Width(row[0])+4)
	}
	for i, row := range rows {
		s.Write(r, 2, i-a.roll.Top, box.Span{Style: look.Strong, Text: row[0]})
		s.Write(r, column, i-a.roll.Top, box.Span{Style: look.Plain, Text: row[1]})
	}
}
