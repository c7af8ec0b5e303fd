//go:build unix

package history

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"

	"ashbook/journal/disk"
)

// nonBlocking opens a pipe without waiting for its other end.
const nonBlocking = unix.O_NONBLOCK

func tryLock(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) || errors.Is(err, unix.EINTR) {
		return ErrLocked
	}
	return err
}

// writable returns an error if the folder cannot be written to.
func writable(dir string) error { return unix.Access(dir, unix.W_OK) }

// syncRead flushes a file that is open only for reading.
func syncRead(f disk.File) error { return f.Sync() }
