package store

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"ashbook/journal/disk"
)

// Two goroutines note with one Store: every line is in the file and in history once.
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

// Two processes note in one journal, and wait for each other.
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

// A save that leaves less than all of a pending record behind, as on a full disk, keeps
// neither the file nor the records after it from being read.
func TestRecordWithoutRoom(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- first")
	full := &small{FS: k.disk, room: 40}
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

// small is a disk on which files that are added to have room for so many bytes more.
type small struct {
	disk.FS
	room int
}

func (s *small) OpenFile(name string, flag int, perm fs.FileMode) (disk.File, error) {
	f, err := s.FS.OpenFile(name, flag, perm)
	if err != nil || !strings.HasSuffix(name, "/pending") {
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
	if err == nil {
		err = syscall.ENOSPC
	}
	return n, err
}
