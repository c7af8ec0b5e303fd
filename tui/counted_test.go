package tui_test

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

// hand plays keys on a driver and counts what a person needs for them.
type hand struct {
	*tuitest.Driver
	from  int  // keys pressed on the driver before
	keys  int  // on drivers played before
	acts  int  // mental acts
	typed bool // the last act was typing a line
}

// on goes on with another driver.
func (h *hand) on(d *tuitest.Driver) {
	if h.Driver != nil {
		h.keys += h.Keys - h.from
	}
	h.Driver, h.from, h.typed = d, d.Keys, false
}

// Type types a line: one mental act.
func (h *hand) Type(text string) {
	h.acts++
	h.typed = true
	h.Driver.Type(text)
}

// Press presses a command, one mental act; but the Enter behind a line belongs to the
// line.
func (h *hand) Press(names ...string) {
	if !h.typed || len(names) != 1 || names[0] != "enter" {
		h.acts++
	}
	h.typed = false
	h.Driver.Press(names...)
}

// The keystroke-level model of Card, Moran and Newell (1980), Communications of the ACM
// 23(7), 396–410: 0.28 s for a key of an average typist who is no secretary, 1.35 s for a
// mental act. An act is put before each command and each line (their rule 0), and taken
// away before the key that ends a line (their rule 1).
const (
	keySeconds = 0.28
	actSeconds = 1.35
)

// counted compares the keys of a task with the number recorded for it, and logs how many
// seconds the model gives.
func (h *hand) counted(t *testing.T, beside, want int) {
	t.Helper()
	keys := h.keys + h.Keys - h.from - beside
	t.Logf("%d keys, mental acts: %d, %.0f s", keys, h.acts, float64(keys+beside)*keySeconds+float64(h.acts)*actSeconds)
	if keys != want {
		t.Errorf("%d keys, recorded are %d", keys, want)
	}
}

// Plays the five most common tasks at 60×20, looks at what the journal has after them and
// counts the keys.
func TestKeysCounted(t *testing.T) {
	shelf := func(p *tuitest.Port) *tuitest.Driver { return start(p, style.Options{}, intent.Shelf, "", 60, 20) }

	t.Run("a first cook from nothing, beside its cut", func(t *testing.T) {
		p := &tuitest.Port{Clock: tuitest.Night}
		p.Start = backend.Beginning{Where: "/home/rt/ashbook", Usual: "/home/rt/ashbook"}
		var h hand
		h.on(tuitest.Start(tui.NewFirst(p, tui.Options{}), p, 60, 20))
		h.Press("enter")
		if !h.Quit || len(p.Made) != 1 {
			t.Fatal("no journal was made")
		}
		h.on(shelf(p))
		h.Press("ctrl+l")
		h.Type("brisket")
		h.Press("enter")
		if len(p.Cooks) != 1 || p.Cooks[0].Cut != "brisket" || !p.Cooks[0].Serve.IsZero() {
			t.Fatalf("no cook, or one with a meal: %s", h.Text())
		}
		h.counted(t, len("brisket"), 3)
	})

	t.Run("lighting a planned cook", func(t *testing.T) {
		p := tuitest.Hall()
		var h hand
		h.on(shelf(p))
		h.Press("down", "enter")
		h.Press("ctrl+l", "enter")
		if n := len(p.Cooks[1].Entries); n != 1 || p.Cooks[1].Entries[0].Items[0].Act != journal.Lit {
			t.Fatalf("not lit: %s", h.Text())
		}
		h.counted(t, 0, 4)
	})

	t.Run("finding last May's pork", func(t *testing.T) {
		var h hand
		h.on(shelf(tuitest.Hall()))
		h.Type("may pork")
		h.Press("enter")
		h.Expect(t, "May Day")
		h.counted(t, 0, 9)
	})

	t.Run("four eaters", func(t *testing.T) {
		p := tuitest.Hall()
		var h hand
		h.on(start(p, style.Options{}, intent.Tasting, tuitest.Running, 60, 20))
		for _, round := range []string{"RT 877668", "MB 787658", "KL 978757", "JN 888878"} {
			h.Type(round)
			h.Press("enter")
		}
		if len(p.Kept) != 4 || p.Kept[3].Eater != "JN" {
			t.Fatalf("kept %+v: %s", p.Kept, h.Text())
		}
		h.counted(t, 0, 40)
	})

	t.Run("a night of 30 notes", func(t *testing.T) {
		p := tuitest.Hall()
		var h hand
		h.on(shelf(p))
		h.Press("enter")
		before := len(p.Cooks[0].Entries)
		for i := range 30 {
			line := []string{"108 71 72", "v", "w 90", "s", "109 71 72 b2"}[i%5]
			h.Type(line)
			h.Press("enter")
			if strings.Contains(h.Text(), "ENTER AGAIN") {
				t.Fatalf("%q is asked: %s", line, h.Text())
			}
			h.Pass(10 * time.Minute)
		}
		if got := len(p.Cooks[0].Entries) - before; got != 30 {
			t.Fatalf("%d entries: %s", got, h.Text())
		}
		h.counted(t, 0, 193)
	})
}
