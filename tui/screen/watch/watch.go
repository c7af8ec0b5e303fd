// Package watch is the screen of the running cook: five figures to be read from two
// metres away, the curve, and the line on which everything is noted.
package watch

import (
	"reflect"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/component/alarm"
	"ashbook/tui/component/curve"
	"ashbook/tui/component/entry"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
)

// forecastEvery is how often the forecast is computed again, since it changes with
// time. Files are read again as soon as they change.
const forecastEvery = time.Minute

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	entry.Port
	LoadSince(id string, seen backend.Mark) (backend.Request, tea.Cmd)
	Expect(cook *journal.Cook, now time.Time) (backend.Request, tea.Cmd)
	Alert(text string) tea.Cmd
}

// Screen is the watch on one cook.
type Screen struct {
	intent.Mover
	client Port
	id     string
	w, h   int
	now    time.Time
	state  *state // nil until loaded
	err    error  // why the last load failed

	loading   backend.Request // pending; 0 for none
	expecting backend.Request // pending; 0 for none
	mark      backend.Mark    // state of the files when they were read
	reading   backend.Request // request that brought the state
	expected  time.Time       // when a forecast was last asked for
	asked     journal.Cook    // the cook for which it was asked, without its series

	bell    alarm.Bell
	present bool   // the screen was just opened, so nothing rings yet
	mute    error  // why the user's own alert command fails
	bed     *sleep // the user's sleep; nil for none
	bedding bool   // the time to wake is being typed
	bedLine lineedit.Line

	entry   entry.Entry
	asking  question
	choices bool // what could be done now is shown
}

// loaded is a cook with everything that the screen shows about it.
type loaded struct {
	request backend.Request
	state   *state
	mark    backend.Mark
	same    bool // the files have not changed, so there is no state
	now     time.Time
	err     error
}

// question is a question that a second Enter answers.
type question uint8

const (
	nothing question = iota
	isLit            // is the fire lit?
	isRight          // is the doubted reading right?
)

// New returns the screen of the cook with that ID.
func New(c Port, id string) *Screen {
	return &Screen{client: c, id: id, present: true, entry: entry.New(c, id)}
}

// Init loads the cook.
func (s *Screen) Init() tea.Cmd { return s.load("") }

// load loads the cook again unless its files are as they were at the mark seen, and
// computes the state in a command, beside the drawing. It drops an earlier request that
// was not answered yet.
func (s *Screen) load(seen backend.Mark) tea.Cmd {
	r, cmd := s.client.LoadSince(s.id, seen)
	s.loading = r
	var known backend.Forecast
	var thin curve.Thinned
	if s.state != nil {
		known, thin = s.state.Forecast, s.state.thin
	}
	return func() tea.Msg {
		a := cmd().(backend.Answer[backend.Loaded])
		l := loaded{request: a.Request, mark: a.Value.Mark, same: a.Value.Same, now: a.Value.Now, err: a.Err}
		if a.Err == nil && !l.same {
			l.state = workOut(a.Value, known, thin)
		}
		return l
	}
}

// expected is a forecast, and the state of the cook it was asked for.
type expected struct {
	request  backend.Request
	reading  backend.Request // request that brought the cook
	state    *state
	forecast backend.Forecast
}

// expect asks for a forecast of the loaded cook. Until it comes, the last one is shown.
func (s *Screen) expect() tea.Cmd {
	cook, thin, now, reading := s.state.Cook, s.state.thin, s.now, s.reading
	s.expected, s.asked = now, written(*cook.Cook)
	r, cmd := s.client.Expect(cook.Cook, now)
	s.expecting = r
	return func() tea.Msg {
		a := cmd().(backend.Answer[backend.Forecast])
		return expected{a.Request, reading, workOut(backend.Loaded{Cook: cook, Now: now}, a.Value, thin), a.Value}
	}
}

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	switch {
	case s.state == nil && s.err != nil:
		return keys.Unread
	case s.asking != nothing:
		return keys.Sure
	case s.bedding:
		return keys.Bed
	case s.bed != nil:
		return keys.Asleep
	case s.planned():
		return keys.WatchPlanned
	}
	return keys.Watch
}

func (s *Screen) planned() bool {
	return s.state != nil && s.state.status.Stage == journal.Planned
}

// Typed reports whether an entry is begun.
func (s *Screen) Typed() bool { return !s.entry.Empty() || s.bedding }

// Full reports whether more text would change nothing.
func (s *Screen) Full() bool { return s.entry.Full() }

// Unkept names what is typed or being written but not noted yet; "" for nothing.
func (s *Screen) Unkept() string {
	if what := s.entry.Unkept(); what != "" || s.bed == nil {
		return what
	}
	return "only this window wakes you at " + measure.FormatTime(s.bed.until.In(s.state.zone), measure.Clock, s.state.units)
}

// examples are lines that show what can be typed.
var examples = []string{"112 71", "v", "f 1 kg", "w cherry 90 g", "s", "l", "t", "b1", "p2", "r30", "wrap paper", "v -20", "s -- pale on the left", "undo"}

// More shows example lines and how each is understood.
func (s *Screen) More() [][2]string {
	if s.state == nil {
		return nil
	}
	rows := [][2]string{{"", ""}, {"", "On the line, for example:"}}
	for _, e := range examples {
		if u := s.client.Understand(s.id, s.now, e); u.Err == nil {
			rows = append(rows, [2]string{e, u.Text})
		}
	}
	return rows
}

// Cooks returns the screen's cook.
func (s *Screen) Cooks() []string { return []string{s.id} }

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	return nil
}

// Receive takes answers of the backend and ticks of the clock.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case backend.Time:
		s.now = msg.Now
		s.entry.Hear(s.now)
		return s.tick()
	case loaded:
		if msg.request != s.loading {
			return nil
		}
		s.loading, s.err = 0, msg.err
		if msg.err != nil || msg.same {
			return nil
		}
		if msg.now.After(s.now) {
			s.now = msg.now
		}
		s.state, s.mark, s.reading = msg.state, msg.mark, msg.request
		s.entry.Hear(s.now)
		if s.due() || !reflect.DeepEqual(written(*s.state.Cook.Cook), s.asked) {
			return tea.Batch(s.attend(), s.expect())
		}
		return s.attend()
	case expected:
		if msg.request != s.expecting {
			return nil
		}
		s.expecting = 0
		if msg.reading == s.reading {
			s.state = msg.state
		} else {
			s.state.foresee(msg.forecast)
		}
		cmd := s.attend()
		s.present = false
		return cmd
	case backend.Answer[backend.Rung]:
		s.mute = msg.Err
	case backend.Answer[backend.Noted]:
		cmd, changed := s.entry.Receive(msg)
		if changed {
			return tea.Batch(s.load(""), cmd)
		}
		return cmd
	}
	return nil
}

// tick does what the passing of time requires: calls, files that have changed, and the
// forecast, which changes with time.
func (s *Screen) tick() tea.Cmd {
	cmds := []tea.Cmd{s.attend()}
	if s.loading != 0 {
		return tea.Batch(cmds...)
	}
	if s.state != nil && s.expecting == 0 && s.due() {
		cmds = append(cmds, s.expect())
	}
	if s.state != nil || s.err != nil {
		cmds = append(cmds, s.load(s.mark))
	}
	return tea.Batch(cmds...)
}

// written returns a cook without the rows of its probes, which arrive every few
// seconds.
func written(c journal.Cook) journal.Cook {
	c.Series = journal.Series{}
	return c
}

// due reports whether the forecast is older than forecastEvery.
func (s *Screen) due() bool { return s.now.Sub(s.expected) >= forecastEvery }

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	s.entry.Forget(in)
	woken := s.hush()
	switch {
	case woken && (in.Do == intent.Back || in.Do == intent.Sleep):
		return nil // the key was pressed in order to wake up
	case s.asking != nothing:
		return s.confirm(in)
	case s.bedding:
		return s.bedtime(in)
	}
	switch in.Do {
	case intent.Light:
		if s.planned() {
			s.asking = isLit
		}
	case intent.Enter:
		if s.entry.Empty() && s.state != nil && len(s.state.unsure) > 0 {
			s.asking = isRight
			return nil
		}
		return s.entry.Handle(in)
	case intent.Choices:
		s.choices = !s.choices
	case intent.Stands, intent.Other:
		if s.state != nil {
			return s.entry.Settle(s.state.Cook.Cook.Others, in.Do)
		}
	case intent.Sleep:
		s.lieDown()
	case intent.Back:
		switch {
		case !s.entry.Empty():
			return s.entry.Handle(in)
		case s.choices:
			s.choices = false
		case s.bed != nil:
			s.getUp()
		case !s.entry.Busy(): // the screen must stay until everything is saved
			s.Close()
			return nil
		}
	default:
		return s.entry.Handle(in)
	}
	return nil
}

func (s *Screen) confirm(in intent.Intent) tea.Cmd {
	asked := s.asking
	s.asking = nothing
	switch {
	case in.Do != intent.Enter:
		return nil
	case asked == isRight:
		return s.entry.Confirm()
	}
	return s.entry.Light()
}
