package machine

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// NotOurs is an error: a file of that name is there that ashbook did not write.
type NotOurs string

func (n NotOurs) Error() string { return string(n) + ": ashbook did not write that file" }

// WriteOwn writes a file beside its place and puts it there in one step. A file in whose
// first bytes the mark is not found is somebody else's, and is left alone unless force is
// set. It fails with NotOurs.
func WriteOwn(name string, data []byte, mark string, force bool) error {
	old, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !force && !bytes.Contains(old[:min(len(old), 200)], []byte(mark)):
		return NotOurs(name)
	}
	temp, err := os.CreateTemp(filepath.Dir(name), ".ashbook-page-*")
	if err != nil {
		return err
	}
	_, err = temp.Write(data)
	err = errors.Join(err, temp.Chmod(0o644), temp.Close())
	if err == nil {
		err = os.Rename(temp.Name(), name)
	}
	if err != nil {
		os.Remove(temp.Name())
	}
	return err
}

// ownList names the file in which a folder of pages keeps what was written into it: only
// that is ever replaced or taken away.
const ownList = ".ashbook-pages"

// OwnFiles is a folder of files that are written anew together.
type OwnFiles struct {
	Wrote []string // names, in the order of writing

	dir, mark string
	old       []string
}

// OpenOwn makes the folder where it is not there yet, and reads what an earlier run
// wrote into it.
func OpenOwn(dir, mark string) (*OwnFiles, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	old, err := os.ReadFile(filepath.Join(dir, ownList))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	return &OwnFiles{dir: dir, mark: mark, old: strings.Split(strings.TrimSpace(string(old)), "\n")}, nil
}

// Write writes a file. One that an earlier run did not write is left alone: NotOurs.
func (o *OwnFiles) Write(name string, data []byte) error {
	o.Wrote = append(o.Wrote, name)
	return WriteOwn(filepath.Join(o.dir, name), data, o.mark, false)
}

// Close takes away the files of earlier runs that are no more, and keeps the list.
func (o *OwnFiles) Close() error {
	for _, name := range o.old {
		if name == "" || name != filepath.Base(name) || !strings.HasSuffix(name, ".html") || slices.Contains(o.Wrote, name) {
			continue
		}
		if err := os.Remove(filepath.Join(o.dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return os.WriteFile(filepath.Join(o.dir, ownList), []byte(strings.Join(o.Wrote, "\n")+"\n"), 0o644)
}
