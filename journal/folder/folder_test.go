package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
)

// The cooks here are invented: a village hall that cooks for feast days.

const (
	supperID = "2026-09-18-harvest-supper"
	supper   = "cooks/2026/2026-09-18-harvest-supper.md"
)

const supperText = `---
ashbook: 1
title: Harvest supper
cut: pork shoulder
pieces:
  - {name: large, raw: 5.2 kg, trimmed: 4.7 kg}
  - {name: small, raw: 3.9 kg}
pit: brick
serve: 2026-09-19T13:00+01:00
tasting:
  - {eater: RT, overall: 8}
  - {eater: MB, overall: 7}
---

# Harvest supper

The wind had turned by midnight.

## Timeline

- 2026-09-18T20:10+01:00 on, pit 112 °C
- 2026-09-19T04:20+01:00 wrap paper, core large 74 °C
`

var night = time.Date(2026, 9, 19, 1, 4, 0, 0, time.FixedZone("", 3600))

// clock is a Now that stands until it is moved.
type clock struct{ time.Time }

func (c *clock) now() time.Time { return c.Time }

func isolate(t testing.TB) {
	t.Helper()
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", home)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	t.Setenv("GIT_CONFIG_GLOBAL", filepath.Join(home, ".gitconfig"))
}

func write(t testing.TB, dir, path, data string) {
	t.Helper()
	name := filepath.Join(dir, path)
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(data), 0o666); err != nil {
		t.Fatal(err)
	}
}

// rename saves as many editors do: a new file put over the old.
func rename(t testing.TB, dir, path, data string) {
	t.Helper()
	write(t, dir, "editor~", data)
	if err := os.Rename(filepath.Join(dir, "editor~"), filepath.Join(dir, path)); err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, dir, path string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, path))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// hall makes a journal of one cook under git.
func hall(t testing.TB) string {
	t.Helper()
	isolate(t)
	dir := t.TempDir()
	write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	write(t, dir, supper, supperText)
	if _, err := history.Init(dir, night, 0); err != nil {
		t.Fatal(err)
	}
	return dir
}

func open(t testing.TB, dir string, c *clock) *Folder {
	t.Helper()
	f, err := Open(dir, Options{Now: c.now})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func gitIn(t testing.TB, dir string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git program")
	}
	cmd := exec.Command("git", append([]string{"-c", "user.name=Hand", "-c", "user.email=hand@localhost"}, args...)...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("git %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// sound asks git whether the journal is whole and clean.
func sound(t testing.TB, dir string) {
	t.Helper()
	if out := gitIn(t, dir, "fsck", "--strict", "--no-dangling", "--no-progress"); out != "" {
		t.Errorf("git fsck: %s", out)
	}
	if out := gitIn(t, dir, "status", "--porcelain"); out != "" {
		t.Errorf("git status: %s", out)
	}
}

// subjects are the first lines of the log, the newest first, but for the beginning.
func subjects(t testing.TB, dir string) []string {
	t.Helper()
	all := strings.Split(strings.TrimSpace(gitIn(t, dir, "log", "--format=%s")), "\n")
	return all[:len(all)-1]
}

// adding returns an edit that adds a line at the end.
func adding(line string) func([]byte) ([]byte, error) {
	return func(old []byte) ([]byte, error) { return append(old, line+"\n"...), nil }
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

func TestEditThatChangesNothingOrFails(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	before, _ := os.Stat(filepath.Join(dir, supper))
	if _, err := f.EditFile(supper, func(b []byte) ([]byte, error) { return b, nil }, "x"); err != nil {
		t.Fatal(err)
	}
	oops := errors.New("oops")
	if _, err := f.EditFile(supper, func(b []byte) ([]byte, error) { return append(b, 'x'), oops }, "x"); !errors.Is(err, oops) {
		t.Errorf("got %v", err)
	}
	after, _ := os.Stat(filepath.Join(dir, supper))
	if !os.SameFile(before, after) {
		t.Error("the file was written")
	}
	flush(t, f)
	if got := subjects(t, dir); len(got) != 0 {
		t.Errorf("log: %q", got)
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

func TestTheirVersionComesFirst(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	rename(t, dir, supper, supperText+"- by hand\n")
	enter(t, f, "- ours")
	flush(t, f)
	if got := read(t, dir, supper); got != supperText+"- by hand\n- ours\n" {
		t.Errorf("got %q", got)
	}
	if got := subjects(t, dir); len(got) != 2 || got[1] != "harvest-supper: changed outside ashbook" {
		t.Errorf("log: %q", got)
	}
	if got := gitIn(t, dir, "show", "HEAD~1:"+supper); got != supperText+"- by hand\n" {
		t.Errorf("their version: %q", got)
	}
	sound(t, dir)
}

// Another program saves between our reading and our exchange, once or every time
// up to five; its every version is in history, and the file has all lines.
func TestSaveThatSlipsIn(t *testing.T) {
	for times := 1; times <= 5; times++ {
		for _, save := range []func(testing.TB, string, string, string){rename, write} {
			dir := hall(t)
			f := open(t, dir, &clock{night})
			calls := 0
			var theirs []string
			_, err := f.EditFile(supper, func(old []byte) ([]byte, error) {
				if calls++; calls <= times {
					theirs = append(theirs, fmt.Sprintf("%s- theirs %d\n", read(t, dir, supper), calls))
					save(t, dir, supper, theirs[calls-1])
				}
				return append(old, "- ours\n"...), nil
			}, "harvest-supper: ours")
			if err != nil {
				t.Fatal(err)
			}
			got := read(t, dir, supper)
			if strings.Count(got, "- ours\n") != 1 {
				t.Errorf("got %q", got)
			}
			flush(t, f)
			log := gitIn(t, dir, "log", "-p", "--format=%s")
			for i := range theirs {
				line := fmt.Sprintf("- theirs %d\n", i+1)
				if !strings.Contains(got, line) || !strings.Contains(log, "+"+line) {
					t.Errorf("%q is lost", line)
				}
			}
			sound(t, dir)
		}
	}
}

// A program that writes in place holds the old file open over our exchange.
func TestSaveInPlaceAcrossTheExchange(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	written := make(chan error, 1)
	calls := 0
	_, err := f.EditFile(supper, func(old []byte) ([]byte, error) {
		if calls++; calls == 1 {
			w, err := os.OpenFile(filepath.Join(dir, supper), os.O_WRONLY|os.O_TRUNC, 0)
			if err != nil {
				return nil, err
			}
			go func() {
				for getting := true; getting; { // until the exchange has taken place
					a, err1 := os.Stat(filepath.Join(dir, supper))
					b, err2 := w.Stat()
					getting = err1 != nil || err2 != nil || os.SameFile(a, b)
				}
				_, err := w.WriteString(supperText + "- in place\n")
				written <- errors.Join(err, w.Close())
			}()
		}
		return append(old, "- ours\n"...), nil
	}, "harvest-supper: ours")
	if err != nil {
		t.Fatal(err)
	}
	if err := <-written; err != nil {
		t.Fatal(err)
	}
	flush(t, f)
	if got := read(t, dir, supper); got != supperText+"- in place\n- ours\n" {
		if exchange("", "") == errors.ErrUnsupported {
			t.Skip("no exchange on this system")
		}
		t.Errorf("got %q", got)
	}
	sound(t, dir)
}

func TestLinesAnotherProgramSavedOverArePutBack(t *testing.T) {
	dir := hall(t)
	c := &clock{night}
	f := open(t, dir, c)
	enter(t, f, "- 2026-09-19T05:00+01:00 pit 104 °C")
	flush(t, f)
	enter(t, f, "- 2026-09-19T05:30+01:00 pit 106 °C")
	stale := strings.Replace(supperText, "midnight", "one", 1)
	rename(t, dir, supper, stale)
	enter(t, f, "- 2026-09-19T06:00+01:00 pit 108 °C")
	want := stale + "- 2026-09-19T05:00+01:00 pit 104 °C\n- 2026-09-19T05:30+01:00 pit 106 °C\n- 2026-09-19T06:00+01:00 pit 108 °C\n"
	if got := read(t, dir, supper); got != want {
		t.Errorf("got %q", got)
	}
	if got := strings.Join(f.Notices(), "\n"); !strings.Contains(got, "put back") {
		t.Errorf("notices: %q", got)
	}
	flush(t, f)
	sound(t, dir)
	for _, version := range []string{stale, supperText + "- 2026-09-19T05:00+01:00 pit 104 °C\n- 2026-09-19T05:30+01:00 pit 106 °C\n"} {
		found := false
		vs, err := f.History().Versions(supper, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range vs {
			data, _ := f.History().At(v.Hash, supper)
			found = found || string(data) == version
		}
		if !found {
			t.Errorf("not in history: %q", version)
		}
	}

	// Saved over with nobody looking: the next opening puts them back.
	rename(t, dir, supper, stale)
	open(t, dir, c)
	if got := read(t, dir, supper); got != want {
		t.Errorf("after opening: %q", got)
	}
	sound(t, dir)

	// After the guard time the same is taken for what the person wants.
	c.Time = c.Add(guardTime + time.Minute)
	rename(t, dir, supper, stale)
	open(t, dir, c)
	if got := read(t, dir, supper); got != stale {
		t.Errorf("after an hour: %q", got)
	}
}

func TestWhatAPersonPutRightStays(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	enter(t, f, "- 2026-09-19T05:00+01:00 pit 104 °C, core 17 °C")
	right := supperText + "- 2026-09-19T05:00+01:00 pit 104 °C, core 71 °C\n"
	rename(t, dir, supper, right)
	flush(t, f)
	if got := read(t, dir, supper); got != right {
		t.Errorf("a line put right by hand: %q", got)
	}

	enter(t, f, "- 2026-09-19T05:10+01:00 lid")
	if _, err := f.EditFile(supper, func([]byte) ([]byte, error) { return []byte(right), nil }, "harvest-supper: undone"); err != nil {
		t.Fatal(err)
	}
	rename(t, dir, supper, right+"- more\n")
	flush(t, f)
	if got := read(t, dir, supper); got != right+"- more\n" {
		t.Errorf("an entry that was undone: %q", got)
	}
	sound(t, dir)
}

func TestNotUnderGit(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	write(t, dir, supper, supperText)
	f := open(t, dir, &clock{night})
	if list, _ := f.List(); len(list) != 1 {
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

func TestCommitsWaitForAMerge(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	head := gitIn(t, dir, "rev-parse", "HEAD")
	write(t, dir, ".git/MERGE_HEAD", head)
	rename(t, dir, supper, supperText+"- by hand\n")
	enter(t, f, "- ours")
	flush(t, f)
	if got := read(t, dir, supper); got != supperText+"- by hand\n- ours\n" {
		t.Errorf("got %q", got)
	}
	if got := f.Notices(); len(got) == 0 || !strings.Contains(got[0], "a merge is in progress") {
		t.Errorf("notices: %q", got)
	}
	if got := gitIn(t, dir, "rev-parse", "HEAD"); got != head {
		t.Error("a commit was made")
	}
	if err := os.Remove(filepath.Join(dir, ".git/MERGE_HEAD")); err != nil {
		t.Fatal(err)
	}
	open(t, dir, &clock{night})
	if got := subjects(t, dir); len(got) != 2 || got[0] != "harvest-supper: - ours" {
		t.Errorf("log: %q", got)
	}
	sound(t, dir)
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
