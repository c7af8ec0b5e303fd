package history

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestSubfolderAndLinkedWorktree(t *testing.T) {
	needGit(t)
	top := t.TempDir()
	gitIn(t, top, "init", "-q", "-b", "trunk")
	write(t, top, "README", "a larger project\n")
	gitIn(t, top, "add", "README")
	gitIn(t, top, "commit", "-qm", "first")
	dir := filepath.Join(top, "kitchen/journal")
	write(t, dir, supper, "one\n")
	r, err := Init(dir, noon, 0)
	if err != nil {
		t.Fatal(err)
	}
	save(t, r, supper, "two\n", "two")
	sound(t, top, "")
	if got := gitIn(t, top, "show", "trunk:kitchen/journal/"+supper); got != "two\n" {
		t.Errorf("got %q", got)
	}

	tree := filepath.Join(t.TempDir(), "linked")
	gitIn(t, top, "worktree", "add", "-q", "-b", "side", tree)
	r, err = Open(filepath.Join(tree, "kitchen/journal"))
	if err != nil {
		t.Fatal(err)
	}
	save(t, r, supper, "three\n", "three")
	sound(t, tree, "")
	sound(t, top, "")
	if got := gitIn(t, top, "log", "--format=%s", "side"); got != "three\ntwo\njournal: begin\nfirst\n" {
		t.Errorf("log %q", got)
	}
	if got := strings.Count(gitIn(t, tree, "reflog"), "\n"); got < 2 {
		t.Errorf("the worktree's reflog has %d lines", got)
	}
}

func TestPackedRepository(t *testing.T) {
	r, dir := journal(t)
	for i := range 5 {
		save(t, r, supper, fmt.Sprintf("one\n%d\n", i), fmt.Sprint(i))
	}
	gitIn(t, dir, "gc", "-q") // packs objects and references while the Repo is open
	save(t, r, supper, "after\n", "after")
	sound(t, dir, "")
	vs, err := r.Versions(supper, 0)
	if err != nil || len(vs) != 7 {
		t.Fatalf("%d versions, %v", len(vs), err)
	}
	data, err := r.At(vs[2].Hash, supper)
	if err != nil || string(data) != "one\n3\n" {
		t.Errorf("got %q, %v", data, err)
	}
}

// A clone may borrow its objects from another, which may borrow from a third.
func TestBorrowedObjects(t *testing.T) {
	r, dir := journal(t)
	save(t, r, supper, "two\n", "two")
	shared, again, reference := filepath.Join(t.TempDir(), "a"), filepath.Join(t.TempDir(), "b"), filepath.Join(t.TempDir(), "c")
	gitIn(t, dir, "clone", "-q", "--shared", dir, shared)
	gitIn(t, dir, "clone", "-q", "--shared", shared, again)
	gitIn(t, dir, "clone", "-q", "--reference", dir, "file://"+dir, reference)
	for _, clone := range []string{shared, again, reference} {
		r, err := Open(clone)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := r.Head(supper); err != nil || string(got) != "two\n" {
			t.Errorf("head %q, %v", got, err)
		}
		save(t, r, supper, "three\n", "three")
		if vs, err := r.Versions(supper, 0); err != nil || len(vs) != 3 {
			t.Errorf("%d versions, %v", len(vs), err)
		}
		sound(t, clone, "")
	}
}

// A file that was deleted and created again counts as a new file: its versions begin
// there. While it is deleted, its earlier versions can still be read.
func TestVersionsOfAFileMadeAgain(t *testing.T) {
	r, dir := journal(t)
	save(t, r, supper, "two\n", "two")
	if err := os.Remove(filepath.Join(dir, supper)); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Commit("gone", noon, Change{Path: supper, Remove: true}); err != nil {
		t.Fatal(err)
	}
	said := func() (out []string) {
		t.Helper()
		versions, err := r.Versions(supper, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range versions {
			out = append(out, v.Message)
		}
		return out
	}
	if got := said(); !slices.Equal(got, []string{"gone", "two", "journal: begin"}) {
		t.Errorf("while it is gone: %q", got)
	}
	save(t, r, supper, "again\n", "again")
	if got := said(); !slices.Equal(got, []string{"again"}) {
		t.Errorf("made again: %q", got)
	}
}
