package history

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ashbook/journal/disk"
)

// Lock keeps other ashbook processes out of this working copy until release is called.
// It tries for about wait, then fails with ErrLocked. The lock ends with the process,
// however it ends. Commit and Init must be called with it.
func (r *Repo) Lock(wait time.Duration) (release func(), err error) {
	return r.lockFile("lock", wait)
}

func (r *Repo) lockFile(name string, wait time.Duration) (release func(), err error) {
	name = filepath.Join(r.state, name)
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrNotExist) {
		perm := r.Perm()
		if err := disk.MkdirAll(r.Disk, r.state, perm); err != nil {
			return nil, err
		}
		if f, err = os.OpenFile(name, os.O_CREATE|os.O_RDWR, 0o666); err == nil {
			err = perm.Settle(f)
		}
	}
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

// held is one of git's lock files. Once taken, its content replaces the file it locks
// by a rename, or nothing changes.
type held struct {
	disk.File
	fs                disk.FS
	target, lock, own string
	perm              disk.Perm
	data              []byte
	taken             bool
}

// stage prepares the replacement of target without locking it. It makes a file in our
// own folder, to which the lock file will be a hard link. So a lock that a crash of
// ours left can be told from one of another program, and only ours is removed. On a
// file system without hard links the user must remove such a lock, as with git itself.
// It fails with ErrBusy if another program holds the lock.
func (r *Repo) stage(target string, perm disk.Perm) (*held, error) {
	h := &held{fs: r.Disk, perm: perm, target: target, lock: target + ".lock"}
	h.own = filepath.Join(r.state, "held-"+filepath.Base(target))
	if sameFile(h.own, h.lock) {
		if err := r.Disk.Remove(h.lock); err != nil {
			return nil, err
		}
	}
	if err := r.Disk.Remove(h.own); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if _, err := os.Lstat(h.lock); err == nil {
		return nil, h.busy(fs.ErrExist) // fails before it creates a file
	}
	f, err := r.Disk.OpenFile(h.own, os.O_CREATE|os.O_EXCL|os.O_RDWR|os.O_APPEND, 0o666)
	h.File = f
	return h, err
}

// set writes the new content without flushing it.
func (h *held) set(data []byte) error {
	h.data = data
	if err := h.Truncate(0); err != nil {
		return err
	}
	if _, err := h.Write(data); err != nil {
		return err
	}
	return h.perm.Settle(h.File)
}

// take takes the lock without waiting. It fails with ErrBusy if another program holds
// it.
func (h *held) take() error {
	if err := h.fs.Link(h.own, h.lock); err == nil || errors.Is(err, fs.ErrExist) {
		h.taken = err == nil
		return h.busy(err)
	}
	// This is for a file system without hard links.
	f, err := h.fs.OpenFile(h.lock, os.O_CREATE|os.O_EXCL|os.O_RDWR|os.O_APPEND, 0o666)
	if err != nil {
		return h.busy(err)
	}
	h.File.Close()
	h.fs.Remove(h.own)
	h.File, h.own, h.taken = f, "", true
	return errors.Join(h.set(h.data), h.Sync())
}

func (h *held) busy(err error) error {
	if errors.Is(err, fs.ErrExist) {
		return &fs.PathError{Op: "lock", Path: h.lock, Err: ErrBusy}
	}
	return err
}

// put replaces the locked file by the content given to set, which also releases the
// lock.
func (h *held) put() error {
	if err := h.fs.Rename(h.lock, h.target); err != nil {
		return err
	}
	h.taken = false
	return h.fs.Flush(nil, filepath.Dir(h.target))
}

// release releases the lock if it is held, and removes our own file.
func (h *held) release() {
	h.Close()
	if h.taken && (h.own == "" || sameFile(h.own, h.lock)) {
		h.fs.Remove(h.lock)
	}
	if h.own != "" {
		h.fs.Remove(h.own)
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

// runnable reports whether git would run a hook with these permissions.
func runnable(info fs.FileInfo) bool {
	return info.Mode().IsRegular() && (info.Mode().Perm()&0o111 != 0 || strings.Contains(os.DevNull, "NUL"))
}
