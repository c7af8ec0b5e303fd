package versions_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func hall() *tuitest.Port {
	p := tuitest.Hall()
	for i, what := range []string{"01:00 pit 104 °C, core large 68 °C, vent", "corrected: 23:10 pit 113 °C", "changed outside ashbook", "lit"} {
		p.Past = append(p.Past, backend.Version{N: 4 - i, Hash: fmt.Sprint(4 - i), When: tuitest.Night.Add(-time.Duration(i) * time.Hour), Who: "RT", What: what})
	}
	return p
}

func start(p *tuitest.Port) *tuitest.Driver {
	return tuitest.Start(tui.New(p, tui.Options{Place: intent.Versions, Cook: tuitest.Running}), p, 80, 24)
}

func TestFrames(t *testing.T) {
	of := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Versions, Cook: tuitest.Running}), p
	}
	tuitest.Goldens(t, "versions", of, func(d *tuitest.Driver) { d.Press("down") })
	tuitest.Goldens(t, "brought", of, func(d *tuitest.Driver) {
		d.Press("down", "down")
		d.Type("b")
	})
}

// A version is brought back, that is undone, and it is brought back again.
func TestBring(t *testing.T) {
	p := hall()
	d := start(p)
	d.Expect(t, "change 1 of version 4")
	d.Type("b")
	d.Expect(t, "NOT BROUGHT BACK  this is the file as it is now")
	d.Type("u")
	d.Expect(t, "no version was brought back here yet")
	d.Press("down", "down")
	d.Expect(t, "change 1 of version 2")
	d.Type("b")
	d.Expect(t, "BROUGHT BACK  version 2", "5  19 Sep 01:04", "change 1 of version 5")
	d.Type("u")
	d.Expect(t, "AS IT WAS  version 4")
	d.Type("u")
	d.Expect(t, "no version was brought back here yet")
	if !slices.Equal(p.Brought, []int{2, 4}) {
		t.Errorf("brought %v", p.Brought)
	}
	p.Fails = errors.New("the disk is full")
	d.Press("down")
	d.Type("b")
	d.Expect(t, "NOT BROUGHT BACK  the disk is full")
}

// The page is always of the chosen version, however late answers come, and can be
// scrolled.
func TestPage(t *testing.T) {
	p := hall()
	d := start(p)
	d.Hold = true
	d.Press("down", "down", "down")
	d.Release()
	d.Expect(t, "change 1 of version 1")
	d.Press("pgdown")
	d.Expect(t, "change 10 of version 1", " of 3")
	d.Press("up")
	d.Expect(t, "change 1 of version 2")
	d.Press("esc")
	d.Expect(t, "type to narrow")
}
