// Package tui is the screens of ashbook. It draws what a backend.Port knows, and sends it
// what the person wants by commands.
package tui

import (
	"fmt"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
	"ashbook/tui/screen/first"
	"ashbook/tui/screen/hold"
	"ashbook/tui/screen/reader"
	"ashbook/tui/screen/ready"
	"ashbook/tui/screen/shelf"
	"ashbook/tui/screen/tasting"
	"ashbook/tui/screen/timeline"
	"ashbook/tui/screen/versions"
	"ashbook/tui/screen/watch"
	"ashbook/tui/screen/workback"
	"ashbook/tui/style"
)

// Options say how to start.
type Options struct {
	Look  style.Options
	Place intent.Place // the screen to begin with, over the shelf
	Cook  string       // its cook, if it needs one
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
	Typed() bool       // something is on the line being typed
	Unkept() string    // what would be lost by leaving ashbook now; empty: nothing
	Draw(*layout.Sheet, layout.Rect)
	Wish() any // see intent.Mover
}

// about is a screen that is about cooks: the one that is chosen, then others
// that are marked.
type about interface{ Cooks() []string }

// entry is a screen on the stack, and how it was asked for.
type entry struct {
	screen
	open intent.Open
}

// clock is what the App itself asks for.
type clock interface {
	Clock() tea.Cmd
	Tick(d time.Duration) tea.Cmd
}

// App is the program: a stack of screens, the lowest being the shelf.
type App struct {
	clock
	client  *backend.Client // nil while there is no journal: nothing is opened then
	options Options
	look    *style.Look
	stack   []entry
	w, h    int
	keys    bool // all keys are shown
	roll    layout.Roll
	finder  *finder // open while the person looks for something to do; otherwise nil
	notice  string  // said once in place of the keys, until the next key
	asked   bool    // the notice asks whether to leave without saving
	now     time.Time
	frame   string // as it was last drawn
	same    bool   // nothing has changed since
}

// New returns the program's model. It never asks the terminal; o says what the terminal
// can do.
func New(p backend.Port, o Options) tea.Model {
	c := backend.NewClient(p)
	a := &App{clock: c, client: c, options: o, look: style.New(o.Look)}
	a.stack = []entry{{screen: shelf.New(c)}}
	if o.Place != intent.Shelf {
		a.push(intent.Open{Place: o.Place, Cook: o.Cook})
	}
	return a
}

// NewFirst returns the model of the first run, which asks how the journal is to
// begin and ends.
func NewFirst(p backend.First, o Options) tea.Model {
	c := backend.NewFirstClient(p)
	return &App{clock: c, options: o, look: style.New(o.Look), stack: []entry{{first.New(c), intent.Open{Place: intent.FirstRun}}}}
}

// screenFor makes a screen other than the shelf. It returns false for an unknown place.
// Every place without its own screen is a page.
func (a *App) screenFor(o intent.Open) (screen, bool) {
	if a.client == nil {
		return nil, false
	}
	switch o.Place {
	case intent.Watch:
		return watch.New(a.client, o.Cook), true
	case intent.Tasting:
		return tasting.New(a.client, o.Cook), true
	case intent.Timeline:
		return timeline.New(a.client, o.Cook), true
	case intent.Versions:
		return versions.New(a.client, o.Cook), true
	case intent.Hold:
		return hold.New(a.client, o.Cook), true
	case intent.Ready:
		return ready.New(a.client, o.Cook), true
	case intent.Workback:
		return workback.New(a.client), true
	}
	if !o.Place.IsPage() {
		return nil, false
	}
	return reader.New(a.client, o.Place, o.Cooks()...), true
}

// push puts a screen on the stack. It returns false for an unknown place.
func (a *App) push(o intent.Open) bool {
	s, ok := a.screenFor(o)
	if ok {
		a.stack = append(a.stack, entry{s, o})
	} else {
		a.notice = noScreen
	}
	return ok
}

func (a *App) top() screen { return a.stack[len(a.stack)-1].screen }

// open shows a screen. If a screen below shows the same already and nothing unsaved is in
// between, it goes back to that one; otherwise it opens a new one.
func (a *App) open(o intent.Open) tea.Cmd {
	for i := len(a.stack) - 1; i > 0; i-- {
		if a.stack[i].open.Place == o.Place && slices.Equal(a.stack[i].open.Cooks(), o.Cooks()) {
			a.stack = a.stack[:i+1]
			return a.top().Init()
		}
		if a.stack[i].Unkept() != "" {
			break
		}
	}
	if !a.push(o) {
		return nil
	}
	s := a.top()
	return tea.Batch(s.Resize(a.w, a.h-1), s.Receive(backend.Time{Now: a.now}), s.Init())
}

// cooks returns the cooks of the top screen.
func (a *App) cooks() []string {
	if s, ok := a.top().(about); ok {
		return s.Cooks()
	}
	return nil
}

// noCook is shown where a wish needs a cook and none is chosen.
const noCook = "choose a cook first"

// noScreen is said where a wish is for a screen that there is not.
const noScreen = "there is no such screen"

// goTo takes a way from the screen shown to another one.
func (a *App) goTo(w keys.Way) tea.Cmd {
	o := intent.Open{Place: w.Place}
	if w.OfCook {
		cooks := a.cooks()
		if len(cooks) == 0 {
			a.notice = noCook
			return nil
		}
		if w.Place == intent.Beside && len(cooks) > 2 { // the marked ones say it all
			cooks = cooks[1:]
		}
		o.Cook = cooks[0]
		for _, id := range cooks[1:] {
			if id != o.Cook {
				o.With = append(o.With, id)
			}
		}
	}
	return a.open(o)
}

// Init starts the clock and the screens.
func (a *App) Init() tea.Cmd {
	cmds := []tea.Cmd{a.Clock()}
	for _, s := range a.stack {
		cmds = append(cmds, s.Init())
	}
	return tea.Batch(cmds...)
}

// Update takes one message.
func (a *App) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if a.same = a.full(msg); a.same {
		return a, nil
	}
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		a.w, a.h = msg.Width, msg.Height
		return a, a.each(func(s screen) tea.Cmd { return s.Resize(a.w, a.h-1) })
	case tea.KeyMsg:
		return a, a.press(msg)
	case tea.MouseMsg:
		return a, a.mouse(msg)
	case backend.Answer[backend.Edited]:
		a.notice = edited(msg)
		return a, a.top().Init()
	case backend.Time:
		a.now = msg.Now
		return a, tea.Batch(a.each(func(s screen) tea.Cmd { return s.Receive(msg) }), a.Tick(untilNext(msg.Now)))
	}
	return a, tea.Batch(a.each(func(s screen) tea.Cmd { return s.Receive(msg) }), a.move())
}

// full reports text that finds no room in the line, where that was said and is to be
// seen: a long paste comes as a hundred thousand keys.
func (a *App) full(msg tea.Msg) bool {
	key, ok := msg.(tea.KeyMsg)
	if !ok || key.Alt || key.Type != tea.KeyRunes && key.Type != tea.KeySpace || a.finder != nil || a.keys || a.frame == "" {
		return false
	}
	line, ok := a.top().(interface{ Full() bool })
	return ok && line.Full()
}

// longestTick bounds how late the clock shown may be after the machine slept,
// and how late a growing probe series is seen.
const longestTick = 2 * time.Second

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

// burst is the number of keys at once that nobody can type: they are a paste in a terminal
// that does not mark pastes (chosen).
const burst = 32

// press takes a key message. Keys typed fast, or over a slow line, arrive
// several in one; each is a key all the same.
func (a *App) press(k tea.KeyMsg) tea.Cmd {
	k.Paste = k.Paste || len(k.Runes) >= burst
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
	if a.finder != nil {
		return a.find(keys.Finding.Intent(k, a.finder.typed()))
	}
	in := a.top().Keys().Intent(k, a.top().Typed())
	if in.Do == intent.Quit {
		a.keys = false
		return a.quit()
	}
	a.notice, a.asked = "", false
	if a.keys {
		return a.overview(keys.Overview.Intent(k, false))
	}
	return a.do(in)
}

// wheelRows is how many rows a notch of the wheel goes (chosen: what terminals
// scroll by).
const wheelRows = 3

// mouse takes the wheel, and clicks on rows.
func (a *App) mouse(m tea.MouseMsg) tea.Cmd {
	take := a.do
	switch {
	case m.Action != tea.MouseActionPress:
		return nil
	case a.finder != nil:
		take = a.find
	case a.keys:
		take = a.overview
	}
	step := intent.Intent{Do: intent.Down}
	switch m.Button {
	case tea.MouseButtonLeft:
		return take(intent.Intent{Do: intent.Point, Row: m.Y})
	case tea.MouseButtonWheelUp:
		step.Do = intent.Up
	case tea.MouseButtonWheelDown:
	default:
		return nil
	}
	var cmds []tea.Cmd
	for range wheelRows {
		cmds = append(cmds, take(step))
	}
	return tea.Batch(cmds...)
}

// do does what the intent asks for, here or on the top screen.
func (a *App) do(in intent.Intent) tea.Cmd {
	switch in.Do {
	case intent.Quit:
		return a.quit()
	case intent.Find:
		a.finder = newFinder(a.top().Keys(), a.stack[len(a.stack)-1].open.Place, len(a.cooks()) > 0)
		return nil
	case intent.Nothing:
		return nil
	case intent.Editor:
		if cooks := a.cooks(); len(cooks) > 0 && a.client != nil {
			return a.client.Edit(cooks[0])
		}
		a.notice = noCook
		return nil
	case intent.Print:
		a.notice = "ashbook page COOK writes a page to print or send; sheet: on paper"
		return nil
	case intent.Help:
		a.keys, a.roll = true, layout.Roll{}
		return nil
	case intent.Night:
		a.options.Look.Night = !a.options.Look.Night
		a.look = style.New(a.options.Look)
		if a.options.Look.Night && !a.look.Night {
			a.notice = "night mode needs colour, and colour is turned off"
		}
		return nil
	}
	if w, ok := keys.WayOf(in.Do); ok {
		return a.goTo(w)
	}
	return tea.Batch(a.top().Handle(in), a.move())
}

// move opens the screen that the top screen asked for, or leaves it. Requests of screens
// below it come too late.
func (a *App) move() tea.Cmd {
	var wish any
	for _, s := range a.stack {
		wish = s.Wish()
	}
	switch w := wish.(type) {
	case intent.Open:
		return a.open(w)
	case intent.Close:
		return a.leave()
	}
	return nil
}

func (a *App) quit() tea.Cmd {
	if !a.asked {
		for _, s := range a.stack {
			if what := s.Unkept(); what != "" {
				a.notice, a.asked = what+": ctrl+c again leaves anyway", true
				return nil
			}
		}
	}
	return tea.Quit
}

// edited says in one line what came of a file opened in an editor.
func edited(a backend.Answer[backend.Edited]) string {
	switch e := a.Value; {
	case a.Err != nil:
		return "not edited: " + a.Err.Error()
	case len(e.Problems) == 0 && !e.Changed:
		return "the file has not changed"
	case len(e.Problems) == 0:
		return "read again and saved in history"
	case len(e.Problems) == 1:
		return e.Problems[0]
	default:
		return fmt.Sprintf("%d more with ashbook check; %s", len(e.Problems)-1, e.Problems[0])
	}
}

func (a *App) leave() tea.Cmd {
	if len(a.stack) < 2 {
		return nil
	}
	a.stack = a.stack[:len(a.stack)-1]
	return a.top().Init()
}

// told is every key of the screen, and what else there is to tell.
// told returns the rows of the overview of keys, a key and its words, and the column
// where the words begin. Words that do not fit go on in a row without a key.
func (a *App) told() (rows [][2]string, column int) {
	all := append(a.top().Keys().All(), a.top().More()...)
	for _, row := range all {
		column = max(column, layout.Width(row[0])+4)
	}
	for _, row := range all {
		for _, line := range layout.Wrap(row[1], max(1, a.w-column-1)) {
			rows = append(rows, [2]string{row[0], line})
			row[0] = ""
		}
	}
	return rows, column
}

func (a *App) overview(in intent.Intent) tea.Cmd {
	switch in.Do {
	case intent.Back, intent.Help:
		a.keys = false
	case intent.Up:
		rows, _ := a.told()
		a.roll.Scroll(-1, len(rows), a.h-3)
	case intent.Down:
		rows, _ := a.told()
		a.roll.Scroll(1, len(rows), a.h-3)
	}
	return nil
}

// View draws the frame.
func (a *App) View() string {
	if !a.same {
		a.frame = a.draw()
	}
	return a.frame
}

func (a *App) draw() string {
	s := layout.NewSheet(a.w, a.h)
	all := s.All()
	if a.w < minWidth || a.h < minHeight {
		s.Write(all, 0, 0, layout.Span{Style: style.Plain, Text: "too small"})
		s.Write(all, 0, 1, layout.Span{Style: style.Quiet, Text: fmt.Sprintf("%d×%d is needed", minWidth, minHeight)})
		return s.Render(a.look)
	}
	rest, foot := all.Bottom(1)
	m, typed := a.top().Keys(), a.top().Typed()
	switch {
	case a.finder != nil:
		m, typed = keys.Finding, true
		a.finder.draw(s, rest)
	case a.keys:
		a.drawKeys(s, rest, m)
		m = keys.Overview
	default:
		a.top().Draw(s, rest)
	}
	if a.notice != "" {
		s.Write(foot, 1, 0, layout.Span{Style: style.Mind, Text: a.notice})
	} else {
		s.Write(foot, 1, 0, layout.Span{Style: style.Quiet, Text: m.Foot(m.Typing && typed, func(t string) bool { return layout.Width(t) < a.w-1 })})
	}
	return s.Render(a.look)
}

func (a *App) drawKeys(s *layout.Sheet, r layout.Rect, m keys.Map) {
	head, r := r.Top(2)
	s.Write(head, 1, 0, layout.Span{Style: style.Strong, Text: m.Name + ": all keys"})
	rows, column := a.told()
	for i, row := range rows {
		s.Write(r, 2, i-a.roll.Top, layout.Span{Style: style.Strong, Text: row[0]})
		s.Write(r, column, i-a.roll.Top, layout.Span{Style: style.Plain, Text: row[1]})
	}
}
