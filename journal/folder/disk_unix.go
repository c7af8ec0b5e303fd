//go:build unix

package folder

import (
	"errors"
	"io/fs"
	"strings"

	"golang.org/x/sys/unix"

	"ashbook/journal/history"
)

// year is a folder with the cooks of one year. Its files are read one after the other.
// Files are opened relative to it and read without os.File: with 10,000 cooks most of
// the time goes into system calls.
type year struct {
	path string
	fd   int
}

func openYear(name string) (year, error) {
	fd, err := unix.Open(name, unix.O_RDONLY|unix.O_DIRECTORY|unix.O_CLOEXEC, 0)
	if err != nil {
		return year{}, &fs.PathError{Op: "open", Path: name, Err: err}
	}
	return year{name, fd}, nil
}

func (y year) close() { unix.Close(y.fd) }

// mark returns the mark of a file in the folder; errLink for a link. It fails with
// history.ErrNotRegular.
func (y year) mark(name string) (mark, error) { return markAt(y.fd, name, unix.AT_SYMLINK_NOFOLLOW) }

// markOf returns the mark of a file, following links.
func markOf(name string) (mark, error) { return markAt(unix.AT_FDCWD, name, 0) }

// linkless reports whether all parts of a path below the folder dir are plain files and
// folders, up to the first that is missing.
func linkless(dir, p string) bool {
	for part := range strings.SplitSeq(p, "/") {
		dir += "/" + part
		if _, err := markAt(unix.AT_FDCWD, dir, unix.AT_SYMLINK_NOFOLLOW); err != nil {
			return errors.Is(err, fs.ErrNotExist)
		}
	}
	return true
}

func markAt(fd int, name string, flags int) (mark, error) {
	var st unix.Stat_t
	err := unix.Fstatat(fd, name, &st, flags)
	for err == unix.EINTR {
		err = unix.Fstatat(fd, name, &st, flags)
	}
	if err == nil {
		switch st.Mode & unix.S_IFMT {
		case unix.S_IFREG, unix.S_IFDIR:
		case unix.S_IFLNK:
			err = errLink
		default:
			err = history.ErrNotRegular
		}
	}
	if err != nil {
		return mark{}, &fs.PathError{Op: "stat", Path: name, Err: err}
	}
	return mark{st.Size, unix.TimespecToNsec(st.Mtim), unix.TimespecToNsec(st.Ctim), uint64(st.Ino)}, nil
}

// own returns the folder's mark. It changes when a name is added, deleted or changed.
func (y year) own() mark {
	m, err := y.mark(".")
	if err != nil {
		return unknown
	}
	return m
}

// read reads a file into the buffer, which it enlarges as needed; errLink for a link.
// It does not wait for a pipe and returns nothing for one.
func (y year) read(name string, buf *[]byte) ([]byte, error) {
	const flags = unix.O_RDONLY | unix.O_CLOEXEC | unix.O_NOFOLLOW | unix.O_NONBLOCK
	fd, err := unix.Openat(y.fd, name, flags, 0)
	for err == unix.EINTR {
		fd, err = unix.Openat(y.fd, name, flags, 0)
	}
	if err == unix.ELOOP || err == unix.EMLINK {
		err = errLink
	}
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: err}
	}
	defer unix.Close(fd)
	return readAll(openFile(fd), name, buf)
}

// openFile is a file descriptor.
type openFile int

func (f openFile) Read(b []byte) (int, error) {
	for {
		if n, err := unix.Read(int(f), b); err != unix.EINTR {
			return max(n, 0), err
		}
	}
}
