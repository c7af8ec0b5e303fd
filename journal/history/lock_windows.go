package history

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"

	"ashbook/journal/disk"
)

// nonBlocking is 0: opening a file in a folder never waits on Windows.
const nonBlocking = 0

func tryLock(f *os.File) error {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, new(windows.Overlapped))
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return ErrLocked
	}
	return err
}

// syncRead does nothing: Windows flushes only files open for writing, and git's objects
// are read-only.
func syncRead(disk.File) error { return nil }

// writable always returns nil. Writing shows whether the folder is writable.
func writable(string) error { return nil }
