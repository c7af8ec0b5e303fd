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

// filterTime is how long a filter may take (chosen: one that asks for a password
// nobody sees would hang forever).
const filterTime = 20 * time.Second

// clean writes the bytes of a file into history as git's attributes ask for. It is
// done by the git program: a filter is any command, and git alone knows all rules of
// line ends.
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

// smudge returns bytes from history as they are on the disk; as they are in history
// where the git program cannot tell.
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

// program runs the git program in the repository.
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

// driver is the name under which git's settings keep the merge of the journal.
const driver = "ashbook"

// UseDriver has git merge the pages and tables of the journal with a command, as
// gitattributes(5) says under "Defining a custom merge driver": the command in
// the repository's own settings, the files in .gitattributes, which is not
// committed here.
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
