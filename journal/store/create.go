package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"ashbook/journal/disk"
)

// create makes a new file. It fails with fs.ErrExist if there is one.
func (d *tx) create(path string, data []byte, message string) error {
	return d.makeNew(record{Path: path, Message: message, Lines: diff(nil, data)}, data)
}

func (d *tx) makeNew(n record, data []byte) error {
	path := n.Path
	if err := d.free(path, data); err != nil {
		return err
	}
	target := d.full(path)
	if err := disk.MkdirAll(d.disk, filepath.Dir(target), disk.Perm{Like: d.dir}); err != nil {
		return err
	}
	n.When, n.Is = d.opt.Now(), sum(data)
	temp, err := d.announce(n, data, disk.Perm{Like: filepath.Dir(target)}.Settle)
	if err != nil {
		return err
	}
	defer d.disk.Remove(temp)
	if err := d.disk.Link(temp, target); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s: %w", path, fs.ErrExist)
		}
		if err := d.writeNew(target, data); err != nil {
			return err
		}
	}
	d.known[path], d.last[path] = n.Is, data
	return d.disk.Flush(nil, filepath.Dir(target))
}

// free returns an error if the file exists or the data is too large.
func (d *tx) free(path string, data []byte) error {
	if err := d.opt.Fits(path, int64(len(data))); err != nil {
		return err
	}
	if _, err := os.Lstat(d.full(path)); err == nil {
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	return nil
}

// unmake deletes files that were just made, and their pending records from index first
// on.
func (d *tx) unmake(files []NewFile, first int) error {
	var errs []error
	for _, f := range files {
		delete(d.known, f.Path)
		delete(d.last, f.Path)
		errs = append(errs, d.disk.Remove(d.full(f.Path)))
	}
	d.notes, d.stale = d.notes[:min(first, len(d.notes))], true
	return errors.Join(append(errs, d.rewrite())...)
}

// writeNew makes a file on a file system that has no hard links.
func (d *tx) writeNew(name string, data []byte) error {
	f, err := d.disk.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}
