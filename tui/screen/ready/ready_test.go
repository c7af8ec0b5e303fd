package ready_test

import (
	"errors"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func hall() *tuitest.Port {
	p := tuitest.Hall()
	line := 20
	for _, l := range []struct {
		section string
		tasks   []string
	}{
		{"Make ready", []string{"clean the grate and empty the ash of the last fire: cold ash only, in a metal bin", "check the two probes in boiling water", "foil, paper, the box and two old towels",
			"water pan, kettle", "trim, salt at 10 g/kg by Thursday 22:00, into the cold"}},
		{"Shopping", []string{"pork shoulder, 9.6 kg as 2 × 4.8 kg, bone in", "6 kg of lump charcoal", "330 g of cherry", "buns, 30", "cabbage, 2 heads; vinegar", "salt", "paper towels", "gloves"}},
	} {
		for i, text := range l.tasks {
			line++
			p.Lists = append(p.Lists, backend.Task{Section: l.section, Text: text, Done: l.section == "Make ready" && i == 1, Line: line})
		}
	}
	return p
}

func start(p *tuitest.Port) *tuitest.Driver {
	return tuitest.Start(tui.New(p, tui.Options{Place: intent.Ready, Cook: tuitest.Planned}), p, 60, 20)
}

func TestFrames(t *testing.T) {
	of := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Ready, Cook: tuitest.Planned}), p
	}
	tuitest.Goldens(t, "lists", of, func(d *tuitest.Driver) { d.Type(" jj") })
	none := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := tuitest.Hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Ready, Cook: tuitest.Planned}), p
	}
	tuitest.Goldens(t, "none", none, func(d *tuitest.Driver) {})
}

// One key ticks a task and unticks it again, and each is saved. The list scrolls with
// the chosen task and its heading.
func TestTick(t *testing.T) {
	p := hall()
	d := start(p)
	d.Expect(t, "12 of 13 to do", "›☐ clean the grate")
	d.Type(" ")
	d.Expect(t, "11 of 13 to do", "›☑ clean the grate")
	if !p.Lists[0].Done {
		t.Error("not kept")
	}
	d.Type(" ")
	d.Expect(t, "12 of 13 to do")
	d.Press("end")
	d.Expect(t, "›☐ gloves")
	d.Press("home")
	d.Expect(t, "MAKE READY", "›☐ clean the grate")
	d.Press("esc")
	d.Expect(t, "type to narrow")
}

// Ticks typed fast are saved in order and none is lost. If one cannot be saved, that is
// shown, and so is the task's true state.
func TestTicksWait(t *testing.T) {
	p := hall()
	d := start(p)
	d.Hold = true
	d.Type(" j j ")
	d.Press("esc")
	d.Expect(t, "11 of 13 to do")
	d.Release()
	if !p.Lists[0].Done || p.Lists[1].Done || !p.Lists[2].Done {
		t.Errorf("kept %v %v %v", p.Lists[0].Done, p.Lists[1].Done, p.Lists[2].Done)
	}
	p.Fails = errors.New("the disk is full")
	d.Type(" ")
	d.Expect(t, "NOT SAVED  the disk is full", "›☑ foil, paper")
}
