package journaltest

import (
	"os"

	"golang.org/x/sys/unix"
)

// shared is a folder in memory on most Linux systems.
const shared = "/dev/shm"

// InMemory puts t.TempDir and all other temporary folders in memory, if there is room
// and programs may run from there. Tests that make and flush hundreds of files then
// take half the processor time. Packages whose own work is saving call it only where Whole
// is false.
func InMemory() {
	if os.Getenv("TMPDIR") != "" {
		return
	}
	const room = 1 << 30
	var fs unix.Statfs_t
	if unix.Statfs(shared, &fs) != nil || fs.Type != unix.TMPFS_MAGIC || fs.Flags&unix.MS_NOEXEC != 0 || fs.Bavail*uint64(fs.Bsize) < room {
		return
	}
	if unix.Access(shared, unix.W_OK|unix.X_OK) == nil {
		os.Setenv("TMPDIR", shared)
	}
}
