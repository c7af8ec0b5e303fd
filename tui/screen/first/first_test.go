package first_test

import (
	"errors"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func empty() *tuitest.Port {
	p := tuitest.Hall()
	const home = "/home/rt/.local/share/ashbook"
	p.Start = backend.Beginning{Where: home, Usual: home, Because: "There is no journal yet. Press Enter to begin one as shown below."}
	return p
}

func start(p *tuitest.Port) *tuitest.Driver {
	return tuitest.Start(tui.NewFirst(p, tui.Options{}), p, 60, 20)
}

func TestFrames(t *testing.T) {
	of := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := empty()
		return tui.NewFirst(p, tui.Options{Look: o}), p
	}
	tuitest.Goldens(t, "questions", of, func(d *tuitest.Driver) {})
	tuitest.Goldens(t, "elsewhere", of, func(d *tuitest.Driver) {
		d.Press("right", "down")
		d.Type("/srv/hall/cooks")
		d.Press("enter")
	})
}

// One key begins with the suggested answers.
func TestEnterBegins(t *testing.T) {
	p := empty()
	d := start(p)
	d.Press("enter")
	if !d.Quit || len(p.Made) != 1 || p.Made[0] != p.Start {
		t.Errorf("quit %v, made %+v", d.Quit, p.Made)
	}
}

func TestQuestions(t *testing.T) {
	p := empty()
	d := start(p)
	d.Type("x")
	d.Press("right")
	d.Expect(t, "US: °F, lb, in")
	d.Press("down", "backspace")
	d.Type("k/")
	d.Press("down")
	d.Expect(t, "share/ashbook/", "ASHBOOK_JOURNAL", "›begin   with an empty journal")
	p.Fails = errors.New("no room on the disk")
	d.Press("enter")
	d.Expect(t, "not made: no room on the disk")
	p.Fails = nil
	d.Press("right")
	d.Expect(t, "looking around in an invented one", "deleted when you leave")
	d.Press("left", "enter")
	want := backend.Beginning{Units: measure.US, Where: p.Start.Where + "/", Usual: p.Start.Usual, Because: p.Start.Because}
	if !d.Quit || len(p.Made) != 1 || p.Made[0] != want {
		t.Errorf("made %+v", p.Made)
	}
}

func TestLeaving(t *testing.T) {
	p := empty()
	d := start(p)
	d.Press("down", "ctrl+w", "esc")
	if d.Quit {
		t.Error("Esc left ashbook, not the line")
	}
	d.Expect(t, p.Start.Where)
	d.Press("esc")
	if !d.Quit || len(p.Made) != 0 {
		t.Errorf("quit %v, made %+v", d.Quit, p.Made)
	}
}
