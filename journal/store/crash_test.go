package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/go-git/go-git/v5/plumbing/format/index"

	"ashbook/journal/disk"
	"ashbook/journal/history"
	"ashbook/journal/journaltest"
)

// A crash is played back at every step of a night: whatever may be on the disk then,
// the journal opens, every line that was acknowledged is in its file once, and none is
// there twice.

const feast = "cooks/2027/2027-01-02-feast.md"

// nights are what is done to a journal, and after which preparation.
var nights = []struct {
	name    string
	prepare func(t testing.TB, k *Store)
	do      func(t testing.TB, k *Store, r *recorder)
}{
	{"the first note of all", nil, func(t testing.TB, k *Store, r *recorder) {
		note(t, k, r, "- first")
	}},
	{"notes, and a commit", nil, func(t testing.TB, k *Store, r *recorder) {
		note(t, k, r, "- first")
		note(t, k, r, "- second")
		flush(t, k)
		note(t, k, r, "- third")
	}},
	{"after a commit, and another", func(t testing.TB, k *Store) {
		enter(t, k, "- zero")
		flush(t, k)
	}, func(t testing.TB, k *Store, r *recorder) {
		note(t, k, r, "- first")
		flush(t, k)
	}},
	{"commits wait", func(t testing.TB, k *Store) {
		write(t, k.dir, ".git/MERGE_HEAD", strings.Repeat("0", 40)+"\n")
	}, func(t testing.TB, k *Store, r *recorder) {
		note(t, k, r, "- first")
		flush(t, k)
		note(t, k, r, "- second")
		flush(t, k)
	}},
	{"an editor saves in between", nil, func(t testing.TB, k *Store, r *recorder) {
		note(t, k, r, "- first")
		r.outside(t, func() { rename(t, k.dir, supper, read(t, k.dir, supper)+"- theirs\n") })
		note(t, k, r, "- second")
		flush(t, k)
	}},
	{"an editor slips in", nil, func(t testing.TB, k *Store, r *recorder) {
		slipped := false
		if _, err := k.Edit(supper, func(old []byte) ([]byte, error) {
			if !slipped {
				slipped = true
				r.outside(t, func() { rename(t, k.dir, supper, supperText+"- theirs\n") })
			}
			return append(old, "- first\n"...), nil
		}, "harvest-supper: first"); err != nil {
			t.Fatal(err)
		}
		r.ack("- first\n")
		note(t, k, r, "- second")
		flush(t, k)
	}},
	{"a new cook in a new year", nil, func(t testing.TB, k *Store, r *recorder) {
		if err := k.Create(feast, []byte("---\nashbook: 1\n---\n- planned\n"), "feast: planned"); err != nil {
			t.Fatal(err)
		}
		r.ack("- planned\n")
		note(t, k, r, "- first")
		flush(t, k)
	}},
	{"two histories joined", func(t testing.TB, k *Store) {
		enter(t, k, "- zero")
		flush(t, k)
		write(t, k.dir, ".git/ashbook/theirs", theirs(t, k.dir, "- theirs"))
	}, func(t testing.TB, k *Store, r *recorder) {
		note(t, k, r, "- first")
		flush(t, k)
		j := history.Join{Head: strings.TrimSpace(read(t, k.dir, ".git/refs/heads/main")), Other: read(t, k.dir, ".git/ashbook/theirs"),
			Changes: []history.Change{{Path: supper, Data: []byte(read(t, k.dir, supper) + "- theirs\n")},
				{Path: feast, Data: []byte("---\nashbook: 1\n---\n- planned\n")}, {Path: "journal.md", Remove: true}}}
		if _, err := k.Join(j); err != nil {
			t.Fatal(err)
		}
		r.ack("- theirs\n")
		r.ack("- planned\n")
	}},
}

func note(t testing.TB, k *Store, r *recorder, line string) {
	t.Helper()
	enter(t, k, line)
	r.ack(line + "\n")
}

// buffers are what an editor, opened before, may save before the journal is opened
// again.
var buffers = map[string]string{"": "", "old buffer": supperText}

// playback says which crashes of a night are played back.
type playback struct {
	from  moment                // those at the others before are not
	pick  func(how string) bool // of what may be on the disk then
	drop  string                // a flush that is left out
	more  bool                  // see choices
	first bool                  // up to the first that goes wrong
}

// moment is when a crash comes.
type moment int

const (
	underway moment = iota
	acked           // a line had just been acknowledged
	over            // the night was
)

// replay plays back crashes of a night, and returns how many there were, what went
// wrong, and what the night flushed.
func (p playback) replay(t testing.TB, which int) (points int, wrong []string, flushes map[string]bool) {
	dir := hall(t)
	now := &clock{night}
	n := nights[which]
	if n.prepare != nil {
		n.prepare(t, open(t, dir, now))
	}
	dir, err := filepath.EvalSymlinks(dir)
	if err != nil {
		t.Fatal(err)
	}
	r := recording(t, dir)
	r.drop = p.drop
	k, err := startOn(dir, now, 0, r)
	if err != nil {
		t.Fatal(err)
	}
	n.do(t, k, r)
	done := map[[32]byte]bool{}
	var lines []string // that were acknowledged
	for i := range len(r.steps) + 1 {
		at := underway
		if i > 0 && r.steps[i-1].acked != "" {
			at = acked
			lines = append(lines, r.steps[i-1].acked)
			clear(done)
		}
		if i == len(r.steps) {
			at = over
		}
		if at < p.from {
			continue
		}
		pick := func(how string) bool { return (!p.first || len(wrong) == 0) && p.pick(how) }
		r.crashes(i, p.more, pick, func(how string, tree map[string]*node, data map[*node]string) {
			dropForeignLocks(tree)
			if f := fingerprint(tree, data); !done[f] {
				done[f] = true
				for name, buffer := range buffers {
					points++
					if err := reopened(t, tree, data, now.Time, lines, buffer, at == over); err != nil {
						wrong = append(wrong, fmt.Sprintf("%s, step %d of %d, %s, %s: %v", n.name, i, len(r.steps), how, name, err))
					}
				}
			}
		})
	}
	return points, wrong, r.flushes
}

// dropForeignLocks takes out git's lock files whose own name is gone: they look like
// those of another program, and only the person may remove them.
func dropForeignLocks(tree map[string]*node) {
	for name, n := range tree {
		if strings.HasSuffix(name, ".lock") && tree[".git/ashbook/held-"+filepath.Base(strings.TrimSuffix(name, ".lock"))] != n {
			delete(tree, name)
		}
	}
}

// reopened opens the journal that a crash left, after an editor has saved its buffer
// if there is one, enters a line and looks for all. byGit has git look as well.
func reopened(t testing.TB, tree map[string]*node, data map[*node]string, at time.Time, acked []string, buffer string, byGit bool) error {
	dir := lay(t, tree, data)
	defer os.RemoveAll(dir)
	if buffer != "" {
		repo, err := history.Open(dir)
		if err != nil {
			return err
		}
		old, err := repo.Head(supper)
		if err != nil && !errors.Is(err, history.ErrNoVersion) {
			return err
		}
		// What history has, an editor may take out.
		acked = slices.DeleteFunc(slices.Clone(acked), func(l string) bool { return strings.Contains(string(old), l) })
		write(t, dir, supper, buffer)
	}
	k, err := startOn(dir, &clock{at.Add(3 * time.Minute)}, 0, disk.Unflushed(disk.OS))
	if err != nil {
		return err
	}
	if _, err := k.Edit(supper, adding("- last"), "harvest-supper: last"); err != nil {
		return err
	}
	if err := k.Flush(); err != nil {
		return err
	}
	var all strings.Builder
	for _, p := range []string{supper, feast} {
		text, err := os.ReadFile(filepath.Join(dir, p))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if head, err2 := k.repo.Head(p); k.Waiting() == "" && err == nil && (err2 != nil || string(head) != string(text)) {
			return fmt.Errorf("%s: history does not have the file: %v", p, err2)
		}
		all.Write(text)
	}
	if why := k.Waiting(); why != "" && tree[".git/MERGE_HEAD"] == nil {
		return fmt.Errorf("not in history: %s", why)
	}
	if sums, err := staged(dir); k.Waiting() == "" && (err != nil || sums[supper] != sum([]byte(read(t, dir, supper)))) {
		return fmt.Errorf("the index does not have the file: %v", err)
	}
	if _, err := exec.LookPath("git"); err == nil && byGit && k.Waiting() == "" {
		if got := gitIn(t, dir, "status", "--porcelain"); got != "" {
			return fmt.Errorf("git status: %s", got)
		}
	}
	versions, err := k.repo.Versions(supper, 0)
	if err != nil {
		return err
	}
	said := map[string]bool{}
	for _, v := range versions {
		// A save that was not acknowledged may be taken for one that was, and what was
		// there before it for another program's: that is said again.
		if said[v.Message] && buffer == "" && !strings.HasSuffix(v.Message, "changed outside ashbook") {
			return fmt.Errorf("two versions say %q", v.Message)
		}
		said[v.Message] = true
		if text, err := k.repo.At(v.Hash, supper); err != nil || !whole(string(text)) {
			return fmt.Errorf("version %q is torn: %q, %v", v.Message, text, err)
		}
	}
	if !whole(all.String()) {
		return fmt.Errorf("torn: %q", all.String())
	}
	for _, line := range append([]string{"- last\n"}, acked...) {
		if n := strings.Count(all.String(), line); n != 1 {
			return fmt.Errorf("%q is there %d times", line, n)
		}
	}
	seen := map[string]bool{}
	for line := range strings.Lines(all.String()) {
		if strings.HasPrefix(line, "- ") && seen[line] {
			return fmt.Errorf("%q is there twice", line)
		}
		seen[line] = true
	}
	return nil
}

// whole tells whether a text has all that was in the cook at the beginning, and no
// zeros.
func whole(text string) bool {
	return !strings.Contains(text, "\x00") && strings.HasPrefix(text, strings.TrimSuffix(supperText, "\n"))
}

// staged are the sums of the files in git's index.
func staged(dir string) (map[string]string, error) {
	f, err := os.Open(filepath.Join(dir, ".git/index"))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var idx index.Index
	if err := index.NewDecoder(f).Decode(&idx); err != nil {
		return nil, err
	}
	sums := map[string]string{}
	for _, e := range idx.Entries {
		sums[e.Name] = e.Hash.String()
	}
	return sums, nil
}

// TestCrashes plays back one crash in 150, with ASHBOOK_WHOLE set one in 60; with
// ASHBOOK_CRASHES set, all, of more kinds.
func TestCrashes(t *testing.T) {
	total, seen := 0, 0
	long := os.Getenv("ASHBOOK_CRASHES") != ""
	every := 150
	if journaltest.Whole() {
		every = 60
	}
	pick := func(string) bool {
		seen++
		return seen%every == 0 || long
	}
	for i, n := range nights {
		t.Run(n.name, func(t *testing.T) {
			points, wrong, _ := playback{pick: pick, more: long}.replay(t, i)
			for _, w := range wrong[:min(5, len(wrong))] {
				t.Error(w)
			}
			if len(wrong) > 0 {
				t.Errorf("%d of %d", len(wrong), points)
			}
			total += points
			t.Logf("%d crashes", points)
		})
	}
	t.Logf("%d crashes in all", total)
}

// Without any one of the flushes something is lost, in a power cut after a line was
// acknowledged or when the night is over.
func TestEveryFlushIsNeeded(t *testing.T) {
	needGit(t)
	flushed := func(how string) bool { return strings.HasPrefix(how, "lost, 0 ") } // and nothing else
	butOne := func(how string) bool {                                              // what was flushed, and all names but for one
		var there, all int
		_, err := fmt.Sscanf(how, "lost, %d of %d names", &there, &all)
		return err == nil && there >= all-1
	}
	kinds := []playback{{from: acked, pick: flushed}, {from: over, pick: butOne, more: true}}
	of := map[string][]int{} // which nights have a flush
	for i := range nights {
		for k, p := range kinds {
			_, wrong, flushes := p.replay(t, i)
			if len(wrong) > 0 {
				t.Errorf("with every flush: %s", wrong[0])
			}
			for what := range flushes {
				if k == 0 {
					of[what] = append(of[what], i)
				}
			}
		}
	}
	for what, in := range of {
		var found []string
		for _, p := range kinds {
			p.drop, p.first = what, true
			for _, i := range in {
				if len(found) == 0 {
					_, found, _ = p.replay(t, i)
				}
			}
		}
		if len(found) == 0 {
			t.Errorf("%s is flushed, but nothing is lost without it", what)
		} else {
			t.Logf("without flushing %s: %s", what, found[0])
		}
	}
}
