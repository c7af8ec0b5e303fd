package journaltest

import (
	"os"

	"golang.org/x/sys/unix"
)

// shared is a folder that lies in memory on most Linux systems.
const shared = "/dev/shm"

// InMemory has t.TempDir, and all else that asks for a folder of temporary files, lie
// in memory, where there is room for it and programs may run from there. Tests that
// make files by the hundred and flush each take half the processor time then. With
// ASHBOOK_WHOLE set they lie on the disk, as they do for CI.
func InMemory() {
	if Whole() || os.Getenv("TMPDIR") != "" {
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
