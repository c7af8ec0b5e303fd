package tui_test

import (
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/tui"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

// found returns what the finder would do on Enter.
func found(d *tuitest.Driver) string {
	for _, l := range strings.Split(d.Text(), "\n") {
		if strings.HasPrefix(l, "›") {
			return strings.TrimSpace(strings.TrimPrefix(l, "›"))
		}
	}
	return ""
}

func TestFinderFrames(t *testing.T) {
	tuitest.Goldens(t, "finder", func(o style.Options) (tea.Model, *tuitest.Port) {
		p := tuitest.Hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Watch, Cook: tuitest.Running}), p
	}, func(d *tuitest.Driver) { d.Press("ctrl+k", "down") })
	tuitest.Goldens(t, "finder-foil", func(o style.Options) (tea.Model, *tuitest.Port) {
		p := tuitest.Hall()
		return tui.New(p, tui.Options{Look: o, Place: intent.Watch, Cook: tuitest.Running}), p
	}, func(d *tuitest.Driver) {
		d.Press("ctrl+k")
		d.Type("foil")
	})
}

// An act found by its word is put on the entry line of the Watch. Other screens do not
// offer acts.
func TestFindAnAct(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Watch, tuitest.Running, 80, 24)
	d.Type(":spr")
	if got := found(d); !strings.HasPrefix(got, "spritz: ") {
		t.Fatalf("found %q", got)
	}
	d.Press("enter")
	if !strings.Contains(d.Text(), "› spritz") {
		t.Errorf("not on the line:\n%s", d.Text())
	}
	d.Press("enter")
	if !strings.Contains(d.Text(), "NOTED") {
		t.Errorf("not noted:\n%s", d.Text())
	}
	d.Type("112 :")
	if !strings.Contains(d.Text(), "› 112 :") {
		t.Errorf("a colon in a line is not text:\n%s", d.Text())
	}
	d = start(tuitest.Hall(), style.Options{}, intent.Matters, "", 80, 24)
	d.Type(":spritz")
	if !strings.Contains(d.Text(), "nothing you can do here") {
		t.Errorf("an act is offered:\n%s", d.Text())
	}
}

func TestEveryActIsOffered(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Watch, tuitest.Running, 80, 80)
	d.Press("ctrl+k")
	for _, a := range journal.Acts() {
		if !regexp.MustCompile("(?m)^[› ] " + a.Word() + "( [a-z]+)?: [a-z]").MatchString(d.Text()) {
			t.Errorf("%q is not offered with what it is for:\n%s", a.Word(), d.Text())
		}
	}
}

// Every word for a screen leads to it, on whichever screen it is typed.
func TestFindAScreen(t *testing.T) {
	for words, want := range map[string]string{
		"late": "13 h 12 on the pit", "matters": "What changes time", "hindsight": "52 finished cooks", "tasting": "Tasting · Summer fête",
		"similar": "cooks side by side", "take back": "", "forecasts": "52 finished cooks", "pit book": "3 pits", "watch": "LAST DONE",
	} {
		d := start(tuitest.Hall(), style.Options{}, intent.Cook, tuitest.Past, 80, 24)
		d.Type(":" + words)
		if want == "" {
			if got := found(d); got != "" {
				t.Errorf("%q found %q", words, got)
			}
			continue
		}
		d.Press("enter")
		if !strings.Contains(d.Text(), want) {
			t.Errorf("%q leads to\n%s", words, d.Text())
		}
	}
}

func TestFinderCloses(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Shelf, "", 80, 24)
	before := d.Text()
	d.Press("ctrl+k")
	d.Type("zebra")
	d.Press("enter", "up", "down", "esc")
	if d.Text() != before {
		t.Errorf("not as before:\n%s", d.Text())
	}
	d.Press("ctrl+k")
	d.Type("leave ashbook")
	d.Press("enter")
	if !d.Quit {
		t.Error("cannot be left by its words")
	}
}

// A screen that is open already is shown again, not opened twice. If something unsaved
// is above it, a new one is opened.
func TestScreensOpenOnce(t *testing.T) {
	d := start(tuitest.Hall(), style.Options{}, intent.Cook, tuitest.Past, 80, 24)
	d.Press("ctrl+g", "ctrl+r", "ctrl+g", "esc")
	if !strings.Contains(d.Text(), "Summer fête") {
		t.Errorf("more than two screens:\n%s", d.Text())
	}
	d.Press("ctrl+t")
	d.Type("9")
	d.Press("ctrl+p", "esc")
	if !strings.Contains(d.Text(), "Tasting · Summer fête") {
		t.Errorf("the scores are gone:\n%s", d.Text())
	}
	d.Press("ctrl+c")
	if d.Quit {
		t.Error("left without asking for the scores")
	}
}

// Without a cook, nothing that needs one is offered or done.
func TestNoCookNoWay(t *testing.T) {
	p := &tuitest.Port{Clock: tuitest.Night}
	d := start(p, style.Options{}, intent.Shelf, "", 80, 24)
	d.Press("ctrl+y")
	if !strings.Contains(d.Text(), "choose a cook first") {
		t.Errorf("nothing is said:\n%s", d.Text())
	}
	d.Press("ctrl+k")
	d.Type("early or late")
	if got := found(d); got != "" {
		t.Errorf("found %q", got)
	}
	d = start(tuitest.Hall(), style.Options{}, intent.Matters, "", 80, 24)
	d.Type(":early or late")
	if got := found(d); got != "" {
		t.Errorf("found %q", got)
	}
}
