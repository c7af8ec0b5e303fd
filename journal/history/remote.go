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

// Remote is another repository that the journal is kept the same as.
type Remote struct {
	Name string // in git's settings; "" where they do not have it
	URL  string // an address or a folder
}

// Branch is the short name of the branch the person is on.
func (r *Repo) Branch() (string, error) {
	name, err := r.branch()
	return name.Short(), err
}

// settingsAndBranch are git's settings, and the branch the person is on; it fails with
// Postponed where that cannot be told.
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

// Remote finds a remote by its name or address in git's settings; "" is the one that the
// branch follows. The zero Remote is the answer where the branch follows none, and one
// without a name where the address is not in the settings.
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

// Remember writes a remote into the repository's settings as git remote add does, under
// a free name, and has the branch follow it where it follows none.
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

// quoted writes a value of a setting so that git reads it back.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`).Replace(s) + `"`
}

// addSettings adds lines to the repository's settings, under git's own lock.
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

// LockSync keeps other syncs of this working copy out until release is called, or the
// process ends. Notes do not wait for it. It fails with ErrLocked.
func (r *Repo) LockSync(wait time.Duration) (release func(), err error) {
	return r.lockFile("lock-sync", wait)
}

// seenRef is our own reference to the newest commit of a remote, as it was last heard.
// It keeps git gc from taking the commit away.
func (r *Repo) seenRef(url, branch string) string {
	sum := sha256.Sum256([]byte(url))
	return "refs/ashbook/" + hex.EncodeToString(sum[:6]) + "/" + branch
}

// Seen returns the newest commit of a branch of a remote as it was last heard, "" if it
// never was.
func (r *Repo) Seen(url, branch string) string { return r.readRef(r.seenRef(url, branch)) }

// Tracked returns what git itself last heard of a branch of a remote, "" if nothing.
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

// SetSeen remembers the newest commit of a remote, in a reference of our own and in the
// one where git keeps it. The commit is in the repository already.
func (r *Repo) SetSeen(remote Remote, branch, tip string) error {
	err := r.writeRef(r.seenRef(remote.URL, branch), tip)
	if remote.Name != "" && err == nil {
		err = r.writeRef("refs/remotes/"+remote.Name+"/"+branch, tip)
	}
	return err
}

// writeRef writes a reference by rename. Git's lock is not needed: at worst a git
// pack-refs at the same moment keeps the older commit.
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
