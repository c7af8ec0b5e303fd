package cookfile

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal"
)

const (
	head   = "---\nashbook: 1\ntitle: x\n---\n\n# x\n\n## Timeline\n\n- 2026-09-18T19:05+01:00 lit\n"
	forked = "<<<<<<< HEAD\n- 2026-09-18T20:10+01:00 on\n=======\n- 2026-09-18T20:20+01:00 lid\n>>>>>>> other\n"
	below  = "- 2026-09-18T22:00+01:00 vent\n"
)

func addKept(t *testing.T, f File, at string) (File, error) {
	t.Helper()
	when, err := time.Parse(time.RFC3339, at)
	if err != nil {
		t.Fatal(err)
	}
	return f.AddEntry(journal.Entry{Time: when, Items: []journal.Item{{Act: journal.Spritz}}, Words: "KEPT"})
}

// The entries of both versions of a conflict in the timeline are read, its line is
// reported, and no entry is written between its markers.
func TestConflictInTheTimeline(t *testing.T) {
	const line = "- %s spritz — KEPT\n"
	for at, want := range map[string]string{
		"2026-09-18T19:30:00+01:00": head + strings.Replace(line, "%s", "2026-09-18T19:30+01:00", 1) + forked + below,
		"2026-09-18T20:15:00+01:00": head + forked + strings.Replace(line, "%s", "2026-09-18T20:15+01:00", 1) + below,
		"2026-09-18T20:30:00+01:00": head + forked + strings.Replace(line, "%s", "2026-09-18T20:30+01:00", 1) + below,
		"2026-09-18T23:00:00+01:00": head + forked + below + strings.Replace(line, "%s", "2026-09-18T23:00+01:00", 1),
	} {
		f, err := Parse("2026-09-18-x.md", []byte(head+forked+below), Options{})
		if err != nil || len(f.Cook.Entries) != 4 {
			t.Fatalf("%v, %d entries", err, len(f.Cook.Entries))
		}
		if p, ok := f.Conflict(); !ok || p.Line != 11 || len(f.Problems) != 1 || !strings.Contains(f.Problems[0].Error(), "x.md:11:1: conflict marker \"<<<<<<<\"") {
			t.Errorf("problems %v", f.Problems)
		}
		got, err := addKept(t, f, at)
		if err != nil || string(got.Bytes()) != want {
			t.Errorf("%s: %v\n%s", at, err, got.Bytes())
		}
		if _, err := f.RemoveEntry(1); err == nil || !strings.Contains(err.Error(), "not changed: conflict marker") {
			t.Errorf("an entry between the markers was taken out: %v", err)
		}
	}
}

// A conflict whose last marker is missing runs to the end of the text. A new entry goes
// above it.
func TestConflictWithoutEnd(t *testing.T) {
	open := strings.Replace(forked, ">>>>>>> other\n", "", 1)
	f, err := Parse("2026-09-18-x.md", []byte(head+open), Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := addKept(t, f, "2026-09-18T23:00:00+01:00")
	if want := head + "- 2026-09-18T23:00+01:00 spritz — KEPT\n" + open; err != nil || string(got.Bytes()) != want {
		t.Errorf("%v\n%s", err, got.Bytes())
	}
}

// The first version of a conflict in the front matter is read. Entries can be added to
// the cook, and its front matter cannot be changed.
func TestConflictInTheFrontMatter(t *testing.T) {
	text := "---\nashbook: 1\n<<<<<<< HEAD\ntitle: one\n=======\ntitle: two\n>>>>>>> other\n---\n\n## Timeline\n\n- 2026-09-18T19:05+01:00 lit\n"
	f, err := Parse("2026-09-18-x.md", []byte(text), Options{})
	if err != nil || f.Cook.Title != "one" || len(f.Cook.Entries) != 1 {
		t.Fatalf("%v, %+v", err, f.Cook)
	}
	if p, ok := f.Conflict(); !ok || p.Line != 3 {
		t.Errorf("conflict on line %d", p.Line)
	}
	if _, err := f.Set("three", "title"); err == nil || !strings.Contains(err.Error(), "x.md:3:1: not changed") {
		t.Errorf("the front matter was written: %v", err)
	}
	got, err := addKept(t, f, "2026-09-18T20:00:00+01:00")
	if err != nil || string(got.Bytes()) != text+"- 2026-09-18T20:00+01:00 spritz — KEPT\n" {
		t.Errorf("%v\n%s", err, got.Bytes())
	}
}

// A timeline inside a comment is ignored, for tasks and entries alike. Below a fence
// that is never closed, both are read.
func TestOneStructure(t *testing.T) {
	f := parse(t, "---\ntitle: x\n---\n<!--\n## Timeline\n\n- 2026-09-18T19:05+01:00 lit\n- [ ] a\n-->\n\n## Timeline\n\n- 2026-09-18T20:05+01:00 on\n")
	if len(f.Cook.Entries) != 1 || len(f.Tasks()) != 0 || f.Cook.Entries[0].Line != 13 {
		t.Errorf("%d entries, %d tasks", len(f.Cook.Entries), len(f.Tasks()))
	}
	f, err := Parse("x.md", []byte("---\ntitle: x\n---\n```\nnever closed\n\n## List\n\n- [ ] a\n\n## Timeline\n\n- 2026-09-18T20:05+01:00 on\n"), Options{})
	if err != nil || len(f.Cook.Entries) != 1 || len(f.Tasks()) != 1 || len(f.Problems) != 1 || f.Problems[0].Line != 4 {
		t.Errorf("%v, %d entries, %d tasks, %v", err, len(f.Cook.Entries), len(f.Tasks()), f.Problems)
	}
}
