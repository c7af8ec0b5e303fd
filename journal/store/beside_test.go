package store

import (
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"ashbook/journal/disk"
)

// Two goroutines add lines through one Store. Every line is once in the file and once
// in history.
func TestTwoGoroutines(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	const each = 15
	var all [2][]string
	var wait sync.WaitGroup
	for g := range all {
		wait.Go(func() {
			for i := range each {
				line := fmt.Sprintf("- 2026-09-19T01:04+01:00 pit 104 °C — %d.%d", g, i)
				if _, err := k.Edit(supper, adding(line), "harvest-supper: "+line); err != nil {
					t.Error(err)
					return
				}
				all[g] = append(all[g], line+"\n")
				if i%4 == g {
					if err := k.Flush(); err != nil {
						t.Error(err)
					}
				}
				k.Notices()
				k.Waiting()
			}
		})
	}
	wait.Wait()
	flush(t, k)
	checkLines(t, dir, slices.Concat(all[0], all[1]))
	checkLog(t, dir, slices.Concat(all[0], all[1]))
	sound(t, dir)
}

// Two processes add lines to one journal; each waits for the other.
func TestTwoProcesses(t *testing.T) {
	dir := hall(t)
	killA, _, firstA, waitA := child(t, dir, "note", "noted", night)
	killB, _, firstB, waitB := child(t, dir, "note", "noted", night.Add(time.Minute))
	<-firstA
	<-firstB
	killA()
	lines := waitA()
	killB()
	lines = append(lines, waitB()...)
	open(t, dir, &clock{night.Add(2 * time.Minute)})
	checkLines(t, dir, lines)
	sound(t, dir)
}

// On a full disk only a part of a pending record may be written. The cook's file and
// the later records can still be read.
func TestRecordWithoutRoom(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- first")
	full := &small{FS: k.disk, file: "pending", room: 40}
	k.disk = full
	if _, err := k.Edit(supper, adding("- no room"), "x"); err == nil {
		t.Fatal("no error")
	}
	k.disk = full.FS
	enter(t, k, "- second")
	rename(t, dir, supper, supperText)
	now.Time = now.Add(time.Hour)
	flush(t, open(t, dir, now))
	if got := read(t, dir, supper); got != supperText+"- first\n- second\n" {
		t.Errorf("got %q", strings.TrimPrefix(got, supperText))
	}
	sound(t, dir)
}

// If only a part of the record about a crash's leftovers fits on the disk, the record
// of the next line is still read.
func TestRecordAfterOneWithoutRoom(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- first")
	// As a crash leaves it after another program's save came in between.
	write(t, k.temp, k.pending[0].Temp, supperText+"- theirs\n")
	full := &small{FS: k.disk, file: "pending", room: 40, once: true}
	k.disk = full
	enter(t, k, "- second")
	rename(t, dir, supper, supperText)
	now.Time = now.Add(time.Hour)
	flush(t, open(t, dir, now))
	got := read(t, dir, supper)
	for _, line := range []string{"- first\n", "- second\n", "- theirs\n"} {
		if n := strings.Count(got, line); n != 1 {
			t.Errorf("%q is there %d times in %q", line, n, strings.TrimPrefix(got, supperText))
		}
	}
	sound(t, dir)
}

// Lines that are not in history yet are still put back after a file was handed over.
func TestHandOverWhileCommitsWait(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
	k := open(t, dir, now)
	enter(t, k, "- first")
	if err := k.HandOver(supper); err != nil {
		t.Fatal(err)
	}
	rename(t, dir, supper, supperText)
	now.Time = now.Add(3 * time.Hour)
	open(t, dir, now)
	if got := read(t, dir, supper); got != supperText+"- first\n" {
		t.Errorf("got %q", strings.TrimPrefix(got, supperText))
	}
}

// unmoving is a disk on which two files cannot be exchanged.
type unmoving struct{ disk.FS }

func (unmoving) Exchange(_, _ string) error { return syscall.EIO }

// A save that failed before the exchange did not happen. Its line does not appear
// later, when the user may have entered it again.
func TestSaveThatDidNotTakePlace(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	k.disk = unmoving{k.disk}
	if _, err := k.Edit(supper, adding("- first"), "x"); err == nil {
		t.Fatal("no error")
	}
	k = open(t, dir, now)
	if got := read(t, dir, supper); got != supperText {
		t.Errorf("got %q", strings.TrimPrefix(got, supperText))
	}
	enter(t, k, "- first")
	flush(t, k)
	if got := subjects(t, dir); !slices.Equal(got, []string{"harvest-supper: - first"}) {
		t.Errorf("in history: %q", got)
	}
	sound(t, dir)
}

// stuck is a disk on which git's index cannot be replaced.
type stuck struct{ disk.FS }

func (d stuck) Rename(old, name string) error {
	if filepath.Base(name) == "index" {
		return syscall.EIO
	}
	return d.FS.Rename(old, name)
}

// After a crash between moving the branch and writing the index, the next opening
// updates the index, although history is complete.
func TestIndexLeftBehindTheBranch(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- first")
	k.repo.Disk = stuck{k.repo.Disk}
	flush(t, k)
	if got := gitIn(t, dir, "show", "HEAD:"+supper); got != supperText+"- first\n" {
		t.Fatalf("the branch has not moved: %q", got)
	}
	open(t, dir, now)
	sound(t, dir)
}

// small is a disk on which one file can grow only by a given number of bytes.
type small struct {
	disk.FS
	file string // name of that file
	room int
	once bool // after the first failure there is room again
}

func (s *small) OpenFile(name string, flag int, perm fs.FileMode) (disk.File, error) {
	f, err := s.FS.OpenFile(name, flag, perm)
	if err != nil || filepath.Base(name) != s.file {
		return f, err
	}
	return smallFile{f, s}, nil
}

type smallFile struct {
	disk.File
	on *small
}

func (f smallFile) Write(p []byte) (int, error) {
	if len(p) <= f.on.room {
		return f.File.Write(p)
	}
	n, err := f.File.Write(p[:f.on.room])
	if f.on.once {
		f.on.room = largest
	}
	if err == nil {
		err = syscall.ENOSPC
	}
	return n, err
}

// A program holds the file open for longer than lines are guarded, appends to it and
// closes it. What it appended is in the file.
func TestProgramThatHoldsTheFileOpenForHours(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	f := heldOpen(t, dir)
	enter(t, k, "- first")
	flush(t, k)
	now.Time = now.Add(guardTime + time.Hour)
	enter(t, k, "- second")
	flush(t, k)
	if _, err := f.WriteString("- theirs\n"); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	k = open(t, dir, now)
	enter(t, k, "- last")
	got := read(t, dir, supper)
	for _, line := range []string{"- first\n", "- second\n", "- theirs\n", "- last\n"} {
		if n := strings.Count(got, line); n != 1 {
			t.Errorf("%q is there %d times in\n%s", line, n, got)
		}
	}
	flush(t, k)
	sound(t, dir)
}
