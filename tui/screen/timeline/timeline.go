// Package timeline is the screen of a cook's entries. Each can be corrected, moved in
// time or deleted, and every change undone.
package timeline

import (
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
)

// reload is how often the cook is loaded again, since others may add notes to it too.
const reload = time.Minute

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Load(id string) (backend.Request, tea.Cmd)
	Mending(id string, old journal.Entry, now time.Time, line string) backend.Understood
	Mend(id string, old journal.Entry, line string) (backend.Request, tea.Cmd)
	Drop(id string, old journal.Entry) (backend.Request, tea.Cmd)
	Unmend(id string) (backend.Request, tea.Cmd)
	Aside(id string, aside bool) (backend.Request, tea.Cmd)
}

// Screen is the timeline of one cook.
type Screen struct {
	intent.Mover
	client Port
	id     string
	w, h   int
	now    time.Time
	read   time.Time // when it was last asked for

	cook    *journal.Cook // nil until loaded
	units   measure.System
	shows   []string        // its entries, with a question mark after doubted items
	doubts  []journal.Doubt // doubts about its entries
	err     error           // why it could not be loaded, or not loaded again
	loading backend.Request // pending; 0 for none
	roll    layout.Roll
	follow  journal.Entry // entry to choose after loading again; zero to keep the choice

	mending bool          // the line replaces the entry old
	unsure  bool          // old is doubted: saving it unchanged confirms it
	old     journal.Entry // the entry being corrected
	line    lineedit.Line
	heard   backend.Understood
	shown   string // the line whose doubts the last Enter showed

	queue   []wish          // wishes not answered yet, the oldest first
	writing backend.Request // pending; 0 for none
	answer  answer          // answer to the last wish; cleared by the next key
}

// wish is a change that the user wants saved.
type wish struct {
	do   intent.Do // Enter, Drop, TakeBack or Aside
	old  journal.Entry
	line string
	on   bool // only for Aside: leave the cook out of reports
}

// answer says what became of a wish.
type answer struct {
	head  string // in large words; "" for no answer
	lines []string
	flags []string
}

// New returns the timeline of the cook with that ID.
func New(c Port, id string) *Screen { return &Screen{client: c, id: id} }

// Init loads the cook.
func (s *Screen) Init() tea.Cmd {
	var cmd tea.Cmd
	s.read = s.now
	s.loading, cmd = s.client.Load(s.id)
	return cmd
}

// Cooks returns the ID of the cook.
func (s *Screen) Cooks() []string { return []string{s.id} }

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	switch {
	case s.cook == nil:
		return keys.Unread
	case s.mending:
		return keys.Mending
	}
	return keys.Timeline
}

// Typed reports whether something is on the line.
func (s *Screen) Typed() bool { return s.mending && !s.line.Empty() }

// Unkept names what is typed or being written but not saved; "" for nothing.
func (s *Screen) Unkept() string {
	switch {
	case len(s.queue) > 0:
		return "still writing"
	case s.mending && strings.TrimSpace(s.line.Text()) != s.old.Typed(s.units):
		return "the entry is not saved"
	}
	return ""
}

// More shows examples of what can be typed.
func (s *Screen) More() [][2]string {
	if s.cook == nil {
		return nil
	}
	rows := [][2]string{{"", ""}, {"", "On the line, for example:"}}
	return append(rows, [][2]string{
		{"23:40", "changes only the time"},
		{"-20", "twenty minutes before the time it has"},
		{"112 71", "the readings, at the time it has"},
		{"23:40 112 71 v", "replaces the whole line"},
	}...)
}

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	s.settle()
	return nil
}

func (s *Screen) settle() { s.roll.Follow(s.count(), s.listHeight()) }

func (s *Screen) count() int {
	if s.cook == nil {
		return 0
	}
	return len(s.cook.Entries)
}

func (s *Screen) chosen() (journal.Entry, bool) {
	if s.roll.At < 0 || s.roll.At >= s.count() {
		return journal.Entry{}, false
	}
	return s.cook.Entries[s.roll.At], true
}

// Receive takes answers of the backend and ticks of the clock.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case backend.Time:
		s.now = msg.Now
		s.hear()
		if s.read.IsZero() {
			s.read = s.now
		}
		if s.loading == 0 && s.now.Sub(s.read) >= reload {
			return s.Init()
		}
	case backend.Answer[backend.Loaded]:
		if msg.Request == s.loading {
			s.loaded(msg)
		}
	case backend.Answer[backend.Mended]:
		if msg.Request == s.writing {
			return s.written(msg.Value, msg.Err)
		}
	case backend.Answer[backend.Set]:
		if msg.Request == s.writing {
			return s.written(backend.Mended{}, msg.Err)
		}
	}
	return nil
}

// loaded shows the cook just loaded. The chosen entry stays chosen, wherever it is now.
func (s *Screen) loaded(a backend.Answer[backend.Loaded]) {
	s.loading, s.err = 0, a.Err
	if a.Err != nil {
		return
	}
	was, had := s.chosen()
	first := s.cook == nil
	s.cook, s.units = a.Value.Cook.Cook, a.Value.Cook.Settings.Units
	s.shows, s.doubts = s.cook.Shown(), s.cook.Doubts()
	if had && s.follow.Time.IsZero() {
		s.follow = was
	}
	same := func(e journal.Entry) bool { return e.String() == s.follow.String() }
	if i := slices.IndexFunc(s.cook.Entries, same); i >= 0 {
		s.roll.At = i
	} else if first {
		s.roll.At = s.count() - 1
	}
	s.follow = journal.Entry{}
	s.settle()
	s.hear()
}

// hear parses the current line.
func (s *Screen) hear() {
	s.heard = backend.Understood{}
	if text := strings.TrimSpace(s.line.Text()); s.mending && text != "" {
		s.heard = s.client.Mending(s.id, s.old, s.now, text)
	}
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	defer s.settle()
	if in.Do != intent.Nothing {
		s.answer = answer{}
	}
	if s.mending {
		return s.typing(in)
	}
	e, ok := s.chosen()
	switch in.Do {
	case intent.Back:
		if len(s.queue) == 0 { // the screen must stay until everything is saved
			s.Close()
			return nil
		}
	case intent.Enter, intent.JustTime:
		if ok {
			s.begin(e, in.Do)
		}
	case intent.Drop:
		if ok {
			return s.want(wish{do: intent.Drop, old: e})
		}
	case intent.TakeBack:
		return s.want(wish{do: intent.TakeBack})
	case intent.Aside:
		if s.cook != nil {
			return s.want(wish{do: intent.Aside, on: s.cook.Aside == ""})
		}
	case intent.Up:
		s.roll.Move(-1, s.count())
	case intent.Down:
		s.roll.Move(1, s.count())
	case intent.PageUp:
		s.roll.Move(-s.listHeight(), s.count())
	case intent.PageDown:
		s.roll.Move(s.listHeight(), s.count())
	case intent.First:
		s.roll.Move(-s.count(), s.count())
	case intent.Last:
		s.roll.Move(s.count(), s.count())
	}
	return nil
}

// doubtsOf returns why items of an entry are doubted.
func (s *Screen) doubtsOf(entry int) (why []string) {
	for _, d := range s.doubts {
		if d.Entry == entry {
			why = append(why, d.Why)
		}
	}
	return why
}

// begin puts an entry, or only its time, on the line.
func (s *Screen) begin(e journal.Entry, do intent.Do) {
	s.mending, s.old = true, e
	s.unsure = do == intent.Enter && len(s.doubtsOf(s.roll.At)) > 0
	text := e.Typed(s.units)
	if do == intent.JustTime {
		text, _, _ = strings.Cut(text, " ")
	}
	s.line.Set(text)
	s.hear()
}

// typing edits the line, and saves it on Enter.
func (s *Screen) typing(in intent.Intent) tea.Cmd {
	switch in.Do {
	case intent.Enter:
		return s.enter()
	case intent.Back:
		s.line.Take()
		s.mending = false
	case intent.Up:
		s.line.Earlier(1)
	case intent.Down:
		s.line.Earlier(-1)
	default:
		s.line.Edit(in)
	}
	s.hear()
	return nil
}

// enter saves the line. A line that cannot be understood stays to be corrected. One
// that changes nothing is dropped.
func (s *Screen) enter() tea.Cmd {
	if s.line.Empty() {
		s.mending = false
		return nil
	}
	if s.heard.Err != nil {
		s.answer = answer{head: notKept, lines: []string{s.heard.Err.Error()}}
		return nil
	}
	if s.heard.Confirm() && s.shown != s.line.Text() {
		s.shown = s.line.Text()
		s.answer = answer{head: "ENTER AGAIN", lines: append([]string{"to save " + s.heard.Text}, s.heard.Doubts()...)}
		return nil
	}
	s.shown = ""
	text := s.line.Take()
	s.mending = false
	if text == s.old.Typed(s.units) {
		if !s.unsure {
			return nil
		}
		sure := s.old
		sure.Items = append(slices.Clone(s.old.Items), journal.Item{Act: journal.Sure})
		text = sure.Typed(s.units)
	}
	return s.want(wish{do: intent.Enter, old: s.old, line: text})
}

// want queues a change that the user wants. Changes are saved one at a time, in order.
func (s *Screen) want(w wish) tea.Cmd {
	s.queue = append(s.queue, w)
	return s.write()
}

func (s *Screen) write() tea.Cmd {
	if s.writing != 0 || len(s.queue) == 0 {
		return nil
	}
	var cmd tea.Cmd
	switch w := s.queue[0]; w.do {
	case intent.Enter:
		s.writing, cmd = s.client.Mend(s.id, w.old, w.line)
	case intent.Drop:
		s.writing, cmd = s.client.Drop(s.id, w.old)
	case intent.TakeBack:
		s.writing, cmd = s.client.Unmend(s.id)
	case intent.Aside:
		s.writing, cmd = s.client.Aside(s.id, w.on)
	}
	return cmd
}

// Large words that say what became of a wish.
const (
	notKept  = "NOT SAVED"
	asBefore = "AS IT WAS"
)

// written takes the answer to the first wish. A line that could not be saved comes back
// to be corrected, unless another was begun.
func (s *Screen) written(m backend.Mended, err error) tea.Cmd {
	w := s.queue[0]
	s.queue, s.writing = s.queue[1:], 0
	if err != nil {
		s.answer = answer{head: notKept, lines: []string{err.Error()}}
		if w.line != "" && !s.mending {
			s.mending, s.old = true, w.old
			s.line.Set(w.line)
			s.hear()
		}
		return tea.Batch(s.Init(), s.write())
	}
	a := answer{flags: m.Flags}
	switch w.do {
	case intent.Enter:
		a.head, a.lines = "CORRECTED", []string{layout.Tie("was ") + s.told(m.Was), layout.Tie("now ") + s.told(m.Is)}
	case intent.Drop:
		a.head, a.lines = "DELETED", []string{s.told(m.Was), "u puts it back"}
	case intent.TakeBack:
		a.head, a.lines = asBefore, []string{s.told(m.Is)}
	case intent.Aside:
		a.head, a.lines = "ASIDE", []string{"this cook is left out of reports now; a includes it again"}
		if !w.on {
			a.head, a.lines = "BACK IN REPORTS", nil
		}
	}
	s.answer, s.follow = a, m.Is
	return tea.Batch(s.Init(), s.write())
}
