//go:build linux || darwin

package disk

import (
	"os"
	"syscall"
)

// likeOwner gives a file the owner and group of a folder where root works in the
// folder of somebody else. Nobody but root can, and nobody else needs to.
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
