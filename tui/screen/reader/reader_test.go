package reader_test

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func start(place intent.Place, cook string) *tuitest.Driver {
	p := tuitest.Hall()
	return tuitest.Start(tui.New(p, tui.Options{Place: place, Cook: cook}), p, 80, 24)
}

func shows(t *testing.T, d *tuitest.Driver, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(d.Text(), w) {
			t.Errorf("%q is not shown:\n%s", w, d.Text())
		}
	}
}

func hides(t *testing.T, d *tuitest.Driver, unwanted string) {
	t.Helper()
	if strings.Contains(d.Text(), unwanted) {
		t.Errorf("%q is shown:\n%s", unwanted, d.Text())
	}
}

// chosen returns the line that keys act on.
func chosen(d *tuitest.Driver) string {
	for _, l := range strings.Split(d.Text(), "\n") {
		if strings.HasPrefix(l, "›") {
			return strings.TrimRight(l, " ")
		}
	}
	return ""
}

func TestFrames(t *testing.T) {
	for _, c := range []struct {
		name  string
		place intent.Place
		cook  string
		do    func(*tuitest.Driver)
	}{
		{"cook", intent.Cook, tuitest.Running, func(*tuitest.Driver) {}},
		{"curve", intent.Cook, tuitest.Running, func(d *tuitest.Driver) { d.Press("tab", "tab", "tab", "tab", "enter") }},
		{"why", intent.Why, tuitest.Past, func(*tuitest.Driver) {}},
		{"why-opened", intent.Why, tuitest.Past, func(d *tuitest.Driver) { d.Press("tab", "down", "down", "enter") }},
		{"matters", intent.Matters, "", func(*tuitest.Driver) {}},
		{"matters-opened", intent.Matters, "", func(d *tuitest.Driver) { d.Press("tab", "enter") }},
		{"matters-narrowed", intent.Matters, "", func(d *tuitest.Driver) { d.Type("/foil") }},
		{"hindsight", intent.Hindsight, "", func(d *tuitest.Driver) { d.Press("tab", "tab") }},
		{"pits", intent.Pits, "", func(*tuitest.Driver) {}},
		{"pit", intent.Pits, "", func(d *tuitest.Driver) { d.Press("right") }},
		{"beside", intent.Shelf, "", func(d *tuitest.Driver) {
			for range 3 {
				d.Press("down")
				d.Type(" ")
			}
			d.Press("f2")
		}},
	} {
		tuitest.Goldens(t, c.name, func(o style.Options) (tea.Model, *tuitest.Port) {
			p := tuitest.Hall()
			return tui.New(p, tui.Options{Look: o, Place: c.place, Cook: c.cook}), p
		}, c.do)
	}
}

// What matters can be turned from one target to the next, and from the last to the
// first.
func TestMattersTurnsTargets(t *testing.T) {
	d := start(intent.Matters, "")
	shows(t, d, "What changes time")
	d.Press("right")
	shows(t, d, "What changes tenderness")
	d.Press("left", "left")
	shows(t, d, "What changes yield")
	d.Press("right")
	shows(t, d, "What changes time")
	d.Press("esc")
	shows(t, d, "type to narrow")
}

// After several fast turns the last one is shown, whatever the order of the answers.
func TestTurningFast(t *testing.T) {
	d := start(intent.Matters, "")
	d.Hold = true
	d.Press("right", "right", "right")
	shows(t, d, "working it out")
	d.Release()
	shows(t, d, "What changes bark")
	hides(t, d, "working")
}

// From the shelf and from a cook's page one gets to why and back again.
func TestWays(t *testing.T) {
	d := start(intent.Shelf, "")
	d.Press("ctrl+r")
	shows(t, d, "Hindsight")
	d.Press("esc", "ctrl+g")
	shows(t, d, "What changes time")
	d.Press("esc", "down", "down", "enter")
	shows(t, d, "Summer fête")
	d.Type("y")
	shows(t, d, "not explained")
	d.Press("ctrl+p")
	shows(t, d, "y why")
	d.Type("t")
	shows(t, d, "Tasting · Summer fête")
	d.Press("esc", "esc")
	shows(t, d, "type to narrow")
}

// If another cook is marked, the chosen one is compared with it.
func TestWhyAgainstTheMarkedCook(t *testing.T) {
	d := start(intent.Shelf, "")
	d.Press("down", "down")
	d.Type(" ")
	d.Press("down", "ctrl+y")
	shows(t, d, "Summer fête")
	d.Press("left")
	shows(t, d, " Summer fête ", "Midsummer supper, 20 Jun 2026")
}

// One marked cook and another chosen one are shown side by side. So are two marked
// ones, whichever row is chosen.
func TestBesideShowsTheMarkedCooks(t *testing.T) {
	d := start(intent.Shelf, "")
	d.Press("down", "down")
	d.Type(" ")
	d.Press("down", "f2")
	shows(t, d, "2 cooks side by side", "Summer fête", "Midsummer supper")
	d.Press("esc", "down")
	d.Type(" ")
	d.Press("down", "down", "f2")
	shows(t, d, "2 cooks side by side", "Summer fête", "May Day")
	hides(t, d, "St Nicholas")
	d.Press("esc", "esc")
	hides(t, d, "marked")
}

func TestSectionsAndRows(t *testing.T) {
	d := start(intent.Why, tuitest.Past)
	for _, want := range []string{"›  your usual", "›  It took"} {
		d.Press("tab")
		if got := chosen(d); !strings.HasPrefix(got, want) {
			t.Errorf("chosen %q, want %q", got, want)
		}
	}
	d.Press("shift+tab")
	first := chosen(d)
	d.Press("down", "down")
	if chosen(d) == first {
		t.Error("the rows cannot be gone through")
	}
	d.Press("shift+tab")
	if got := chosen(d); got != first {
		t.Errorf("back at the start of the section: %q, want %q", got, first)
	}
	d.Press("home")
	if got := chosen(d); !strings.Contains(got, "13 h 12 on the pit") {
		t.Errorf("at the top: %q", got)
	}
	d.Press("end")
	shows(t, d, "of ")
	d.Press("tab", "down", "pgdown")
	for range 100 {
		d.Press("up")
	}
	if got := chosen(d); !strings.Contains(got, "13 h 12 on the pit") {
		t.Errorf("up again: %q", got)
	}
}

// Every line of every page is visible at some time on the way down, in any window.
func TestNothingIsSkippedOnTheWayDown(t *testing.T) {
	for _, place := range []intent.Place{intent.Cook, intent.Why, intent.Matters, intent.Hindsight} {
		cook := tuitest.Running
		if place == intent.Matters || place == intent.Hindsight {
			cook = ""
		}
		p := tuitest.Hall()
		tall := tuitest.Start(tui.New(p, tui.Options{Place: place, Cook: cook}), p, 60, 400)
		short := tuitest.Start(tui.New(p, tui.Options{Place: place, Cook: cook}), p, 60, 12)
		seen := map[string]bool{}
		for range 400 {
			for _, l := range strings.Split(short.Text(), "\n") {
				seen[strings.TrimLeft(strings.TrimRight(l, " "), "› ")] = true
			}
			short.Press("down")
		}
		lines := strings.Split(tall.Text(), "\n")
		for _, l := range lines[:len(lines)-2] {
			if l = strings.TrimLeft(strings.TrimRight(l, " "), "› "); !seen[l] {
				t.Errorf("place %d: never seen: %q", place, l)
			}
		}
	}
}

// A row opens to show what it is based on, with its footnotes, and closes again.
func TestRowsOpen(t *testing.T) {
	d := start(intent.Matters, "")
	d.Press("tab", "enter")
	shows(t, d, "| Noted in 23 of 23 cooks. 9 with it, 14 without.", "8 of the 9 pan", "Enter closes it")
	d.Press("enter")
	hides(t, d, "| Noted")
	d.Press("enter", "down", "enter")
	shows(t, d, "84 in 100")
	hides(t, d, "93 in 100")
}

func TestNarrowing(t *testing.T) {
	d := start(intent.Matters, "")
	d.Type("/foil")
	shows(t, d, "/ foil", "wrap: foil instead of")
	hides(t, d, "water pan")
	d.Press("enter")
	shows(t, d, "/ foil", "← → along the top")
	d.Type("/ zebra")
	shows(t, d, "nothing here has all of these words")
	d.Press("esc")
	shows(t, d, "water pan")
	d.Press("esc")
	shows(t, d, "type to narrow")
}

// An error is shown if a page cannot be computed.
func TestMissingCook(t *testing.T) {
	d := start(intent.Why, "2026-01-01-none")
	shows(t, d, "not in the journal")
	d.Press("tab", "enter", "down", "end", "esc")
	shows(t, d, "type to narrow")
}

// failing has only the first turn of a page.
type failing struct{ *tuitest.Port }

func (f failing) Page(w backend.Wanted) (backend.Opened, error) {
	if w.Turn != "" {
		return backend.Opened{}, errors.New("cooks/x.md: permission denied")
	}
	return f.Port.Page(w)
}

func TestTurnThatFails(t *testing.T) {
	p := failing{tuitest.Hall()}
	d := tuitest.Start(tui.New(p, tui.Options{Place: intent.Matters}), p.Port, 80, 24)
	d.Press("right")
	shows(t, d, "permission denied")
	d.Press("right", "esc")
	shows(t, d, "type to narrow")
}

func BenchmarkReader(b *testing.B) {
	p := tuitest.Hall()
	tuitest.Day(p)
	d := tuitest.Start(tui.New(p, tui.Options{Place: intent.Cook, Cook: tuitest.Running}), p, 132, 43)
	for _, c := range []struct{ name, key string }{{"row", "down"}, {"open", "enter"}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				d.Press(c.key)
				_ = d.Frame()
				if c.key == "down" {
					d.Press("up")
				}
			}
		})
	}
}

// What two people set at the same time is first on a cook's page, with the keys to
// settle it.
func TestSettle(t *testing.T) {
	p := tuitest.Hall()
	for _, c := range p.Cooks {
		if c.ID == tuitest.Running {
			c.Others = []journal.Other{
				{Key: []string{"serve"}, Stands: "2026-09-19T14:00+01:00", Value: "2026-09-19T12:30+01:00", By: "Ann"},
				{Key: []string{"heads"}, Stands: "24", Value: "30"},
			}
		}
	}
	d := tuitest.Start(tui.New(p, tui.Options{Place: intent.Cook, Cook: tuitest.Running}), p, 80, 24)
	shows(t, d, "Two people said", "serve 14:00; Ann said 12:30", "heads 24; someone said 30", "F5: 14:00, F6: 12:30")
	d.Press("f6")
	hides(t, d, "Ann said")
	shows(t, d, "F5: 24, F6: 30")
	p.Fails = errors.New("the disk is full")
	d.Press("f5")
	shows(t, d, "! not settled: the disk is full", "heads 24; someone said 30")
	p.Fails = nil
	d.Press("f5")
	hides(t, d, "Two people said")
	d.Press("f5")
}

// A value of a page is changed on its line. A value that cannot be read is refused and
// stays on the line.
func TestAlter(t *testing.T) {
	d := start(intent.Settings, "")
	shows(t, d, "e change", "metric: a number")
	d.Type("e")
	shows(t, d, "1 of 2", "units › metric", "Esc cancel")
	d.Press("ctrl+u")
	d.Type("imperial")
	d.Press("enter")
	shows(t, d, "! not saved", "units › imperial", "write metric, or us")
	d.Press("esc")
	hides(t, d, "imperial")
	d.Type("e")
	shows(t, d, "units › imperial")
	d.Press("ctrl+u")
	d.Type("us")
	d.Press("enter")
	shows(t, d, "us: a number without a unit is in °F")
	hides(t, d, "units ›")
	d.Type("e")
	d.Press("down")
	d.Type("sh")
	d.Press("up", "down") // what was typed for a value stays its own
	shows(t, d, "› sh")
	d.Press("esc")
	d.Type("e")
	shows(t, d, "› sh")
	d.Press("ctrl+u")
	d.Type("brick")
	d.Press("enter")
	shows(t, d, "brick. Known pits")
	d.Size(60, 20)
	d.Type("e")
	d.Golden(t, "altering-60x20")
}
