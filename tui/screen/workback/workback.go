// Package workback is the screen that plans back from a meal. A few fields can be
// changed in place, and it shows at once what they mean for fire, meat and times.
package workback

import (
	"errors"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
)

// Port has the methods that the screen calls. backend.Client implements it.
type Port interface {
	Kitchen(now time.Time) (backend.Request, tea.Cmd)
	Reword(m backend.Meal, f backend.Field, text string, now time.Time) (backend.Meal, error)
	Work(m backend.Meal, now time.Time) (backend.Request, tea.Cmd)
	Plan(m backend.Meal, now time.Time) (backend.Request, tea.Cmd)
}

// Screen is a meal being planned.
type Screen struct {
	intent.Mover
	client Port
	w, h   int
	now    time.Time

	kitchen *backend.Kitchen // nil until loaded
	err     error            // why it could not be loaded
	loading backend.Request  // pending; 0 for none
	meal    backend.Meal
	field   backend.Field

	typing  bool // the field is being typed
	answers bool // the line answers a question of the plan
	line    lineedit.Line
	drafts  lineedit.Drafts // texts left, by the name of the field
	problem error           // why the line cannot be taken

	worked  *backend.Worked // nil until the first answer
	of      backend.Meal    // the meal that was worked back or refused
	refused error           // why that meal cannot be worked back
	asking  backend.Meal    // the meal whose answer is pending
	working backend.Request // pending; 0 for none
	roll    layout.Roll     // window onto the plan

	wanted *backend.Meal   // to be saved once it is worked back; nil for none
	saving backend.Request // pending; 0 for none
	saved  backend.Planned // the meal saved last
	head   string          // outcome of the last wish; cleared by the next key
	text   string
}

// New returns the screen.
func New(c Port) *Screen { return &Screen{client: c} }

// Init asks for the meal to start with, once the time is known.
func (s *Screen) Init() tea.Cmd {
	if s.kitchen != nil || s.loading != 0 || s.now.IsZero() {
		return nil
	}
	var cmd tea.Cmd
	s.loading, cmd = s.client.Kitchen(s.now)
	return cmd
}

// Keys returns the keys of the current mode.
func (s *Screen) Keys() keys.Map {
	switch {
	case s.kitchen == nil:
		return keys.Unread
	case s.typing:
		return keys.Rewording
	}
	return keys.Workback
}

// Typed reports whether a field is being typed.
func (s *Screen) Typed() bool { return s.typing && !s.line.Empty() }

// Unkept says that the plan is being saved; "" if it is not.
func (s *Screen) Unkept() string {
	if s.saving != 0 {
		return "still writing"
	}
	return ""
}

// More shows examples of what can be typed.
func (s *Screen) More() [][2]string {
	return [][2]string{{"", ""}, {"", "Typed into a field, for example:"},
		{"sat 13:00", "when the meal is"}, {"24, children 6", "who eats"}, {"paper at 72 °C", "the wrap"}}
}

// Resize sets the size of the window, in cells.
func (s *Screen) Resize(w, h int) tea.Cmd {
	s.w, s.h = w, h
	s.roll.Scroll(0, len(s.rows(s.w-2)), s.frame().plan.H)
	return nil
}

// work asks for the meal to be worked back, one request at a time.
func (s *Screen) work() tea.Cmd {
	if s.kitchen == nil || s.working != 0 || s.meal == s.of {
		return nil
	}
	var cmd tea.Cmd
	s.asking = s.meal
	s.working, cmd = s.client.Work(s.meal, s.now)
	return cmd
}

// Receive takes answers of the backend and ticks of the clock.
func (s *Screen) Receive(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case backend.Time:
		s.now = msg.Now
		return s.Init()
	case backend.Answer[backend.Kitchen]:
		if msg.Request != s.loading {
			return nil
		}
		s.loading, s.err = 0, msg.Err
		if msg.Err == nil {
			s.kitchen, s.meal = &msg.Value, msg.Value.Meal
		}
		return s.work()
	case backend.Answer[backend.Worked]:
		if msg.Request != s.working {
			return nil
		}
		s.working, s.of, s.refused = 0, s.asking, msg.Err
		if msg.Err == nil {
			s.worked = &msg.Value
			if msg.Value.Noted && s.of == s.meal {
				s.meal.Fits, s.of.Fits = "", ""
			}
			s.roll.Scroll(0, len(s.rows(s.w-2)), s.frame().plan.H)
		}
		if w := s.wanted; w != nil && s.of == *w && s.meal == *w {
			s.wanted = nil
			return s.save()
		}
		return s.work()
	case backend.Answer[backend.Planned]:
		if msg.Request == s.saving {
			return s.kept(msg)
		}
	}
	return nil
}

// Handle carries out an intent.
func (s *Screen) Handle(in intent.Intent) tea.Cmd {
	if in.Do != intent.Nothing {
		s.head, s.text, s.wanted = "", "", nil
	}
	switch {
	case s.kitchen == nil:
		if in.Do == intent.Back {
			s.Close()
			return nil
		}
		return nil
	case s.typing:
		return s.edit(in)
	}
	switch in.Do {
	case intent.Back:
		if s.saving == 0 { // the screen must stay until everything is saved
			s.Close()
			return nil
		}
	case intent.Up:
		s.move(-1)
	case intent.Down:
		s.move(1)
	case intent.Left:
		s.meal = s.step(-1)
	case intent.Right:
		s.meal = s.step(1)
	case intent.DayBack:
		s.meal.Serve = s.meal.Serve.AddDate(0, 0, -1)
	case intent.DayOn:
		s.meal.Serve = s.meal.Serve.AddDate(0, 0, 1)
	case intent.PageDown, intent.PageUp:
		by := max(1, s.frame().plan.H-1)
		if in.Do == intent.PageUp {
			by = -by
		}
		s.roll.Scroll(by, len(s.rows(s.w-2)), s.frame().plan.H)
	case intent.Enter:
		return s.save()
	case intent.Text:
		if strings.TrimSpace(in.Text) == "" {
			return nil
		}
		s.begin("")
		s.answers = s.asks() != ""
		return s.edit(in)
	case intent.Erase, intent.EraseWord:
		if s.resume() {
			return nil
		}
		s.begin(s.value(s.field))
		return s.edit(in)
	}
	return s.work()
}

func (s *Screen) move(by int) {
	s.field = backend.Field((int(s.field) + by + int(backend.Fields)) % int(backend.Fields))
}

func (s *Screen) begin(text string) {
	s.typing, s.answers, s.problem = true, false, nil
	s.line.Set(text)
}

// resume puts on the line what was typed for the field, or for the question, and left.
func (s *Screen) resume() bool {
	name, asks := names[s.field], s.asks() != ""
	if asks {
		name = answer
	}
	text := s.drafts.Resume(name, "")
	if text == "" {
		return false
	}
	s.begin(text)
	s.answers = asks
	return true
}

// edit edits the field on the line. It is taken on Enter or when another field is
// chosen. A text that cannot be taken stays on the line.
func (s *Screen) edit(in intent.Intent) tea.Cmd {
	switch in.Do {
	case intent.Back:
		name, began := names[s.field], s.value(s.field)
		if s.answers {
			name, began = answer, ""
		}
		if s.drafts.Leave(name, &s.line, began) {
			s.head, s.text = "AS IT WAS", "Backspace brings back what you typed"
		}
		s.line.Set("")
		s.typing = false
		return nil
	case intent.Enter, intent.Up, intent.Down:
		field := s.field
		if s.answers {
			field = backend.Fits
		}
		meal, err := s.client.Reword(s.meal, field, strings.TrimSpace(s.line.Text()), s.now)
		if err != nil {
			s.problem = err
			return nil
		}
		s.line.Take()
		s.meal, s.typing = meal, false
		switch in.Do {
		case intent.Up:
			s.move(-1)
		case intent.Down:
			s.move(1)
		}
		return s.work()
	}
	s.line.Edit(in)
	s.problem = nil
	return nil
}

// asks returns the question to answer before the meal can be worked back; "" for none.
func (s *Screen) asks() string {
	var asked backend.Asks
	if s.of != s.meal || !errors.As(s.refused, &asked) {
		return ""
	}
	return asked.Question
}

// save saves the meal as a planned cook and opens its lists. A meal that is saved
// already is not saved again.
func (s *Screen) save() tea.Cmd {
	switch {
	case s.saving != 0:
		return nil
	case s.saved.Cook != "" && s.saved.Meal == s.meal:
		return s.lists()
	case s.working != 0 || s.of != s.meal:
		meal := s.meal
		s.wanted = &meal
		s.head, s.text = "SAVING", "as soon as it is worked out"
		return s.work()
	case s.refused != nil:
		s.head, s.text = notSaved, s.refused.Error()
		return nil
	}
	var cmd tea.Cmd
	s.saving, cmd = s.client.Plan(s.meal, s.now)
	return cmd
}

// answer is the name of the line that answers a question of the plan.
const answer = "answer"

const notSaved = "NOT SAVED"

func (s *Screen) kept(a backend.Answer[backend.Planned]) tea.Cmd {
	s.saving = 0
	if a.Err != nil {
		s.head, s.text = notSaved, a.Err.Error()
		return nil
	}
	s.saved = a.Value
	s.head, s.text = "SAVED", a.Value.Cook+"; Enter opens its lists"
	return s.lists()
}

func (s *Screen) lists() tea.Cmd {
	id := s.saved.Cook
	s.Open(intent.Open{Place: intent.Ready, Cook: id})
	return nil
}
