package disk

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// exchange swaps two files in one step. It fails with errors.ErrUnsupported if the file
// system cannot.
func exchange(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.ENOTSUP) {
		return errors.ErrUnsupported
	}
	if err != nil {
		return &os.LinkError{Op: "exchange", Old: a, New: b, Err: err}
	}
	return nil
}

// BeingWritten reports whether a program has the file open for writing. The kernel
// grants a read lease only if none has.
func BeingWritten(f *os.File) bool {
	_, err := unix.FcntlInt(f.Fd(), unix.F_SETLEASE, unix.F_RDLCK)
	if err == nil {
		unix.FcntlInt(f.Fd(), unix.F_SETLEASE, unix.F_UNLCK)
	}
	return errors.Is(err, unix.EAGAIN)
}
