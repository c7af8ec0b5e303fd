//go:build !linux && !darwin

package store

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// syncFolder does nothing on Windows, which keeps names without being asked.
func syncFolder(name string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// sameDisk tells whether a file can be renamed from one folder to the other, as far
// as their names do.
func sameDisk(a, b string) bool {
	return runtime.GOOS == "windows" && strings.EqualFold(filepath.VolumeName(a), filepath.VolumeName(b))
}

// exchange is not to be had here.
func exchange(_, _ string) error { return errors.ErrUnsupported }

// beingWritten cannot be told here.
func beingWritten(*os.File) bool { return false }
