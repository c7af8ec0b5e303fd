package screens

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/hindsight"
	"ashbook/report/page/text"
	"ashbook/report/pitbook"
	"ashbook/samples"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
)

const night = "2026-09-18-harvest-supper"

// hall returns the Backend of the sample journal, in the middle of the night.
func hall(t *testing.T) *Backend {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, samples.FS()); err != nil {
		t.Fatal(err)
	}
	if _, err := folder.Init(dir, measure.Metric, samples.Now()); err != nil {
		t.Fatal(err)
	}
	f, err := folder.Open(dir, folder.Options{Now: samples.Now, Zone: samples.Now().Location(), Cache: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	})
	o := New(t.Context(), app.New(f), Machine{Now: samples.Now})
	o.margin = func() (float64, error) { return 1, nil }
	o.experience = sync.OnceValues(func() (*forecast.Experience, error) {
		past, err := o.pastCooks()
		if err != nil {
			return nil, err
		}
		return o.app.Experience(past[:3], nil), nil
	})
	return o
}

func fileOf(t *testing.T, o *Backend, id string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(o.app.Folder().Dir(), folder.Path(id)))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Undo asks if the last entry is not from this run. Redo restores, byte for byte, what
// undo removed, until something else is noted.
func TestUndoAndRedo(t *testing.T) {
	o := hall(t)
	if _, err := o.Load(night); err != nil {
		t.Fatal(err)
	}
	if u := o.Understand(night, o.Now(), "undo"); !u.Confirm() {
		t.Errorf("nothing asked before an old entry is undone: %+v", u)
	}
	if _, err := o.Note(night, "redo"); err == nil {
		t.Error("redo without an undo")
	}
	note := func(line string) backend.Noted {
		t.Helper()
		n, err := o.Note(night, line)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	note("112 72 74 v bottom half -- calm")
	note("s -10")
	both := fileOf(t, o, night)
	if u := o.Understand(night, o.Now(), "undo"); u.Confirm() {
		t.Errorf("asked of an entry of this run: %+v", u)
	}
	note("undo")
	if n := note("undo"); !n.TakenBack || !strings.Contains(n.Text, "calm") {
		t.Errorf("undone %+v", n)
	}
	if n := note("redo"); !n.PutBack || !strings.Contains(n.Text, "calm") {
		t.Errorf("redone %+v", n)
	}
	if n := note("redo"); !strings.Contains(n.Text, "spritz") || !bytes.Equal(fileOf(t, o, night), both) {
		t.Errorf("redone %+v", n)
	}
	note("undo")
	note("b1")
	if _, err := o.Note(night, "redo"); err == nil {
		t.Error("redo after another note")
	}
}

// Corrections are undone one by one, byte for byte, also if something else was noted in
// between.
func TestMendAndUnmend(t *testing.T) {
	o := hall(t)
	before := fileOf(t, o, night)
	c, err := o.Load(night)
	if err != nil {
		t.Fatal(err)
	}
	entries := c.Cook.Entries
	if u := o.Mending(night, entries[1], o.Now(), "16:45"); u.Text != "16:45  "+strings.ReplaceAll(entries[1].Body(), ", ", " · ") {
		t.Errorf("understood %q", u.Text)
	}
	m, err := o.Mend(night, entries[1], "16:45")
	if err != nil || m.Is.Time.Sub(m.Was.Time) != 15*time.Minute || m.Is.Body() != m.Was.Body() {
		t.Fatalf("%+v, %v", m, err)
	}
	if _, err := o.Mend(night, entries[1], "16:50"); err == nil {
		t.Error("an entry that is not there any more was corrected")
	}
	if _, err := o.Drop(night, entries[3]); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if _, err := o.Unmend(night); err != nil {
			t.Fatal(err)
		}
	}
	if got := fileOf(t, o, night); !bytes.Equal(got, before) {
		t.Errorf("undone:\n%s", got)
	}
	if _, err := o.Unmend(night); err == nil || !strings.Contains(err.Error(), "nothing in this cook was corrected") {
		t.Errorf("undone once too often: %v", err)
	}
	if _, err := o.Drop(night, entries[3]); err != nil {
		t.Fatal(err)
	}
	if _, err := o.Note(night, "112 71"); err != nil {
		t.Fatal(err)
	}
	if _, err := o.Unmend(night); err != nil {
		t.Fatal(err)
	}
	c, _ = o.Load(night)
	if n := len(c.Cook.Entries); n != len(entries)+1 || c.Cook.Entries[3].String() != entries[3].String() {
		t.Errorf("%d entries, the fourth %q", n, c.Cook.Entries[3])
	}
}

// A plan is changed, planned back and saved, and its lists are ticked.
func TestPlanAndTick(t *testing.T) {
	o := hall(t)
	k, err := o.Kitchen(o.Now())
	if err != nil || k.Meal.Serve.Weekday() != time.Saturday || k.Meal.Serve.Hour() != 13 || !slices.Contains(k.Cuts, k.Meal.Cut) || !slices.Contains(k.Pits, k.Meal.Pit) {
		t.Fatalf("%+v, %v", k, err)
	}
	m := k.Meal
	for f, text := range map[backend.Field]string{
		backend.Serve: "sun 18:00", backend.Heads: "20, children 4", backend.Cut: "Brisket", backend.AimPit: "121", backend.Wrap: "paper at 72 °C",
	} {
		if m, err = o.Reword(m, f, text, o.Now()); err != nil {
			t.Fatal(err)
		}
	}
	want := backend.Meal{Serve: m.Serve, Heads: "20, children 4", Cut: "brisket", Pit: k.Meal.Pit, AimPit: "121 °C", Wrap: "paper at 72 °C"}
	if m != want || m.Serve.Weekday() != time.Sunday {
		t.Errorf("reworded to %+v", m)
	}
	for f, text := range map[backend.Field]string{backend.Serve: "noon", backend.Heads: "many", backend.Cut: "", backend.AimPit: "hot", backend.Wrap: "silk"} {
		if _, err := o.Reword(m, f, text, o.Now()); err == nil || strings.HasPrefix(err.Error(), "--") {
			t.Errorf("%q: %v", text, err)
		}
	}
	w, err := o.Work(m, o.Now())
	if err != nil || !w.OnBy.Before(m.Serve) || len(w.Starts) < 9 || w.AimPit != 121 || len(w.Sentence) == 0 {
		t.Fatalf("%+v, %v", w, err)
	}
	m.Pit = "nowhere"
	if _, err := o.Work(m, o.Now()); err == nil {
		t.Error("a pit that is not there was planned for")
	}
	m.Pit = k.Meal.Pit
	id, err := o.Plan(m, o.Now())
	if err != nil {
		t.Fatal(err)
	}
	lists, err := o.Tasks(id)
	if err != nil || len(lists.All) < 5 || !lists.Serve.Equal(m.Serve) {
		t.Fatalf("%+v, %v", lists, err)
	}
	before := fileOf(t, o, id)
	if err := o.SetTask(id, lists.All[2], true); err != nil {
		t.Fatal(err)
	}
	ticked := fileOf(t, o, id)
	if want := bytes.Count(before, []byte("- [ ]")) - 1; bytes.Count(ticked, []byte("- [ ]")) != want || len(ticked) != len(before) {
		t.Errorf("ticked:\n%s", ticked)
	}
	if err := o.SetTask(id, lists.All[2], false); err != nil || !bytes.Equal(fileOf(t, o, id), before) {
		t.Errorf("unticked: %v", err)
	}
}

// The Watch says how long there is fuel while it is needed, and what to do when it is
// not enough.
func TestFuelLeft(t *testing.T) {
	lit := samples.Now()
	b := pitbook.Of(nil, map[string]journal.Pit{"kettle": {Name: "kettle", Kind: journal.Kettle}}, "kettle")
	c := &journal.Cook{Fuel: journal.Fuel{Loaded: measure.Kilograms(3)}, Entries: []journal.Entry{{Time: lit, Items: []journal.Item{{Act: journal.Lit}, {Act: journal.On}}}}}
	for h, want := range map[float64]string{2: "for about 5 h 30, as such pits burn it", 6.5: "for under 1½ h, as such pits burn it: top up", 9: "look at the coals"} {
		if got := fuelLeft(c, &b, lit.Add(time.Duration(h*float64(time.Hour)))); !strings.HasSuffix(got, want) {
			t.Errorf("after %g h: %q", h, got)
		}
	}
	c.Entries = append(c.Entries, journal.Entry{Time: lit.Add(8 * time.Hour), Items: []journal.Item{{Act: journal.Off}}})
	if got := fuelLeft(c, &b, lit.Add(9*time.Hour)); got != "" {
		t.Errorf("nothing is on: %q", got)
	}
}

// How many pieces fit in a pit is asked once. The answer is written into the pit's
// file, so that no later meal asks.
func TestFitsAsked(t *testing.T) {
	o := hall(t)
	barrel := filepath.Join(o.app.Folder().Dir(), "pits", "barrel.md")
	if err := os.WriteFile(barrel, []byte("---\nashbook: 1\nkind: drum\n---\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	k, err := o.Kitchen(o.Now())
	if err != nil {
		t.Fatal(err)
	}
	m := k.Meal
	m.Cut, m.Heads, m.Pit = "pork shoulder", "60", "barrel"
	var asked backend.Asks
	if _, err := o.Work(m, o.Now()); !errors.As(err, &asked) || !strings.HasPrefix(asked.Question, "How many pieces of pork shoulder") {
		t.Fatalf("asked %v", err)
	}
	if _, err := o.Reword(m, backend.Fits, "a few", o.Now()); err == nil {
		t.Error("a few is taken for a number")
	}
	answered, err := o.Reword(m, backend.Fits, "6", o.Now())
	if err != nil {
		t.Fatal(err)
	}
	if w, err := o.Work(answered, o.Now()); err != nil || !w.Noted {
		t.Errorf("noted %v, %v", w.Noted, err)
	}
	if data, err := os.ReadFile(barrel); err != nil || !strings.Contains(string(data), "\nfits: 6 of ") {
		t.Errorf("%s, %v", data, err)
	}
	if w, err := o.Work(m, o.Now()); err != nil || w.Noted {
		t.Errorf("asked again: %v, %v", w.Noted, err)
	}
}

// The screen of the box for a cook that is on, in the box, and eaten.
func TestHoldTold(t *testing.T) {
	o := hall(t)
	at := o.Now()
	look := func(want ...string) {
		t.Helper()
		h, err := o.Hold(night, at)
		if err != nil {
			t.Fatal(err)
		}
		all := strings.Join(append([]string{h.Stage, h.Label, h.Large}, h.Beside...), " | ")
		for _, w := range want {
			if !strings.Contains(all, w) {
				t.Errorf("no %q in %q", w, all)
			}
		}
	}
	note := func(hours float64, line string) {
		t.Helper()
		at = at.Add(time.Duration(hours * float64(time.Hour)))
		now := at
		o.machine.Now = func() time.Time { return now }
		if _, err := o.Note(night, line); err != nil {
			t.Fatal(err)
		}
	}
	look("still in the pit", "ONCE BOXED, 60 °C FOR")
	note(7, "off, rest, core large 94, core small 93")
	note(.25, "boxed, core large 88, core small 86")
	note(1, "core large 82, core small 79")
	look("in the box", "AT OR ABOVE 60 °C UNTIL", "±")
	note(3, "unboxed, core large 66, core small 64")
	note(.5, "served, core large 50, core small 48")
	look("out of the box", "AT OR BELOW 21 °C IN | 1h30")
	note(1, "core large 20, core small 19")
	look("AT OR BELOW 5 °C IN | 4h30")
	note(3, "core large 4, core small 4")
	look("COLD SINCE")
}

// Versions are listed and brought back.
func TestVersionsOutside(t *testing.T) {
	o := hall(t)
	before := fileOf(t, o, night)
	if _, err := o.Note(night, "112 71"); err != nil {
		t.Fatal(err)
	}
	all, err := o.Versions(night)
	if err != nil || len(all) != 2 || all[0].N != 2 {
		t.Fatalf("%+v, %v", all, err)
	}
	p, err := o.VersionPage(night, all[1])
	if told := text.Render(p, 60); err != nil || !strings.Contains(told, "What bringing it back would change\n  out  Sat 01:08 pit 112 °C") {
		t.Errorf("%v\n%s", err, told)
	}
	if err := o.Bring(night, all[1]); err != nil || !bytes.Equal(fileOf(t, o, night), before) {
		t.Errorf("not brought back: %v", err)
	}
	if err := o.Aside(night, true); err != nil {
		t.Fatal(err)
	}
	if shelf, err := o.Search(""); err != nil || slices.ContainsFunc(shelf.Rows, func(r backend.Row) bool { return r.ID == night }) {
		t.Errorf("it is still on the shelf: %v", err)
	}
}

// Every page has a maker, and a place that is no page gives an error.
func TestEveryPageIsMade(t *testing.T) {
	o := hall(t)
	o.replayed = [3]func() (hindsight.Report, error){}
	for i := range o.replayed {
		o.replayed[i] = func() (hindsight.Report, error) { return hindsight.Report{}, nil }
	}
	for p := range intent.Places + 1 {
		made, err := o.Page(backend.Wanted{Kind: p, Of: []string{night}})
		switch page := p.IsPage() || p == intent.Hold; {
		case page && err != nil:
			t.Errorf("place %d: %v", p, err)
		case page && made.Page.Title == "":
			t.Errorf("place %d: a page without a title", p)
		case !page && err == nil:
			t.Errorf("place %d is no page, and one was made: %s", p, made.Page.Title)
		}
	}
}

// held is a context that blocks when it is asked whether it has ended, until the test
// lets it answer.
type held struct {
	context.Context
	asked chan struct{} // receives at each question
	let   chan struct{} // closed to let it answer
}

func (h held) Err() error {
	select {
	case h.asked <- struct{}{}:
	default:
	}
	<-h.let
	return nil
}

// A note is saved while a page is being computed.
func TestNoteWhileComputing(t *testing.T) {
	o := hall(t)
	c, err := o.Load(night)
	if err != nil {
		t.Fatal(err)
	}
	computing := held{context.Background(), make(chan struct{}, 1), make(chan struct{})}
	o.ctx = computing
	page := make(chan error)
	go func() {
		_, err := o.Page(backend.Wanted{Kind: intent.Matters})
		page <- err
	}()
	<-computing.asked
	if n, err := o.Note(night, "109"); err != nil || !strings.Contains(n.Text, "pit 109") {
		t.Errorf("%+v, %v", n, err)
	}
	if u := o.Understand(night, o.Now(), "110"); u.Err != nil || u.Text == "" {
		t.Errorf("%+v", u)
	}
	if again, err := o.Load(night); err != nil || len(again.Cook.Entries) != len(c.Cook.Entries)+1 {
		t.Errorf("the note is not there: %v", err)
	}
	close(computing.let)
	if err := <-page; err != nil {
		t.Error(err)
	}
}

func TestNewCook(t *testing.T) {
	for words, want := range map[string]string{
		"salmon 52 °C": "salmon / 52 °C", "salmon 125 °F": "salmon / 125 °F", "pork shoulder": "pork shoulder / ", "brisket 2": "brisket 2 / ", "2 °C": "2 °C / ",
	} {
		n := newCook(words, measure.Metric)
		if got := n.Cut + " / " + n.Aim.Core.String(); got != want {
			t.Errorf("%q: %q, want %q", words, got, want)
		}
	}
}
