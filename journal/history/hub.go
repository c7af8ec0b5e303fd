package history

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"

	"ashbook/journal/disk"
)

// Hub is a bare repository in a folder that several people can reach, such as a USB
// stick or a network share. It is read and written without the git program, so that no
// hook or setting in it is ever run. Links that lead out of the folder are not
// followed.
//
// A branch is moved under git's own lock file. The lock of a writer that was killed
// would block everybody, so a lock older than LockAge by the folder's own clock is
// removed.
type Hub struct {
	LockAge time.Duration // age from which a lock counts as left by a killed writer
	Wait    time.Duration // how long to wait for a lock

	dir  string
	disk disk.FS
}

const (
	// lockAge is generous: a writer holds the lock while it writes one small file
	// (chosen).
	lockAge = 2 * time.Minute
	hubWait = 5 * time.Second
	// leftAge is the age from which files left by a killed writer are deleted (chosen:
	// filling a slow stick for the first time may take long).
	leftAge = 6 * time.Hour
)

// NoHub is the error for a folder that is no bare repository.
type NoHub struct{ Dir, Reason string }

func (n NoHub) Error() string { return fmt.Sprintf("%s: %s", n.Dir, n.Reason) }

// OpenHub opens the bare repository in a folder. It fails with NoHub, and with
// fs.ErrNotExist if there is no such folder.
func OpenHub(dir string) (*Hub, error) {
	info, err := os.Stat(dir)
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return nil, NoHub{dir, "is a file, not a folder"}
	}
	if _, err := os.Lstat(filepath.Join(dir, ".git")); err == nil {
		return nil, NoHub{dir, "has somebody's working files; a journal is shared through a bare repository beside them"}
	}
	for _, name := range []string{"HEAD", "objects", "refs"} {
		if _, err := os.Lstat(filepath.Join(dir, name)); err != nil {
			return nil, NoHub{dir, "is not a bare git repository"}
		}
	}
	h := &Hub{LockAge: lockAge, Wait: hubWait, dir: dir}
	if h.disk, err = disk.Within(dir); err != nil {
		return nil, err
	}
	config, err := h.read("config")
	text := strings.ToLower(string(config))
	if err == nil && (strings.Contains(text, "sha256") || strings.Contains(text, "reftable")) {
		return nil, NoHub{dir, "is of a kind of git repository that ashbook cannot write"}
	}
	return h, nil
}

// MayBecomeHub reports whether a folder is empty, or does not exist and has a name that
// ends in .git.
func MayBecomeHub(dir string) bool {
	entries, err := os.ReadDir(dir)
	if err == nil {
		return len(entries) == 0
	}
	if !errors.Is(err, fs.ErrNotExist) || !strings.HasSuffix(dir, ".git") {
		return false
	}
	info, err := os.Stat(filepath.Dir(dir))
	return err == nil && info.IsDir()
}

// MakeHub makes a bare repository in a new or empty folder.
func MakeHub(dir, branch string) error {
	for _, name := range []string{"objects/info", "objects/pack", "refs/heads", "refs/tags"} {
		if err := os.MkdirAll(filepath.Join(dir, filepath.FromSlash(name)), 0o777); err != nil {
			return err
		}
	}
	config := "[core]\n\trepositoryformatversion = 0\n\tfilemode = false\n\tbare = true\n"
	return errors.Join(
		os.WriteFile(filepath.Join(dir, "config"), []byte(config), 0o666),
		os.WriteFile(filepath.Join(dir, "HEAD"), []byte("ref: refs/heads/"+branch+"\n"), 0o666))
}

// mostRef is the largest file of a reference that is read, in bytes.
const mostRef = 1 << 20

func (h *Hub) read(name string) ([]byte, error) {
	f, err := os.OpenInRoot(h.dir, filepath.FromSlash(name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, errors.Join(err, ErrNotRegular)
	}
	return io.ReadAll(io.LimitReader(f, mostRef))
}

// Tip returns the newest commit of a branch; "" for none.
func (h *Hub) Tip(branch string) (string, error) {
	name := "refs/heads/" + branch
	text, err := h.read(name)
	if err == nil {
		if tip := strings.TrimSpace(string(text)); plumbing.IsHash(tip) {
			return tip, nil
		}
		return "", fmt.Errorf("%s: does not contain the name of a commit", name)
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	packed, err := h.read("packed-refs")
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	for line := range strings.Lines(string(packed)) {
		if tip, ref, _ := strings.Cut(strings.TrimSpace(line), " "); ref == name && plumbing.IsHash(tip) {
			return tip, nil
		}
	}
	return "", nil
}

// Fetch copies the newest commit of the branch, and everything it needs, into an inbox.
func (h *Hub) Fetch(into *Inbox, branch string, known ...string) (tip string, err error) {
	if tip, err = h.Tip(branch); err != nil || tip == "" {
		return "", err
	}
	ours, err := into.repo.open()
	if err != nil {
		return "", err
	}
	all, err := into.repo.objects(beside(ours, storedIn(filepath.Join(h.dir, "objects"))))
	if err != nil {
		return "", err
	}
	return tip, into.Copy(all, tip, known...)
}

// Push copies everything reachable from tip but not from old, then moves the branch
// from old to tip. moved is false if somebody else moved the branch first.
func (h *Hub) Push(from *Objects, branch, old, tip string) (moved bool, err error) {
	if now, err := h.Tip(branch); err != nil || now != old {
		return false, err
	}
	all, err := from.Missing(tip, old)
	if err != nil {
		return false, err
	}
	clock, err := h.clock()
	if err != nil {
		return false, err
	}
	h.sweep(clock)
	q := quarantine{h.disk, disk.Perm{}, filepath.Join(h.dir, "objects", fmt.Sprintf("%s%08x", leftBehind, rand.Uint32()), "objects")}
	defer os.RemoveAll(filepath.Dir(q.objects))
	if err := q.add(from, all); err != nil {
		return false, err
	}
	if err := q.admit(h.disk, filepath.Join(h.dir, "objects"), true); err != nil {
		return false, err
	}
	return h.move(branch, old, tip)
}

// leftBehind is the prefix of the folder that new objects are written to before they
// are added. Git's own such folders begin the same way.
const leftBehind = "tmp_objdir-ashbook-"

// sweep deletes what killed writers left.
func (h *Hub) sweep(clock time.Time) {
	left, _ := filepath.Glob(filepath.Join(h.dir, "objects", leftBehind+"*"))
	for _, name := range left {
		if info, err := os.Lstat(name); err == nil && info.IsDir() && clock.Sub(info.ModTime()) > leftAge {
			os.RemoveAll(name)
		}
	}
}

// clock returns the time of the clock that sets the dates of the folder's files.
func (h *Hub) clock() (time.Time, error) {
	f, err := disk.NewTemp(h.disk, h.dir, "tmp_clock_ashbook_", []byte("\n"), nil)
	if err != nil {
		return time.Time{}, err
	}
	info, err := f.Stat()
	if err = errors.Join(err, f.Close(), h.disk.Remove(f.Name())); err != nil {
		return time.Time{}, err
	}
	return info.ModTime(), nil
}

// move sets the branch to tip if it is at old.
func (h *Hub) move(branch, old, tip string) (moved bool, err error) {
	name := filepath.Join(h.dir, "refs", "heads", filepath.FromSlash(branch))
	if err := disk.MkdirAll(h.disk, filepath.Dir(name), disk.Perm{}); err != nil {
		return false, err
	}
	lock, err := h.lock(name + ".lock")
	if err != nil {
		return false, err
	}
	done := func() {
		lock.Close()
		if h.mine(lock) {
			h.disk.Remove(lock.Name())
		}
	}
	if now, err := h.Tip(branch); err != nil || now != old {
		done()
		return false, err
	}
	_, err = lock.Write([]byte(tip + "\n"))
	if err = errors.Join(err, lock.Sync()); err != nil {
		done()
		return false, err
	}
	if !h.mine(lock) { // this process was paused for so long that another one removed the lock
		lock.Close()
		return false, nil
	}
	if err := errors.Join(lock.Close(), h.disk.Rename(lock.Name(), name)); err != nil {
		return false, err
	}
	return true, h.disk.Flush(nil, filepath.Dir(name))
}

// mine reports whether the lock file is still the file that this process made.
func (h *Hub) mine(lock disk.File) bool {
	made, ok := lock.(interface{ seen() fs.FileInfo })
	if !ok {
		return false
	}
	info, err := os.Lstat(lock.Name())
	return err == nil && os.SameFile(info, made.seen())
}

type lockFile struct {
	disk.File
	name string
	info fs.FileInfo
}

func (l lockFile) Name() string      { return l.name }
func (l lockFile) seen() fs.FileInfo { return l.info }

// lock makes a lock file. It removes one that is older than LockAge, and waits up to
// Wait for a younger one.
func (h *Hub) lock(name string) (disk.File, error) {
	const pause = 20 * time.Millisecond
	for waited := time.Duration(0); ; waited += pause {
		f, err := h.disk.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
		if err == nil {
			info, err := f.Stat()
			return lockFile{f, name, info}, err
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
		took, err := h.takeAway(name)
		if err != nil {
			return nil, err
		}
		if took {
			continue
		}
		if waited >= h.Wait {
			return nil, fmt.Errorf("somebody else is sending, or broke off within the last %s: %w", h.LockAge, ErrBusy)
		}
		time.Sleep(pause)
	}
}

// takeAway removes a lock older than LockAge, and reports whether the name is free. It
// moves the lock aside first; if that turns out to be a new one, it moves it back.
func (h *Hub) takeAway(name string) (bool, error) {
	info, err := os.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return true, nil
	}
	clock, err2 := h.clock()
	if err = errors.Join(err, err2); err != nil || clock.Sub(info.ModTime()) <= h.LockAge {
		return false, err
	}
	aside := fmt.Sprintf("%s.dead%08x", strings.TrimSuffix(name, ".lock"), rand.Uint32())
	aside = filepath.Join(h.dir, filepath.Base(aside)) // outside the folder of branches
	if err := h.disk.Rename(name, aside); err != nil {
		return errors.Is(err, fs.ErrNotExist), nil
	}
	if got, err := os.Lstat(aside); err == nil && !got.ModTime().Equal(info.ModTime()) {
		return false, h.disk.Rename(aside, name)
	}
	return true, h.disk.Remove(aside)
}
