package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal/history"
	"ashbook/journal/journaltest"
)

// A crash between moving the branch and writing the index leaves an older index.
// Neither the next entry nor a sync takes it for changes that the user staged.
func TestIndexLeftBehind(t *testing.T) {
	const other = "cooks/2027/2027-01-02-feast.md"
	state := ".git/ashbook/at-/pending"
	crashed := func(t *testing.T, pending bool) (string, *clock) {
		dir, now := hall(t), &clock{night}
		k := open(t, dir, now)
		if err := k.Create(other, []byte("---\nashbook: 1\n---\n"), "feast: planned"); err != nil {
			t.Fatal(err)
		}
		flush(t, k)
		enter(t, k, "- first")
		index, saved := read(t, dir, ".git/index"), read(t, dir, state)
		flush(t, k)
		enter(t, k, "- second")
		if pending {
			saved = read(t, dir, state)
		}
		flush(t, k)
		write(t, dir, ".git/index", index)
		if pending {
			write(t, dir, state, saved)
		} else {
			os.Remove(filepath.Join(dir, state))
		}
		return dir, now
	}
	next := map[string]func(t *testing.T, k *Store){
		"nothing": func(*testing.T, *Store) {},
		"an entry in the same cook": func(t *testing.T, k *Store) {
			enter(t, k, "- third")
			flush(t, k)
		},
		"an entry in another cook": func(t *testing.T, k *Store) {
			if _, err := k.Edit(other, adding("- other"), "feast: other"); err != nil {
				t.Fatal(err)
			}
			flush(t, k)
		},
		"a sync": func(t *testing.T, k *Store) {
			edited, err := k.repo.Edited(func(string) bool { return false })
			if err == nil {
				err = k.TakeIn(edited, true)
			}
			if err != nil {
				t.Fatal(err)
			}
		},
	}
	for name, do := range next {
		for _, pending := range []bool{true, false} {
			if !pending && (name == "nothing" || name == "an entry in another cook") {
				// the pending file is deleted after the index is written, so no crash
				// leaves this
				continue
			}
			t.Run(name, func(t *testing.T) {
				dir, now := crashed(t, pending)
				now.Time = now.Add(3 * time.Minute)
				k := open(t, dir, now)
				do(t, k)
				sound(t, dir)
				for _, line := range []string{"- first\n", "- second\n"} {
					if n := strings.Count(gitIn(t, dir, "show", "HEAD:"+supper), line); n != 1 {
						t.Errorf("%q is %d times in history", line, n)
					}
				}
			})
		}
	}
}

// theirs makes a commit of another person on top of the journal's branch without moving
// it, and returns its hash.
func theirs(t testing.TB, dir, line string) string {
	t.Helper()
	copied := filepath.Join(t.TempDir(), "copy")
	if err := os.CopyFS(copied, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	k := open(t, copied, &clock{night})
	enter(t, k, line)
	flush(t, k)
	if err := os.CopyFS(filepath.Join(dir, ".git/objects"), newObjects{os.DirFS(filepath.Join(copied, ".git/objects")), filepath.Join(dir, ".git/objects")}); err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(journaltest.Read(t, copied, ".git/refs/heads/main"))
}

func TestJoin(t *testing.T) {
	dir, now := hall(t), &clock{night}
	k := open(t, dir, now)
	other := theirs(t, dir, "- theirs")
	enter(t, k, "- ours")
	merged := []byte(read(t, dir, supper) + "- theirs\n")
	j := history.Join{Head: strings.TrimSpace(read(t, dir, ".git/refs/heads/main")), Other: other,
		Changes: []history.Change{{Path: supper, Data: merged}}}
	if _, err := k.Join(j); !errors.Is(err, history.ErrMoved) {
		t.Fatalf("with a note that is not in history: %v", err)
	}
	flush(t, k)
	j.Head = strings.TrimSpace(read(t, dir, ".git/refs/heads/main"))
	rename(t, dir, supper, read(t, dir, supper)+"- by hand\n")
	if _, err := k.Join(j); !errors.Is(err, history.ErrMoved) {
		t.Fatalf("with a file changed by hand: %v", err)
	}
	if !strings.HasSuffix(read(t, dir, supper), "- by hand\n") {
		t.Fatal("what was written by hand is gone")
	}
	flush(t, k)
	j.Head = strings.TrimSpace(read(t, dir, ".git/refs/heads/main"))
	merged = []byte(read(t, dir, supper) + "- theirs\n")
	j.Changes = []history.Change{{Path: supper, Data: merged}, {Path: "cooks/2027/new.md", Data: []byte("new\n")}, {Path: "journal.md", Remove: true}}
	tip, err := k.Join(j)
	if err != nil {
		t.Fatal(err)
	}
	if got := read(t, dir, supper); got != string(merged) {
		t.Errorf("the file holds\n%s", got)
	}
	if _, err := os.Stat(filepath.Join(dir, "journal.md")); err == nil {
		t.Error("journal.md is still there")
	}
	if got := strings.TrimSpace(gitIn(t, dir, "rev-parse", "HEAD")); got != tip {
		t.Errorf("the branch is at %s, not %s", got, tip)
	}
	if got := gitIn(t, dir, "log", "-1", "--format=%an %P %at"); !strings.Contains(got, other) || !strings.HasPrefix(got, "ashbook ") {
		t.Errorf("the joining commit is %q", got)
	}
	sound(t, dir)
	// An editor that had the file open saves its old copy. The lines that were merged
	// are put back.
	rename(t, dir, supper, strings.Replace(string(merged), "- theirs\n", "", 1))
	enter(t, k, "- last")
	if got := read(t, dir, supper); strings.Count(got, "- theirs\n") != 1 {
		t.Errorf("what came in was saved over:\n%s", got)
	}
}

// newObjects are the object files that another repository lacks.
type newObjects struct {
	fs.FS
	have string
}

func (n newObjects) ReadDir(name string) ([]fs.DirEntry, error) {
	all, err := fs.ReadDir(n.FS, name)
	return slices.DeleteFunc(all, func(e fs.DirEntry) bool {
		_, err := os.Lstat(filepath.Join(n.have, name, e.Name()))
		return err == nil && !e.IsDir()
	}), err
}
