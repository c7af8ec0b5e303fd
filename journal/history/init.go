package history

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/go-git/go-billy/v5/osfs"
	git "github.com/go-git/go-git/v5"
	"github.com/go-git/go-git/v5/plumbing/format/gitignore"
)

// ownAttributes stops git from changing the line ends of cooks.
const ownAttributes = "cooks/** -text\n"

// Init puts the folder under git on a branch main, and commits its files except hidden
// ones and those that its .gitignore names. If the folder is already under git, it only
// commits. wait is as for Lock.
func Init(dir string, when time.Time, wait time.Duration) (*Repo, error) {
	r, err := Open(dir)
	if errors.Is(err, ErrNotUnderGit) {
		if _, err := git.PlainInitWithOptions(dir, &git.PlainInitOptions{
			InitOptions: git.InitOptions{DefaultBranch: "refs/heads/main"},
		}); err != nil {
			return nil, err
		}
		r, err = Open(dir)
	}
	if err != nil {
		return nil, err
	}
	release, err := r.Lock(wait)
	if err != nil {
		return nil, err
	}
	defer release()
	if err := r.writeAttributes(ownAttributes); err != nil {
		return nil, err
	}
	changes, err := r.everything()
	if err != nil {
		return nil, err
	}
	_, err = r.Commit("journal: begin", when, changes...)
	return r, err
}

// writeAttributes adds a line to .gitattributes unless it is there.
func (r *Repo) writeAttributes(line string) error {
	name := filepath.Join(r.dir, ".gitattributes")
	old, err := readRegular(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if bytes.Contains(append([]byte("\n"), old...), []byte("\n"+line)) {
		return nil
	}
	if len(old) > 0 && !bytes.HasSuffix(old, []byte("\n")) {
		line = "\n" + line
	}
	f, err := os.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.WriteString(line)
	return errors.Join(err, f.Close())
}

// everything returns all files below the journal folder as changes.
func (r *Repo) everything() ([]Change, error) {
	ignored, err := r.ignored()
	if err != nil {
		return nil, err
	}
	var changes []Change
	err = filepath.WalkDir(r.dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || name == r.dir {
			return err
		}
		rel, err := filepath.Rel(r.dir, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		hidden := strings.HasPrefix(d.Name(), ".") && d.Name() != ".gitattributes" && d.Name() != ".gitignore"
		if hidden || ignored.Match(strings.Split(rel, "/"), d.IsDir()) {
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if d.IsDir() {
			if _, err := os.Lstat(filepath.Join(name, git.GitDirName)); err == nil {
				return fs.SkipDir // it is a repository of its own
			}
		}
		if !d.Type().IsRegular() {
			return nil
		}
		data, err := os.ReadFile(name)
		changes = append(changes, Change{Path: rel, Data: data})
		return err
	})
	return changes, err
}

func (r *Repo) ignored() (gitignore.Matcher, error) {
	patterns, err := gitignore.ReadPatterns(osfs.New(r.dir), nil)
	return gitignore.NewMatcher(patterns), err
}
