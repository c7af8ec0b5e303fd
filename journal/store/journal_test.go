package store

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"ashbook/journal/disk"
	"ashbook/journal/history"
	"ashbook/journal/journaltest"
)

// These cooks are invented: a village hall that cooks for feast days.
const (
	supper     = journaltest.Supper
	supperText = journaltest.SupperText
)

var (
	night    = journaltest.Night
	write    = journaltest.Write
	rename   = journaltest.Rename
	read     = journaltest.Read
	gitIn    = journaltest.Git
	needGit  = journaltest.NeedGit
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

// open opens the journal as a program does when it starts.
func open(t testing.TB, dir string, c *clock) *Store {
	t.Helper()
	k, err := start(dir, c, 0)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// start opens the journal without flushing: a killed program loses nothing that way,
// only a power cut would.
func start(dir string, c *clock, wait time.Duration) (*Store, error) {
	return startOn(dir, c, wait, disk.Unflushed(disk.OS))
}

func startOn(dir string, c *clock, wait time.Duration, to disk.FS) (*Store, error) {
	dir, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return nil, err
	}
	repo, err := history.Open(dir)
	if err != nil {
		return nil, err
	}
	repo.Disk, repo.Wait = to, 2*time.Millisecond
	k := New(dir, repo, Options{Now: c.now, Wait: wait, Fits: func(path string, size int64) error {
		if size > largest {
			return fmt.Errorf("%s: too large", path)
		}
		return nil
	}})
	k.Repair()
	return k, nil
}

const largest = 1 << 20

func enter(t testing.TB, k *Store, line string) {
	t.Helper()
	if _, err := k.Edit(supper, adding(line), "harvest-supper: "+line); err != nil {
		t.Fatal(err)
	}
}

func flush(t testing.TB, k *Store) {
	t.Helper()
	if err := k.Flush(); err != nil {
		t.Fatal(err)
	}
}
