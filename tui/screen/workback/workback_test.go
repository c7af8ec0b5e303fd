package workback_test

import (
	"errors"
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
	p.Cellar = backend.Kitchen{
		Meal: backend.Meal{Serve: time.Date(2026, 10, 3, 13, 0, 0, 0, tuitest.Night.Location()), Heads: "24", Cut: "pork shoulder", Pit: "brick"},
		Cuts: []string{"pork shoulder", "brisket", "turkey breast"}, Pits: []string{"brick", "drum", "kettle"},
	}
	return p
}

func start(p *tuitest.Port) *tuitest.Driver {
	d := tuitest.Start(tui.New(p, tui.Options{Place: intent.Workback}), p, 80, 24)
	return d
}

func TestFrames(t *testing.T) {
	of := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Workback}), p
	}
	tuitest.Goldens(t, "plan", of, func(d *tuitest.Driver) { d.Press("down") })
	tuitest.Goldens(t, "typing", of, func(d *tuitest.Driver) {
		d.Type("noon")
		d.Press("enter")
	})
}

// Every field is changed in place, by keys or by typing, and the plan follows.
func TestFields(t *testing.T) {
	p := hall()
	d := start(p)
	d.Expect(t, "›serve   Sat 3 Oct 13:00", "pit at  115 °C, as usual", "wrap    none", "on by 20:00 Friday")
	d.Press("right", "shift+right")
	d.Expect(t, "Sun 4 Oct 13:30", "on by 20:30 Saturday")
	d.Press("down", "right", "right", "left")
	d.Expect(t, "›heads   25", "Serve 25 at")
	d.Type("24, children 6")
	d.Press("down")
	d.Expect(t, "heads   24, children 6", "›cut     pork shoulder")
	d.Press("right")
	d.Expect(t, "›cut     brisket", "kg of brisket")
	d.Press("left", "left")
	d.Expect(t, "›cut     turkey breast")
	d.Press("down", "right", "right")
	d.Expect(t, "›pit     kettle", "pit at  115 °C, a guess")
	d.Press("left", "down", "right")
	d.Expect(t, "pit     drum", "›pit at  120 °C")
	d.Press("left", "left")
	d.Expect(t, "›pit at  110 °C")
	d.Press("down", "right", "right")
	d.Expect(t, "›wrap    paper")
	d.Press("left", "left")
	d.Expect(t, "›wrap    none")
	d.Press("down")
	d.Expect(t, "›serve")
	if n := len(p.Worked); p.Worked[n-1].Cut != "turkey breast" || p.Worked[n-1].Heads != "24, children 6" {
		t.Errorf("worked back %+v", p.Worked[n-1])
	}
}

// A text that cannot be understood stays to be corrected. Leaving a field keeps its old
// value. A meal that cannot be worked back gives an error and is not saved.
func TestNothingIsLost(t *testing.T) {
	p := hall()
	d := start(p)
	d.Type("noon")
	d.Press("enter")
	d.Expect(t, "serve   noon", `not yet: time "noon"`)
	d.Press("down")
	d.Expect(t, "serve   noon")
	d.Press("esc")
	d.Expect(t, "›serve   Sat 3 Oct 13:00", "Backspace brings back what you typed")
	d.Press("backspace")
	d.Expect(t, "serve   noon")
	d.Press("esc")
	d.Press("down", "backspace")
	d.Expect(t, "heads   2")
	d.Press("esc")
	d.Type("0")
	d.Press("enter")
	d.Expect(t, "heads 0: expected 1 to 500")
	d.Press("enter")
	d.Expect(t, "NOT SAVED  heads 0")
	if len(p.Planned) != 0 {
		t.Errorf("saved %v", p.Planned)
	}
}

// How many pieces fit in a pit is asked once. The answer is typed on the screen, a
// wrong one stays to be corrected, and it applies only to that pit.
func TestHowManyFit(t *testing.T) {
	p := hall()
	p.Cellar.Pits = []string{"brick", "shed"}
	d := start(p)
	d.Press("down", "down", "down", "right")
	d.Expect(t, "›pit     shed", "How many pieces of pork shoulder, 4.0 kg each, fit in the shed at once?", "type how many")
	d.Type("some")
	d.Press("enter")
	d.Expect(t, "›pit     shed", "pieces  some", "not yet: expected")
	d.Press("esc")
	d.Expect(t, "type how many", "Backspace brings back what you typed")
	d.Press("backspace")
	d.Expect(t, "pieces  some")
	d.Press("ctrl+u")
	d.Type("4")
	d.Expect(t, "pieces  4")
	d.Press("enter")
	d.Expect(t, "›pit     shed", "Serve 24 at")
	d.Press("up", "up", "right")
	d.Expect(t, "Serve 25 at")
	asked := 0
	for _, m := range p.Worked {
		if m.Fits == "4" {
			asked++
		}
	}
	if asked != 1 {
		t.Errorf("answered %d times: %+v", asked, p.Worked)
	}
}

// A late answer belongs to what was asked, and the last request wins.
func TestLateAnswers(t *testing.T) {
	p := hall()
	d := start(p)
	d.Press("down")
	d.Hold = true
	d.Press("right", "right", "right")
	d.Expect(t, "heads   27", "working it out", "Serve 24 at")
	d.Press("enter")
	d.Expect(t, "SAVING  as soon as it is worked out")
	d.Press("right")
	d.Release()
	d.Expect(t, "Serve 28 at")
	if len(p.Planned) != 0 {
		t.Errorf("saved %v, and it was changed before that", p.Planned)
	}
	d.Hold = true
	d.Press("left", "enter")
	d.Release()
	d.Expect(t, "Make ready")
	if len(p.Planned) != 1 || p.Planned[0].Heads != "27" {
		t.Errorf("saved %v", p.Planned)
	}
	var heads []string
	for _, m := range p.Worked {
		heads = append(heads, m.Heads)
	}
	if !slices.Equal(heads, []string{"24", "25", "28", "27"}) {
		t.Errorf("worked back for %q", heads)
	}
}

// Enter saves the cook once and opens its lists. A changed meal is saved as another
// cook.
func TestSave(t *testing.T) {
	p := hall()
	d := start(p)
	p.Fails = errors.New("the disk is full")
	d.Press("enter")
	d.Expect(t, "NOT SAVED  the disk is full")
	p.Fails = nil
	d.Press("enter")
	d.Expect(t, "Make ready · Lantern supper")
	d.Press("esc")
	d.Expect(t, "SAVED  "+tuitest.Planned)
	d.Press("enter")
	d.Expect(t, "Make ready")
	d.Press("esc", "esc")
	d.Expect(t, "type to narrow")
	if len(p.Planned) != 1 || p.Planned[0].Heads != "24" {
		t.Errorf("saved %+v", p.Planned)
	}
}

func TestFromTheShelf(t *testing.T) {
	p := hall()
	d := tuitest.Start(tui.New(p, tui.Options{}), p, 60, 20)
	d.Press("ctrl+o")
	d.Expect(t, "Work back from the meal", "ON BY")
	d.Press("pgdown", "pgdown", "pgdown", "pgdown", "pgdown", "pgdown", "pgdown", "pgdown", "pgdown", "pgdown")
	d.Expect(t, "line 20 of the plan")
}
