package history

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"ashbook/journal/disk"
)

// Modes that git 2.39 gave to files of 0666 and folders of 0777, made under umask 022
// with this core.sharedRepository (calc_shared_perm in git's path.c; from memory).
func TestShared(t *testing.T) {
	for _, c := range []struct {
		value             string
		file, object, dir fs.FileMode
	}{
		{"false", 0o644, 0o444, 0o755},
		{"umask", 0o644, 0o444, 0o755},
		{"group", 0o664, 0o444, 0o775 | fs.ModeSetgid},
		{"true", 0o664, 0o444, 0o775 | fs.ModeSetgid},
		{"all", 0o664, 0o444, 0o775 | fs.ModeSetgid},
		{"0640", 0o640, 0o440, 0o750 | fs.ModeSetgid},
		{"0600", 0o600, 0o400, 0o700},
		{"nonsense", 0o644, 0o444, 0o755},
	} {
		adjust := shared(c.value)
		if adjust == nil {
			adjust = func(m fs.FileMode) fs.FileMode { return m }
		}
		for _, x := range [][2]fs.FileMode{{0o644, c.file}, {0o444, c.object}, {0o755 | fs.ModeDir, c.dir | fs.ModeDir}} {
			if got := adjust(x[0]); got != x[1] {
				t.Errorf("%s: %v becomes %v, want %v", c.value, x[0], got, x[1])
			}
		}
	}
}

// Compares the modes that git gives under the same setting with ours.
func TestSharedAsGitDoes(t *testing.T) {
	r, dir := journal(t)
	gitIn(t, dir, "config", "core.sharedRepository", "0660")
	save(t, r, supper, "two\n", "two")
	ours := modes(t, dir)
	write(t, dir, supper, "three\n")
	gitIn(t, dir, "commit", "-qam", "three")
	for kind, mode := range modes(t, dir) {
		if ours[kind] != mode {
			t.Errorf("%s: %v, git makes it %v", kind, ours[kind], mode)
		}
	}
	sound(t, dir, "")
}

// modes returns the modes of the newest commit's object, of its branch and of the
// index.
func modes(t *testing.T, dir string) map[string]fs.FileMode {
	t.Helper()
	head := strings.TrimSpace(gitIn(t, dir, "rev-parse", "HEAD"))
	out := map[string]fs.FileMode{}
	for kind, p := range map[string]string{"object": "objects/" + head[:2] + "/" + head[2:], "branch": "refs/heads/main", "index": "index"} {
		info, err := os.Stat(filepath.Join(dir, ".git", p))
		if err != nil {
			t.Fatal(err)
		}
		out[kind] = info.Mode()
	}
	return out
}

func TestSweepObjects(t *testing.T) {
	r, dir := journal(t)
	write(t, dir, ".git/objects/"+tempObject+"0123", "half")
	write(t, dir, ".git/objects/tmp_obj_theirs", "half")
	if err := r.SweepObjects(); err != nil {
		t.Fatal(err)
	}
	left, err := filepath.Glob(filepath.Join(dir, ".git/objects/tmp_*"))
	if err != nil || len(left) != 1 || filepath.Base(left[0]) != "tmp_obj_theirs" {
		t.Errorf("left %q, %v", left, err)
	}
}

// flushes is a disk that records which files were flushed.
type flushes struct {
	disk.FS
	mu    sync.Mutex // files are flushed in parallel
	names []string
}

func (d *flushes) OpenFile(name string, flag int, perm fs.FileMode) (disk.File, error) {
	f, err := d.FS.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err
	}
	return flushedFile{f, d}, nil
}

type flushedFile struct {
	disk.File
	on *flushes
}

func (f flushedFile) Sync() error {
	f.on.mu.Lock()
	f.on.names = append(f.on.names, f.Name())
	f.on.mu.Unlock()
	return f.File.Sync()
}

// An object that the user added with git, which does not flush, is flushed before the
// branch points to it.
func TestObjectOfGitIsFlushed(t *testing.T) {
	r, dir := journal(t)
	write(t, dir, supper, "two\n")
	gitIn(t, dir, "add", supper)
	blob := gitIn(t, dir, "hash-object", supper)
	d := &flushes{FS: r.Disk}
	r.Disk = d
	save(t, r, supper, "two\n", "two")
	if name := filepath.Join(dir, ".git/objects", blob[:2], strings.TrimSpace(blob[2:])); !slices.Contains(d.names, name) {
		t.Errorf("%s is not flushed, only %q", name, d.names)
	}
}
