package carrier

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"ashbook/journal/history"
)

// The address forms are those of git: "GIT URLS" in git-clone(1).
func TestFolderOf(t *testing.T) {
	for address, want := range map[string]string{
		"/media/stick/hall.git":             "/media/stick/hall.git",
		"hall.git":                          "/home/ann/hall.git",
		"../hall.git":                       "/home/hall.git",
		"./a:b.git":                         "/home/ann/a:b.git",
		"file:///media/stick/hall.git":      "/media/stick/hall.git",
		"ann@example.org:hall.git":          "",
		"example.org:hall.git":              "",
		"ssh://ann@example.org/hall.git":    "",
		"https://example.org/hall.git":      "",
		"ext::sh -c 'touch ran'":            "",
		"":                                  "",
		"git+ssh://ann@example.org/hall":    "",
		"ann@example.org:22/hall.git":       "",
		"/media/stick with spaces/hall.git": "/media/stick with spaces/hall.git",
	} {
		if got := FolderOf(address, "/home/ann"); filepath.ToSlash(got) != want {
			t.Errorf("%q is %q, expected %q", address, got, want)
		}
	}
}

func TestUnusable(t *testing.T) {
	for _, url := range []string{"", "-oProxyCommand=touch ran", "--upload-pack=touch ran", "ext::touch ran", "ssh://a/b\n-x"} {
		if err := usable(history.Remote{URL: url}); !errors.Is(err, ErrNoAddress) {
			t.Errorf("%q: %v", url, err)
		}
	}
	if err := usable(history.Remote{Name: "origin", URL: "ann@example.org:hall.git"}); err != nil {
		t.Error(err)
	}
}

// Known messages of git and ssh are translated into plain words. Others are passed on
// unchanged.
func TestFailed(t *testing.T) {
	for said, want := range map[string]string{
		"@@@@\n@ WARNING: REMOTE HOST IDENTIFICATION HAS CHANGED! @\nHost key verification failed.\nfatal: Could not read from remote repository.": "not the one it had",
		"ann@example.org: Permission denied (publickey).\nfatal: Could not read from remote repository.":                                           "does not let you in",
		"fatal: unable to access 'https://example.org/': Could not resolve host: example.org":                                                      "is not known",
		"fatal: something new":         "fetching: something new",
		"remote: come back tomorrow\n": "fetching: come back tomorrow",
	} {
		if got := (Failed{"fetching", said}).Error(); !strings.Contains(got, want) {
			t.Errorf("%q: %q, expected %q", said, got, want)
		}
	}
}

func TestBeaten(t *testing.T) {
	for said, want := range map[string]bool{
		"!\tabc:refs/heads/main\t[rejected] (stale info)":                             true,
		"!\tabc:refs/heads/main\t[rejected] (fetch first)":                            true,
		"!\tabc:refs/heads/main\t[remote rejected] (failed to update ref)":            true,
		"!\tabc:refs/heads/main\t[remote rejected] (pre-receive hook declined)":       false,
		"fatal: unable to access":                                                     false,
		"!\tabc:refs/heads/main\t[remote rejected] (branch is currently checked out)": false,
	} {
		if got := beaten(said); got != want {
			t.Errorf("%q: %v", said, got)
		}
	}
}
