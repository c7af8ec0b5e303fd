package store

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/disk"
	"ashbook/journal/journaltest"
)

// obstacles make commits wait. Each returns a function that removes it.
var obstacles = []struct {
	name string
	lay  func(t testing.TB, dir string) (clear func())
}{
	{"killed", nil}, // the program is killed before it commits
	{"merge", func(t testing.TB, dir string) func() {
		write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
		return func() { remove(t, dir, ".git/MERGE_HEAD") }
	}},
	{"detached", func(t testing.TB, dir string) func() {
		was := read(t, dir, ".git/HEAD")
		write(t, dir, ".git/HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
		return func() { write(t, dir, ".git/HEAD", was) }
	}},
	{"index.lock", func(t testing.TB, dir string) func() {
		write(t, dir, ".git/index.lock", "")
		return func() { remove(t, dir, ".git/index.lock") }
	}},
}

// replacements put an older version of the file in place of what was saved.
var replacements = []struct {
	name string
	do   func(t testing.TB, dir, stale string)
}{
	{"an editor's buffer, by rename", func(t testing.TB, dir, stale string) { rename(t, dir, supper, stale) }},
	{"an editor's buffer, in place", func(t testing.TB, dir, stale string) { write(t, dir, supper, stale) }},
	{"taken away", func(t testing.TB, dir, _ string) { remove(t, dir, supper) }},
	{"the version in history", func(t testing.TB, dir, _ string) {
		// What git checkout -f, reset --hard and checkout --ours leave in the file.
		write(t, dir, supper, gitIn(t, dir, "show", "HEAD:"+supper))
	}},
}

func remove(t testing.TB, dir, path string) {
	t.Helper()
	if err := os.Remove(filepath.Join(dir, filepath.FromSlash(path))); err != nil {
		t.Fatal(err)
	}
}

// An acknowledged line that is not committed is put back, whatever replaces the file
// and however late the next command is.
func TestAcknowledgedIsPutBack(t *testing.T) {
	needGit(t)
	for _, o := range obstacles {
		for _, r := range replacements {
			lates := []time.Duration{125 * time.Second, 60 * time.Hour}
			if !journaltest.Whole() {
				lates = lates[:1]
			}
			for _, late := range lates {
				t.Run(fmt.Sprintf("%s, %s, %v later", o.name, r.name, late), func(t *testing.T) {
					dir := hall(t)
					now := &clock{night}
					k := open(t, dir, now)
					enter(t, k, "- 2026-09-19T01:00+01:00 pit 110 °C")
					flush(t, k)
					stale := read(t, dir, supper)
					clear := func() {}
					if o.lay != nil {
						clear = o.lay(t, dir)
					}
					lines := []string{"- 2026-09-19T01:04+01:00 pit 112 °C, core 60 °C — GONE", "- 2026-09-19T01:05+01:00 vent — GONE TOO"}
					for _, line := range lines {
						enter(t, k, line)
					}
					if o.lay != nil {
						flush(t, k)
					}
					now.Time = now.Add(late / 2)
					r.do(t, dir, stale)
					now.Time = now.Add(late / 2)
					k = open(t, dir, now) // another process
					enter(t, k, "- 2026-09-19T01:10+01:00 pit 113 °C, core 61 °C")
					check := func(when, text string) {
						t.Helper()
						for _, line := range append(lines, "- 2026-09-19T01:10+01:00 pit 113 °C, core 61 °C", "- 2026-09-19T01:00+01:00 pit 110 °C") {
							if n := strings.Count(text, line); n != 1 {
								t.Errorf("%s: %q stands %d times in\n%s", when, line, n, text)
							}
						}
					}
					check("after the next entry", read(t, dir, supper))
					clear()
					flush(t, k)
					if why := k.Waiting(); why != "" {
						t.Errorf("still waiting: %s", why)
					}
					check("in history", gitIn(t, dir, "show", "HEAD:"+supper)+"\n")
					sound(t, dir)

					// Now that it is committed, deleting it by hand counts.
					now.Time = now.Add(guardTime + time.Minute)
					rename(t, dir, supper, stale)
					open(t, dir, now)
					if got := read(t, dir, supper); got != stale {
						t.Errorf("taken out by hand, but came back:\n%s", got)
					}
				})
			}
		}
	}
}

// An old copy is saved over an entry equal to a committed one. Both come back, since
// there were two.
func TestTwinIsPutBack(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	const wood = "- 2026-09-19T01:04+01:00 wood"
	enter(t, k, wood)
	flush(t, k)
	stale := read(t, dir, supper)
	k = open(t, dir, now)
	enter(t, k, wood)
	rename(t, dir, supper, stale)
	now.Time = now.Add(3 * time.Minute)
	flush(t, open(t, dir, now))
	if got := read(t, dir, supper); got != stale+wood+"\n" {
		t.Errorf("got\n%s", got)
	}
	sound(t, dir)
}

// An old copy is saved over a correction that is not committed. The copy may have the
// line before the correction, or be older still.
func TestCorrectionIsPutBack(t *testing.T) {
	needGit(t)
	const was, is = "- 2026-09-19T01:04+01:00 pit 104 °C\n", "- 2026-09-19T01:09+01:00 pit 140 °C\n"
	for _, c := range []struct {
		name           string
		commit         bool // the line before the correction is committed
		copy, copyWant string
	}{
		{"both wait, older than both", false, supperText, supperText + is},
		{"both wait, between", false, supperText + was, supperText + is},
		{"older than both", true, supperText, supperText + is},
		{"between", true, supperText + was, supperText + is},
		{"older, with a line of its own", true, supperText + "- theirs\n", supperText + is + "- theirs\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := hall(t)
			now := &clock{night}
			k := open(t, dir, now)
			enter(t, k, strings.TrimSuffix(was, "\n"))
			if c.commit {
				flush(t, k)
			}
			now.Time = now.Add(3 * time.Hour)
			if _, err := k.Edit(supper, func(b []byte) ([]byte, error) {
				return []byte(strings.Replace(string(b), was, is, 1)), nil
			}, "harvest-supper: corrected"); err != nil {
				t.Fatal(err)
			}
			rename(t, dir, supper, c.copy)
			now.Time = now.Add(3 * time.Minute)
			flush(t, open(t, dir, now))
			if got := read(t, dir, supper); got != c.copyWant {
				t.Errorf("got\n%s\nwant\n%s", got, c.copyWant)
			}
			sound(t, dir)
		})
	}
}

// What the user has committed, while our commits had to wait, may be deleted. What they
// have not committed is put back.
func TestCommittedByHand(t *testing.T) {
	needGit(t)
	const first, second = "- 2026-09-19T01:04+01:00 pit 104 °C", "- 2026-09-19T01:10+01:00 lid"
	for _, c := range []struct {
		name   string
		do     func(dir string, k *Store)
		expect string
	}{
		{"all", func(dir string, k *Store) {
			enter(t, k, second)
			gitIn(t, dir, "commit", "-qam", "by hand")
			rename(t, dir, supper, supperText)
		}, supperText},
		{"all but the newest", func(dir string, k *Store) {
			gitIn(t, dir, "commit", "-qam", "by hand")
			enter(t, k, second)
			rename(t, dir, supper, supperText)
		}, supperText + second + "\n"},
		{"and taken away", func(dir string, k *Store) {
			gitIn(t, dir, "commit", "-qam", "by hand")
			gitIn(t, dir, "rm", "-q", supper)
			gitIn(t, dir, "commit", "-qm", "by hand")
		}, ""},
		{"nothing, only staged", func(dir string, k *Store) {
			gitIn(t, dir, "add", supper)
			rename(t, dir, supper, supperText)
		}, supperText + first + "\n"},
		{"a state that an undo came back to", func(dir string, k *Store) {
			if _, err := k.Edit(supper, func([]byte) ([]byte, error) { return []byte(supperText), nil }, "x: undo"); err != nil {
				t.Fatal(err)
			}
			enter(t, k, second)
			rename(t, dir, supper, supperText)
		}, supperText + second + "\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := hall(t)
			now := &clock{night}
			gitIn(t, dir, "checkout", "-q", "--detach")
			k := open(t, dir, now)
			enter(t, k, first)
			flush(t, k)
			c.do(dir, k)
			now.Time = now.Add(3 * time.Hour)
			flush(t, open(t, dir, now))
			got, err := os.ReadFile(filepath.Join(dir, supper))
			if string(got) != c.expect || (err != nil) != (c.expect == "") {
				t.Errorf("got %q, %v", got, err)
			}
			gitIn(t, dir, "checkout", "-q", "-B", "main") // the branch moves to the user's commit
			flush(t, open(t, dir, now))
			sound(t, dir)
		})
	}
}

// heldOpen opens the cook's file for appending.
func heldOpen(t *testing.T, dir string) *os.File {
	t.Helper()
	f, err := os.OpenFile(filepath.Join(dir, supper), os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if !disk.BeingWritten(f) {
		t.Skip("this system does not say which files are open for writing")
	}
	return f
}

// A program holds the file open and appends lines before and after our saves replace
// the file. Its lines are in the file once it closes it.
func TestProgramThatHoldsTheFileOpen(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	f := heldOpen(t, dir)
	var want []string
	for i := range 3 {
		for j := range 4 {
			want = append(want, fmt.Sprintf("- theirs %d.%d\n", i, j))
			if _, err := f.WriteString(want[len(want)-1]); err != nil {
				t.Fatal(err)
			}
		}
		line := fmt.Sprintf("- ours %d", i)
		want = append(want, line+"\n")
		enter(t, k, line)
		flush(t, k)
		if told := strings.Join(k.Notices(), "\n"); i == 0 && !strings.Contains(told, "has the file open") {
			t.Errorf("notices: %q", told)
		}
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	enter(t, k, "- last")
	flush(t, k)
	got := read(t, dir, supper)
	for _, line := range append(want, "- last\n") {
		if n := strings.Count(got, line); n != 1 {
			t.Errorf("%q is there %d times in\n%s", line, n, got)
		}
	}
	sound(t, dir)
}

// A save succeeds even if a crash's leftovers cannot be deleted.
func TestSaveBesideALeftOver(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	stuck := filepath.Join(k.temp, tempPrefix+"0000000000000000")
	if err := os.MkdirAll(filepath.Join(stuck, "full"), 0o777); err != nil {
		t.Fatal(err)
	}
	enter(t, k, "- ours")
	if got := read(t, dir, supper); !strings.HasSuffix(got, "- ours\n") {
		t.Errorf("got %q", got)
	}
	if told := strings.Join(k.Notices(), "\n"); !strings.Contains(told, "cannot be cleared up") {
		t.Errorf("notices: %q", told)
	}
}

// A pending file whose last line a crash cut short keeps its other lines, and those
// written later.
func TestTornRecord(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- first")
	stale := read(t, dir, supper)
	f, err := os.OpenFile(k.pendingFile(), os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteString(`{"path":"cooks/20`); err != nil {
		t.Fatal(err)
	}
	f.Close()
	for range 2 {
		now.Time = now.Add(time.Hour)
		k, err := start(dir, now, 0)
		if err != nil {
			t.Fatal(err)
		}
		write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
		enter(t, k, "- second at "+now.Format("15:04"))
	}
	rename(t, dir, supper, stale)
	open(t, dir, now)
	if got := read(t, dir, supper); strings.Count(got, "- second") != 2 || strings.Count(got, "- first") != 1 {
		t.Errorf("got %q", got)
	}
}

// While commits wait for a night, the pending file grows by the lines added, and has one
// whole copy of the file.
func TestPendingStaysSmall(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	write(t, dir, supper, supperText+strings.Repeat("- filler\n", 2000))
	k := open(t, dir, now)
	write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
	for i := range 50 {
		enter(t, k, fmt.Sprintf("- note %d", i))
		flush(t, k)
	}
	info, err := os.Stat(k.pendingFile())
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.Stat(filepath.Join(dir, supper))
	if err != nil {
		t.Fatal(err)
	}
	// Base64 turns three bytes into four. There is one copy of theirs and one of ours.
	if most := 3*file.Size() + 50*1000; info.Size() > most {
		t.Errorf("%d bytes for a file of %d, want at most %d", info.Size(), file.Size(), most)
	}
}

// One save corrected two lines, and an old copy has one of them uncorrected. That one
// is removed and both corrections come back.
func TestHalfOfACorrectionIsPutBack(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- 2026-09-19T01:04+01:00 lid\n- 2026-09-19T01:05+01:00 wood")
	flush(t, k)
	const right = "- 2026-09-19T01:14+01:00 lid\n- 2026-09-19T01:15+01:00 wood\n"
	if _, err := k.Edit(supper, func([]byte) ([]byte, error) { return []byte(supperText + right), nil }, "x"); err != nil {
		t.Fatal(err)
	}
	rename(t, dir, supper, supperText+"- 2026-09-19T01:04+01:00 lid\n")
	now.Time = now.Add(3 * time.Hour)
	enter(t, open(t, dir, now), "- last")
	if got := read(t, dir, supper); got != supperText+right+"- last\n" {
		t.Errorf("got\n%s", got)
	}
}

// A line of ours comes back, although the old copy has another line with the same time
// and words from before ours.
func TestBesideALineOfKin(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- 2026-09-19T01:04+01:00 pit 104 °C")
	flush(t, k)
	stale := read(t, dir, supper)
	enter(t, k, "- 2026-09-19T01:04+01:00 pit 105 °C")
	rename(t, dir, supper, stale)
	now.Time = now.Add(3 * time.Hour)
	enter(t, open(t, dir, now), "- last")
	if got := read(t, dir, supper); got != stale+"- 2026-09-19T01:04+01:00 pit 105 °C\n- last\n" {
		t.Errorf("got\n%s", got)
	}
}

// A line that the user committed and then deleted does not come back with the next
// entry.
func TestEntryAfterACommitByHand(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	gitIn(t, dir, "checkout", "-q", "--detach")
	k := open(t, dir, now)
	enter(t, k, "- 2026-09-19T01:04+01:00 pit 104 °C")
	gitIn(t, dir, "commit", "-qam", "by hand")
	rename(t, dir, supper, supperText)
	now.Time = now.Add(3 * time.Hour)
	enter(t, k, "- last")
	if got := read(t, dir, supper); got != supperText+"- last\n" {
		t.Errorf("got\n%s", got)
	}
}

// A file that cannot be read waits by itself; the others are committed.
func TestOneFileWaitsAlone(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	if err := k.Create("cooks/2027/2027-01-02-feast.md", []byte("x\n"), "feast: planned"); err != nil {
		t.Fatal(err)
	}
	remove(t, dir, "cooks/2027/2027-01-02-feast.md")
	write(t, dir, "cooks/2027/2027-01-02-feast.md/in the way", "")
	enter(t, k, "- ours")
	flush(t, k)
	if k.Waiting() == "" {
		t.Error("nothing waits")
	}
	if got := gitIn(t, dir, "show", "HEAD:"+supper); got != supperText+"- ours\n" {
		t.Errorf("in history: %q", got)
	}
}

// An old copy is saved over an undo or a deleted entry. The entry is removed again if
// the removal is not committed; if it is, only if the copy is older.
func TestUndoIsPutBack(t *testing.T) {
	needGit(t)
	const out, stays = "- 2026-09-19T01:04+01:00 pit 17 °C\n", "- 2026-09-19T01:09+01:00 lid\n"
	for _, c := range []struct {
		name       string
		entered    bool // the entry is committed
		undone     bool // the undo is committed too
		copy, want string
		notices    int
	}{
		{"both wait", false, false, supperText + stays + out, supperText + stays, 1},
		{"the undo waits", true, false, supperText + stays + out, supperText + stays, 1},
		{"the undo waits, the copy has a line of its own", true, false, supperText + stays + out + "- theirs\n", supperText + stays + "- theirs\n", 1},
		{"the copy is older than both", true, false, supperText, supperText + stays, 1},
		{"put in again by hand", true, true, supperText + stays + out, supperText + stays + out, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := hall(t)
			now := &clock{night}
			k := open(t, dir, now)
			enter(t, k, strings.TrimSuffix(stays, "\n"))
			enter(t, k, strings.TrimSuffix(out, "\n"))
			if c.entered {
				flush(t, k)
			}
			now.Time = now.Add(10 * time.Minute)
			if _, err := k.Edit(supper, func(b []byte) ([]byte, error) {
				return []byte(strings.Replace(string(b), out, "", 1)), nil
			}, "harvest-supper: undone"); err != nil {
				t.Fatal(err)
			}
			if c.undone {
				flush(t, k)
			}
			rename(t, dir, supper, c.copy)
			now.Time = now.Add(3 * time.Minute)
			k = open(t, dir, now)
			flush(t, k)
			if got := read(t, dir, supper); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
			if got := k.Notices(); len(got) != c.notices {
				t.Errorf("said %q", got)
			}
			sound(t, dir)
		})
	}
}
