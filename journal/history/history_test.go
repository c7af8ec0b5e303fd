package history

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/journaltest"
)

// These tests compare with the git program: what it says about a repository is right.
// Without git the tests run as far as they can and are then skipped.

var noon = time.Date(2026, 9, 19, 12, 0, 0, 0, time.FixedZone("", 3600))

func needGit(t testing.TB) {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git program")
	}
	journaltest.Isolate(t)
}

var (
	gitIn = journaltest.Git
	write = journaltest.Write
)

// gitSays runs git with the user's own name, not with one set for the test.
func gitSays(t testing.TB, dir string, args ...string) string {
	t.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir = dir
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("git %v: %v", args, err)
	}
	return string(out)
}

// journal makes a folder with one cook under git.
func journal(t testing.TB) (*Repo, string) {
	t.Helper()
	journaltest.Isolate(t)
	dir := t.TempDir()
	write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	write(t, dir, "cooks/2026/2026-09-18-harvest-supper.md", "one\n")
	r, err := Init(dir, noon, 0)
	if err != nil {
		t.Fatal(err)
	}
	return r, dir
}

const supper = "cooks/2026/2026-09-18-harvest-supper.md"

// save writes a file and commits it.
func save(t testing.TB, r *Repo, path, data, message string) string {
	t.Helper()
	write(t, r.dir, path, data)
	hash, err := r.Commit(message, noon, Change{Path: path, Data: []byte(data)})
	if err != nil {
		t.Fatal(err)
	}
	return hash
}

// sound requires git to find the repository intact and, unless want says otherwise,
// clean.
func sound(t testing.TB, dir, want string) {
	t.Helper()
	journaltest.Intact(t, dir)
	if got := gitIn(t, dir, "status", "--porcelain"); got != want {
		t.Errorf("git status: got %q, want %q", got, want)
	}
}

func TestInitAndCommit(t *testing.T) {
	r, dir := journal(t)
	sound(t, dir, "")
	if got := gitIn(t, dir, "symbolic-ref", "HEAD"); got != "refs/heads/main\n" {
		t.Errorf("branch %q", got)
	}
	if got := gitIn(t, dir, "check-attr", "text", supper); !strings.Contains(got, "text: unset") {
		t.Errorf("attributes: %q", got)
	}
	save(t, r, supper, "one\ntwo\n", "harvest-supper: 01:04 pit 104 °C, core 68 °C")
	save(t, r, "cooks/2027/2027-01-02-feast.md", "new\n", "feast: planned")
	save(t, r, "cooks/2026/2026-01-01-a.md", "first in its folder\n", "a")
	save(t, r, "a.md", "first of all\n", "b")
	save(t, r, "zz.md", "last of all\n", "c")
	sound(t, dir, "")
	log := gitIn(t, dir, "log", "--format=%an <%ae> %aI %s", "-n1", "--", supper)
	if want := "ashbook <ashbook@localhost> 2026-09-19T12:00:00+01:00 harvest-supper: 01:04 pit 104 °C, core 68 °C\n"; log != want {
		t.Errorf("log: got %q, want %q", log, want)
	}
	if got := strings.Count(gitIn(t, dir, "reflog", "main"), "\n"); got != 6 {
		t.Errorf("reflog has %d lines, want 6", got)
	}
	gitIn(t, dir, "diff", "--exit-code", "HEAD")
	gitIn(t, dir, "diff", "--exit-code", "--cached", "HEAD")
}

func TestCommitRemoves(t *testing.T) {
	r, dir := journal(t)
	if err := os.Remove(filepath.Join(dir, supper)); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Commit("gone", noon, Change{Path: supper, Remove: true}); err != nil {
		t.Fatal(err)
	}
	sound(t, dir, "")
	if got := gitIn(t, dir, "ls-files"); got != ".gitattributes\njournal.md\n" {
		t.Errorf("files: %q", got)
	}
	vs, err := r.Versions(supper, 0)
	if err != nil || len(vs) != 2 || !vs[0].Removed || vs[1].Removed {
		t.Errorf("versions %v, %v", vs, err)
	}
}

func TestSameBytesMakeNoCommit(t *testing.T) {
	r, dir := journal(t)
	before := gitIn(t, dir, "rev-parse", "HEAD")
	if hash := save(t, r, supper, "one\n", "nothing"); hash != "" {
		t.Errorf("commit %s for the same bytes", hash)
	}
	if after := gitIn(t, dir, "rev-parse", "HEAD"); after != before {
		t.Error("the branch moved")
	}
	sound(t, dir, "")
}

func TestHandStagedFilesStayStaged(t *testing.T) {
	needGit(t)
	for _, version := range []string{"2", "3", "4"} {
		t.Run("index version "+version, func(t *testing.T) {
			r, dir := journal(t)
			write(t, dir, "shopping.txt", "charcoal\n")
			write(t, dir, "later.txt", "x\n")
			gitIn(t, dir, "add", "shopping.txt")
			if version == "3" { // an entry with extended flags makes git write index version 3
				gitIn(t, dir, "add", "-N", "later.txt")
			} else {
				gitIn(t, dir, "update-index", "--index-version", version)
				gitIn(t, dir, "add", "later.txt")
			}
			before := gitIn(t, dir, "status", "--porcelain")
			save(t, r, supper, "one\ntwo\n", "two")
			save(t, r, "cooks/2026/2026-09-19-feast.md", "new\n", "new")
			sound(t, dir, before)
			if got := gitIn(t, dir, "ls-tree", "-r", "--name-only", "HEAD"); strings.Contains(got, "shopping") {
				t.Error("a file staged by hand came into our commit")
			}
			gitIn(t, dir, "commit", "-qm", "by hand", "shopping.txt")
			if got := gitIn(t, dir, "show", "HEAD:"+supper); got != "one\ntwo\n" {
				t.Errorf("after a commit by hand the cook reads %q", got)
			}
		})
	}
}

// If the user has staged part of a cook's file, that part stays staged.
func TestPartlyStagedCookStaysStaged(t *testing.T) {
	r, dir := journal(t)
	write(t, dir, supper, "one\nby hand\n")
	gitIn(t, dir, "add", supper)
	save(t, r, supper, "one\nby hand\nmore\n", "more")
	if got := gitIn(t, dir, "show", ":"+supper); got != "one\nby hand\n" {
		t.Errorf("staged: %q", got)
	}
	if got := gitIn(t, dir, "show", "HEAD:"+supper); got != "one\nby hand\nmore\n" {
		t.Errorf("committed: %q", got)
	}
}

func TestIndexExtensionsAndCacheTree(t *testing.T) {
	r, dir := journal(t)
	gitIn(t, dir, "update-index", "--untracked-cache")
	gitIn(t, dir, "status")
	gitIn(t, dir, "read-tree", "HEAD") // fills the cache tree
	gitIn(t, dir, "status")
	save(t, r, supper, "one\ntwo\n", "two")
	save(t, r, "cooks/2026/2026-09-19-feast.md", "new\n", "new")
	sound(t, dir, "")
	if a, b := gitIn(t, dir, "write-tree"), gitIn(t, dir, "rev-parse", "HEAD^{tree}"); a != b {
		t.Errorf("git would commit the tree %s, not %s", a, b)
	}
}

func TestLockOfAnotherProgram(t *testing.T) {
	for _, lock := range []string{"index.lock", "refs/heads/main.lock"} {
		r, dir := journal(t)
		r.Wait = time.Millisecond
		write(t, dir, ".git/"+lock, "")
		_, err := r.Commit("two", noon, Change{Path: supper, Data: []byte("two\n")})
		if !errors.Is(err, ErrBusy) {
			t.Errorf("%s: got %v, want ErrBusy", lock, err)
		}
		if _, err := os.Stat(filepath.Join(dir, ".git", lock)); err != nil {
			t.Errorf("the foreign %s is gone: %v", lock, err)
		}
		if err := os.Remove(filepath.Join(dir, ".git", lock)); err != nil {
			t.Fatal(err)
		}
		save(t, r, supper, "two\n", "two")
		sound(t, dir, "")
	}
}

// A crash can leave the lock file, and the index older than the branch.
func TestCrashBetweenBranchAndIndex(t *testing.T) {
	r, dir := journal(t)
	index, err := os.ReadFile(filepath.Join(dir, ".git/index"))
	if err != nil {
		t.Fatal(err)
	}
	save(t, r, supper, "two\n", "two")
	if err := os.WriteFile(filepath.Join(dir, ".git/index"), index, 0o666); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"index", "refs/heads/main"} {
		h, err := r.stage(filepath.Join(dir, ".git", name), r.Perm()) // never released
		if err = errors.Join(err, h.take()); err != nil {
			t.Fatal(err)
		}
	}
	if hash := save(t, r, supper, "two\n", "again"); hash != "" {
		t.Errorf("a commit for the same bytes: %s", hash)
	}
	sound(t, dir, "")
	save(t, r, supper, "three\n", "three")
	sound(t, dir, "")
	if left, _ := filepath.Glob(filepath.Join(dir, ".git/ashbook/held-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// After such a crash the next save may have other bytes. The index is updated only if
// its version of the file was once in the branch.
func TestIndexLeftBehind(t *testing.T) {
	for _, version := range []string{"2", "4"} {
		r, dir := journal(t)
		gitIn(t, dir, "update-index", "--index-version", version)
		index, err := os.ReadFile(filepath.Join(dir, ".git/index"))
		if err != nil {
			t.Fatal(err)
		}
		save(t, r, supper, "two\n", "two")
		save(t, r, supper, "three\n", "three")
		if err := os.WriteFile(filepath.Join(dir, ".git/index"), index, 0o666); err != nil {
			t.Fatal(err)
		}
		save(t, r, supper, "four\n", "four")
		sound(t, dir, "")

		write(t, dir, supper, "by hand\n")
		gitIn(t, dir, "add", supper)
		save(t, r, supper, "five\n", "five")
		sound(t, dir, "MM "+supper+"\n")
	}
}

func TestNewest(t *testing.T) {
	r, _ := journal(t)
	for i := range 9 {
		save(t, r, supper, fmt.Sprintf("%d\n", i), "x")
	}
	name := func(i int) string { return Sum(fmt.Appendf(nil, "%d\n", i)) }
	for _, c := range []struct {
		what string
		sums []string
		want string
	}{
		{"the newest of two", []string{name(3), name(7)}, name(7)},
		{"none", []string{Sum([]byte("never\n"))}, ""},
		{"the oldest", []string{name(0)}, name(0)},
	} {
		if got, err := r.Newest(supper, c.sums...); err != nil || got != c.want {
			t.Errorf("%s: got %q, %v, want %q", c.what, got, err, c.want)
		}
	}
	if got, want := Sum([]byte("hello\n")), "ce013625030ba8dba906f756967f9e9ca394464a"; got != want {
		t.Errorf("sum %s, want %s (git hash-object)", got, want)
	}
	if data, err := r.Blob(name(7)); err != nil || string(data) != "7\n" {
		t.Errorf("blob: %q, %v", data, err)
	}
	if _, err := r.Blob(Sum([]byte("never\n"))); !errors.Is(err, ErrNoVersion) {
		t.Errorf("got %v, want ErrNoVersion", err)
	}
}

func TestLock(t *testing.T) {
	r, dir := journal(t)
	release, err := r.Lock(0)
	if err != nil {
		t.Fatal(err)
	}
	other, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := other.Lock(0); !errors.Is(err, ErrLocked) {
		t.Errorf("got %v, want ErrLocked", err)
	}
	release()
	release, err = other.Lock(0)
	if err != nil {
		t.Fatal(err)
	}
	release()
}

func TestPostponed(t *testing.T) {
	needGit(t)
	for name, c := range map[string]struct {
		setup func(t *testing.T, dir string)
		want  string
	}{
		"detached": {func(t *testing.T, dir string) { gitIn(t, dir, "checkout", "-q", "--detach") }, "git switch"},
		"sparse":   {func(t *testing.T, dir string) { gitIn(t, dir, "sparse-checkout", "set", "cooks") }, "sparse-checkout disable"},
		"split": {func(t *testing.T, dir string) {
			gitIn(t, dir, "update-index", "--split-index")
		}, "split"},
		"sha256": {func(t *testing.T, dir string) {
			if err := os.RemoveAll(filepath.Join(dir, ".git")); err != nil {
				t.Fatal(err)
			}
			gitIn(t, dir, "init", "-q", "--object-format=sha256")
		}, "SHA256"},
		"bare": {func(t *testing.T, dir string) { gitIn(t, dir, "config", "core.bare", "true") }, "bare"},
		"merge": {func(t *testing.T, dir string) {
			gitIn(t, dir, "checkout", "-qb", "other")
			write(t, dir, supper, "theirs\n")
			gitIn(t, dir, "commit", "-qam", "theirs")
			gitIn(t, dir, "checkout", "-q", "main")
			write(t, dir, supper, "ours\n")
			gitIn(t, dir, "commit", "-qam", "ours")
			cmd := exec.Command("git", "-c", "user.name=Hand", "-c", "user.email=hand@localhost", "merge", "-q", "other")
			cmd.Dir = dir
			if cmd.Run() == nil {
				t.Fatal("the merge was expected to conflict")
			}
		}, "git merge --abort"},
		"conflict": {func(t *testing.T, dir string) {
			write(t, dir, supper, "theirs\n")
			gitIn(t, dir, "stash", "-q")
			write(t, dir, supper, "ours\n")
			gitIn(t, dir, "commit", "-qam", "ours")
			cmd := exec.Command("git", "stash", "pop", "-q")
			cmd.Dir = dir
			if cmd.Run() == nil {
				t.Fatal("the stash was expected to conflict")
			}
		}, "unresolved conflicts"},
	} {
		t.Run(name, func(t *testing.T) {
			_, dir := journal(t)
			c.setup(t, dir)
			before, _ := os.ReadFile(filepath.Join(dir, ".git/index"))
			r, err := Open(dir)
			if err != nil {
				t.Fatal(err)
			}
			_, err = r.Commit("x", noon, Change{Path: supper, Data: []byte("x\n")})
			var p *Postponed
			if !errors.As(err, &p) || !strings.Contains(p.Reason, c.want) {
				t.Errorf("got %v, want a reason with %q", err, c.want)
			}
			after, _ := os.ReadFile(filepath.Join(dir, ".git/index"))
			if string(before) != string(after) {
				t.Error("the index changed")
			}
			if _, err := os.Stat(filepath.Join(dir, ".git/index.lock")); err == nil {
				t.Error("index.lock is left behind")
			}
		})
	}
}

func TestNotUnderGit(t *testing.T) {
	if _, err := Open(t.TempDir()); !errors.Is(err, ErrNotUnderGit) {
		t.Errorf("got %v, want ErrNotUnderGit", err)
	}
}

func TestVersionsFollowMerges(t *testing.T) {
	r, dir := journal(t)
	gitIn(t, dir, "checkout", "-qb", "side")
	write(t, dir, supper, "one\nside\n")
	gitIn(t, dir, "commit", "-qam", "side")
	gitIn(t, dir, "checkout", "-q", "main")
	save(t, r, "cooks/2026/2026-09-19-feast.md", "new\n", "feast")
	gitIn(t, dir, "merge", "-q", "-m", "merged", "side")
	save(t, r, supper, "one\nside\nmore\n", "more")
	vs, err := r.Versions(supper, 0)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, v := range vs {
		got = append(got, v.Message)
	}
	want := gitIn(t, dir, "log", "--format=%s", "--", supper)
	if strings.Join(got, "\n")+"\n" != want {
		t.Errorf("got %q, git log says %q", got, want)
	}
	if vs, err = r.Versions(supper, 1); err != nil || len(vs) != 1 {
		t.Errorf("limit 1: %v, %v", vs, err)
	}
	if _, err := r.At(strings.Repeat("0", 40), supper); !errors.Is(err, ErrNoVersion) {
		t.Errorf("got %v, want ErrNoVersion", err)
	}
}

func TestRemarksAndIdentity(t *testing.T) {
	r, dir := journal(t)
	gitIn(t, dir, "config", "user.name", "A <Pit> Hand")
	gitIn(t, dir, "config", "user.email", "pit@hall.example")
	if got := r.Remarks(); len(got) != 0 {
		t.Errorf("remarks %q", got)
	}
	gitIn(t, dir, "config", "commit.gpgsign", "true")
	write(t, dir, ".git/hooks/pre-commit", "#!/bin/sh\nexit 1\n")
	if err := os.Chmod(filepath.Join(dir, ".git/hooks/pre-commit"), 0o777); err != nil {
		t.Fatal(err)
	}
	got := strings.Join(r.Remarks(), "\n")
	if !strings.Contains(got, "not signed") || !strings.Contains(got, "pre-commit") {
		t.Errorf("remarks %q", got)
	}
	save(t, r, supper, "two\n", "two")
	sound(t, dir, "")
	if got := gitIn(t, dir, "log", "-n1", "--format=%an <%ae>"); got != "A Pit Hand <pit@hall.example>\n" {
		t.Errorf("signed %q", got)
	}
}

func TestSpliceIndexRefusesBrokenFiles(t *testing.T) {
	_, dir := journal(t)
	whole, was, err := readIndex(filepath.Join(dir, ".git/index"))
	if err != nil {
		t.Fatal(err)
	}
	put := []staged{{path: supper}}
	for n := 1; n < len(whole); n++ {
		if _, _, err := spliceIndex(whole[:n], was.written(), put); err == nil {
			t.Fatalf("an index cut to %d of %d bytes was taken", n, len(whole))
		}
	}
	broken := append([]byte(nil), whole...)
	broken[40] ^= 1
	if _, _, err := spliceIndex(broken, was.written(), put); err == nil {
		t.Error("an index with a wrong checksum was taken")
	}
}

// A file that changed in the moment when git wrote its index looks unchanged except for
// its time ("racy git" in git's technical documentation). After we have written the
// index again, git still finds the change.
func TestChangeAtTheMomentOfTheIndex(t *testing.T) {
	r, dir := journal(t)
	gitIn(t, dir, "config", "core.trustctime", "false")
	const other = "cooks/2026/other.md"
	long := time.Unix(1_700_000_000, 0)
	at := func(path string) {
		t.Helper()
		if err := os.Chtimes(filepath.Join(dir, path), long, long); err != nil {
			t.Fatal(err)
		}
	}
	write(t, dir, other, "one\n")
	at(other)
	if _, err := r.Commit("other", noon, Change{Path: other, Data: []byte("one\n")}); err != nil {
		t.Fatal(err)
	}
	write(t, dir, other, "two\n")
	at(other)
	at(".git/index")
	save(t, r, supper, "two\n", "two")
	sound(t, dir, " M "+other+"\n")
}
