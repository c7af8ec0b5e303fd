//go:build !unix

package folder

import (
	"io/fs"
	"os"
	"path/filepath"
)

// year is a folder with the cooks of one year. Its files are read one after the other.
type year struct{ path string }

func openYear(name string) (year, error) { return year{name}, nil }

func (y year) close() {}

// mark returns the mark of a file in the folder; errLink for a link. It has no inode,
// which would need opening the file; size and time must do.
func (y year) mark(name string) (mark, error) {
	info, err := os.Lstat(filepath.Join(y.path, name))
	if err != nil {
		return mark{}, err
	}
	if !info.Mode().IsRegular() {
		return mark{}, &fs.PathError{Op: "stat", Path: name, Err: errLink}
	}
	return mark{size: info.Size(), mtime: info.ModTime().UnixNano()}, nil
}

// markOf returns the mark of a file, following links.
func markOf(name string) (mark, error) {
	info, err := os.Stat(name)
	if err != nil {
		return mark{}, err
	}
	return mark{size: info.Size(), mtime: info.ModTime().UnixNano()}, nil
}

// linkless returns false: only following a path gives the names that the disk has for
// its parts, which may be shorter or differ in case.
func linkless(dir, p string) bool { return false }

// own always returns unknown, since not every file system here changes a folder's mark
// when names in it change.
func (y year) own() mark { return unknown }

// read reads a file into the buffer, which it enlarges as needed; errLink for a link.
func (y year) read(name string, buf *[]byte) ([]byte, error) {
	if _, err := y.mark(name); err != nil {
		return nil, err
	}
	f, err := os.Open(filepath.Join(y.path, name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readAll(f, name, buf)
}
