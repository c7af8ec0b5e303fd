package folder

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/journaltest"
)

// The cooks here are invented: a village hall that cooks for feast days.
const (
	supperID   = "2026-09-18-harvest-supper"
	supper     = journaltest.Supper
	supperText = journaltest.SupperText
)

var (
	night    = journaltest.Night
	isolate  = journaltest.Isolate
	write    = journaltest.Write
	rename   = journaltest.Rename
	read     = journaltest.Read
	gitIn    = journaltest.Git
	sound    = journaltest.Sound
	subjects = journaltest.Subjects
	adding   = journaltest.Adding
)

func hall(t testing.TB) string {
	return journaltest.Hall(t, func(dir string, now time.Time) error {
		_, err := history.Init(dir, now, 0)
		return err
	})
}

// clock is a clock that moves only when a test moves it.
type clock struct{ time.Time }

func (c *clock) now() time.Time { return c.Time }

func open(t testing.TB, dir string, c *clock) *Folder {
	t.Helper()
	f, err := Open(dir, Options{Now: c.now})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func enter(t testing.TB, f *Folder, line string) {
	t.Helper()
	if _, err := f.EditFile(supper, adding(line), "harvest-supper: "+line); err != nil {
		t.Fatal(err)
	}
}

func flush(t testing.TB, f *Folder) {
	t.Helper()
	if err := f.Flush(); err != nil {
		t.Fatal(err)
	}
}

func TestEditReachesHistoryInBatches(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	e := journal.Entry{Time: night, Words: "pale on the left"}
	file, err := f.Edit(supperID, func(c cookfile.File) (cookfile.File, error) { return c.AddEntry(e) }, "harvest-supper: 01:04 pale on the left")
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Replace(supperText, "- 2026-09-19T04", "- 2026-09-19T01:04+01:00 — pale on the left\n- 2026-09-19T04", 1)
	if got := read(t, dir, supper); got != want || string(file.Bytes()) != want {
		t.Errorf("got\n%s", got)
	}
	if got := subjects(t, dir); len(got) != 0 {
		t.Errorf("in history before it was flushed: %q", got)
	}
	flush(t, f)
	enter(t, f, "- 2026-09-19T05:00+01:00 pit 104 °C")
	enter(t, f, "- 2026-09-19T05:30+01:00 pit 106 °C")
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if got := subjects(t, dir); len(got) != 2 || got[1] != "harvest-supper: 01:04 pale on the left" || got[0] != "harvest-supper: 2 entries" {
		t.Errorf("log: %q", got)
	}
	if body := gitIn(t, dir, "log", "-n1", "--format=%b"); strings.Count(body, "harvest-supper: - 2026") != 2 {
		t.Errorf("message: %q", body)
	}
	sound(t, dir)
	vs, err := f.History().Versions(supper, 0)
	if err != nil || len(vs) != 3 {
		t.Fatalf("versions: %v, %v", vs, err)
	}
	if old, err := f.History().At(vs[2].Hash, supper); err != nil || string(old) != supperText {
		t.Errorf("first version: %q, %v", old, err)
	}
}

func TestCreate(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	const id = "2027-01-06-twelfth-night"
	if err := f.Create(id, []byte("---\ntitle: Twelfth night\n---\n"), "twelfth-night: planned"); err != nil {
		t.Fatal(err)
	}
	if err := f.Create(id, []byte("other"), "again"); !errors.Is(err, fs.ErrExist) {
		t.Errorf("got %v, want fs.ErrExist", err)
	}
	if c, err := f.Load(id); err != nil || c.Cook.Title != "Twelfth night" {
		t.Errorf("got %q, %v", c.Cook.Title, err)
	}
	flush(t, f)
	sound(t, dir)
	for _, bad := range []string{"", "supper", "../2027-01-06-x", "2027-01-06-a/b", `2027-01-06-a\b`, "2027-13-06-x", "2027-01-06-x."} {
		if err := f.Create(bad, nil, "bad"); err == nil {
			t.Errorf("%q was taken for a cook's name", bad)
		}
	}
	for _, bad := range []string{"../x.md", "/x.md", ".git/config", "cooks/.x.md", "cooks//x.md", `cooks\..\x.md`} {
		if err := f.CreateFile(bad, nil, "bad"); err == nil {
			t.Errorf("%q was taken for a path in the journal", bad)
		}
	}
}

func TestNotUnderGit(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	write(t, dir, supper, supperText)
	f := open(t, dir, &clock{night})
	if list, _, _ := f.List(t.Context()); len(list) != 1 {
		t.Errorf("list: %v", list)
	}
	if _, err := f.EditFile(supper, adding("x"), "x"); !errors.Is(err, history.ErrNotUnderGit) {
		t.Errorf("got %v, want ErrNotUnderGit", err)
	}
	if err := f.Create("2026-01-01-x", nil, "x"); !errors.Is(err, history.ErrNotUnderGit) {
		t.Errorf("got %v, want ErrNotUnderGit", err)
	}
	if err := f.Close(); err != nil {
		t.Error(err)
	}
	left, _ := filepath.Glob(filepath.Join(dir, "*"))
	if len(left) != 1 || read(t, dir, supper) != supperText {
		t.Errorf("something was written: %v", left)
	}
}

func TestLocked(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	release, err := f.repo.Lock(0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.EditFile(supper, adding("x"), "x"); !errors.Is(err, history.ErrLocked) {
		t.Errorf("got %v, want ErrLocked", err)
	}
	if read(t, dir, supper) != supperText {
		t.Error("the file was written")
	}
	release()
	enter(t, f, "x")
}

func TestLinksAndLargeFiles(t *testing.T) {
	dir := hall(t)
	outside := t.TempDir()
	write(t, outside, "secret.md", "secret\n")
	f := open(t, dir, &clock{night})
	link := func(target, name string) {
		if err := os.Symlink(target, filepath.Join(dir, name)); err != nil {
			t.Skip(err)
		}
	}
	link(filepath.Join(outside, "secret.md"), "cooks/2026/2026-01-01-out.md")
	link(outside, "cooks/2025")
	link("2026-09-18-harvest-supper.md", "cooks/2026/2026-01-02-in.md")
	if _, err := f.Load("2026-01-01-out"); err == nil || !strings.Contains(err.Error(), "link out of the journal") {
		t.Errorf("got %v", err)
	}
	if err := f.Create("2025-01-01-x", []byte("x"), "x"); err == nil {
		t.Error("a cook was made outside")
	}
	if _, err := f.EditFile("cooks/2026/2026-01-02-in.md", adding("- through a link"), "x"); err != nil {
		t.Error(err)
	}
	if got := read(t, dir, supper); !strings.HasSuffix(got, "- through a link\n") {
		t.Errorf("got %q", got)
	}
	write(t, dir, "cooks/2026/2026-01-03-large.md", strings.Repeat("x", maxFile+1))
	if _, err := f.Load("2026-01-03-large"); err == nil {
		t.Error("a file over the limit was read")
	}
	if _, err := f.EditFile(supper, func([]byte) ([]byte, error) { return make([]byte, maxFile+1), nil }, "x"); err == nil {
		t.Error("a file over the limit was written")
	}
	if left, _ := filepath.Glob(filepath.Join(outside, "*")); len(left) != 1 {
		t.Errorf("outside: %v", left)
	}
}

func TestSavesReachHistoryByThemselves(t *testing.T) {
	dir := hall(t)
	var due []func()
	f, err := Open(dir, Options{Now: (&clock{night}).now, Delay: 5 * time.Second, After: func(d time.Duration, do func()) func() {
		if d != 5*time.Second {
			t.Errorf("due in %v", d)
		}
		i := len(due)
		due = append(due, do)
		return func() { due[i] = nil }
	}})
	if err != nil {
		t.Fatal(err)
	}
	enter(t, f, "- one")
	enter(t, f, "- two")
	if len(due) != 2 || due[0] != nil {
		t.Fatalf("%d timers, the first was not stopped", len(due))
	}
	due[1]()
	if got := subjects(t, dir); len(got) != 1 {
		t.Errorf("log: %q", got)
	}
	sound(t, dir)
}

func TestFind(t *testing.T) {
	isolate(t)
	dir, other, none := t.TempDir(), t.TempDir(), t.TempDir()
	write(t, dir, supper, supperText)
	write(t, other, supper, supperText)
	for _, c := range []struct{ start, env, data, want string }{
		{dir, other, "", dir},
		{filepath.Join(dir, "cooks/2026"), "", "", dir},
		{none, dir, other, dir},
		{none, "", other, other},
		{none, none, other, ""},
		{none, "", "", ""},
	} {
		got, err := Find(c.start, c.env, c.data)
		if got != c.want || (err != nil) != (c.want == "") || err != nil && !errors.Is(err, ErrNotAJournal) {
			t.Errorf("Find(%q, %q, %q) = %q, %v", c.start, c.env, c.data, got, err)
		}
	}
	if _, err := Open(none, Options{}); !errors.Is(err, ErrNotAJournal) {
		t.Errorf("got %v, want ErrNotAJournal", err)
	}
}

// A mark covers both files of a cook, and taking it changes nothing.
func TestMark(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{})
	id := strings.TrimSuffix(filepath.Base(supper), ".md")
	marks := map[string]bool{}
	mark := func() string {
		t.Helper()
		m, err := f.Mark(id)
		if again, _ := f.Mark(id); err != nil || again != m {
			t.Fatalf("%q, then %q, %v", m, again, err)
		}
		return m
	}
	marks[mark()] = true
	write(t, dir, supper, supperText+"\n- 2026-09-19T02:00+01:00 vent\n")
	marks[mark()] = true
	write(t, dir, SeriesPath(supper), "time,pit_c\n2026-09-19T02:00+01:00,110\n")
	marks[mark()] = true
	write(t, dir, SeriesPath(supper), "time,pit_c\n2026-09-19T02:00+01:00,110\n2026-09-19T02:01+01:00,110\n")
	marks[mark()] = true
	if len(marks) != 4 {
		t.Errorf("%d marks of 4 states: %v", len(marks), marks)
	}
	if _, err := f.Mark("2026-01-01-none"); !errors.Is(err, ErrNoCook) {
		t.Errorf("%v", err)
	}
}
