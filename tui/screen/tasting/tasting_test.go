package tasting_test

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/tui"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func start(p *tuitest.Port, id string, w, h int) *tuitest.Driver {
	return tuitest.Start(tui.New(p, tui.Options{Place: intent.Tasting, Cook: id}), p, w, h)
}

func expect(t *testing.T, d *tuitest.Driver, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(d.Text(), w) {
			t.Errorf("no %q in\n%s", w, d.Text())
		}
	}
}

func line(d *tuitest.Driver, eater string) string {
	for _, l := range strings.Split(d.Text(), "\n") {
		if f := strings.Fields(strings.TrimPrefix(strings.TrimSpace(l), "› ")); len(f) > 1 && f[0] == eater && f[1] != "said:" && f[1] != "said" {
			return strings.Join(f, " ")
		}
	}
	return ""
}

func TestFrames(t *testing.T) {
	of := func(id string) func(style.Options) (tea.Model, *tuitest.Port) {
		return func(o style.Options) (tea.Model, *tuitest.Port) {
			p := tuitest.Hall()
			return tui.New(p, tui.Options{Look: o, Place: intent.Tasting, Cook: id}), p
		}
	}
	tuitest.Goldens(t, "grid", of(tuitest.Past), func(d *tuitest.Driver) {
		d.Press("down", "tab")
		d.Type("6-")
	})
	tuitest.Goldens(t, "round", of(tuitest.Running), func(d *tuitest.Driver) {
		d.Type("RT 8766+78 lovely edge")
		d.Press("enter")
		d.Type("MB 77-6")
	})
	tuitest.Goldens(t, "after", of(tuitest.Past), func(d *tuitest.Driver) {
		d.Type("y7.1")
		d.Press("enter", "esc")
		d.Type("k, and none after the wrap, whatever the visitor says about the smoke")
		d.Press("enter")
	})
}

func TestLeftLinesComeBack(t *testing.T) {
	d := start(tuitest.Hall(), tuitest.Past, 60, 20)
	for _, c := range []struct{ key, text string }{{"n", "QX"}, {"r", "QX 87"}, {"w", "a sharp edge"}, {"k", "cherry"}} {
		d.Type(c.key)
		d.Press("ctrl+u")
		d.Type(c.text)
		d.Press("esc")
		if strings.Contains(d.Text(), "› "+c.text) {
			t.Errorf("%q stays: %s", c.text, d.Text())
		}
		d.Type(c.key)
		expect(t, d, "› "+c.text)
		d.Press("esc")
	}
}

func TestAfterwards(t *testing.T) {
	p := tuitest.Hall()
	cook := p.Cooks[2]
	d := start(p, tuitest.Past, 60, 20)
	d.Type("c")
	expect(t, d, "change › start an hour later")
	d.Type(" at least")
	if d.Press("esc"); cook.Change != "start an hour later" {
		t.Errorf("left as it was: %q", cook.Change)
	}
	d.Type("c") // what was typed comes back
	expect(t, d, "change › start an hour later at least")
	d.Press("enter")
	expect(t, d, "› change start an hour later at least", "saved", "before: start an hour later")
	if cook.Change != "start an hour later at least" {
		t.Errorf("change %q", cook.Change)
	}
	d.Press("up", "enter", "ctrl+u", "enter")
	if cook.Keep != "" {
		t.Errorf("keep %q, want it taken out", cook.Keep)
	}
	expect(t, d, "› keep   ·", "before: cherry only")
	d.Press("up")
	d.Type("5")
	if got := line(d, "KL"); got != "KL 5 7+ 7- 9 7 8 unsaved" {
		t.Errorf("row %q: up from keep leads to the last eater", got)
	}
}

// Weights are asked for one after the other. A text that is no weight gives an error
// and stays on the line.
func TestWeights(t *testing.T) {
	p := tuitest.Hall()
	y := &p.Cooks[2].Yield
	d := start(p, tuitest.Past, 80, 24)
	for _, w := range []string{"y7.1", "1.3", "1 lb 2 oz"} {
		d.Type(w)
		d.Press("enter")
	}
	if y.Off.String() != "7.1 kg" || y.Discard.String() != "1.3 kg" || y.Left.String() != "1 lb 2 oz" {
		t.Errorf("kept %+v", y)
	}
	expect(t, d, "off 7.1 kg   discard 1.3 kg › left 1 lb 2 oz", " saved")
	d.Press("left", "enter")
	d.Type(" heavy")
	d.Press("enter", "esc", "left")
	expect(t, d, "› discard 1.3 kg heavy", "UNSAVED", "! discard not saved: ")
	d.Press("esc")
	expect(t, d, "one line is not saved")
	d.Press("esc")
	if y.Discard.String() != "1.3 kg" {
		t.Errorf("discard %s", y.Discard)
	}
}

// A note changed while it is being saved is saved again.
func TestNoteChangedWhileSaving(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Past, 80, 24)
	d.Hold = true
	d.Type("k!")
	d.Press("enter")
	d.Type("k!")
	d.Press("enter")
	d.Release()
	if got := p.Cooks[2].Keep; got != "cherry only in the first two hours!!" {
		t.Errorf("keep %q", got)
	}
	p.Fails = errors.New("disk is full")
	d.Type("k?")
	d.Press("enter")
	expect(t, d, "UNSAVED", "! keep not saved: disk is full")
	p.Fails = nil
	d.Press("esc")
	expect(t, d, "one line is not saved")
	d.Press("enter")
	if got := p.Cooks[2].Keep; !strings.HasSuffix(got, "!!?") {
		t.Errorf("keep %q", got)
	}
}

// If nobody has scored, down goes past the round to what to keep.
func TestAfterwardsWithoutEaters(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Running, 60, 20)
	d.Press("down", "up", "down", "enter")
	d.Type("sooner")
	d.Press("enter")
	if got := p.Cooks[0].Change; got != "sooner" {
		t.Errorf("change %q", got)
	}
}

func TestGrid(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Past, 80, 24)
	d.Type("9+")
	d.Press("tab")
	d.Type("3-")
	if got := line(d, "RT"); got != "RT 9+ 3- 8 7+ 8- 8 unsaved" {
		t.Errorf("row %q", got)
	}
	d.Type("-")
	d.Press("right", "backspace")
	if got := line(d, "RT"); got != "RT 9+ 3 · 7+ 8- 8 unsaved" {
		t.Errorf("row %q", got)
	}
	d.Press("enter")
	if got := line(d, "RT"); got != "RT 9+ 3 · 7+ 8- 8 saved" {
		t.Errorf("row %q", got)
	}
	want := [len(journal.Traits)]journal.Score{{Liked: 9, Lean: 1}, {Liked: 3}, {}, {Liked: 7, Lean: 1}, {Liked: 8, Lean: -1}, {Liked: 8}}
	if got := p.Cooks[2].Tasting[0]; got.Scores != want || got.Words != "more of the edge" {
		t.Errorf("kept %+v", got)
	}
	if len(p.Kept) != 1 {
		t.Errorf("%d eaters written, want the changed one alone", len(p.Kept))
	}
}

func TestMeans(t *testing.T) {
	d := start(tuitest.Hall(), tuitest.Running, 80, 24)
	for _, r := range []string{"A 987654", "B 123450"} {
		d.Type(r)
		d.Press("enter")
	}
	var mean, n string
	for _, l := range strings.Split(d.Text(), "\n") {
		f := strings.Fields(l)
		switch {
		case len(f) > 1 && f[0] == "mean":
			mean = strings.Join(f, " ")
		case len(f) > 1 && f[0] == "eaters":
			n = strings.Join(f, " ")
		}
	}
	if mean != "mean 5.0 5.0 5.0 5.0 5.0 4.0" || n != "eaters 2 2 2 2 2 1" {
		t.Errorf("%q, %q", mean, n)
	}
}

func TestRound(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Running, 80, 24)
	d.Type("RT 876")
	expect(t, d, "RT:  tender 8  moist 7  bark 6  then smoke")
	d.Press("enter")
	expect(t, d, "3 given, expected 6; smoke comes next", "› RT 876")
	d.Type("6+78 lovely edge")
	d.Press("enter")
	if got := line(d, "RT"); got != "RT 8 7 6 6+ 7 8 saved" {
		t.Errorf("row %q", got)
	}
	expect(t, d, "RT said: lovely edge")
	d.Type("rt 111111")
	expect(t, d, "rt again:")
	d.Press("enter")
	if got := p.Cooks[0].Tasting; len(got) != 1 || got[0].Eater != "RT" || got[0].Scores[0].Liked != 1 || got[0].Words != "lovely edge" {
		t.Errorf("kept %+v", got)
	}
	d.Type("RT 1234567")
	d.Press("enter")
	expect(t, d, "more than 6 given")
}

func TestNewEaterAndWords(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Past, 80, 24)
	d.Type("n")
	d.Type("two words")
	d.Press("enter")
	expect(t, d, "expected letters, no spaces")
	d.Press("ctrl+u")
	d.Type("PW")
	d.Press("enter")
	d.Type("7w")
	d.Type("a bit dry")
	d.Press("enter")
	expect(t, d, "PW said: a bit dry")
	d.Press("enter")
	if got := p.Cooks[2].Tasting; len(got) != 4 || got[3].Words != "a bit dry" || got[3].Scores[0].Liked != 7 {
		t.Errorf("kept %+v", got)
	}
	d.Type("n")
	d.Type("mb")
	d.Press("enter")
	d.Type("1")
	if got := line(d, "MB"); !strings.HasSuffix(got, "unsaved") {
		t.Errorf("row %q: known initials lead to their row", got)
	}
}

func TestFailedSaveIsShown(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Past, 80, 24)
	p.Fails = errors.New("disk is full")
	d.Type("9")
	d.Press("enter")
	expect(t, d, "UNSAVED", "! RT not saved: disk is full")
	p.Fails = nil
	d.Press("enter")
	if got := line(d, "RT"); !strings.HasSuffix(got, " saved") || strings.HasSuffix(got, "not saved") {
		t.Errorf("row %q", got)
	}
}

// Scores changed while earlier ones are being saved are saved afterwards.
func TestChangedWhileSaving(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Past, 80, 24)
	d.Hold = true
	d.Type("9")
	d.Press("enter")
	d.Type("2")
	d.Press("enter")
	d.Release()
	if got := p.Cooks[2].Tasting[0].Scores[0].Liked; got != 2 {
		t.Errorf("kept %d, want 2", got)
	}
	if got := line(d, "RT"); !strings.HasSuffix(got, "8 saved") {
		t.Errorf("row %q", got)
	}
}

func TestLeavingAsks(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, tuitest.Past, 80, 24)
	d.Type("9")
	d.Press("esc")
	expect(t, d, "one eater is not saved", "Enter save")
	d.Press("enter")
	if len(p.Kept) != 1 {
		t.Errorf("%d written", len(p.Kept))
	}
	d.Type("8")
	d.Press("esc", "esc")
	expect(t, d, "8 cooks")
	if len(p.Kept) != 1 {
		t.Errorf("%d written after leaving all the same", len(p.Kept))
	}
}

func TestManyEatersScroll(t *testing.T) {
	d := start(tuitest.Hall(), tuitest.Running, 60, 20)
	for r := 'A'; r <= 'Z'; r++ {
		d.Type(strings.Repeat(string(r), 2) + " 555555")
		d.Press("enter")
	}
	expect(t, d, "› ZZ")
	d.Press("esc")
	for range 30 {
		d.Press("up")
	}
	expect(t, d, "› AA")
	shown := 0
	for r := 'A'; r <= 'Z'; r++ {
		if line(d, strings.Repeat(string(r), 2)) != "" {
			shown++
		}
	}
	if shown < 5 {
		t.Errorf("%d eaters shown at 60×20, want at least 5", shown)
	}
}
