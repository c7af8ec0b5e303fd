//go:build linux || darwin

package disk

import (
	"errors"
	"os"
	"syscall"
)

// syncFolder flushes a folder, so that a name made or changed in it survives a power cut.
func syncFolder(name string) error {
	d, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// SameDisk reports whether a file can be renamed from one folder to the other.
func SameDisk(a, b string) bool { return device(a) == device(b) }

func device(name string) uint64 {
	info, err := os.Stat(name)
	if err != nil {
		return 0
	}
	if sys, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(sys.Dev)
	}
	return 0
}
