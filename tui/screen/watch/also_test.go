package watch_test

import (
	"errors"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/tui"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

// twoSaid returns the hall, where two people set the serving hour of the running cook.
func twoSaid() *tuitest.Port {
	p := tuitest.Hall()
	for _, c := range p.Cooks {
		if c.ID == tuitest.Running {
			c.Others = []journal.Other{{Key: []string{"serve"}, Stands: "2026-09-19T14:00+01:00", Value: "2026-09-19T12:30+01:00", By: "Ann"}}
		}
	}
	return p
}

func TestFramesWithTwoPeoplesValues(t *testing.T) {
	tuitest.Goldens(t, "twosaid", func(o style.Options) (tea.Model, *tuitest.Port) {
		p := twoSaid()
		return tui.New(p, tui.Options{Look: o, Place: intent.Watch, Cook: tuitest.Running}), p
	}, func(*tuitest.Driver) {})
}

// What two people set is also shown below the answer to a noted line, since nobody may
// press a key for a while.
func TestTwoPeoplesValuesWhileNoting(t *testing.T) {
	d := start(tuitest.Running, twoSaid(), 60, 20)
	d.Type("112 71")
	d.Press("enter")
	expect(t, d, "NOTED", "serve 14:00; Ann said 12:30.", "PIT °C", "LAST DONE", "likely 08:10")
}

// One key settles what two people set, even while a line is typed, and the outcome is
// shown.
func TestSettle(t *testing.T) {
	for key, want := range map[string]string{"f5": "SETTLED  serve 14:00, not 12:30", "f6": "SETTLED  serve 12:30, not 14:00"} {
		p := twoSaid()
		d := start(tuitest.Running, p, 80, 24)
		expect(t, d, "serve 14:00; Ann said 12:30.", "F5: 14:00, F6: 12:30")
		d.Type("112 7")
		d.Press(key)
		expect(t, d, want, "112 7")
		d.Press("esc")
		expectNot(t, d, "Ann said")
		d.Press(key)
		expect(t, d, "NOT SETTLED")
	}
}

func TestSettleFails(t *testing.T) {
	p := twoSaid()
	p.Fails = errors.New("the disk is full")
	d := start(tuitest.Running, p, 80, 24)
	d.Press("f5")
	expect(t, d, "NOT SETTLED  the disk is full")
	d.Press("esc")
	expect(t, d, "Ann said 12:30")
}
