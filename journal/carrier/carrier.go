// Package carrier brings commits to a remote and back in three ways: through the git
// program with the person's own settings and helpers; through a folder, which needs no
// git; and over the network without a git program.
package carrier

import (
	"errors"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"

	"ashbook/journal/history"
)

// ErrNoAddress means that a text is neither an address nor a folder.
var ErrNoAddress = errors.New("not the address of a repository")

// scpLike is USER@HOST:PATH, as git takes it for ssh. One letter before the colon is a
// disk of Windows.
var scpLike = regexp.MustCompile(`^[^/:\\]{2,}:[^/\\]?`)

// hasScheme is an address with its way in front.
var hasScheme = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9+.-]*://`)

// FolderOf returns the folder that an address means, or "". dir is where a relative folder
// begins.
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

// usable refuses an address that the git program would take for an option or a command.
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
