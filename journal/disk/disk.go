// Package disk has every operation with which packages store and history change files.
// Both write through an FS, so that a test can record the operations and compute what a
// power cut after any of them leaves.
//
// Reading changes nothing and does not go through an FS.
package disk

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
)

// FS writes files. Names are absolute. Errors are those of package os.
type FS interface {
	// OpenFile is os.OpenFile for writing.
	OpenFile(name string, flag int, perm fs.FileMode) (File, error)
	Mkdir(name string, perm fs.FileMode) error
	Link(old, name string) error
	Rename(old, name string) error
	// Exchange swaps two files in one step. It fails with errors.ErrUnsupported if the
	// file system cannot.
	Exchange(a, b string) error
	Remove(name string) error
	// Flush returns once the content of the files, and the names made, moved and
	// deleted in the folders, survive a power cut. Until then some may survive and
	// others not, so anything that must come later has to wait for Flush.
	Flush(files []File, folders ...string) error
}

// File is an open file of an FS.
type File interface {
	io.Writer
	io.ReaderAt
	io.Closer
	Name() string
	Stat() (fs.FileInfo, error)
	Chmod(mode fs.FileMode) error
	Chown(uid, gid int) error
	Truncate(size int64) error
	// Sync flushes only this file.
	Sync() error
}

// OS is the disk itself.
var OS FS = system{}

type system struct{}

func (system) OpenFile(name string, flag int, perm fs.FileMode) (File, error) {
	f, err := os.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err // not f, since a nil *os.File in a File is not nil
	}
	return f, nil
}

func (system) Mkdir(name string, perm fs.FileMode) error { return os.Mkdir(name, perm) }
func (system) Link(old, name string) error               { return os.Link(old, name) }
func (system) Rename(old, name string) error             { return os.Rename(old, name) }
func (system) Exchange(a, b string) error                { return exchange(a, b) }
func (system) Remove(name string) error                  { return os.Remove(name) }

// Flush flushes all files in parallel: parallel flushes share one commit of the file
// system's journal, and sequential ones wait for one each.
func (system) Flush(files []File, folders ...string) error {
	errs := make([]error, len(files)+len(folders))
	var wait sync.WaitGroup
	for i, f := range files {
		wait.Go(func() { errs[i] = f.Sync() })
	}
	for i, name := range folders {
		wait.Go(func() { errs[len(files)+i] = syncFolder(name) })
	}
	wait.Wait()
	return errors.Join(errs...)
}

// Unflushed returns an FS that does not wait for the disk. It is for files that can be
// made again.
func Unflushed(to FS) FS { return unflushed{to} }

type unflushed struct{ FS }

func (u unflushed) OpenFile(name string, flag int, perm fs.FileMode) (File, error) {
	f, err := u.FS.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err
	}
	return unflushedFile{f}, nil
}

func (unflushed) Flush([]File, ...string) error { return nil }

type unflushedFile struct{ File }

func (unflushedFile) Sync() error { return nil }

// Perm is the owner and mode for new files and folders.
type Perm struct {
	Like string // folder whose owner gets the file if root makes it; "" for none
	// Adjust returns the mode for a file or folder made with mode; nil for no change.
	Adjust func(mode fs.FileMode) fs.FileMode
}

// Settle sets the owner and mode of a new file.
func (p Perm) Settle(f File) error {
	if p.Like != "" {
		if err := likeOwner(f, p.Like); err != nil {
			return err
		}
	}
	if p.Adjust == nil {
		return nil
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if mode := p.Adjust(info.Mode()); mode != info.Mode() {
		return f.Chmod(mode)
	}
	return nil
}

// Alike gives a new file the owner and mode of the file that it replaces. If it may not
// set the owner, that is no error, since then a group shares the folder.
func Alike(f File, was fs.FileInfo) error {
	giveTo(f, was)
	return f.Chmod(was.Mode().Perm())
}

// settleFolder does the same for a new folder.
func (p Perm) settleFolder(name string) error {
	d, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(p.Settle(d), d.Close())
}

// MkdirAll makes a folder and the missing ones above it, and flushes their names.
func MkdirAll(to FS, name string, p Perm) error {
	if info, err := os.Stat(name); err == nil {
		if !info.IsDir() {
			return &fs.PathError{Op: "mkdir", Path: name, Err: fs.ErrExist}
		}
		return nil
	}
	above := filepath.Dir(name)
	if above == name {
		return &fs.PathError{Op: "mkdir", Path: name, Err: fs.ErrNotExist}
	}
	if err := MkdirAll(to, above, p); err != nil {
		return err
	}
	if err := to.Mkdir(name, 0o777); err != nil {
		if errors.Is(err, fs.ErrExist) { // another program made it meanwhile
			return nil
		}
		return err
	}
	return errors.Join(p.settleFolder(name), to.Flush(nil, above))
}

// NewTemp writes data to a new file in a folder, with a name that begins with prefix.
// The file is open and not flushed. settle, which may be nil, sets its owner and mode.
// If NewTemp fails, it leaves no file.
func NewTemp(to FS, folder, prefix string, data []byte, settle func(File) error) (File, error) {
	name := filepath.Join(folder, fmt.Sprintf("%s%016x", prefix, rand.Uint64()))
	f, err := to.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return nil, err
	}
	if _, err = f.Write(data); err == nil && settle != nil {
		err = settle(f)
	}
	if err == nil {
		var info fs.FileInfo
		if info, err = f.Stat(); err == nil && info.Size() != int64(len(data)) {
			err = fmt.Errorf("%s: %d bytes on the disk, %d written", name, info.Size(), len(data))
		}
	}
	if err != nil {
		return nil, errors.Join(err, f.Close(), to.Remove(name))
	}
	return f, nil
}
