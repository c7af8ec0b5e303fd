package history

import (
	"bufio"
	"compress/zlib"
	"crypto/sha1"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/go-git/go-billy/v5/osfs"
	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/cache"
	"github.com/go-git/go-git/v5/plumbing/format/packfile"
	"github.com/go-git/go-git/v5/storage/filesystem"

	"ashbook/journal/disk"
)

const (
	// fewObjects is the largest number of received objects stored as loose files (git's
	// default transfer.unpackLimit).
	fewObjects = 100

	// mostBytes is the largest object accepted, in bytes (chosen: twice the longest
	// probe series).
	mostBytes = 64 << 20

	// mostPack is the largest amount accepted in one fetch, in bytes (chosen: lifetimes
	// of cooks).
	mostPack = 2 << 30
)

// WritePack writes a pack of the objects, none as a difference (gitformat-pack(5)).
//
// Note: go-git's encoder was tried and dropped: it holds all objects in memory.
func (o *Objects) WritePack(to io.Writer, objects []plumbing.Hash) error {
	sum := sha1.New()
	out := bufio.NewWriterSize(io.MultiWriter(to, sum), 1<<16)
	head := binary.BigEndian.AppendUint32([]byte("PACK\x00\x00\x00\x02"), uint32(len(objects)))
	if _, err := out.Write(head); err != nil {
		return err
	}
	zip := zlib.NewWriter(nil)
	for _, h := range objects {
		obj, err := o.st.EncodedObject(plumbing.AnyObject, h)
		if err != nil {
			return fmt.Errorf("git object %s: %w", h, err)
		}
		size := uint64(obj.Size())
		b := byte(obj.Type())<<4 | byte(size&0x0f)
		for size >>= 4; size > 0; size >>= 7 {
			out.WriteByte(b | 0x80)
			b = byte(size & 0x7f)
		}
		out.WriteByte(b)
		in, err := obj.Reader()
		if err != nil {
			return err
		}
		zip.Reset(out)
		_, err = io.Copy(zip, in)
		if err = errors.Join(err, in.Close(), zip.Close()); err != nil {
			return err
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	_, err := to.Write(sum.Sum(nil))
	return err
}

// quarantine is a folder in which objects wait until all are complete, with the layout
// of git's objects folder. A crash leaves only that folder behind.
type quarantine struct {
	disk    disk.FS
	perm    disk.Perm
	objects string // the folder
}

// add copies objects from a repository: a few as loose files, many as one pack.
func (q quarantine) add(from *Objects, objects []plumbing.Hash) error {
	if len(objects) > fewObjects {
		return q.pack(func(to io.Writer) error { return from.WritePack(to, objects) })
	}
	if err := disk.MkdirAll(disk.Unflushed(q.disk), q.objects, q.perm); err != nil {
		return err
	}
	w := &writer{store: from.st, disk: q.disk, perm: q.perm, objects: q.objects, zip: zlib.NewWriter(nil)}
	defer w.discard()
	for _, h := range objects {
		obj, err := from.st.EncodedObject(plumbing.AnyObject, h)
		if err != nil {
			return fmt.Errorf("git object %s: %w", h, err)
		}
		data, err := readObject(from.st, obj.Type(), h)
		if err != nil {
			return err
		}
		if got, err := w.write(obj.Type(), data); err != nil {
			return err
		} else if got != h {
			return fmt.Errorf("git object %s: its file has another object, %s", h, got)
		}
	}
	return w.put()
}

// pack stores a pack and writes its index.
func (q quarantine) pack(write func(io.Writer) error) error {
	if err := disk.MkdirAll(disk.Unflushed(q.disk), filepath.Join(q.objects, "pack"), q.perm); err != nil {
		return err
	}
	w, err := q.storage().PackfileWriter()
	if err != nil {
		return err
	}
	err = write(w)
	if err2 := w.Close(); err == nil && !errors.Is(err2, packfile.ErrEmptyPackfile) {
		err = err2
	}
	return err
}

// storage returns the quarantine as a repository's storage.
func (q quarantine) storage() *filesystem.Storage {
	return filesystem.NewStorage(osfs.New(filepath.Dir(q.objects)), cache.NewObjectLRUDefault())
}

// admit moves everything into another objects folder. It flushes the contents, then
// renames the files, each pack before its index, then flushes the folders.
func (q quarantine) admit(to disk.FS, objects string, flush bool) error {
	var files, ends []string
	folders := map[string]bool{}
	err := filepath.WalkDir(q.objects, func(name string, d os.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		rel, err := filepath.Rel(q.objects, name)
		if err != nil {
			return err
		}
		dir := filepath.Dir(rel)
		switch {
		case dir == "info" || dir == ".":
			return nil
		case dir == "pack" && filepath.Ext(rel) == ".idx":
			ends = append(ends, rel)
		case dir == "pack" && filepath.Ext(rel) != ".pack" && filepath.Ext(rel) != ".rev":
			return nil
		default:
			files = append(files, rel)
		}
		folders[filepath.Join(objects, dir)] = true
		return nil
	})
	if err != nil {
		return err
	}
	files = append(files, ends...)
	if flush {
		err := inBatches(files, func(batch []string) error {
			var open []disk.File
			for _, rel := range batch {
				f, err := q.disk.OpenFile(filepath.Join(q.objects, rel), os.O_RDONLY, 0)
				if err != nil {
					return err
				}
				defer f.Close()
				open = append(open, f)
			}
			return q.disk.Flush(open)
		})
		if err != nil {
			return err
		}
	}
	flushed := []string{objects}
	for dir := range folders {
		if err := disk.MkdirAll(disk.Unflushed(to), dir, q.perm); err != nil {
			return err
		}
		flushed = append(flushed, dir)
	}
	for _, rel := range files {
		name := filepath.Join(objects, rel)
		if _, err := os.Lstat(name); err == nil {
			continue
		}
		if err := to.Rename(filepath.Join(q.objects, rel), name); err != nil {
			return err
		}
	}
	if !flush || len(files) == 0 {
		return nil
	}
	return to.Flush(nil, flushed...)
}

// inBatches calls do with at most mostTemps names at a time, since that many files may
// be open at once.
func inBatches[T any](names []T, do func([]T) error) error {
	for batch := range slices.Chunk(names, mostTemps) {
		if err := do(batch); err != nil {
			return err
		}
	}
	return nil
}
