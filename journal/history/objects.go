package history

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/go-git/go-git/v5/storage"
	"github.com/go-git/go-git/v5/storage/memory"

	"ashbook/journal/disk"
)

// tempObject begins the name of an object that is being written. git prune takes away
// what has such a name, as SweepObjects does.
const tempObject = "tmp_obj_ashbook_"

// SweepObjects removes the objects that a crash or a full disk left half written. The
// caller holds Lock.
func (r *Repo) SweepObjects() error {
	left, err := filepath.Glob(filepath.Join(r.common, "objects", tempObject+"*"))
	for _, name := range left {
		err = errors.Join(err, r.Disk.Remove(name))
	}
	return err
}

// writer adds loose objects to the repository ("Object Storage" in the chapter "Git
// Internals" of the book Pro Git) and remembers which.
//
// Note: go-git's writer was tried and lost: it leaves its temporary files behind on a
// full disk and when it is killed, does not flush, and knows no core.sharedRepository.
type writer struct {
	store   storage.Storer
	disk    disk.FS
	perm    disk.Perm
	objects string          // the folder
	flush   bool            // objects outlast a power cut
	memory  *memory.Storage // takes the objects instead of the folder; nil
	zip     *zlib.Writer
	temps   []tempFile // without their own name yet
	added   []plumbing.Hash
}

// tempFile is an object that is written, but not under its own name yet.
type tempFile struct {
	disk.File
	hash plumbing.Hash
}

// mostTemps is how many temporary files may be open at once. Chosen: a save's objects
// fit, and a process may have far more.
const mostTemps = 64

func (r *Repo) writer(st storage.Storer, perm disk.Perm, flush bool) *writer {
	return &writer{store: st, disk: r.Disk, perm: perm, objects: filepath.Join(r.common, "objects"), flush: flush, zip: zlib.NewWriter(nil)}
}

func (w *writer) file(h plumbing.Hash) string {
	s := h.String()
	return filepath.Join(w.objects, s[:2], s[2:])
}

// write writes an object, unless the repository has it as a file, and returns its hash.
// The repository has it after put.
//
// Note: looking for it in packs too was tried and lost: it is hardly ever there, and
// go-git reads the whole folder of objects for that.
func (w *writer) write(kind plumbing.ObjectType, data []byte) (plumbing.Hash, error) {
	hash := plumbing.ComputeHash(kind, data)
	if w.memory != nil {
		obj := &plumbing.MemoryObject{}
		obj.SetType(kind)
		if _, err := obj.Write(data); err != nil {
			return hash, err
		}
		return w.memory.SetEncodedObject(obj)
	}
	if slices.ContainsFunc(w.temps, func(t tempFile) bool { return t.hash == hash }) {
		return hash, nil
	}
	if _, err := os.Lstat(w.file(hash)); err == nil {
		return hash, w.adopt(hash)
	}
	if len(w.temps) == mostTemps {
		if err := w.put(); err != nil {
			return hash, err
		}
	}
	var buf bytes.Buffer
	w.zip.Reset(&buf)
	fmt.Fprintf(w.zip, "%s %d\x00", kind, len(data))
	if _, err := w.zip.Write(data); err != nil {
		return hash, err
	}
	if err := w.zip.Close(); err != nil {
		return hash, err
	}
	f, err := disk.NewTemp(w.disk, w.objects, tempObject, buf.Bytes(), func(f disk.File) error {
		if err := f.Chmod(0o444); err != nil {
			return err
		}
		return w.perm.Settle(f)
	})
	if err == nil {
		w.temps = append(w.temps, tempFile{f, hash})
	}
	return hash, err
}

func (w *writer) commit(c *object.Commit) (plumbing.Hash, error) {
	obj := &plumbing.MemoryObject{}
	if err := c.Encode(obj); err != nil {
		return plumbing.ZeroHash, err
	}
	in, err := obj.Reader()
	if err != nil {
		return plumbing.ZeroHash, err
	}
	data, err := io.ReadAll(in)
	if err = errors.Join(err, in.Close()); err != nil {
		return plumbing.ZeroHash, err
	}
	return w.write(plumbing.CommitObject, data)
}

// adopt flushes an object that the git program may have written, which does not.
func (w *writer) adopt(hash plumbing.Hash) error {
	if !w.flush {
		return nil
	}
	f, err := w.disk.OpenFile(w.file(hash), os.O_RDONLY, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return nil // the git program found it packed
	}
	if err != nil {
		return err
	}
	w.added = append(w.added, hash)
	return errors.Join(syncRead(f), f.Close())
}

// put gives the objects their names. It flushes twice: what they and the files of
// with hold, for a name that outlasts a power cut must lead to the whole; then the
// names, for the branch must not lead to an object that is gone.
func (w *writer) put(with ...disk.File) error {
	if w.flush {
		for _, t := range w.temps {
			with = append(with, t)
		}
	}
	if err := w.disk.Flush(with); err != nil {
		return err
	}
	for len(w.temps) > 0 {
		t := w.temps[0]
		name := w.file(t.hash)
		err := errors.Join(t.Close(), disk.MkdirAll(disk.Unflushed(w.disk), filepath.Dir(name), w.perm))
		if err == nil {
			err = w.disk.Rename(t.Name(), name)
		}
		if err != nil {
			return err
		}
		w.temps, w.added = w.temps[1:], append(w.added, t.hash)
	}
	if !w.flush || len(w.added) == 0 {
		return nil
	}
	folders := []string{w.objects}
	for _, h := range w.added {
		if dir := filepath.Dir(w.file(h)); !slices.Contains(folders, dir) {
			folders = append(folders, dir)
		}
	}
	return w.disk.Flush(nil, folders...)
}

// discard removes objects that were not put.
func (w *writer) discard() {
	for _, t := range w.temps {
		t.Close()
		w.disk.Remove(t.Name())
	}
}
