//go:build unix

package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"ashbook/journal/history"
)

// A save keeps the permissions of a cook's file and, when root saves, its owner. A file
// that root makes in another user's folder belongs to that user.
func TestModeAndOwnerStay(t *testing.T) {
	dir := hall(t)
	name := filepath.Join(dir, supper)
	if err := os.Chmod(name, 0o640); err != nil {
		t.Fatal(err)
	}
	const other = 12345
	root := os.Geteuid() == 0
	if root {
		err := filepath.WalkDir(dir, func(p string, _ os.DirEntry, err error) error {
			return errors.Join(err, os.Lchown(p, other, other))
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	k := open(t, dir, &clock{night})
	enter(t, k, "- ours")
	if err := k.Create("cooks/2027/2027-01-02-feast.md", []byte("x\n"), "feast"); err != nil {
		t.Fatal(err)
	}
	theirs := func() {
		t.Helper()
		err := filepath.WalkDir(dir, func(p string, e os.DirEntry, err error) error {
			if info, err := os.Lstat(p); root && err == nil {
				if sys, ok := info.Sys().(*syscall.Stat_t); ok && (sys.Uid != other || sys.Gid != other) {
					t.Errorf("%s belongs to %d:%d", p, sys.Uid, sys.Gid)
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	theirs()
	flush(t, k)
	theirs()
	info, err := os.Stat(name)
	if err != nil {
		t.Fatal(err)
	}
	if got := info.Mode().Perm(); got != 0o640 {
		t.Errorf("mode %o, want 640", got)
	}
	if !root {
		t.Skip("owners: only root can give files away")
	}
}

// A pipe has replaced a cook whose line is not committed. Nothing blocks, and the error
// says that it is a pipe.
func TestPipeInPlaceOfCook(t *testing.T) {
	name := filepath.Join(t.TempDir(), "cook.md")
	if err := unix.Mkfifo(name, 0o666); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	done := make(chan error, 1)
	go func() {
		_, _, err := readQuiet(name)
		done <- err
	}()
	select {
	case err := <-done:
		if !errors.Is(err, history.ErrNotRegular) {
			t.Errorf("a pipe is read with %v", err)
		}
	case <-ctx.Done():
		t.Fatal("still waiting")
	}
}
