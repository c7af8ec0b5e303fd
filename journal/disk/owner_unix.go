//go:build linux || darwin

package disk

import (
	"io/fs"
	"os"
	"syscall"
)

// likeOwner gives a file the owner and group of a folder when root writes into another
// user's folder. For any other user it does nothing.
func likeOwner(f File, folder string) error {
	if os.Geteuid() != 0 {
		return nil
	}
	info, err := os.Stat(folder)
	if err != nil {
		return err
	}
	sys, ok := info.Sys().(*syscall.Stat_t)
	if !ok || sys.Uid == 0 {
		return nil
	}
	return f.Chown(int(sys.Uid), int(sys.Gid))
}

// giveTo gives a file the owner and group of another file. It ignores failure.
func giveTo(f File, other fs.FileInfo) {
	if sys, ok := other.Sys().(*syscall.Stat_t); ok {
		if f.Chown(int(sys.Uid), int(sys.Gid)) != nil {
			f.Chown(-1, int(sys.Gid))
		}
	}
}
