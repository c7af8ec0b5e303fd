package history

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ashbook/journal/disk"
)

// Remote is another repository that the journal is kept in sync with.
type Remote struct {
	Name string // its name in git's settings; "" if it has none
	URL  string // an address or a folder
}

// Branch returns the short name of the current branch.
func (r *Repo) Branch() (string, error) {
	name, err := r.branch()
	return name.Short(), err
}

// settingsAndBranch returns git's settings and the current branch. It fails with
// Postponed if the repository cannot be opened or there is no current branch.
func (r *Repo) settingsAndBranch() (*settings, string, error) {
	set, err := r.settings()
	if err != nil {
		return nil, "", err
	}
	branch, err := r.Branch()
	if err != nil {
		return nil, "", &Postponed{err.Error()}
	}
	return set, branch, nil
}

// Remote looks up a remote by its name or address in git's settings; named "" means the
// one that the branch follows. It returns the zero Remote if the branch follows none,
// and one without a name if the address is not in the settings.
func (r *Repo) Remote(named string) (Remote, error) {
	set, branch, err := r.settingsAndBranch()
	if err != nil {
		return Remote{}, err
	}
	if named == "" {
		if named, _ = set.get("branch." + branch + ".remote"); named == "" {
			return Remote{}, nil
		}
	}
	if url, ok := set.get("remote." + named + ".url"); ok {
		return Remote{named, url}, nil
	}
	for key, url := range set.values {
		if name, ok := strings.CutPrefix(key, "remote."); ok && url == named {
			if name, ok = strings.CutSuffix(name, ".url"); ok {
				return Remote{name, url}, nil
			}
		}
	}
	return Remote{"", named}, nil
}

// Remember adds a remote to the repository's settings as `git remote add` does, with a
// name that is free. If the branch follows no remote, it makes it follow this one.
func (r *Repo) Remember(url string) (Remote, error) {
	set, branch, err := r.settingsAndBranch()
	if err != nil {
		return Remote{}, err
	}
	name := ""
	for _, free := range []string{"origin", "hub", "hub2", "hub3"} {
		if _, taken := set.get("remote." + free + ".url"); !taken {
			name = free
			break
		}
	}
	if name == "" {
		return Remote{"", url}, nil
	}
	text := fmt.Sprintf("[remote \"%s\"]\n\turl = %s\n\tfetch = +refs/heads/*:refs/remotes/%s/*\n", name, quoted(url), name)
	if _, follows := set.get("branch." + branch + ".remote"); !follows {
		text += fmt.Sprintf("[branch %s]\n\tremote = %s\n\tmerge = refs/heads/%s\n", quoted(branch), name, branch)
	}
	return Remote{name, url}, r.addSettings(text)
}

// quoted formats a value for git's settings file.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`).Replace(s) + `"`
}

// addSettings appends lines to the repository's settings under git's own lock.
func (r *Repo) addSettings(text string) error {
	name := filepath.Join(r.common, "config")
	h, err := r.stage(name, r.Perm())
	if err != nil {
		return err
	}
	defer h.release()
	if err := h.set(nil); err != nil {
		return err
	}
	if err := h.take(); err != nil {
		return err
	}
	old, err := readRegular(name)
	if err != nil {
		return err
	}
	if len(old) > 0 && !strings.HasSuffix(string(old), "\n") {
		old = append(old, '\n')
	}
	if err := errors.Join(h.set(append(old, text...)), h.Sync()); err != nil {
		return err
	}
	return h.put()
}

// LockSync keeps other syncs of this working copy out until release is called or the
// process ends. Saving notes does not wait for it. It fails with ErrLocked.
func (r *Repo) LockSync(wait time.Duration) (release func(), err error) {
	return r.lockFile("lock-sync", wait)
}

// seenRef returns the name of our reference to the newest commit last received from a
// remote. The reference stops git gc from deleting the commit.
func (r *Repo) seenRef(url, branch string) string {
	sum := sha256.Sum256([]byte(url))
	return "refs/ashbook/" + hex.EncodeToString(sum[:6]) + "/" + branch
}

// Seen returns the newest commit last received from a remote's branch; "" for none.
func (r *Repo) Seen(url, branch string) string { return r.readRef(r.seenRef(url, branch)) }

// Tracked returns the newest commit that git itself last fetched from a remote's
// branch; "" for none.
func (r *Repo) Tracked(remote Remote, branch string) string {
	if remote.Name == "" {
		return ""
	}
	return r.readRef("refs/remotes/" + remote.Name + "/" + branch)
}

func (r *Repo) readRef(name string) string {
	st, err := r.open()
	if err != nil {
		return ""
	}
	return refIn(st, name)
}

// SetSeen stores the newest commit of a remote's branch in our own reference and in
// git's remote-tracking one. The commit must be in the repository.
func (r *Repo) SetSeen(remote Remote, branch, tip string) error {
	err := r.writeRef(r.seenRef(remote.URL, branch), tip)
	if remote.Name != "" && err == nil {
		err = r.writeRef("refs/remotes/"+remote.Name+"/"+branch, tip)
	}
	return err
}

// writeRef writes a reference by a rename. It needs no lock of git's: in the worst case
// a `git pack-refs` at the same moment keeps the older commit.
func (r *Repo) writeRef(name, tip string) error {
	if r.readRef(name) == tip {
		return nil
	}
	perm := r.Perm()
	file := filepath.Join(r.common, filepath.FromSlash(name))
	temp := filepath.Join(r.state, "ref.new")
	if err := r.Disk.Remove(temp); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := disk.MkdirAll(disk.Unflushed(r.Disk), filepath.Dir(file), perm); err != nil {
		return err
	}
	f, err := r.Disk.OpenFile(temp, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write([]byte(tip + "\n"))
	if err = errors.Join(err, perm.Settle(f), f.Sync(), f.Close()); err != nil {
		return errors.Join(err, r.Disk.Remove(temp))
	}
	return r.Disk.Rename(temp, file)
}
