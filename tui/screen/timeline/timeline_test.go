package timeline_test

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func start(p *tuitest.Port) *tuitest.Driver {
	return tuitest.Start(tui.New(p, tui.Options{Place: intent.Timeline, Cook: tuitest.Running}), p, 80, 24)
}

func TestFrames(t *testing.T) {
	of := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := tuitest.Hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Timeline, Cook: tuitest.Running}), p
	}
	tuitest.Goldens(t, "entries", of, func(d *tuitest.Driver) { d.Press("up") })
	tuitest.Goldens(t, "mending", of, func(d *tuitest.Driver) {
		d.Press("up", "enter", "ctrl+u")
		d.Type("-10 112 17 v")
	})
	tuitest.Goldens(t, "corrected", of, func(d *tuitest.Driver) {
		d.Press("up", "enter", "ctrl+u")
		d.Type("-10 112 17 v")
		d.Press("enter")
	})
}

// A doubted entry has a question mark. Saving it unchanged confirms it.
func TestDoubtIsConfirmed(t *testing.T) {
	p := tuitest.Hall()
	d := start(p)
	d.Press("up", "enter", "ctrl+u")
	d.Type("-10 112 17 v")
	d.Press("enter")
	d.Expect(t, "core large 17 °C ?")
	d.Press("enter")
	d.Expect(t, "Enter without a change: the reading is right.")
	d.Press("enter")
	d.Expect(t, "CORRECTED", "core large 17 °C, vent, sure")
	if n := len(p.Cooks[0].Doubts()); n != 0 {
		t.Errorf("%d doubts", n)
	}
}

// An entry is put on the line as it would be typed, corrected, and restored by undo.
func TestMend(t *testing.T) {
	p := tuitest.Hall()
	d := start(p)
	entries := func() (all []string) {
		for _, e := range p.Cooks[0].Entries {
			all = append(all, e.Time.Format("15:04 ")+e.Body())
		}
		return all
	}
	before := entries()
	d.Press("up", "up", "enter")
	old := p.Cooks[0].Entries[len(before)-3]
	d.Expect(t, "› "+old.Typed(measure.Metric))
	d.Press("enter")
	if strings.Contains(d.Text(), "CORRECTED") {
		t.Errorf("nothing was changed:\n%s", d.Text())
	}
	d.Type("t")
	d.Expect(t, "› "+old.Time.Format("15:04"))
	d.Press("ctrl+u")
	d.Type("20:12")
	d.Press("enter")
	d.Expect(t, "CORRECTED", "was "+old.Time.Format("Mon 15:04"), "now Fri 20:12")
	if got := entries()[2]; got != "20:12 "+old.Body() {
		t.Errorf("moved to %q", got)
	}
	if c := chosen(d); !strings.Contains(c, "20:12") {
		t.Errorf("chosen is %q", c)
	}
	d.Type("d")
	d.Expect(t, "DELETED", "u puts it back")
	if len(entries()) != len(before)-1 {
		t.Errorf("%d entries", len(entries()))
	}
	d.Type("u")
	d.Expect(t, "AS IT WAS", "Fri 20:12")
	d.Press("ctrl+z")
	if got := entries(); strings.Join(got, "\n") != strings.Join(before, "\n") {
		t.Errorf("undone: %q\nwant %q", got, before)
	}
	d.Type("u")
	d.Expect(t, "NOT SAVED", "nothing was changed here")
}

// A line that cannot be understood or saved stays on the line. One that was left by
// mistake can be brought back.
func TestNothingTypedIsLost(t *testing.T) {
	p := tuitest.Hall()
	d := start(p)
	d.Press("enter", "ctrl+u")
	d.Type("112 chery")
	d.Press("enter")
	d.Expect(t, "ENTER AGAIN", "kept as words", "› 112 chery")
	d.Press("esc")
	d.Expect(t, "Enter correct")
	d.Press("enter", "up")
	d.Expect(t, "› 112 chery")
	d.Press("ctrl+u")
	d.Type("112")
	p.Fails = errors.New("the disk is full")
	d.Press("enter")
	d.Expect(t, "NOT SAVED", "the disk is full", "› 112")
	d.Press("ctrl+c")
	d.Expect(t, "the entry is not saved: ctrl+c again leaves anyway")
	p.Fails = nil
	d.Press("enter")
	d.Expect(t, "CORRECTED")
}

func TestAsideAndBack(t *testing.T) {
	p := tuitest.Hall()
	d := start(p)
	d.Type("a")
	d.Expect(t, "ASIDE", "left out of reports")
	if p.Cooks[0].Aside == "" {
		t.Error("not put aside")
	}
	d.Type("a")
	d.Expect(t, "BACK IN REPORTS")
	if p.Cooks[0].Aside != "" {
		t.Error("still aside")
	}
}

// The editor opens from the shelf, the watch, the page and the timeline. The outcome is
// shown and the cook is loaded again.
func TestEditor(t *testing.T) {
	for _, c := range []struct {
		place intent.Place
		key   string
	}{{intent.Shelf, "ctrl+x"}, {intent.Watch, "ctrl+x"}, {intent.Cook, "ctrl+x"}, {intent.Timeline, "ctrl+x"}} {
		p := tuitest.Hall()
		p.Edited = backend.Edited{Changed: true, Problems: []string{"line 3:8: serve \"soon\"", "line 9: b"}}
		d := tuitest.Start(tui.New(p, tui.Options{Place: c.place, Cook: tuitest.Running}), p, 80, 24)
		d.Press(c.key)
		d.Expect(t, `1 more with ashbook check; line 3:8: serve "soon"`)
		if len(p.Opened) != 1 || p.Opened[0] != tuitest.Running {
			t.Errorf("%v: opened %q", c.place, p.Opened)
		}
		p.Edited = backend.Edited{Changed: true}
		d.Press(c.key)
		d.Expect(t, "read again and saved in history")
		p.Fails = errors.New("editor \"nano\": not found")
		d.Press(c.key)
		d.Expect(t, "not edited: editor")
	}
}

func chosen(d *tuitest.Driver) string {
	for _, l := range strings.Split(d.Text(), "\n") {
		if strings.HasPrefix(l, "›") {
			return l
		}
	}
	return ""
}
