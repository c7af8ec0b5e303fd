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

// Plays the five most common tasks at 60×20 and counts the keys. The number is the most
// that each may take.
func TestKeysCounted(t *testing.T) {
	shelf := func(p *tuitest.Port) *tuitest.Driver { return start(p, style.Options{}, intent.Shelf, "", 60, 20) }
	counted := func(t *testing.T, keys, most int) {
		t.Helper()
		t.Logf("%d keys", keys)
		if keys > most {
			t.Errorf("%d keys, at most %d", keys, most)
		}
	}

	t.Run("a first cook from nothing, beside its cut", func(t *testing.T) {
		p := &tuitest.Port{Clock: tuitest.Night}
		p.Start = backend.Beginning{Where: "/home/rt/ashbook", Usual: "/home/rt/ashbook"}
		first := tuitest.Start(tui.NewFirst(p, tui.Options{}), p, 60, 20)
		first.Press("enter")
		if !first.Quit || len(p.Made) != 1 {
			t.Fatal("no journal was made")
		}
		d := shelf(p)
		d.Press("ctrl+l")
		cut := d.Keys
		d.Type("brisket")
		cut = d.Keys - cut
		d.Press("enter")
		if len(p.Cooks) != 1 || p.Cooks[0].Cut != "brisket" {
			t.Fatalf("no cook: %s", d.Text())
		}
		counted(t, first.Keys+d.Keys-cut, 6)
	})

	t.Run("lighting a planned cook", func(t *testing.T) {
		p := tuitest.Hall()
		d := shelf(p)
		d.Press("down", "enter", "ctrl+l", "enter")
		if n := len(p.Cooks[1].Entries); n != 1 || p.Cooks[1].Entries[0].Items[0].Act != journal.Lit {
			t.Fatalf("not lit: %s", d.Text())
		}
		counted(t, d.Keys, 6)
	})

	t.Run("finding last May's pork", func(t *testing.T) {
		d := shelf(tuitest.Hall())
		d.Type("may pork")
		d.Press("enter")
		d.Expect(t, "May Day")
		counted(t, d.Keys, 12)
	})

	t.Run("four eaters", func(t *testing.T) {
		p := tuitest.Hall()
		d := start(p, style.Options{}, intent.Tasting, tuitest.Running, 60, 20)
		for _, round := range []string{"RT 877668", "MB 787658", "KL 978757", "JN 888878"} {
			d.Type(round)
			d.Press("enter")
		}
		if len(p.Kept) != 4 || p.Kept[3].Eater != "JN" {
			t.Fatalf("kept %+v: %s", p.Kept, d.Text())
		}
		counted(t, d.Keys, 44)
	})

	t.Run("a night of 30 notes", func(t *testing.T) {
		p := tuitest.Hall()
		d := shelf(p)
		d.Press("enter")
		before := len(p.Cooks[0].Entries)
		for i := range 30 {
			line := []string{"108 71 72", "v", "w 90", "s", "109 71 72 b2"}[i%5]
			d.Type(line)
			d.Press("enter")
			if strings.Contains(d.Text(), "ENTER AGAIN") {
				t.Fatalf("%q is asked: %s", line, d.Text())
			}
			d.Pass(10 * time.Minute)
		}
		if got := len(p.Cooks[0].Entries) - before; got != 30 {
			t.Fatalf("%d entries: %s", got, d.Text())
		}
		counted(t, d.Keys, 210)
	})
}
