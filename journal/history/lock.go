package history

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Lock keeps other ashbooks out of this working copy until release is called. It
// tries for about wait and then fails with ErrLocked. The lock ends with the
// process that holds it, however that ends. Commit and Init want it held.
func (r *Repo) Lock(wait time.Duration) (release func(), err error) {
	if err := os.MkdirAll(r.state, 0o777); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(filepath.Join(r.state, "lock"), os.O_CREATE|os.O_RDWR, 0o666)
	if err != nil {
		return nil, err
	}
	const pause = 2 * time.Millisecond
	for waited := time.Duration(0); ; waited += pause {
		err := tryLock(f)
		if err == nil {
			return func() { f.Close() }, nil
		}
		if !errors.Is(err, ErrLocked) || waited >= wait {
			f.Close()
			return nil, err
		}
		time.Sleep(pause)
	}
}

// held is one of git's lock files in our hands: what is written to it takes the
// place of the file it locks, or nothing happens.
type held struct {
	*os.File
	target, lock, own string
}

// acquire takes git's lock on target. The lock file is a second name of a file in
// our own folder, so that a lock left by a crash of ours can be told from one that
// another program holds: only the former is removed. Where the file system has no
// second names, a lock left by a crash must be removed by hand, as with git itself.
func (r *Repo) acquire(target string) (*held, error) {
	h := &held{target: target, lock: target + ".lock"}
	h.own = filepath.Join(r.state, "held-"+filepath.Base(target))
	if sameFile(h.own, h.lock) {
		if err := os.Remove(h.lock); err != nil {
			return nil, err
		}
	}
	if err := os.Remove(h.own); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	f, err := os.OpenFile(h.own, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o666)
	if err != nil {
		return nil, err
	}
	h.File = f
	pause := time.Millisecond
	for try := 0; ; try++ {
		err := os.Link(h.own, h.lock)
		if err == nil {
			return h, nil
		}
		if !errors.Is(err, fs.ErrExist) {
			return h.exclusive()
		}
		if try >= r.tries {
			h.release()
			return nil, &fs.PathError{Op: "lock", Path: h.lock, Err: ErrBusy}
		}
		time.Sleep(pause)
		pause = min(2*pause, 100*time.Millisecond)
	}
}

// exclusive is the way without second names.
func (h *held) exclusive() (*held, error) {
	h.File.Close()
	os.Remove(h.own)
	f, err := os.OpenFile(h.lock, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o666)
	if errors.Is(err, fs.ErrExist) {
		err = &fs.PathError{Op: "lock", Path: h.lock, Err: ErrBusy}
	}
	if err != nil {
		return nil, err
	}
	h.File, h.own = f, ""
	return h, nil
}

// put makes data the locked file's new content.
func (h *held) put() error {
	if err := h.Sync(); err != nil {
		return err
	}
	if err := h.Close(); err != nil {
		return err
	}
	if err := os.Rename(h.lock, h.target); err != nil {
		return err
	}
	h.lock = ""
	return nil
}

// release gives the lock back. After put it only clears our own name away.
func (h *held) release() {
	h.Close()
	if h.lock != "" && (h.own == "" || sameFile(h.own, h.lock)) {
		os.Remove(h.lock)
	}
	if h.own != "" {
		os.Remove(h.own)
	}
}

func sameFile(a, b string) bool {
	x, err := os.Lstat(a)
	if err != nil {
		return false
	}
	y, err := os.Lstat(b)
	return err == nil && os.SameFile(x, y)
}

// runnable tells whether git would run a hook with this file's permissions.
func runnable(info fs.FileInfo) bool {
	return info.Mode().IsRegular() && (info.Mode().Perm()&0o111 != 0 || strings.Contains(os.DevNull, "NUL"))
}
