package hold_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/report/page"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

// inBox is a box that may not stay hot until the meal.
func inBox() backend.Hold {
	return backend.Hold{
		Stage: "in the box", Label: "AT OR ABOVE 60 °C UNTIL", Large: "12:40", Beside: []string{"± 50 min", "11:50 – 13:25"}, Tone: backend.Careful,
		Answer: "At or above 60 °C until 12:40 (11:50–13:25).",
		Meal:   "The meal is at 13:00: it may not last until then. Have something ready to take over before 11:50.", MealTone: backend.Careful,
		Do: []backend.Step{
			{Fact: page.Fact{Name: "now", Value: "It is near 63 °C of small: decide now, not at 60 °C."}, By: tuitest.Night},
			{Fact: page.Fact{Name: "by 02:10", Value: "Low oven: light it, at 90 °C, for the meat to be in it by 11:40. Keep a probe in; it must not fall below 60 °C."}, By: tuitest.Night.Add(66 * time.Minute)},
			{Fact: page.Fact{Name: "by 02:00", Value: "Read the core again. Each reading narrows the range."}, By: tuitest.Night.Add(56 * time.Minute)},
		},
		Leftovers: []page.Fact{{Name: "the clock starts", Value: "when the meat falls below 57 °C, about 13:20 (12:20–14:10), wherever it stands then; not when the plates leave the table"}},
		Box: []page.Fact{
			{Name: "hot-hold limit", Value: "60 °C; 57 °C is the Food Code's"},
			{Name: "core large", Value: "82 °C at 09:55; now 78 °C to 80 °C; loses 7.1 % an hour of the gap to room temperature (5.9–8.2)"},
			{Name: "core small", Value: "79 °C at 09:55; now 63 °C to 65 °C; loses 8.0 % an hour of the gap to room temperature (6.6–9.1)"},
			{Name: "known from", Value: "the readings in it, and 34 past loads"},
		},
	}
}

func hall() *tuitest.Port {
	p := tuitest.Hall()
	p.Box = inBox()
	return p
}

func start(p *tuitest.Port, w, h int) *tuitest.Driver {
	return tuitest.Start(tui.New(p, tui.Options{Place: intent.Hold, Cook: tuitest.Running}), p, w, h)
}

func TestFrames(t *testing.T) {
	of := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Hold, Cook: tuitest.Running}), p
	}
	tuitest.Goldens(t, "box", of, func(d *tuitest.Driver) {})
	tuitest.Goldens(t, "noted", of, func(d *tuitest.Driver) {
		d.Type("core small 17")
		d.Press("enter")
	})
	left := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := hall()
		p.Box = backend.Hold{Stage: "out of the box", Label: "AT OR BELOW 21 °C IN", Large: "1h20", Beside: []string{"by 15:10"},
			Answer: "Out of the box. Last read at 52 °C at 13:40; the clock of the leftovers runs from 13:10.", Meal: "The meal is at 13:00.",
			Leftovers: []page.Fact{{Name: "counted from", Value: "13:10: the last reading at or above the limit"}, {Name: "at or below 21 °C", Value: "by 15:10, in 1 h 20"}, {Name: "at or below 5 °C", Value: "by 19:10, in 5 h 20"}}}
		return tui.New(p, tui.Options{Look: o, Place: intent.Hold, Cook: tuitest.Running}), p
	}
	tuitest.Goldens(t, "leftovers", left, func(d *tuitest.Driver) {})
}

// A doubted reading is shown as not counted. Two Enters confirm it; Esc leaves it out.
func TestDoubtIsConfirmed(t *testing.T) {
	p := hall()
	d := start(p, 60, 20)
	d.Type("core large 17")
	d.Press("enter")
	d.Expect(t, "NOTED", "? not counted: ", "Enter: the reading with a ? is right")
	d.Press("enter")
	d.Expect(t, "IS IT RIGHT?", "swapped", "Esc: leave it out")
	d.Press("esc")
	if n := len(p.Cooks[0].Doubts()); n != 1 {
		t.Errorf("%d doubts after Esc", n)
	}
	d.Press("enter", "enter")
	d.Expect(t, "NOTED", "sure")
	if n := len(p.Cooks[0].Doubts()); n != 0 || strings.Contains(d.Text(), "not counted") {
		t.Errorf("%d doubts:\n%s", n, d.Text())
	}
}

// What is noted goes into the cook, and the box is computed again.
func TestNote(t *testing.T) {
	p := hall()
	d := start(p, 80, 24)
	d.Type("box 71")
	d.Expect(t, "box 71 °C", "› box 71")
	p.Box.Meal = "told anew"
	d.Press("enter")
	d.Expect(t, "NOTED", "told anew")
	n := len(p.Cooks[0].Entries)
	if got := p.Cooks[0].Entries[n-1].Body(); got != "box 71 °C" {
		t.Errorf("noted %q", got)
	}
	d.Press("ctrl+z")
	d.Expect(t, "UNDONE")
	d.Type("core 82 chery")
	d.Press("enter")
	d.Expect(t, "ENTER AGAIN", "› core 82 chery")
	d.Press("ctrl+u")
	p.Fails = errors.New("the disk is full")
	d.Type("served")
	d.Press("enter")
	d.Expect(t, "ENTER AGAIN", "while the meat is still in the pit?")
	d.Press("enter")
	d.Expect(t, "NOT NOTED", "the disk is full", "› served")
	d.Press("esc")
	d.Expect(t, "boxed, core 82")
	d.Press("up")
	d.Expect(t, "› served")
	d.Press("ctrl+u", "esc")
	d.Expect(t, "type to narrow")
}

// It rings once when it is time to decide, and when a step is due. The box is computed
// again every minute.
func TestRings(t *testing.T) {
	p := hall()
	d := start(p, 80, 24)
	if len(p.Alerts) != 0 {
		t.Errorf("rang for %q", p.Alerts)
	}
	p.Box.Near = true
	d.Pass(time.Minute)
	d.Pass(time.Minute)
	if len(p.Alerts) != 1 || !strings.Contains(p.Alerts[0], "At or above 60 °C until") {
		t.Errorf("rang for %q", p.Alerts)
	}
	d.Expect(t, "Sat 01:06")
	d.Pass(54 * time.Minute)
	if len(p.Alerts) != 2 || p.Alerts[1] != "Read the core again. Each reading narrows the range." {
		t.Errorf("rang for %q", p.Alerts)
	}
}

func TestMore(t *testing.T) {
	d := start(hall(), 60, 20)
	d.Expect(t, "more: PgDn")
	d.Press("pgdown", "pgdown", "pgdown")
	d.Expect(t, "34 past loads")
	d.Press("pgup", "pgup", "pgup")
	d.Expect(t, "WHAT TO DO")
}
