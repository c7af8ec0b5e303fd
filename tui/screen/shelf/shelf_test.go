package shelf_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/report/page"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func start(p *tuitest.Port, w, h int) *tuitest.Driver {
	return tuitest.Start(tui.New(p, tui.Options{}), p, w, h)
}

func expect(t *testing.T, d *tuitest.Driver, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(d.Text(), w) {
			t.Errorf("no %q in\n%s", w, d.Text())
		}
	}
}

// chosen returns the row that keys act on.
func chosen(d *tuitest.Driver) string {
	for _, l := range strings.Split(d.Text(), "\n") {
		if strings.HasPrefix(l, "›") {
			return l
		}
	}
	return ""
}

func TestFrames(t *testing.T) {
	hall := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := tuitest.Hall()
		p.Notices = []string{"2 files need a look: ashbook check"}
		return tui.New(p, tui.Options{Look: o}), p
	}
	tuitest.Goldens(t, "shelf", hall, func(*tuitest.Driver) {})
	tuitest.Goldens(t, "narrowed", hall, func(d *tuitest.Driver) {
		d.Type("pork brick")
		d.Press("down")
	})
	tuitest.Goldens(t, "page", hall, func(d *tuitest.Driver) {
		d.Press("down", "down", "enter")
	})
	empty := func(o style.Options) (tea.Model, *tuitest.Port) {
		p := &tuitest.Port{Clock: tuitest.Night}
		return tui.New(p, tui.Options{Look: o}), p
	}
	tuitest.Goldens(t, "empty", empty, func(d *tuitest.Driver) {
		d.Press("ctrl+l")
	})
}

// Running cooks come first, then planned ones, then past ones from the newest.
func TestOrder(t *testing.T) {
	d := start(tuitest.Hall(), 80, 24)
	want := []string{"Harvest supper", "Lantern supper", "Summer fête", "Midsummer", "May Day", "After the", "St Nicholas", "Harvest supper"}
	for i, w := range want {
		if got := chosen(d); !strings.Contains(got, w) {
			t.Errorf("row %d is %q, want %s", i, got, w)
		}
		d.Press("down")
	}
}

func TestNarrowing(t *testing.T) {
	d := start(tuitest.Hall(), 80, 24)
	d.Type("brick pork")
	expect(t, d, "4 of 8 cooks")
	d.Type(" zebra")
	expect(t, d, "0 of 8 cooks", "no cook has all of these words")
	d.Press("enter", "ctrl+t")
	expect(t, d, "0 of 8 cooks")
	d.Press("esc")
	expect(t, d, "8 cooks")
}

// No search begins while one is pending. After its answer, the shelf searches for the
// words that are typed by then.
func TestOneSearchAtATime(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, 80, 24)
	p.Asked = nil
	d.Hold = true
	d.Type("lan")
	d.Hold = false
	d.Release()
	if want := []string{"l", "lan"}; !slices.Equal(p.Asked, want) {
		t.Errorf("searches %q, want %q", p.Asked, want)
	}
	expect(t, d, "1 of 8 cooks", "Lantern")
}

// An answer to no pending request changes nothing.
func TestStrangeAnswerIsDropped(t *testing.T) {
	d := start(tuitest.Hall(), 80, 24)
	before := d.Frame()
	d.Send(backend.Answer[backend.Shelf]{Request: 9999})
	d.Send(backend.Answer[backend.Opened]{Request: 9999})
	if d.Frame() != before {
		t.Errorf("the frame changed:\n%s", d.Text())
	}
}

func TestOpen(t *testing.T) {
	d := start(tuitest.Hall(), 80, 24)
	d.Press("enter")
	expect(t, d, "READY TO TAKE OFF", "stalling")
	d.Press("esc", "down", "enter")
	expect(t, d, "READY TO TAKE OFF", "planned")
	d.Press("esc", "down", "enter")
	expect(t, d, "pork shoulder, 8.4 kg, brick pit.", "Esc back")
	d.Type("t")
	expect(t, d, "Tasting · Summer fête")
	d.Press("esc")
	expect(t, d, "pork shoulder, 8.4 kg, brick pit.")
	d.Press("esc")
	expect(t, d, "8 cooks")
}

func TestLongPageScrolls(t *testing.T) {
	p := tuitest.Hall()
	var prose []string
	for i := range 100 {
		prose = append(prose, fmt.Sprintf("line %d of the prose", i))
	}
	p.Cooks[2].Prose = strings.Join(prose, "\n\n")
	d := start(p, 60, 20)
	d.Press("down", "down", "enter")
	d.Press("end")
	expect(t, d, "line 99 of the prose")
	d.Press("home")
	expect(t, d, "Summer fête", "lines 1 – 18 of")
	d.Press("pgdown")
	expect(t, d, "lines 19 – 36 of")
}

func TestEmptyAndBroken(t *testing.T) {
	d := start(&tuitest.Port{Clock: tuitest.Night}, 80, 24)
	expect(t, d, "no cooks yet")
	d.Press("enter", "down", "pgdown", "ctrl+end", "ctrl+t", "esc")
	expect(t, d, "no cooks yet")
}

type broken struct{ *tuitest.Port }

func (broken) Search(string) (backend.Shelf, error) {
	return backend.Shelf{}, errors.New("journal: permission denied")
}

func TestUnreadableJournal(t *testing.T) {
	p := &tuitest.Port{Clock: tuitest.Night}
	d := tuitest.Start(tui.New(broken{p}, tui.Options{}), p, 80, 24)
	expect(t, d, "! the journal cannot be read: journal: permission denied")
}

// A notice is wrapped over up to three lines. A longer one ends in "…".
func TestLongNotices(t *testing.T) {
	p := tuitest.Hall()
	p.Notices = []string{strings.Repeat("cook ", 20) + "end"}
	expect(t, start(p, 60, 20), "cook end")
	p.Notices = append(p.Notices, strings.Repeat("page ", 20)+"end")
	d := start(p, 60, 20)
	expect(t, d, "cook end", "page page …")
	if strings.Contains(d.Text(), "page end") {
		t.Errorf("more than three lines:\n%s", d.Text())
	}
}

func TestRefresh(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, 80, 24)
	d.Press("down", "down")
	p.Cooks = slices.Delete(p.Cooks, 0, 1)
	d.Pass(2 * time.Minute)
	expect(t, d, "7 cooks")
	if !strings.Contains(chosen(d), "Summer fête") {
		t.Errorf("chosen is now %q", chosen(d))
	}
}

func BenchmarkShelf(b *testing.B) {
	p := tuitest.Many(10_000)
	found, err := p.Search("")
	if err != nil {
		b.Fatal(err)
	}
	d := tuitest.Start(tui.New(fixed{p, found}, tui.Options{}), p, 132, 43)
	d.Press("ctrl+end")
	b.Run("key and frame", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			d.Press("up")
			_ = d.Frame()
		}
	})
	b.Run("rows arriving", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			d := tuitest.Start(tui.New(fixed{p, found}, tui.Options{}), p, 132, 43)
			_ = d.Frame()
		}
	})
}

// fixed answers every search with the same rows, and has one short page.
type fixed struct {
	*tuitest.Port
	found backend.Shelf
}

func (fixed) Page(backend.Wanted) (backend.Opened, error) {
	return backend.Opened{Page: page.Page{Title: "Supper", Lead: []string{"pork shoulder"}}}, nil
}

func (f fixed) Search(string) (backend.Shelf, error) { return f.found, nil }

// A click chooses a row and a second one opens it. The wheel moves through the rows.
func TestMouse(t *testing.T) {
	d := start(tuitest.Hall(), 80, 24)
	click := tea.MouseMsg{X: 20, Y: 5, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft}
	d.Send(click)
	if got := chosen(d); !strings.Contains(got, "Summer fête") {
		t.Fatalf("chosen %q", got)
	}
	d.Send(tea.MouseMsg{Action: tea.MouseActionRelease, Button: tea.MouseButtonLeft, X: 20, Y: 5})
	d.Send(tea.MouseMsg{Action: tea.MouseActionPress, Button: tea.MouseButtonWheelDown})
	if got := chosen(d); !strings.Contains(got, "After the") {
		t.Errorf("chosen %q", got)
	}
	d.Send(tea.MouseMsg{Action: tea.MouseActionPress, Button: tea.MouseButtonWheelUp})
	d.Send(tea.MouseMsg{X: 20, Y: 60, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	d.Send(tea.MouseMsg{X: 20, Y: 0, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	d.Send(click)
	expect(t, d, "pork shoulder, 8.4 kg, brick pit.", "lines 1")
	d.Send(tea.MouseMsg{X: 20, Y: 4, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	if got := chosen(d); !strings.Contains(got, "8.4 kg trimmed") {
		t.Errorf("chosen %q", got)
	}
}

// Ctrl+l, a cut and Enter light a cook without a meal.
func TestLightACook(t *testing.T) {
	p := &tuitest.Port{Clock: tuitest.Hall().Clock}
	d := start(p, 80, 24)
	d.Expect(t, "ctrl+l lights one now")
	d.Press("ctrl+l", "enter")
	d.Expect(t, "Light now, cut", "carbon monoxide")
	d.Type("brisket")
	p.Fails = errors.New("the disk is full")
	d.Press("enter")
	d.Expect(t, "not lit: the disk is full", "brisket")
	p.Fails = nil
	d.Press("enter")
	if len(p.Cooks) != 1 || p.Cooks[0].Cut != "brisket" {
		t.Fatalf("cooks %v", p.Cooks)
	}
	d = start(tuitest.Hall(), 80, 24)
	d.Type("harvest")
	d.Press("ctrl+l", "esc")
	d.Expect(t, "› harvest")
}
