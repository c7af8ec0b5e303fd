package history

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/go-git/go-git/v5/plumbing"

	"ashbook/journal/journaltest"
)

// tangle makes a history with branches and merges, wrong dates, and some packed
// objects. It returns the hashes of its commits.
func tangle(t testing.TB, seed uint64) (*Repo, string, []string) {
	t.Helper()
	needGit(t)
	r, dir := journal(t)
	rnd := rand.New(rand.NewPCG(11, seed))
	names := []string{strings.TrimSpace(gitIn(t, dir, "rev-parse", "HEAD"))} // as git fast-import takes them
	text := strings.Repeat("- 2026-09-19T01:10+01:00 pit 108 °C, and the wind had turned\n", 40)
	marks := filepath.Join(t.TempDir(), "marks")
	var stream bytes.Buffer
	feed := func() { // the format of git-fast-import(1); few objects stay loose files
		cmd := exec.Command("git", "-c", "fastimport.unpackLimit=1000", "fast-import", "--quiet", "--done", "--import-marks-if-exists="+marks, "--export-marks="+marks)
		stream.WriteString("done\n")
		cmd.Dir, cmd.Stdin = dir, &stream
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		stream.Reset()
	}
	data := func(text string) { fmt.Fprintf(&stream, "data %d\n%s\n", len(text), text) }
	for i := range 40 {
		parents := []string{names[max(0, len(names)-1-rnd.IntN(5))]}
		if rnd.IntN(3) == 0 {
			if p := names[max(0, len(names)-1-rnd.IntN(9))]; p != parents[0] {
				parents = append(parents, p)
			}
		}
		names = append(names, fmt.Sprint(":", i+1))
		date := 1789830000 + 60*i + rnd.IntN(7200) // up to two hours wrong
		fmt.Fprintf(&stream, "commit refs/heads/b%d\nmark %s\ncommitter A <a@l> %d +0100\n", i, names[i+1], date)
		data(fmt.Sprint("commit ", i))
		for n, p := range parents {
			fmt.Fprintf(&stream, "%s %s\n", []string{"from", "merge"}[n], p)
		}
		fmt.Fprintf(&stream, "M 100644 inline cooks/2026/2026-09-%02d-x.md\n", 1+rnd.IntN(20))
		data(fmt.Sprintf("%s- %d\n", text, i))
		if i == 30 {
			feed()
			gitIn(t, dir, "repack", "-q", "-a", "-d", "--depth=50", "--window=20")
		}
	}
	feed()
	exported, err := os.ReadFile(marks)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(exported)) {
		mark, hash, _ := strings.Cut(strings.TrimSpace(line), " ")
		names[slices.Index(names, mark)] = hash
	}
	return r, dir, names
}

// Bases, Between, Within and Missing return what git prints. With ASHBOOK_WHOLE set,
// for more pairs of commits.
func TestGraphAsGit(t *testing.T) {
	pairs := 8
	switch {
	case testing.Short():
		pairs = 2 // it shares nothing between goroutines
	case journaltest.Whole():
		pairs = 40
	}
	for seed := range uint64(3) {
		r, dir, all := tangle(t, seed)
		o, err := r.Objects()
		if err != nil {
			t.Fatal(err)
		}
		rnd := rand.New(rand.NewPCG(12, seed))
		for range pairs {
			a, b := all[rnd.IntN(len(all))], all[rnd.IntN(len(all))]
			got, err := o.Bases(a, b)
			if err != nil {
				t.Fatal(err)
			}
			want := strings.Fields(gitIn(t, dir, "merge-base", "--all", a, b))
			sort.Strings(want)
			if !slices.Equal(got, want) {
				t.Errorf("in common: %v, git says %v", got, want)
			}
			missing, err := o.Missing(a, b)
			if err != nil {
				t.Fatal(err)
			}
			have := map[string]bool{}
			for _, h := range missing {
				have[h.String()] = true
			}
			want = nil // the commits, which git prints without a path
			for line := range strings.Lines(gitIn(t, dir, "rev-list", "--objects", a, "^"+b)) {
				name, _, other := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
				if !have[name] {
					t.Errorf("%s is not among what is missing", strings.TrimSpace(line))
				}
				if !other {
					want = append(want, name)
				}
			}
			made, err := o.Between(a, b)
			if err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, m := range made {
				names = append(names, m.Hash)
			}
			sort.Strings(names)
			sort.Strings(want)
			if !slices.Equal(names, want) {
				t.Errorf("new: %d, git says %d", len(names), len(want))
			}
			if within, err := o.Within(a, b); err != nil || within != (len(want) == 0) {
				t.Errorf("within: %v, %v, and git says %d of its commits are not in the other", within, err, len(want))
			}
		}
	}
}

// Every object reads as git reads it, whether it is a loose file, packed whole or
// packed as a difference. Its length is found without reading it.
func TestStoredAsGit(t *testing.T) {
	r, dir, _ := tangle(t, 5)
	s := storedIn(filepath.Join(dir, ".git/objects"))
	deltas := strings.Count(gitIn(t, dir, "verify-pack", "-v", globOne(t, dir, ".git/objects/pack/*.idx")), " 1 ")
	n := 0
	for line := range strings.Lines(gitIn(t, dir, "cat-file", "--batch-check", "--batch-all-objects")) {
		f := strings.Fields(line)
		h := plumbing.NewHash(f[0])
		got, err := s.get(h)
		if err != nil {
			t.Fatal(err)
		}
		size, err := s.sizeOf(h)
		if err != nil || fmt.Sprint(size) != f[2] || got.kind.String() != f[1] || len(got.data) != int(size) {
			t.Errorf("%s: %s of %d bytes, told %d, %v", strings.TrimSpace(line), got.kind, len(got.data), size, err)
		}
		if plumbing.ComputeHash(got.kind, got.data) != h {
			t.Errorf("%s holds something else", h)
		}
		n++
	}
	if n < 100 || deltas == 0 {
		t.Errorf("%d objects, deltas %d: too few to tell", n, deltas)
	}
	if _, err := s.get(plumbing.NewHash(strings.Repeat("1", 40))); !errors.Is(err, plumbing.ErrObjectNotFound) {
		t.Errorf("one that is not there: %v", err)
	}
	// Meanwhile another program packs all objects.
	gitIn(t, dir, "gc", "-q", "--prune=now")
	o, err := r.Objects()
	if err != nil {
		t.Fatal(err)
	}
	head, err := o.Head()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.get(plumbing.NewHash(head)); err != nil {
		t.Errorf("after git gc: %v", err)
	}
}

func globOne(t testing.TB, dir, pattern string) string {
	t.Helper()
	all, err := filepath.Glob(filepath.Join(dir, pattern))
	if err != nil || len(all) != 1 {
		t.Fatalf("%s: %q, %v", pattern, all, err)
	}
	return all[0]
}

// A damaged pack gives an error, never wrong content and never a crash.
func TestStoredDamaged(t *testing.T) {
	damages := 40
	if journaltest.Whole() {
		damages = 150
	}
	_, dir, all := tangle(t, 6)
	rnd := rand.New(rand.NewPCG(13, 1))
	for _, end := range []string{"idx", "pack"} {
		name := globOne(t, dir, ".git/objects/pack/*."+end)
		whole, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		os.Chmod(name, 0o644)
		for range damages {
			bad := bytes.Clone(whole)
			for range 1 + rnd.IntN(3) {
				bad[rnd.IntN(len(bad))] ^= byte(1 + rnd.IntN(255))
			}
			if rnd.IntN(5) == 0 {
				bad = bad[:rnd.IntN(len(bad))]
			}
			if err := os.WriteFile(name, bad, 0o644); err != nil {
				t.Fatal(err)
			}
			s := storedIn(filepath.Join(dir, ".git/objects"))
			for _, h := range all {
				s.get(plumbing.NewHash(h))
				s.sizeOf(plumbing.NewHash(h))
			}
			for _, p := range s.packs {
				p.close()
			}
		}
		if err := os.WriteFile(name, whole, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// git accepts a pack that WritePack wrote.
func TestPackAsGitReadsIt(t *testing.T) {
	r, dir, all := tangle(t, 7)
	o, err := r.Objects()
	if err != nil {
		t.Fatal(err)
	}
	objects, err := o.Missing(all[len(all)-1], "")
	if err != nil {
		t.Fatal(err)
	}
	for _, few := range []bool{true, false} {
		asGitReads(t, o, dir, all[len(all)-1], objects, few)
	}
}

// asGitReads stores objects in dir as loose files or as a pack, and has git check them.
func asGitReads(t *testing.T, o *Objects, dir, tip string, objects []plumbing.Hash, few bool) {
	r := o.repo
	bare := filepath.Join(t.TempDir(), "bare.git")
	gitIn(t, dir, "init", "-q", "-b", "main", "--bare", bare)
	q := quarantine{r.Disk, r.Perm(), filepath.Join(t.TempDir(), "objects")}
	add := func() error { return q.pack(func(to io.Writer) error { return o.WritePack(to, objects) }) }
	if few {
		add = func() error { return inBatches(objects, func(some []plumbing.Hash) error { return q.add(o, some) }) }
	}
	if err := add(); err != nil {
		t.Fatal(err)
	}
	if err := q.admit(r.Disk, filepath.Join(bare, "objects"), true); err != nil {
		t.Fatal(err)
	}
	gitIn(t, bare, "update-ref", "refs/heads/main", tip)
	journaltest.Intact(t, bare)
	if got, want := gitIn(t, bare, "rev-list", "--objects", "main"), gitIn(t, dir, "rev-list", "--objects", tip); got != want {
		t.Error("git finds something else in it")
	}
}
