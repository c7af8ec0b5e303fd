//go:build !linux && !darwin

package disk

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// syncFolder does nothing on Windows, which flushes names itself.
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

// SameDisk reports whether two folders are on the same volume by their paths, so that a
// file can be renamed from one to the other.
func SameDisk(a, b string) bool {
	return runtime.GOOS == "windows" && strings.EqualFold(filepath.VolumeName(a), filepath.VolumeName(b))
}

// exchange always fails, since this system cannot exchange two files in one step.
func exchange(_, _ string) error { return errors.ErrUnsupported }

// BeingWritten always returns false, since this system does not say which files are
// open for writing.
func BeingWritten(*os.File) bool { return false }
