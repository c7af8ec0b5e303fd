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

// These tests simulate a crash at every step of a night. Whatever is on the disk then,
// the journal opens, and every acknowledged line is in its file exactly once.

const feast = "cooks/2027/2027-01-02-feast.md"

// nights are the changes made to a journal, each with the state it starts from.
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

// buffers are what an editor that had the file open may save before the journal is opened
// again.
var buffers = map[string]string{"": "", "old buffer": supperText}

// playback says which crashes of a night are simulated.
type playback struct {
	from  moment                // only crashes at this moment
	pick  func(how string) bool // chooses among the possible states of the disk
	drop  string                // name of a flush to leave out; "" for none
	more  bool                  // see choices
	first bool                  // stop at the first failure
}

// moment is when the crash happens.
type moment int

const (
	underway moment = iota
	acked           // just after a line was acknowledged
	over            // after the night
)

// replay simulates crashes of a night. It returns their number, what went wrong, and
// which flushes the night made.
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
	var lines []string // lines acknowledged so far
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

// dropForeignLocks removes git's lock files that are not hard links to ours. They look
// like those of another program, which only the user may remove.
func dropForeignLocks(tree map[string]*node) {
	for name, n := range tree {
		if strings.HasSuffix(name, ".lock") && tree[".git/ashbook/held-"+filepath.Base(strings.TrimSuffix(name, ".lock"))] != n {
			delete(tree, name)
		}
	}
}

// reopened opens the journal after a crash, adds a line and looks for all acknowledged
// lines. Before that, an editor saves its buffer unless that is "". If byGit is set,
// git checks the repository too.
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
		// An editor may remove lines that are in history.
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
		// A save that was not acknowledged may be taken for one that was, and the
		// content before it for another program's. Then a message comes twice.
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

// whole reports whether the text has everything that the cook had at the start, and no
// zero bytes.
func whole(text string) bool {
	return !strings.Contains(text, "\x00") && strings.HasPrefix(text, strings.TrimSuffix(supperText, "\n"))
}

// staged returns the hashes of the files in git's index.
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

// TestCrashes simulates one crash in 150; with ASHBOOK_WHOLE set, one in 60; with
// ASHBOOK_CRASHES set, all of them, and further kinds. Add -count=1 then: a result that
// go test would store needs its list of all files that were opened, here gigabytes.
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

// If any one flush is left out, a power cut loses something, either just after a line
// was acknowledged or after the night.
func TestEveryFlushIsNeeded(t *testing.T) {
	journaltest.OnlyWhole(t)
	if testing.Short() {
		t.Skip("takes long, and makes the same saves as TestCrashes")
	}
	needGit(t)
	// only what was flushed survives
	flushed := func(how string) bool { return strings.HasPrefix(how, "lost, 0 ") }
	// what was flushed survives, and all names but one
	butOne := func(how string) bool {
		var there, all int
		_, err := fmt.Sscanf(how, "lost, %d of %d names", &there, &all)
		return err == nil && there >= all-1
	}
	kinds := []playback{{from: acked, pick: flushed}, {from: over, pick: butOne, more: true}}
	of := map[string][]int{} // numbers of the nights that make each flush
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
