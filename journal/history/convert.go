package history

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
)

// filterTime is the time limit of a filter (chosen). A filter that asks for a password
// on a terminal nobody sees would otherwise hang forever.
const filterTime = 20 * time.Second

// clean stores the bytes of a file as git's attributes require and returns the blob's
// hash. It runs the git program, since a filter is any command, and only git knows all
// rules for line ends.
func (r *Repo) clean(p, what string, data []byte) (plumbing.Hash, error) {
	if _, err := exec.LookPath("git"); err != nil {
		return plumbing.ZeroHash, &Postponed{Reason: fmt.Sprintf("git's attributes ask for %s, which takes the git program, and it is not installed (install it)", what)}
	}
	out, err := r.program(data, "hash-object", "-w", "--stdin", "--path="+p)
	hash := strings.TrimSpace(string(out))
	if err != nil || !plumbing.IsHash(hash) {
		return plumbing.ZeroHash, &Postponed{Reason: fmt.Sprintf("git's attributes ask for %s, and git could not apply it (git add on the file says why)", what)}
	}
	return plumbing.NewHash(hash), nil
}

// smudge returns the bytes that git would check out for a blob. If the git program
// cannot do it, it returns the blob unchanged.
func (r *Repo) smudge(p string, hash plumbing.Hash, raw []byte) []byte {
	s, err := r.settings()
	if err != nil || !r.attributes(s).conversion(p).out() {
		return raw
	}
	out, err := r.program(nil, "cat-file", "--filters", "--path="+p, hash.String())
	if err != nil {
		return raw
	}
	return out
}

// program runs the git program in the repository and returns its output.
func (r *Repo) program(in []byte, args ...string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(context.Background(), filterTime)
	defer cancel()
	cmd := exec.CommandContext(ctx, "git", args...)
	cmd.Dir = r.root
	cmd.Stdin = bytes.NewReader(in)
	cmd.WaitDelay = time.Second
	for _, v := range os.Environ() {
		if !strings.HasPrefix(v, "GIT_") || strings.HasPrefix(v, "GIT_CONFIG") {
			cmd.Env = append(cmd.Env, v)
		}
	}
	return cmd.Output()
}

// driver is the name of the journal's merge driver in git's settings.
const driver = "ashbook"

// UseDriver sets command as the merge driver for the journal's Markdown and CSV files
// ("Defining a custom merge driver" in gitattributes(5)). It adds the command to the
// repository's own settings and the file patterns to .gitattributes, which it does not
// commit.
func (r *Repo) UseDriver(command string) error {
	settings := [][2]string{{"name", "by what it means"}, {"driver", command}}
	for _, s := range settings {
		if _, err := r.program(nil, "config", "--local", "merge."+driver+"."+s[0], s[1]); err != nil {
			return fmt.Errorf("the git program could not set merge.%s.%s: %w", driver, s[0], err)
		}
	}
	for _, files := range []string{"*.md", "*.csv"} {
		if err := r.writeAttributes(files + " merge=" + driver + "\n"); err != nil {
			return err
		}
	}
	return nil
}
