package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Within returns the FS below a folder that other people can write to. It does not
// follow links that lead out of the folder. New files get the disk's default mode and
// owner; a disk that has none is no error.
func Within(dir string) (FS, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return within{system{}, root, dir}, nil
}

type within struct {
	system
	root *os.Root
	dir  string
}

type plainFile struct{ *os.File }

func (plainFile) Chmod(fs.FileMode) error { return nil }
func (plainFile) Chown(int, int) error    { return nil }

func (w within) rel(name string) (string, error) { return filepath.Rel(w.dir, name) }

func (w within) OpenFile(name string, flag int, perm fs.FileMode) (File, error) {
	name, err := w.rel(name)
	if err != nil {
		return nil, err
	}
	f, err := w.root.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err
	}
	return plainFile{f}, nil
}

func (w within) Mkdir(name string, perm fs.FileMode) error {
	name, err := w.rel(name)
	if err != nil {
		return err
	}
	return w.root.Mkdir(name, perm)
}

func (w within) Link(string, string) error     { return errors.ErrUnsupported }
func (w within) Exchange(string, string) error { return errors.ErrUnsupported }

func (w within) Rename(old, name string) error {
	a, err := w.rel(old)
	if err != nil {
		return err
	}
	b, err := w.rel(name)
	if err != nil {
		return err
	}
	return w.root.Rename(a, b)
}

func (w within) Remove(name string) error {
	name, err := w.rel(name)
	if err != nil {
		return err
	}
	return w.root.Remove(name)
}
