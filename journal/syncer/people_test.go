package syncer_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal/disk"
	"ashbook/journal/history"
	"ashbook/journal/journaltest"
	"ashbook/journal/syncer"
)

// twice returns the timeline lines that occur more than once.
func twice(text string) (out []string) {
	seen := map[string]bool{}
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "- ") && seen[line] {
			out = append(out, line)
		}
		seen[line] = true
	}
	return out
}

// Five people with wrong clocks, one of them offline for more than half of the night
// and one syncing only in one round of three. Nothing is lost or doubled, and all end
// with the same bytes and the same commit. ASHBOOK_ROUNDS sets the number of rounds; 60
// is a whole night.
func TestNightOfFive(t *testing.T) {
	rounds := 6
	if n, err := strconv.Atoi(os.Getenv("ASHBOOK_ROUNDS")); err == nil {
		rounds = n
	}
	for seed := range uint64(1 + rounds/30) {
		_, all := people(t, "Ann", "Ben", "Cleo", "Dan", "Eda")
		r := rand.New(rand.NewPCG(7, seed))
		off := []time.Duration{0, 3 * time.Minute, -time.Minute, 0, 90 * time.Second}
		var noted []string
		tries, commits := 0, 0
		for round := range rounds {
			for i, p := range all {
				p.now = journaltest.Night.Add(time.Duration(round)*5*time.Minute + off[i])
				if r.IntN(2) == 0 {
					line := fmt.Sprintf("- %s pit %d °C — %s %d", p.now.Format("2006-01-02T15:04-07:00"), 90+r.IntN(40), p.who, round)
					p.note(line)
					noted = append(noted, line+"\n")
				}
				if r.IntN(12) == 0 {
					text := p.read(supper)
					_, rest, _ := strings.Cut(text, "\nserve: ")
					old, _, _ := strings.Cut(rest, "\n")
					p.set("\nserve: "+old, fmt.Sprintf("\nserve: 2026-09-19T%02d:%02d+01:00", 11+r.IntN(4), r.IntN(60)))
				}
			}
			for _, i := range r.Perm(len(all)) {
				offline := i == 4 && round > rounds/5 && round < rounds*4/5
				asleep := i == 3 && round%3 != 0
				if !offline && !asleep {
					tries = max(tries, all[i].sync().Tries)
				}
			}
		}
		for range 2 {
			for _, p := range all {
				p.sync()
			}
		}
		same(t, all...)
		text := all[0].read(supper)
		lost := 0
		for _, line := range noted {
			if strings.Count(text, line) != 1 {
				lost++
				t.Errorf("%q is there %d times", line, strings.Count(text, line))
			}
		}
		if d := twice(text); len(d) > 0 {
			t.Errorf("twice: %q", d)
		}
		if o, err := all[0].f.History().Objects(); err == nil {
			list, _ := o.Between(tip(t, all[0]))
			commits = len(list)
		}
		t.Logf("seed %d: %d rounds, %d entries, %d lost, %d commits, at most %d tries", seed, rounds, len(noted), lost, commits, tries)
	}
}

// Two people who join the same two histories independently make the same commit.
func TestSameJoinEverywhere(t *testing.T) {
	hub, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	ann.set("serve: 2026-09-19T13:00", "serve: 2026-09-19T12:30")
	ben.set("serve: 2026-09-19T13:00", "serve: 2026-09-19T14:00")
	ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
	ben.note("- 2026-09-19T01:12+01:00 lid")
	ann.f.Flush()
	ben.f.Flush()
	// Each gets the other's commits through a separate hub.
	one := filepath.Join(t.TempDir(), "one.git")
	if err := os.CopyFS(one, os.DirFS(hub)); err != nil {
		t.Fatal(err)
	}
	ann.sync()
	ben.addr = one
	if _, err := ben.try(syncer.Options{Resend: true}); err != nil {
		t.Fatal(err)
	}
	ann.addr, ben.addr = one, hub
	for _, p := range all {
		if _, err := p.try(syncer.Options{Resend: true}); err != nil {
			t.Fatal(err)
		}
	}
	same(t, ann, ben)
	o, err := ann.f.History().Objects()
	if err != nil {
		t.Fatal(err)
	}
	made, parents, err := o.Commit(tip(t, ann))
	if err != nil || len(parents) != 2 || !slices.IsSorted(parents) {
		t.Fatalf("%v of %v: %v", made, parents, err)
	}
	for _, p := range parents {
		if m, _, err := o.Commit(p); err != nil || m.When.After(made.When) {
			t.Errorf("the joining commit is of %s, its parent of %s: %v", made.When, m.When, err)
		}
	}
}

// With several best common ancestors, those are merged first. A conflict that was
// settled is neither reported nor undone again.
func TestCrissCross(t *testing.T) {
	hub, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	one := filepath.Join(t.TempDir(), "one.git")
	if err := os.CopyFS(one, os.DirFS(hub)); err != nil {
		t.Fatal(err)
	}
	ann.set("raw: 3.9 kg", "raw: 4.0 kg")
	ann.sync()
	ben.addr = one
	ben.set("Harvest supper\ncut", "Harvest\ncut")
	if _, err := ben.try(syncer.Options{Resend: true}); err != nil {
		t.Fatal(err)
	}
	// Both have joined the same two commits and have continued since.
	ann.addr, ben.addr = one, hub
	ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
	ben.note("- 2026-09-19T01:12+01:00 lid")
	ann.f.Flush()
	ben.f.Flush()
	for _, p := range all {
		if _, err := p.try(syncer.Options{Resend: true}); err != nil {
			t.Fatal(err)
		}
	}
	ann.set("Harvest\ncut", "Supper of the harvest\ncut")
	ann.addr = hub
	for _, p := range []*place{ann, ben, ann} {
		if got, err := p.try(syncer.Options{Resend: true}); err != nil || len(got.Conflicts) > 0 {
			t.Fatalf("%v, conflicts %v", err, got.Conflicts)
		}
	}
	same(t, ann, ben)
	for _, want := range []string{"title: Supper of the harvest\n", "raw: 4.0 kg", "pit 108 °C\n", "lid\n"} {
		if strings.Count(ann.read(supper), want) != 1 {
			t.Errorf("%q is not there once:\n%s", want, ann.read(supper))
		}
	}
}

func TestRenamedAndRemoved(t *testing.T) {
	_, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	renamed := "cooks/2026/2026-09-18-harvest.md"
	if err := os.Rename(filepath.Join(ann.dir, supper), filepath.Join(ann.dir, renamed)); err != nil {
		t.Fatal(err)
	}
	ben.note("- 2026-09-19T01:12+01:00 lid")
	ben.sync()
	ann.sync()
	ben.sync()
	for _, p := range all {
		if text := p.read(renamed); strings.Count(text, "lid\n") != 1 {
			t.Errorf("%s has\n%s", p.who, text)
		}
		if _, err := os.Stat(filepath.Join(p.dir, supper)); err == nil {
			t.Errorf("%s has the old name too", p.who)
		}
		journaltest.Sound(t, p.dir)
	}
	// One deleted it and the other changed it: it stays, and the conflict is reported.
	if err := os.Remove(filepath.Join(ann.dir, renamed)); err != nil {
		t.Fatal(err)
	}
	ann.sync()
	ben.now = ben.now.Add(time.Hour)
	if _, err := ben.f.EditFile(renamed, journaltest.Adding("- 2026-09-19T02:12+01:00 lid"), "harvest: lid"); err != nil {
		t.Fatal(err)
	}
	got := ben.sync()
	if len(got.Conflicts) != 1 || got.Conflicts[0].By != "Ann" || got.Conflicts[0].Other != "removed" {
		t.Errorf("conflicts %v", got.Conflicts)
	}
	ann.sync()
	if ann.read(renamed) != ben.read(renamed) || tip(t, ann) != tip(t, ben) {
		t.Error("they differ")
	}
}

// If a hub was restored from a backup, emptied or replaced, the sync stops until the
// user says how to go on.
func TestPutBack(t *testing.T) {
	hub, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	old := journaltest.Read(t, hub, "refs/heads/main")
	ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
	ann.sync()
	ben.sync()
	journaltest.Write(t, hub, "refs/heads/main", old)
	var stopped syncer.Stopped
	if _, err := ann.try(syncer.Options{}); !errors.As(err, &stopped) || stopped.Next == "" {
		t.Fatalf("put back: %v", err)
	}
	os.Remove(filepath.Join(hub, "refs/heads/main"))
	if _, err := ann.try(syncer.Options{}); !errors.As(err, &stopped) {
		t.Fatalf("emptied: %v", err)
	}
	if _, err := ann.try(syncer.Options{Resend: true}); err != nil {
		t.Fatal(err)
	}
	ben.sync()
	same(t, ann, ben)
}

func TestAnotherJournal(t *testing.T) {
	hub, _ := people(t, "Ann")
	dir := journaltest.Hall(t, func(dir string, now time.Time) error {
		_, err := history.Init(dir, now.Add(time.Hour), 0)
		return err
	})
	eve := &place{t: t, who: "Eve", dir: dir, now: journaltest.Night, addr: hub}
	eve.open()
	was := snapshot(t, dir)
	if _, err := eve.try(syncer.Options{}); err == nil || !strings.Contains(err.Error(), "another journal") {
		t.Errorf("%v", err)
	}
	if snapshot(t, dir) != was {
		t.Error("files have changed")
	}
}

// The lock of a killed writer is removed once it is older than LockAge by the folder's
// clock. A younger one stays.
func TestDeadLock(t *testing.T) {
	hub, all := people(t, "Ann")
	ann := all[0]
	ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
	lock := filepath.Join(hub, "refs/heads/main.lock")
	age := func(d time.Duration) {
		journaltest.Write(t, hub, "refs/heads/main.lock", "")
		at := time.Now().Add(-d)
		if err := os.Chtimes(lock, at, at); err != nil {
			t.Fatal(err)
		}
	}
	age(time.Minute)
	if _, err := ann.try(syncer.Options{}); !errors.Is(err, history.ErrBusy) {
		t.Fatalf("with a young lock: %v", err)
	}
	if state := syncer.ReadState(ann.f.History().State()); state.NotSent != 1 || state.Since.IsZero() {
		t.Errorf("state %+v", state)
	}
	age(3 * time.Minute)
	ann.sync()
	if left, _ := filepath.Glob(filepath.Join(hub, "refs/heads/*")); !slices.Equal(left, []string{filepath.Join(hub, "refs/heads/main")}) {
		t.Errorf("left: %q", left)
	}
}

// While the user has an unfinished git merge, nothing is taken in.
func TestOwnMergeUnderway(t *testing.T) {
	_, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
	ann.sync()
	journaltest.Write(t, ben.dir, ".git/MERGE_HEAD", strings.Repeat("0", 40)+"\n")
	was := snapshot(t, ben.dir)
	if _, err := ben.try(syncer.Options{}); !errors.As(err, new(*history.Postponed)) {
		t.Fatalf("%v", err)
	}
	if snapshot(t, ben.dir) != was {
		t.Error("files have changed")
	}
	os.Remove(filepath.Join(ben.dir, ".git/MERGE_HEAD"))
	ben.sync()
	same(t, ann, ben)
}

// mortal is a disk whose program dies after a number of steps: nothing is written after
// that.
type mortal struct {
	disk.FS
	left *int
}

var errDead = errors.New("the program was killed")

func (m mortal) step() error {
	if *m.left--; *m.left < 0 {
		return errDead
	}
	return nil
}

func (m mortal) OpenFile(name string, flag int, perm os.FileMode) (disk.File, error) {
	if flag&(os.O_CREATE|os.O_WRONLY|os.O_RDWR) != 0 {
		if err := m.step(); err != nil {
			return nil, err
		}
	}
	f, err := m.FS.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err
	}
	return mortalFile{f, m}, nil
}

func (m mortal) Mkdir(name string, perm os.FileMode) error {
	return errors.Join(m.step(), m.alive(func() error { return m.FS.Mkdir(name, perm) }))
}
func (m mortal) Link(old, name string) error {
	return errors.Join(m.step(), m.alive(func() error { return m.FS.Link(old, name) }))
}
func (m mortal) Rename(old, name string) error {
	return errors.Join(m.step(), m.alive(func() error { return m.FS.Rename(old, name) }))
}
func (m mortal) Exchange(a, b string) error {
	return errors.Join(m.step(), m.alive(func() error { return m.FS.Exchange(a, b) }))
}
func (m mortal) Remove(name string) error {
	return errors.Join(m.step(), m.alive(func() error { return m.FS.Remove(name) }))
}

func (m mortal) alive(do func() error) error {
	if *m.left < 0 {
		return nil
	}
	return do()
}

type mortalFile struct {
	disk.File
	m mortal
}

func (f mortalFile) Write(p []byte) (int, error) {
	if err := f.m.step(); err != nil {
		return 0, err
	}
	return f.File.Write(p)
}

func (f mortalFile) Truncate(size int64) error {
	if err := f.m.step(); err != nil {
		return err
	}
	return f.File.Truncate(size)
}

// A program killed at any step of a sync leaves a journal that the next sync completes:
// nothing lost, nothing doubled, and git's status clean.
func TestKilledAtEveryStep(t *testing.T) {
	every := 31
	if os.Getenv("ASHBOOK_CRASHES") != "" {
		every = 1
	}
	points, status := 0, 0
	for die := 0; ; die += every {
		_, all := people(t, "Ann", "Ben")
		ann, ben := all[0], all[1]
		journaltest.Write(t, ann.dir, "cooks/2027/2027-01-02-feast.md", "---\nashbook: 1\n---\n")
		journaltest.Write(t, ann.dir, "journal.md", "---\nunits: us\n---\n")
		ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
		ann.sync()
		ben.note("- 2026-09-19T01:12+01:00 lid")
		left := 1 << 30
		whole := disk.OS
		disk.OS = mortal{disk.Unflushed(whole), &left}
		ben.open()
		left = die
		_, err := ben.try(syncer.Options{})
		disk.OS = whole
		if left >= 0 {
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%d points; git's status was not clean right after %d of them", points, status)
			return
		}
		points++
		ben.open()
		if out := journaltest.Git(t, ben.dir, "status", "--porcelain"); out != "" {
			status++
		}
		ben.note("- 2026-09-19T01:20+01:00 pit 110 °C")
		ben.sync()
		ann.sync()
		same(t, ann, ben)
		for _, want := range []string{"pit 108 °C\n", "lid\n", "pit 110 °C\n"} {
			if n := strings.Count(ben.read(supper), want); n != 1 {
				t.Errorf("step %d: %q is there %d times", die, want, n)
			}
		}
		if ben.read("journal.md") != "---\nunits: us\n---\n" {
			t.Errorf("step %d: journal.md is %q", die, ben.read("journal.md"))
		}
		if t.Failed() {
			t.Fatalf("killed at step %d: %v", die, err)
		}
	}
}

// Three people set one key and others at the same time. In whatever order they sync,
// all end with the same lines, and the value set last wins.
func TestOrderDoesNotMatter(t *testing.T) {
	var first string
	orders := [][]int{{0, 1, 2}, {1, 2, 0}, {2, 1, 0}, {0, 2, 1}, {1, 0, 2}, {2, 0, 1}}
	switch {
	case testing.Short():
		orders = orders[:1]
	case !journaltest.Whole():
		orders = orders[:3]
	}
	for n, order := range orders {
		_, all := people(t, "Ann", "Ben", "Cleo")
		ann, ben, cleo := all[0], all[1], all[2]
		ben.now, cleo.now = ben.now.Add(10*time.Minute), cleo.now.Add(5*time.Minute)
		ben.set("serve: 2026-09-19T13:00", "serve: 2026-09-19T14:00") // at 01:15, the latest
		ann.set("serve: 2026-09-19T13:00", "serve: 2026-09-19T12:30") // at 01:05
		cleo.set("serve: 2026-09-19T13:00", "serve: 2026-09-19T15:15")
		for _, p := range all {
			p.f.Flush()
		}
		// A later change of another key does not make the value of this one later.
		ann.now = ann.now.Add(time.Hour)
		ann.set("raw: 3.9 kg", "raw: 4.1 kg")
		ann.note("- 2026-09-19T02:30+01:00 pit 108 °C")
		cleo.set("{eater: RT, overall: 8}", "{eater: RT, overall: 9}")
		for range 3 {
			for _, i := range order {
				all[i].sync()
			}
		}
		same(t, all...)
		lines := strings.Split(ann.read(supper), "\n")
		slices.Sort(lines)
		text := strings.Join(lines, "\n")
		if n == 0 {
			first = text
		}
		if text != first {
			t.Errorf("in the order %d:\n%s\nfirst:\n%s", order, text, first)
		}
		for _, want := range []string{"\nserve: 2026-09-19T14:00+01:00\n", "{serve: 2026-09-19T12:30+01:00, by: Ann,", "{serve: 2026-09-19T15:15+01:00, by: Cleo,", "raw: 4.1 kg", "{eater: RT, overall: 9}"} {
			if !strings.Contains(ann.read(supper), want) {
				t.Errorf("in the order %d: %q is not in\n%s", order, want, ann.read(supper))
			}
		}
	}
}
