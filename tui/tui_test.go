package tui_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/journaltest"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

type placed struct {
	name  string
	place intent.Place
	cook  string
}

var places = []placed{
	{"shelf", intent.Shelf, ""},
	{"watch", intent.Watch, tuitest.Running},
	{"planned", intent.Watch, tuitest.Planned},
	{"tasting", intent.Tasting, tuitest.Past},
	{"timeline", intent.Timeline, tuitest.Past},
	{"versions", intent.Versions, tuitest.Past},
	{"hold", intent.Hold, tuitest.Running},
	{"ready", intent.Ready, tuitest.Planned},
	{"workback", intent.Workback, ""},
	{"first run", intent.FirstRun, ""},
	{"page", intent.Cook, tuitest.Past},
	{"beside", intent.Beside, tuitest.Past},
	{"why", intent.Why, tuitest.Past},
	{"matters", intent.Matters, ""},
	{"hindsight", intent.Hindsight, ""},
	{"pits", intent.Pits, ""},
	{"missing", intent.Watch, "2026-01-01-none"},
}

func start(p *tuitest.Port, o style.Options, place intent.Place, cook string, w, h int) *tuitest.Driver {
	if place == intent.FirstRun {
		return tuitest.Start(tui.NewFirst(p, tui.Options{Look: o}), p, w, h)
	}
	return tuitest.Start(tui.New(p, tui.Options{Look: o, Place: place, Cook: cook}), p, w, h)
}

// In a window of any size no screen fails or draws outside it, whatever is typed and
// whatever answer is shown.
func TestEveryWindow(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	for _, pl := range places {
		d := start(tuitest.Hall(), style.Options{}, pl.place, pl.cook, 80, 24)
		steps := []func(){
			func() {},
			func() { d.Type("112 17 w cherry 90 v -20 -- pale on the left, and more of it than will ever fit") },
			func() { d.Press("enter") },
			func() { d.Press("f1") },
		}
		for i, step := range steps {
			step()
			for x, w := range []int{0, 1, 2, 20, 39, 40, 41, 59, 60, 61, 80, 103, 104, 110, 132, 300} {
				for y, h := range []int{0, 1, 2, 3, 8, 11, 12, 13, 16, 19, 20, 23, 24, 25, 32, 43, 45} {
					if !journaltest.Whole() && (x+y+i)%2 != 0 { // every window size at two of the steps
						continue
					}
					d.Size(w, h)
					if t.Failed() {
						t.Fatalf("%s, step %d, %d×%d:\n%s", pl.name, i, w, h, d.Text())
					}
					tuitest.Fits(t, d.Frame(), w, h)
				}
			}
			d.Size(80, 24)
		}
	}
}

func TestTooSmallWindowIsReported(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Watch, tuitest.Running, 39, 12)
	if got := d.Text(); !strings.HasPrefix(got, "too small\n40×12 is needed") {
		t.Errorf("%q", got)
	}
	d.Size(40, 12)
	for _, w := range []string{"PIT", "CORE", "READY TO TAKE OFF", "NEXT CHECK", "LAST DONE", "›"} {
		if !strings.Contains(d.Text(), w) {
			t.Errorf("no %s at 40×12:\n%s", w, d.Text())
		}
	}
}

// hostile has what a terminal would act on, hide or reverse: a write to the clipboard,
// a title, cursor moves, C1 controls, a right-to-left override, characters without
// width, a line end.
const hostile = "\x1b]52;c;cm0=\x07\x1b]0;owned\x1b\\\x1b[2J\x1b[31mred\u009b2J\u0090q\u202Egnp.\u2066\u200b\ufeff\x00\x7f\r\nnext\t."

// No text from a file that is shown reaches the terminal with such characters.
func TestHostileCook(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	hall := tuitest.Hall()
	for _, c := range hall.Cooks {
		c.Title = "Supper " + hostile
		c.Cut, c.Pit, c.Keep, c.Change, c.Prose = hostile, hostile, hostile, hostile, hostile
		for i := range c.Pieces {
			c.Pieces[i].Name = hostile
		}
		for i := range c.Entries {
			c.Entries[i].Words = hostile
			c.Entries[i].Items = append(c.Entries[i].Items, journal.Item{Act: journal.Vent, Detail: hostile})
		}
		for i := range c.Tasting {
			c.Tasting[i].Eater, c.Tasting[i].Words = hostile, hostile
		}
	}
	hall.Cooks = append(hall.Cooks, &journal.Cook{ID: "2026-09-01-" + hostile, Pieces: []journal.Piece{{}}})
	hall.Notices = []string{hostile}
	f := hall.Forecasts[tuitest.Running]
	f.From, f.Meal, f.Stall, f.Fire = hostile, hostile, hostile, backend.Fire{Says: hostile, Caution: hostile}
	hall.Forecasts[tuitest.Running] = f
	for p, pl := range places {
		for i, o := range []style.Options{{}, {Colour: style.Many, Dark: true}, {Colour: style.Sixteen, Night: true}} {
			for k, size := range tuitest.Sizes {
				if !journaltest.Whole() && (p+i+k)%3 != 0 { // each palette and each size in turn
					continue
				}
				d := start(hall, o, pl.place, pl.cook, size[0], size[1])
				tuitest.Fits(t, d.Frame(), size[0], size[1])
				d.Paste(hostile)
				tuitest.Fits(t, d.Frame(), size[0], size[1])
				d.Press("enter")
				tuitest.Fits(t, d.Frame(), size[0], size[1])
				d.Press("esc", "esc", "down", "down", "down", "enter")
				tuitest.Fits(t, d.Frame(), size[0], size[1])
				if t.Failed() {
					t.Fatalf("%s at %v", pl.name, size)
				}
			}
		}
	}
}

// The screens show the same words with colour and without.
func TestNothingRestsOnColour(t *testing.T) {
	for _, pl := range places {
		plain := start(tuitest.Hall(), style.Options{}, pl.place, pl.cook, 80, 24)
		for _, o := range []style.Options{{Colour: style.Sixteen, Dark: true}, {Colour: style.Sixteen}, {Colour: style.Many, Dark: true}, {Colour: style.Many}} {
			if d := start(tuitest.Hall(), o, pl.place, pl.cook, 80, 24); d.Text() != plain.Text() {
				t.Errorf("%s with %+v differs:\n%s", pl.name, o, d.Text())
			}
		}
	}
}

var colour = regexp.MustCompile("\x1b\\[[0-9;]*?(3[0-8]|4[0-8]|9[0-7]|10[0-7])[0-9;]*m")

func TestNoColourMeansNone(t *testing.T) {
	for _, pl := range places {
		d := start(tuitest.Hall(), style.Options{}, pl.place, pl.cook, 80, 24)
		d.Press("ctrl+n")
		if c := colour.FindString(d.Frame()); c != "" {
			t.Errorf("%s: %q", pl.name, c)
		}
		if !strings.Contains(d.Text(), "night mode needs colour") {
			t.Errorf("%s: the night key does not say why it does nothing", pl.name)
		}
	}
}

// In night colours every cell has a background, so that no bright one remains.
func TestNightFillsTheWindow(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{Colour: style.Many}, intent.Watch, tuitest.Running, 80, 24)
	d.Press("ctrl+n")
	for i, l := range strings.Split(d.Text(), "\n") {
		if n := len([]rune(l)); n != 80 {
			t.Errorf("line %d: %d cells, want 80", i, n)
		}
	}
	for _, run := range strings.Split(d.Frame(), "\x1b[0m") {
		if run = strings.TrimPrefix(run, "\n"); run != "" && !strings.Contains(run, ";48;5;16m") {
			t.Fatalf("no black ground: %q", run)
		}
	}
	d.Press("ctrl+n")
	if strings.Contains(d.Frame(), "48;5;16") {
		t.Error("night stays")
	}
}

func TestKeysOverview(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Watch, tuitest.Running, 80, 43)
	d.Type("?")
	for _, want := range []string{"Watch: all keys", "undo the last entry", "On the line, for example:", "w cherry 90 g", "pit 112 °C · core large 71 °C", "leave ashbook"} {
		if !strings.Contains(d.Text(), want) {
			t.Errorf("no %q in\n%s", want, d.Text())
		}
	}
	d.Press("esc")
	d.Type("v?")
	if !strings.Contains(d.Text(), "› v?") {
		t.Errorf("a question mark in a line is not text:\n%s", d.Text())
	}
	d.Golden(t, "question")
	d.Press("f1")
	d.Golden(t, "keys")
}

func TestQuitAsksAboutUnsavedWork(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Shelf, "", 80, 24)
	d.Press("ctrl+c")
	if !d.Quit {
		t.Error("the shelf does not quit")
	}
	d = start(tuitest.Hall(), style.Options{}, intent.Tasting, tuitest.Past, 80, 24)
	d.Type("9")
	d.Press("ctrl+c")
	if d.Quit || !strings.Contains(d.Text(), "one eater is not saved: ctrl+c again") {
		t.Errorf("quit %v:\n%s", d.Quit, d.Text())
	}
	d.Press("left", "ctrl+c")
	if d.Quit {
		t.Error("another key between does not call the question off")
	}
	d.Press("ctrl+c")
	if !d.Quit {
		t.Error("the second key does not quit")
	}
}

// A full line is reported once. More text changes nothing, and deleting a letter makes
// room again.
func TestFullLine(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Watch, tuitest.Running, 80, 24)
	d.Paste(strings.Repeat("a ", lineedit.Longest/2))
	d.Type("b")
	said := d.Text()
	if !strings.Contains(said, "NOT TAKEN") {
		t.Fatalf("not said:\n%s", said)
	}
	d.Type("cc cc")
	if d.Text() != said {
		t.Errorf("more text is shown:\n%s", d.Text())
	}
	d.Press("backspace")
	d.Type("z")
	if s := d.Text(); strings.Contains(s, "NOT TAKEN") || !strings.Contains(s, "az") {
		t.Errorf("there is room again:\n%s", s)
	}
}

// Another notice is not taken for the question.
func TestNightNoticeIsNoQuestion(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Tasting, tuitest.Past, 80, 24)
	d.Type("9")
	d.Press("ctrl+n", "ctrl+c")
	if d.Quit {
		t.Error("left without asking")
	}
}

// Screens below the top one still run: a check rings while scores are typed.
func TestBellWhileTasting(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, style.Options{}, intent.Watch, tuitest.Running, 80, 24)
	d.Press("ctrl+t")
	d.Pass(50 * time.Minute)
	if len(p.Alerts) != 1 {
		t.Errorf("alerts %q", p.Alerts)
	}
}

// There is never more than one pending tick.
func TestOneTickAtATime(t *testing.T) {
	p := &ticks{Port: tuitest.Hall()}
	d := tuitest.Start(tui.New(p, tui.Options{}), p.Port, 80, 24)
	if len(p.waits) != 1 {
		t.Fatalf("waits %v at the start", p.waits)
	}
	d.Press("enter")
	if len(p.waits) != 1 {
		t.Errorf("waits %v after a second screen", p.waits)
	}
	if got := fmt.Sprint(p.waits[0]); got != "2s" {
		t.Errorf("waits %s", got)
	}
}

type ticks struct {
	*tuitest.Port
	waits []time.Duration
}

func (p *ticks) Wait(d time.Duration) (time.Time, bool) {
	p.waits = append(p.waits, d)
	return time.Time{}, false
}

// Several keys in one message each count.
func TestKeysThatArriveTogether(t *testing.T) {
	p := tuitest.Hall()
	d := start(p, style.Options{}, intent.Tasting, tuitest.Past, 80, 24)
	d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("rZZ 8+7-7668")})
	d.Press("enter")
	if frame := d.Text(); !strings.Contains(frame, "ZZ    8+        7-        7         6         6         8") {
		t.Errorf("the round was not taken:\n%s", frame)
	}
}

// A key typed just after one that opens or closes a screen belongs to the next screen,
// whenever commands run.
func TestKeysRightBehindAMove(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Shelf, "", 80, 24)
	d.Hold = true
	d.Press("enter")
	d.Type("pit 110")
	d.Release()
	d.Expect(t, "› pit 110", "READY TO TAKE OFF")
	d.Hold = true
	d.Press("ctrl+u", "esc")
	d.Type("lamb")
	d.Release()
	d.Expect(t, "› lamb", "lamb shoulder")
}

// These tests have every screen, and an unknown place opens nothing.
func TestPlaces(t *testing.T) {
	for p := range intent.Places {
		if !p.IsPage() && !slices.ContainsFunc(places, func(o placed) bool { return o.place == p }) {
			t.Errorf("screen %d is not among the places of these tests", p)
		}
	}
	d := start(tuitest.Hall(), style.Options{}, intent.Places, "", 80, 24)
	shelf := start(tuitest.Hall(), style.Options{}, intent.Shelf, "", 80, 24)
	if got, want := strings.Split(d.Frame(), "\n")[0], strings.Split(shelf.Frame(), "\n")[0]; got != want {
		t.Errorf("what is no place opens %q", got)
	}
	if !strings.Contains(d.Frame(), "there is no such screen") {
		t.Errorf("nothing is said:\n%s", d.Frame())
	}
}
