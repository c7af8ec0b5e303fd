package history

import (
	"errors"
	"io"
	"os"
)

// ErrNotRegular means that a path is a pipe, a device or a socket. Reading one could
// block forever or never end.
var ErrNotRegular = errors.New("a pipe or a device, not a regular file")

// OpenRegular opens a regular file or a folder for reading. It follows links, never
// blocks, and fails with ErrNotRegular for anything else.
func OpenRegular(name string) (*os.File, error) {
	if err := regular(name)(os.Stat(name)); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(name, os.O_RDONLY|nonBlocking, 0)
	if err != nil {
		return nil, err
	}
	if err := regular(name)(f.Stat()); err != nil { // it may have been replaced since it was checked
		f.Close()
		return nil, err
	}
	return f, nil
}

func regular(name string) func(os.FileInfo, error) error {
	return func(info os.FileInfo, err error) error {
		if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
			err = &os.PathError{Op: "open", Path: name, Err: ErrNotRegular}
		}
		return err
	}
}

// readRegular returns the content of a regular file.
func readRegular(name string) ([]byte, error) {
	f, err := OpenRegular(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}
