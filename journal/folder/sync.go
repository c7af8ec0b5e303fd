package folder

import (
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"ashbook/journal/history"
)

// mostGone is how many files may be missing before a sync asks whether the folder is
// complete (chosen: more than somebody deletes by hand between two syncs).
const mostGone = 10

// Gather commits everything saved, and what other programs have changed or added among
// the journal's files. If all is set, it does not wait for more rows of a growing
// series. It fails with *history.Postponed if a commit has to wait.
func (f *Folder) Gather(all bool) error {
	if err := f.writable(); err != nil {
		return err
	}
	f.repo.Await()
	if why := f.repo.Why(); why != "" {
		return &history.Postponed{Reason: why}
	}
	edited, err := f.repo.Edited(func(p string) bool { return ours(p) && !f.isCopy(p) })
	if err != nil {
		return err
	}
	if n := f.keep.Gone(edited); n > mostGone {
		return &history.Postponed{Reason: fmt.Sprintf("%d files of the journal are missing from its folder (git checkout -- . brings them back; git commit -a takes them out)", n)}
	}
	f.mu.Lock()
	if f.stop != nil {
		f.stop()
		f.stop = nil
	}
	f.mu.Unlock()
	if err := f.keep.TakeIn(edited, all); err != nil {
		return err
	}
	if why := f.keep.Waiting(); why != "" {
		return &history.Postponed{Reason: why}
	}
	return nil
}

// ours reports whether a file that is not in history belongs to the journal: a Markdown
// or CSV file in one of its folders.
func ours(p string) bool {
	if end := path.Ext(p); end != ".md" && end != ".csv" {
		return false
	}
	top, _, _ := strings.Cut(p, "/")
	return p == settingsName || slices.Contains([]string{cooksDir, pitsDir, mixesDir}, top) && p != top
}

// Join saves the files of a merge and moves the branch, as store.Store.Join does. It
// refuses a path that a link of the user's leads elsewhere.
func (f *Folder) Join(j history.Join) (tip string, err error) {
	if err := f.writable(); err != nil {
		return "", err
	}
	for _, c := range j.Changes {
		if c.Path == ".gitattributes" || c.Path == ".gitignore" {
			continue
		}
		if p, err := f.resolve(c.Path); err != nil {
			return "", err
		} else if p != c.Path {
			return "", fmt.Errorf("%s: a link leads to %s", c.Path, p)
		}
	}
	return f.keep.Join(j)
}

func (f *Folder) writable() error {
	if f.repo == nil {
		return fmt.Errorf("%q: %w", f.dir, history.ErrNotUnderGit)
	}
	if why := f.ReadOnly(); why != "" {
		return errors.New(why)
	}
	if f.repo.Prefix() != "" {
		return errors.New("the journal is part of a larger git repository: share that with git itself (ashbook init --driver has it merge cooks)")
	}
	return nil
}
