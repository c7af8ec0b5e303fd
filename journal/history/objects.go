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

// tempObject is the prefix of an object's file while it is written. `git prune` and
// SweepObjects delete such files.
const tempObject = "tmp_obj_ashbook_"

// SweepObjects deletes objects that a crash or a full disk left half written. The
// caller must hold Lock.
func (r *Repo) SweepObjects() error {
	left, err := filepath.Glob(filepath.Join(r.common, "objects", tempObject+"*"))
	for _, name := range left {
		err = errors.Join(err, r.Disk.Remove(name))
	}
	return err
}

// writer adds loose objects to the repository ("Git Internals - Git Objects" in the
// book Pro Git) and remembers which.
//
// Note: go-git's writer was tried and dropped: it leaves temporary files behind when
// the disk is full and when it is killed, does not flush, and ignores
// core.sharedRepository.
type writer struct {
	store   storage.Storer
	disk    disk.FS
	perm    disk.Perm
	objects string          // git's folder of objects
	flush   bool            // flush the objects, so that they survive a power cut
	memory  *memory.Storage // if not nil, takes the objects instead of the folder
	zip     *zlib.Writer
	temps   []tempFile // written, but not yet renamed to their final name
	added   []plumbing.Hash
}

// tempFile is an object's file before it is renamed to its final name.
type tempFile struct {
	disk.File
	hash plumbing.Hash
}

// mostTemps is the largest number of temporary files open at once (chosen: the objects
// of one save fit, and a process may open far more).
const mostTemps = 64

func (r *Repo) writer(st storage.Storer, perm disk.Perm, flush bool) *writer {
	return &writer{store: st, disk: r.Disk, perm: perm, objects: filepath.Join(r.common, "objects"), flush: flush, zip: zlib.NewWriter(nil)}
}

func (w *writer) file(h plumbing.Hash) string {
	s := h.String()
	return filepath.Join(w.objects, s[:2], s[2:])
}

// write writes an object and returns its hash. It writes nothing if the repository
// already has the object as a loose file. A new object is in the repository only after
// put.
//
// Note: searching the packs too was tried and dropped: the object is hardly ever there,
// and go-git reads the whole objects folder for it.
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

// adopt flushes an object that the git program may have written, since git does not
// flush it.
func (w *writer) adopt(hash plumbing.Hash) error {
	if !w.flush {
		return nil
	}
	f, err := w.disk.OpenFile(w.file(hash), os.O_RDONLY, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return nil // the git program found it in a pack
	}
	if err != nil {
		return err
	}
	w.added = append(w.added, hash)
	return errors.Join(syncRead(f), f.Close())
}

// put renames the objects to their final names. It flushes twice: before that the
// contents and the files with, since after a power cut a name must lead to a whole
// file; after it the folders, since the branch must not point to an object that is
// gone.
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

// discard deletes the temporary files that are left.
func (w *writer) discard() {
	for _, t := range w.temps {
		t.Close()
		w.disk.Remove(t.Name())
	}
}
