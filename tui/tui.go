// Package tui has the screens of ashbook. It draws what a backend.Port knows, and sends
// the user's wishes to it by commands.
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
	Place intent.Place // first screen, above the shelf
	Cook  string       // its cook, if it needs one
}

// The smallest window in which the screens are useful, in cells.
const (
	minWidth  = 40
	minHeight = 12
)

// screen is one screen of the stack. It gets intents, not keys.
type screen interface {
	Init() tea.Cmd // also called when the screen above it is closed
	Handle(intent.Intent) tea.Cmd
	Receive(tea.Msg) tea.Cmd // answers and ticks of the clock
	Resize(w, h int) tea.Cmd
	Keys() keys.Map
	More() [][2]string // rows to show below the list of keys
	Typed() bool       // something is on the line
	Unkept() string    // what leaving ashbook now would lose, in words; "" for nothing
	Draw(*layout.Sheet, layout.Rect)
	Wish() any // see intent.Mover
}

// about is a screen about cooks: first the chosen one, then the marked ones.
type about interface{ Cooks() []string }

// entry is a screen of the stack, and the request that opened it.
type entry struct {
	screen
	open intent.Open
}

// clock has the methods that the App itself calls.
type clock interface {
	Clock() tea.Cmd
	Tick(d time.Duration) tea.Cmd
}

// App is the program: a stack of screens with the shelf at the bottom.
type App struct {
	clock
	client  *backend.Client // nil if there is no journal; then no screen can be opened
	options Options
	look    *style.Look
	stack   []entry
	w, h    int
	keys    bool // the list of all keys is shown
	roll    layout.Roll
	finder  *finder // open while the user looks for something to do; nil if not
	notice  string  // shown in place of the keys until the next key
	asked   bool    // the notice asks whether to leave without saving
	now     time.Time
	frame   string // the frame drawn last
	same    bool   // nothing has changed since
}

// New returns the program's model. It never queries the terminal; o says what the
// terminal can do.
func New(p backend.Port, o Options) tea.Model {
	c := backend.NewClient(p)
	a := &App{clock: c, client: c, options: o, look: style.New(o.Look)}
	a.stack = []entry{{screen: shelf.New(c)}}
	if o.Place != intent.Shelf {
		a.push(intent.Open{Place: o.Place, Cook: o.Cook})
	}
	return a
}

// NewFirst returns the model of the first run, which asks how to begin the journal and
// then ends.
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

// open shows a screen. If a screen below shows the same and nothing unsaved is between,
// it goes back to that one. If not, it opens a new one.
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

// noCook is shown when a wish needs a cook and none is chosen.
const noCook = "choose a cook first"

// noScreen is shown when a wish is for a screen that does not exist.
const noScreen = "there is no such screen"

// goTo goes from the current screen to another.
func (a *App) goTo(w keys.Way) tea.Cmd {
	o := intent.Open{Place: w.Place}
	if w.OfCook {
		cooks := a.cooks()
		if len(cooks) == 0 {
			a.notice = noCook
			return nil
		}
		if w.Place == intent.Beside && len(cooks) > 2 { // the marked cooks are enough
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

// full reports whether msg is text for a line that is full and already says so. Such
// text is ignored quickly, since a long paste may be a hundred thousand keys.
func (a *App) full(msg tea.Msg) bool {
	key, ok := msg.(tea.KeyMsg)
	if !ok || key.Alt || key.Type != tea.KeyRunes && key.Type != tea.KeySpace || a.finder != nil || a.keys || a.frame == "" {
		return false
	}
	line, ok := a.top().(interface{ Full() bool })
	return ok && line.Full()
}

// longestTick is the longest time between two ticks. It limits how late the clock is
// after the machine slept, and how late new probe rows are shown.
const longestTick = 2 * time.Second

// untilNext returns the time until the clock shows another minute.
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

// burst is a number of keys at once that nobody can type: they are a paste in a
// terminal that does not mark pastes (chosen).
const burst = 32

// press takes a key message. Keys typed fast, or over a slow connection, arrive several
// in one message; each counts.
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

// wheelRows is how many rows one step of the wheel scrolls (chosen: as terminals do).
const wheelRows = 3

// mouse takes turns of the wheel and clicks on rows.
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

// do carries out an intent, itself or on the top screen.
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

// move opens the screen that the top screen asked for, or closes the top screen. It
// ignores requests of the screens below.
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

// edited says in one line how editing a file ended.
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

// told returns the rows of the overview of keys, each a key and its words, and the
// column where the words begin. Words that do not fit continue in a row without a key.
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
