package textout

import (
	"strings"
	"testing"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/intake"
	"ashbook/journal"
	"ashbook/journal/history"
	"ashbook/journal/ingest/paper"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"
	"ashbook/journal/series"
	"ashbook/journal/syncer"
)

// expect compares lines with the lines of want.
func expect(t *testing.T, got []string, want string) {
	t.Helper()
	if text := strings.Join(got, "\n"); text != want {
		t.Errorf("got\n%s\nwant\n%s", text, want)
	}
}

func TestNoted(t *testing.T) {
	expect(t, Noted(app.Noted{Text: "pit 112", Left: []string{"hmm"}, Asks: []string{"wood?"}, Flags: []string{"pit 112, last 60?"}}),
		"noted: pit 112\nkept as words: hmm\nlook: wood? Kept as words; if you meant it, note it again in full\nlook: pit 112, last 60?")
	expect(t, Noted(app.Noted{Text: "pit 112", Undone: true}), "undone: pit 112")
	expect(t, Noted(app.Noted{Text: "pit 112", Redone: true}), "put back: pit 112")
}

func TestFixed(t *testing.T) {
	at := time.Date(2026, 9, 18, 23, 40, 0, 0, time.UTC)
	was := journal.Entry{Time: at, Words: "calm"}
	next := journal.Entry{Time: at.Add(time.Hour), Words: "calm"}
	expect(t, Fixed(app.Changed{Was: was, Is: next, Flags: []string{"late?"}}, measure.Metric), "was: Fri 23:40 — calm\nnow: Sat 00:40 — calm\nlook: late?")
	expect(t, Fixed(app.Changed{Was: was, Dropped: true}, measure.Metric), "was: 23:40 — calm\nnow: deleted")
}

func TestTasted(t *testing.T) {
	got := app.Tasted{Cook: journal.Cook{ID: "2026-09-18-supper", Title: "Supper"}, Written: []app.Written{
		{What: journal.ToKeep, Is: "cherry"}, {What: journal.ToChange, Was: "more salt"}, {What: journal.CameOff, Is: "5 kg", Was: "5 kg", Flags: []string{"more than went on"}},
	}}
	expect(t, Tasted(got, nil), `saved for Supper:
  keep: cherry
  change: deleted
    before: more salt
  off: 5 kg
    look: more than went on
next: ashbook history 2026-09-18-supper, which has the old version`)
}

func TestImported(t *testing.T) {
	found := app.Import{Sheet: paper.Sheet{Cooks: make([]paper.Cook, 3)}, Places: []app.Place{{ID: "a"}, {ID: "b", There: true}, {}}}
	out, left := Imported(found, []int{0, 1, 2}, []string{"a"})
	expect(t, out, "saved: 1 cook; there already: 1; not saved, because they name no day: 1\nnext: ashbook show a")
	if left != 1 {
		t.Errorf("%d left, want 1", left)
	}
	out, left = Imported(found, []int{1}, nil)
	expect(t, out, "saved: 0 cooks; there already: 1")
	if left != 0 {
		t.Errorf("%d left, want 0", left)
	}
}

func TestProbed(t *testing.T) {
	at := time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)
	taken := intake.Taken{
		Read: 9, Kept: 6, First: at, Last: at.Add(time.Hour), Merged: series.Merged{Added: 5, Changed: 1}, Late: 2, Hot: 3,
		Left: []probefile.Left{{Kind: probefile.NotATime, Count: 3, Places: []journal.Problem{{File: "log.csv", Line: 4, Text: "time \"x\""}}}},
	}
	out := Probed(taken, true)
	what, why := probefile.NotATime.Words()
	for _, want := range []string{"9 rows read, 6 would be saved, ", "  1 that fill a gap or replace another value", "  2 that came out of order and were sorted in", "  3 core readings over 110 °C", "  3 " + what + "s " + why, "    log.csv:4", "    and 2 more"} {
		if !strings.Contains(strings.Join(out, "\n"), want) {
			t.Errorf("%q is not in\n%s", want, strings.Join(out, "\n"))
		}
	}
	expect(t, Probed(intake.Taken{Read: 1}, false), "1 row read, none saved")
}

func TestColumns(t *testing.T) {
	expect(t, Columns("Supper", "log.csv", []probefile.Column{
		{Name: "Grate", As: "pit", Unit: "°C", Assumed: true, Guessed: true}, {Name: "fan"},
	}), "Supper, from log.csv:\n  pit from \"Grate\", °C, guessed\n  time: the moment each row arrives\n  left out: \"fan\"\n  °C as in journal.md; if that is wrong, --unit f")
}

func TestSynced(t *testing.T) {
	at := time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)
	var made []history.Made
	for range 14 {
		made = append(made, history.Made{When: at, Who: "Ann", Message: "supper: pit 112\n\nmore"})
	}
	made[0].Merge = true
	out := Synced(app.Synced{Result: syncer.Result{Received: made}, Remote: "/stick", Remembered: true}, false, true, time.UTC)
	if len(out) != 1+mostCommits+2 || out[0] != "received 13 changes" || out[1+mostCommits] != "  … and 1 more" || !strings.HasSuffix(out[1], " Ann: supper: pit 112") {
		t.Errorf("%q", out)
	}
	expect(t, Synced(app.Synced{Remote: "/stick"}, true, true, time.UTC), "nothing new here or at /stick")
	expect(t, Synced(app.Synced{Remote: "/stick"}, true, false, time.UTC), "")
}
