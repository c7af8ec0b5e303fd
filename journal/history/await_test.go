package history

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/disk"
)

// Await waits for a rebase that is running, but not for one that waits for the user,
// and it writes nothing into git's folder.
func TestAwait(t *testing.T) {
	r, dir := journal(t)
	r.Await()
	r.still = awaitMost
	state := filepath.Join(dir, ".git/rebase-merge")
	if err := os.Mkdir(state, 0o777); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() {
		for range 100 {
			if err := os.WriteFile(filepath.Join(state, "done"), []byte("pick\n"), 0o666); err != nil {
				done <- err
				return
			}
		}
		done <- os.RemoveAll(state)
	}()
	r.Await()
	if _, err := os.Lstat(state); err == nil {
		t.Error("git was still at work")
	}
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	r.still = awaitPause
	write(t, dir, ".git/rebase-merge/done", "pick\n")
	r.Await()
	if got := r.Underway(); got == "" {
		t.Error("the rebase that waits for a person is gone")
	}
}

// Commit waits a moment after a fetch, since a pull may be about to read the branch.
func TestNoCommitRightAfterFetch(t *testing.T) {
	r, dir := journal(t)
	r.Wait = 0
	write(t, dir, supper, "two\n")
	write(t, dir, ".git/FETCH_HEAD", "")
	if _, err := r.Commit("two", noon, Change{Path: supper, Data: []byte("two\n")}); !errors.Is(err, ErrBusy) {
		t.Errorf("got %v, want ErrBusy", err)
	}
	old := time.Unix(1_700_000_000, 0)
	if err := os.Chtimes(filepath.Join(dir, ".git/FETCH_HEAD"), old, old); err != nil {
		t.Fatal(err)
	}
	save(t, r, supper, "two\n", "two")
	sound(t, dir, "")
}

// A commit made from an older version gives up if the branch has moved.
func TestCommitGivesUpWhereTheBranchMoved(t *testing.T) {
	r, dir := journal(t)
	write(t, dir, ".git/index.lock", "")
	moved := make(chan error, 1)
	go func() { // while the commit waits for the lock, another program moves the branch
		tree := gitIn(t, dir, "rev-parse", "HEAD^{tree}")[:40]
		next := gitIn(t, dir, "commit-tree", "-p", "HEAD", "-m", "theirs", tree)[:40]
		gitIn(t, dir, "update-ref", "refs/heads/main", next)
		moved <- os.Remove(filepath.Join(dir, ".git/index.lock"))
	}()
	_, err := r.Commit("ours", noon, Change{Path: supper, Data: []byte("two\n")})
	if e := <-moved; e != nil {
		t.Fatal(e)
	}
	if !errors.Is(err, ErrBusy) {
		t.Errorf("got %v, want ErrBusy", err)
	}
	if got := gitIn(t, dir, "log", "-1", "--format=%s"); got != "theirs\n" {
		t.Errorf("the branch is at %q", got)
	}
}

// taking is a disk that calls a function before and after git's index is locked.
type taking struct {
	disk.FS
	before, after func()
}

func (d taking) Link(old, name string) error {
	if !strings.HasSuffix(name, "index.lock") {
		return d.FS.Link(old, name)
	}
	d.before()
	err := d.FS.Link(old, name)
	d.after()
	return err
}

// What the user stages just before the index is locked stays staged.
func TestStagedAtTheLastMoment(t *testing.T) {
	r, dir := journal(t)
	r.Disk = taking{r.Disk, func() {
		write(t, dir, "cooks/2026/other.md", "one\n")
		gitIn(t, dir, "add", "cooks/2026/other.md")
	}, func() {}}
	save(t, r, supper, "two\n", "two")
	sound(t, dir, "A  cooks/2026/other.md\n")
}

// Whatever the user does with git just before a commit is not undone by the commit.
func TestLastMomentBeforeACommit(t *testing.T) {
	for _, c := range []struct {
		name      string
		do        func(t *testing.T, dir string)
		postponed bool
		subject   string // subject of the newest commit afterwards
	}{
		{"a commit", func(t *testing.T, dir string) {
			tree := gitIn(t, dir, "rev-parse", "HEAD^{tree}")[:40]
			next := gitIn(t, dir, "commit-tree", "-p", "HEAD", "-m", "theirs", tree)[:40]
			gitIn(t, dir, "update-ref", "refs/heads/main", next)
		}, false, "theirs\n"},
		{"a merge", func(t *testing.T, dir string) {
			write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
		}, true, "journal: begin\n"},
		{"another branch", func(t *testing.T, dir string) {
			gitIn(t, dir, "symbolic-ref", "HEAD", "refs/heads/other")
			gitIn(t, dir, "update-ref", "refs/heads/other", "refs/heads/main")
		}, false, "journal: begin\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, dir := journal(t)
			r.Wait = 0
			r.Disk = taking{r.Disk, func() {}, func() { c.do(t, dir) }}
			_, err := r.Commit("ours", noon, Change{Path: supper, Data: []byte("two\n")})
			var waits *Postponed
			if errors.As(err, &waits) != c.postponed || errors.Is(err, ErrBusy) == c.postponed {
				t.Errorf("got %v", err)
			}
			if got := gitIn(t, dir, "log", "-1", "--format=%s"); got != c.subject {
				t.Errorf("the branch is at %q", got)
			}
			if _, err := os.Lstat(filepath.Join(dir, ".git/index.lock")); err == nil {
				t.Error("git's index is still locked")
			}
		})
	}
}

// If another program has replaced our lock file by its own, release does not remove it.
func TestLockOfAnotherProgramStays(t *testing.T) {
	r, dir := journal(t)
	lock := filepath.Join(dir, ".git/index.lock")
	r.Disk = taking{r.Disk, func() {}, func() {
		if err := os.Remove(lock); err != nil {
			t.Error(err)
		}
		write(t, dir, ".git/index.lock", "")
		write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
	}}
	var waits *Postponed
	if _, err := r.Commit("ours", noon, Change{Path: supper, Data: []byte("two\n")}); !errors.As(err, &waits) {
		t.Errorf("got %v", err)
	}
	if _, err := os.Lstat(lock); err != nil {
		t.Error(err)
	}
}
