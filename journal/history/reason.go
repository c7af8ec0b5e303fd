package history

import (
	"errors"
	"io/fs"
	"syscall"

	"github.com/go-git/go-git/v5/plumbing"
)

// Reason turns an error of Commit or Lock into words for the user, without paths and
// with what to do: "the disk is full (make room)".
func Reason(err error) string {
	var wait *Postponed
	switch {
	case errors.As(err, &wait):
		return wait.Reason
	case errors.Is(err, ErrBusy):
		return "another program is using git, or left its lock behind (when none is at work, remove .git/index.lock)"
	case errors.Is(err, ErrLocked):
		return "another ashbook is at work in this journal (the next command tries again)"
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full (make room)"
	case errors.Is(err, syscall.EROFS):
		return "the disk can only be read (the next command on one that can be written tries again)"
	case errors.Is(err, fs.ErrPermission):
		return "a file there, or git's folder, belongs to someone else (ask its owner to let you write)"
	case errors.Is(err, plumbing.ErrObjectNotFound):
		return "an object that git should have is missing (git fsck says which)"
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		return "git's folder cannot be written (" + path.Err.Error() + ")"
	}
	return "git reports: " + err.Error()
}
