package carrier

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"time"

	"ashbook/journal/history"
)

// Git transfers commits with the git program. It accepts every address that git
// accepts, with the user's ssh, password helpers and settings. It runs git without a
// shell and without a terminal: whatever would ask a question fails.
type Git struct {
	Repo   *history.Repo
	Remote history.Remote
}

// Failed is an error of the git program.
type Failed struct {
	Doing string // what git was doing
	Said  string // output of git
}

func (f Failed) Error() string {
	for _, r := range reasons {
		if strings.Contains(f.Said, r.said) {
			return r.means
		}
	}
	for line := range strings.Lines(f.Said) {
		for _, p := range []string{"fatal: ", "error: ", "remote: "} {
			if rest, ok := strings.CutPrefix(line, p); ok {
				return f.Doing + ": " + strings.TrimSpace(rest)
			}
		}
	}
	return f.Doing + ": " + strings.TrimSpace(f.Said)
}

// reasons translate git's messages into plain words. The texts are those of git 2.39 and
// OpenSSH 9.2 in the C locale; other messages are passed on.
var reasons = []struct{ said, means string }{
	{"REMOTE HOST IDENTIFICATION HAS CHANGED", "the server's key is not the one it had; do not go on before its owner tells you why"},
	{"Host key verification failed", "the server is not known here (ssh to it once by hand and compare its key)"},
	{"Permission denied", "the server does not let you in (ssh-add loads a key; git config credential.helper remembers a password)"},
	{"could not read Username", "the remote asks for a name and a password, and there is no helper for them (git config credential.helper)"},
	{"could not read Password", "the remote asks for a password, and there is no helper for it (git config credential.helper)"},
	{"Authentication failed", "the name or password is wrong"},
	{"Could not resolve host", "the remote's name is not known, or there is no network"},
	{"Connection refused", "the remote refuses the connection"},
	{"Couldn't connect to server", "the remote refuses the connection"},
	{"Connection timed out", "no answer"},
	{"No route to host", "this machine cannot reach the remote"},
	{"Network is unreachable", "there is no network"},
	{"does not appear to be a git repository", "there is no git repository at that address"},
	{"not found", "there is no such repository at that address"},
	{"No space left", "the disk is full (make room)"},
	{"fsck error", "the remote sent damaged data"},
}

// target returns the remote's name, so that git applies all its settings, or its
// address if it has no name.
func (g Git) target() string {
	if g.Remote.Name != "" {
		return g.Remote.Name
	}
	return g.Remote.URL
}

// quiet are settings that stop git from starting its own maintenance and from using
// transports that run commands.
var quiet = []string{"-c", "gc.auto=0", "-c", "maintenance.auto=0", "-c", "protocol.ext.allow=never", "-c", "advice.detachedHead=false"}

// fetching are settings for a fetch that leave out what the sync does itself before it
// admits anything: it checks every object, for which git would start another process,
// and it flushes them. The inbox has its own references to known commits, so git need
// not ask the journal's repository for them.
var fetching = append(slices.Clone(quiet), "-c", "core.fsync=none", "-c", "core.alternateRefsCommand=true",
	"fetch", "--no-tags", "--no-recurse-submodules", "--no-write-fetch-head", "--no-show-forced-updates", "--refmap=", "--quiet", "--")

// Fetch fetches into the inbox. A small number of objects is stored as loose files.
func (g Git) Fetch(ctx context.Context, into *history.Inbox, branch string, known []string) (string, error) {
	if err := usable(g.Remote); err != nil {
		return "", err
	}
	if err := into.Know(known); err != nil {
		return "", err
	}
	args := append(slices.Clone(fetching), g.target(), "+refs/heads/"+branch+":refs/heads/inbox")
	said, err := g.run(ctx, "--git-dir="+into.Dir(), args...)
	if err != nil {
		if strings.Contains(said, "couldn't find remote ref") {
			return "", nil // the repository lacks that branch
		}
		return "", g.failed(ctx, "fetching", said, err)
	}
	return into.Tip(), into.Loosen()
}

// Push runs git push, on condition that the branch is where it is expected.
func (g Git) Push(ctx context.Context, branch, old, tip string) (bool, error) {
	ref := "refs/heads/" + branch
	args := append(slices.Clone(quiet), "push", "--porcelain", "--recurse-submodules=no", "--no-follow-tags",
		"--force-with-lease="+ref+":"+old, "--", g.target(), tip+":"+ref)
	said, err := g.run(ctx, "--git-dir="+g.Repo.GitDir(), args...)
	if err == nil {
		return true, nil
	}
	if strings.Contains(said, "!\t") && beaten(said) {
		return false, nil
	}
	return false, g.failed(ctx, "sending", said, err)
}

// beaten reports whether git's answer means that somebody else pushed first. The texts
// are those of git 2.39: "stale info" and "fetch first" come from the local git, the
// others from the remote.
func beaten(said string) bool {
	for _, s := range []string{"stale info", "fetch first", "non-fast-forward", "failed to update ref", "cannot lock ref", "failed to lock", "incorrect old value"} {
		if strings.Contains(said, s) {
			return true
		}
	}
	return false
}

func (g Git) failed(ctx context.Context, doing, said string, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if said == "" {
		said = err.Error()
	}
	return Failed{doing, said}
}

// local are the environment variables that could point git to another repository: those
// of git rev-parse --local-env-vars.
var local = []string{"GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_CONFIG", "GIT_OBJECT_DIRECTORY", "GIT_DIR", "GIT_WORK_TREE",
	"GIT_IMPLICIT_WORK_TREE", "GIT_GRAFT_FILE", "GIT_INDEX_FILE", "GIT_NO_REPLACE_OBJECTS", "GIT_REPLACE_REF_BASE",
	"GIT_PREFIX", "GIT_SHALLOW_FILE", "GIT_COMMON_DIR", "GIT_INTERNAL_SUPER_PREFIX", "GIT_NAMESPACE",
	"GIT_TERMINAL_PROMPT", "LC_ALL", "LANGUAGE"}

// run runs git and returns its output.
func (g Git) run(ctx context.Context, where string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "git", append([]string{where}, args...)...)
	for _, v := range os.Environ() {
		if name, _, _ := strings.Cut(v, "="); !slices.Contains(local, name) {
			cmd.Env = append(cmd.Env, v)
		}
	}
	cmd.Env = append(cmd.Env, "GIT_TERMINAL_PROMPT=0", "LC_ALL=C")
	cmd.Dir = g.Repo.GitDir()
	var said bytes.Buffer
	both := &capped{&said}
	cmd.Stdout, cmd.Stderr = both, both // one pipe serves both, since they are the same writer
	cmd.WaitDelay = time.Second
	alone(cmd)
	err := cmd.Run()
	if errors.Is(err, exec.ErrNotFound) {
		err = fmt.Errorf("the git program is not installed: %w", err)
	}
	return said.String(), err
}

// capped keeps only the beginning of a program's output.
type capped struct{ *bytes.Buffer }

const mostSaid = 64 << 10

func (c *capped) Write(p []byte) (int, error) {
	if room := mostSaid - c.Len(); room > 0 {
		c.Buffer.Write(p[:min(room, len(p))])
	}
	return len(p), nil
}
