package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/disk"
	"ashbook/journal/history"
)

func TestEditThatChangesNothingOrFails(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	before, _ := os.Stat(filepath.Join(dir, supper))
	if _, err := k.Edit(supper, func(b []byte) ([]byte, error) { return b, nil }, "x"); err != nil {
		t.Fatal(err)
	}
	oops := errors.New("oops")
	if _, err := k.Edit(supper, func(b []byte) ([]byte, error) { return append(b, 'x'), oops }, "x"); !errors.Is(err, oops) {
		t.Errorf("got %v", err)
	}
	after, _ := os.Stat(filepath.Join(dir, supper))
	if !os.SameFile(before, after) {
		t.Error("the file was written")
	}
	flush(t, k)
	if got := subjects(t, dir); len(got) != 0 {
		t.Errorf("log: %q", got)
	}
}

func TestTheirVersionComesFirst(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	rename(t, dir, supper, supperText+"- by hand\n")
	enter(t, k, "- ours")
	flush(t, k)
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

// Another program saves between our reading and our exchange, once or up to five times.
// Each of its versions is in history, and the file has all lines.
func TestSaveThatSlipsIn(t *testing.T) {
	for times := 1; times <= 5; times++ {
		for _, save := range []func(testing.TB, string, string, string){rename, write} {
			dir := hall(t)
			k := open(t, dir, &clock{night})
			calls := 0
			var theirs []string
			_, err := k.Edit(supper, func(old []byte) ([]byte, error) {
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
			flush(t, k)
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

// A copy opened before the last entries is saved between our reading and our exchange.
// The result has all those entries, not only the newest.
func TestOldCopyThatSlipsIn(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	enter(t, k, "- first")
	stale := false
	_, err := k.Edit(supper, func(old []byte) ([]byte, error) {
		if !stale {
			stale = true
			rename(t, dir, supper, supperText+"- theirs\n")
		}
		return append(old, "- second\n"...), nil
	}, "harvest-supper: second")
	if err != nil {
		t.Fatal(err)
	}
	check := func() {
		t.Helper()
		got := read(t, dir, supper)
		for _, line := range []string{"- first\n", "- second\n", "- theirs\n"} {
			if strings.Count(got, line) != 1 {
				t.Errorf("%q is there %d times in %q", line, strings.Count(got, line), got)
			}
		}
	}
	check()
	flush(t, k)
	check()
	sound(t, dir)
}

// A program that writes in place has the old file open during our exchange.
func TestSaveInPlaceAcrossTheExchange(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	written := make(chan error, 1)
	calls := 0
	_, err := k.Edit(supper, func(old []byte) ([]byte, error) {
		if calls++; calls == 1 {
			w, err := os.OpenFile(filepath.Join(dir, supper), os.O_WRONLY|os.O_TRUNC, 0)
			if err != nil {
				return nil, err
			}
			go func() {
				for getting := true; getting; { // until the exchange is done
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
	flush(t, k)
	if got := read(t, dir, supper); got != supperText+"- in place\n- ours\n" {
		if disk.OS.Exchange("", "") == errors.ErrUnsupported {
			t.Skip("no exchange on this system")
		}
		t.Errorf("got %q", got)
	}
	sound(t, dir)
}

func TestLinesAnotherProgramSavedOverArePutBack(t *testing.T) {
	dir := hall(t)
	c := &clock{night}
	k := open(t, dir, c)
	enter(t, k, "- 2026-09-19T05:00+01:00 pit 104 °C")
	flush(t, k)
	enter(t, k, "- 2026-09-19T05:30+01:00 pit 106 °C")
	stale := strings.Replace(supperText, "midnight", "one", 1)
	rename(t, dir, supper, stale)
	enter(t, k, "- 2026-09-19T06:00+01:00 pit 108 °C")
	want := stale + "- 2026-09-19T05:00+01:00 pit 104 °C\n- 2026-09-19T05:30+01:00 pit 106 °C\n- 2026-09-19T06:00+01:00 pit 108 °C\n"
	if got := read(t, dir, supper); got != want {
		t.Errorf("got %q", got)
	}
	if got := strings.Join(k.Notices(), "\n"); !strings.Contains(got, "put back") {
		t.Errorf("notices: %q", got)
	}
	flush(t, k)
	sound(t, dir)
	for _, version := range []string{stale, supperText + "- 2026-09-19T05:00+01:00 pit 104 °C\n- 2026-09-19T05:30+01:00 pit 106 °C\n"} {
		found := false
		vs, err := k.repo.Versions(supper, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range vs {
			data, _ := k.repo.At(v.Hash, supper)
			found = found || string(data) == version
		}
		if !found {
			t.Errorf("not in history: %q", version)
		}
	}

	// It was saved over while ashbook was not running. The next opening puts the lines
	// back.
	rename(t, dir, supper, stale)
	open(t, dir, c)
	if got := read(t, dir, supper); got != want {
		t.Errorf("after opening: %q", got)
	}
	sound(t, dir)

	// After guardTime the same counts as what the user wants.
	c.Time = c.Add(guardTime + time.Minute)
	rename(t, dir, supper, stale)
	open(t, dir, c)
	if got := read(t, dir, supper); got != stale {
		t.Errorf("after an hour: %q", got)
	}
}

// TestWhatIsPutBack saves entries at the given minutes. Then, at the last minute,
// another program saves its version of the file.
func TestWhatIsPutBack(t *testing.T) {
	needGit(t)
	at := func(m int) string { return fmt.Sprintf("- 2026-09-19T01:%02d+01:00 pit 104 °C\n", m) }
	for _, c := range []struct {
		name  string
		ours  []int
		then  int
		holds []int // indexes of our entries in the other program's version
		want  []int
	}{
		{"an old copy, at once", []int{4}, 4, nil, []int{4}},
		{"the newest, within two minutes", []int{4, 30}, 32, []int{4}, []int{4, 30}},
		{"the newest, later", []int{4, 30}, 33, []int{4}, []int{4}},
		{"the only one, later", []int{4}, 7, nil, nil},
		{"an earlier one", []int{4, 5, 6}, 6, []int{4, 6}, []int{4, 6}},
		{"the first of all, at once", []int{4, 5}, 5, []int{5}, []int{5}},
		{"an old copy, much later", []int{4, 20, 40}, 59, nil, []int{4, 20, 40}},
		{"an old copy that has the first", []int{4, 20, 40}, 59, []int{4}, []int{4, 20, 40}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := hall(t)
			now := &clock{night}
			k := open(t, dir, now)
			minute := func(m int) { now.Time = night.Add(time.Duration(m-night.Minute()) * time.Minute) }
			for _, m := range c.ours {
				minute(m)
				enter(t, k, strings.TrimSuffix(at(m), "\n"))
			}
			flush(t, k)
			version := func(minutes []int) string {
				text := strings.Replace(supperText, "midnight", "one", 1)
				for _, m := range minutes {
					text += at(m)
				}
				return text
			}
			minute(c.then)
			rename(t, dir, supper, version(c.holds))
			flush(t, k)
			if got := read(t, dir, supper); got != version(c.want) {
				t.Errorf("got\n%s", got)
			}
			if told := strings.Contains(strings.Join(k.Notices(), "\n"), "put back"); told != (len(c.want) > len(c.holds)) {
				t.Errorf("told of putting back: %v", told)
			}
			log := gitIn(t, dir, "log", "-p", "--format=%s")
			for _, m := range c.ours {
				if !strings.Contains(log, "+"+at(m)) {
					t.Errorf("not in history: %s", at(m))
				}
			}
		})
	}
}

func TestValueSettledByAPersonStays(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	enter(t, k, "- 2026-09-19T05:00+01:00 pit 104 °C, core 17 °C")
	right := supperText + "- 2026-09-19T05:00+01:00 pit 104 °C, core 71 °C\n"
	rename(t, dir, supper, right)
	flush(t, k)
	if got := read(t, dir, supper); got != right {
		t.Errorf("a line put right by hand: %q", got)
	}

	enter(t, k, "- 2026-09-19T05:10+01:00 lid")
	if _, err := k.Edit(supper, func([]byte) ([]byte, error) { return []byte(right), nil }, "harvest-supper: undone"); err != nil {
		t.Fatal(err)
	}
	rename(t, dir, supper, right+"- more\n")
	flush(t, k)
	if got := read(t, dir, supper); got != right+"- more\n" {
		t.Errorf("an entry that was undone: %q", got)
	}
	sound(t, dir)
}

func TestLocked(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	release, err := k.repo.Lock(0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := k.Edit(supper, adding("x"), "x"); !errors.Is(err, history.ErrLocked) {
		t.Errorf("got %v, want ErrLocked", err)
	}
	if read(t, dir, supper) != supperText {
		t.Error("the file was written")
	}
	release()
	enter(t, k, "x")
}

func TestCommitsWaitForAMerge(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	head := gitIn(t, dir, "rev-parse", "HEAD")
	write(t, dir, ".git/MERGE_HEAD", head)
	rename(t, dir, supper, supperText+"- by hand\n")
	enter(t, k, "- ours")
	flush(t, k)
	if got := read(t, dir, supper); got != supperText+"- by hand\n- ours\n" {
		t.Errorf("got %q", got)
	}
	if got := k.Notices(); len(got) == 0 || !strings.Contains(got[0], "a merge is in progress") {
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

// All files are made or none: when one exists, when one is too large, when a folder is
// in the way.
func TestCreateAll(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	files := func(last string) []NewFile {
		return []NewFile{{"cooks/2026/a.md", []byte("a\n"), "a: planned"}, {"cooks/2026/b.md", []byte("b\n"), "b: planned"}, {last, []byte("c\n"), "c: planned"}}
	}
	write(t, dir, "cooks/blocked", "a file where a folder should be\n")
	defer sound(t, dir)
	defer os.Remove(filepath.Join(dir, "cooks/blocked"))
	for _, last := range []string{supper, "cooks/blocked/c.md"} {
		if err := k.CreateAll(files(last)); err == nil {
			t.Fatalf("%s: no error", last)
		}
		for _, p := range []string{"cooks/2026/a.md", "cooks/2026/b.md"} {
			if _, err := os.Lstat(filepath.Join(dir, p)); !errors.Is(err, os.ErrNotExist) {
				t.Errorf("%s: %s is there", last, p)
			}
		}
	}
	if err := k.CreateAll(files("cooks/2026/c.md")); err != nil {
		t.Fatal(err)
	}
	flush(t, k)
	for p, want := range map[string]string{"cooks/2026/a.md": "a\n", "cooks/2026/b.md": "b\n", "cooks/2026/c.md": "c\n"} {
		if got := read(t, dir, p); got != want || gitIn(t, dir, "show", "HEAD:"+p) != want {
			t.Errorf("%s: %q", p, got)
		}
	}
}

// What prevents a commit is reported, is no error, and is no longer reported once it is
// gone.
func TestWaiting(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
	enter(t, k, "- ours")
	flush(t, k)
	if got := k.Waiting(); !strings.HasPrefix(got, "a merge is in progress") {
		t.Errorf("during a merge: %q", got)
	}
	if err := os.Remove(filepath.Join(dir, ".git/MERGE_HEAD")); err != nil {
		t.Fatal(err)
	}
	flush(t, k)
	if got := k.Waiting(); got != "" {
		t.Errorf("after the merge: %q", got)
	}
	flush(t, k)

	enter(t, k, "- more")
	objects := filepath.Join(dir, ".git/objects")
	if err := os.Rename(objects, objects+"-away"); err != nil {
		t.Fatal(err)
	}
	write(t, dir, ".git/objects", "a file where a folder should be\n")
	flush(t, k)
	if got := k.Waiting(); got == "" || strings.Contains(got, dir) {
		t.Errorf("without objects: %q", got)
	}
	if err := errors.Join(os.Remove(objects), os.Rename(objects+"-away", objects)); err != nil {
		t.Fatal(err)
	}
	flush(t, k)
	if got := k.Waiting(); got != "" {
		t.Errorf("with objects: %q", got)
	}
	sound(t, dir)
}

// A record that has a line of the pending file equals that line, whatever was done to
// the record since.
func TestLinesSayTheirRecords(t *testing.T) {
	dir := hall(t)
	c := &clock{night}
	k := open(t, dir, c)
	check := func(when string) {
		t.Helper()
		for i, n := range k.pending {
			if n.line == nil {
				continue
			}
			if line, err := json.Marshal(n); err != nil || string(line)+"\n" != string(n.line) {
				t.Errorf("%s: record %d is\n%s\nits line\n%s", when, i, line, n.line)
			}
		}
	}
	for i := range 6 {
		c.Time = c.Add(time.Minute)
		line := fmt.Sprintf("- 2026-09-19T05:%02d+01:00 pit %d °C\n", i, 100+i)
		if _, err := k.Edit(supper, func(old []byte) ([]byte, error) { return append(old, line...), nil }, "supper: "+line); err != nil {
			t.Fatal(err)
		}
		check("saved")
		if i%2 == 1 {
			flush(t, k)
			check("in history")
			k = open(t, dir, c)
		}
	}
	var mark Mark
	if err := k.Grow("cooks/2026/rows.csv", &mark, func([]byte) ([]byte, error) { return []byte("time,pit_c\n"), nil }, Growth{Message: "rows", Hold: time.Hour}); err != nil {
		t.Fatal(err)
	}
	check("growing")
	if err := k.Commit("cooks/2026/rows.csv"); err != nil {
		t.Fatal(err)
	}
	check("grown")
}
