// Package carrier transfers commits to and from a remote in three ways: with the git
// program and the user's own settings and helpers; through a folder, without git; and
// over the network without the git program.
package carrier

import (
	"errors"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"ashbook/journal/history"
	"ashbook/journal/pattern"
)

// ErrNoAddress means that a text is neither an address nor a folder.
var ErrNoAddress = errors.New("not the address of a repository")

// scpLike matches USER@HOST:PATH, which git takes as an ssh address. One letter before
// the colon is a Windows drive.
var scpLike = pattern.New(`^[^/:\\]{2,}:[^/\\]?`)

// hasScheme matches an address that begins with a scheme such as https://.
var hasScheme = pattern.New(`^[A-Za-z][A-Za-z0-9+.-]*://`)

// FolderOf returns the folder that an address names; "" if it names none. A relative
// folder is relative to dir.
func FolderOf(address, dir string) string {
	if rest, ok := strings.CutPrefix(address, "file://"); ok {
		if runtime.GOOS == "windows" {
			rest = strings.TrimPrefix(rest, "/")
		}
		return filepath.FromSlash(rest)
	}
	if address == "" || hasScheme.MatchString(address) || strings.Contains(address, "::") || scpLike.MatchString(address) && !filepath.IsAbs(address) {
		return ""
	}
	if !filepath.IsAbs(address) {
		address = filepath.Join(dir, address)
	}
	return address
}

// Program reports whether the git program is installed.
func Program() bool {
	_, err := exec.LookPath("git")
	return err == nil
}

// usable returns an error for an address that the git program would take as an option
// or a command.
func usable(remote history.Remote) error {
	for _, s := range []string{remote.Name, remote.URL} {
		if strings.HasPrefix(s, "-") || strings.Contains(s, "::") || strings.ContainsAny(s, "\x00\n\r") {
			return ErrNoAddress
		}
	}
	if remote.URL == "" {
		return ErrNoAddress
	}
	return nil
}
