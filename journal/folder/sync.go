package folder

import (
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"ashbook/journal/history"
)

// mostGone is up to how many files may be missing before a sync asks whether the folder
// is all there (chosen: more than a person takes away by hand between two syncs).
const mostGone = 10

// Gather puts into history everything saved, and what other programs have made of the
// journal's files, of new ones too. all has it wait for no more rows of a growing series.
// It fails with *history.Postponed where history cannot be written now.
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

// ours reports whether a file that history does not have is one of the journal: a page or
// a table, where those are.
func ours(p string) bool {
	if end := path.Ext(p); end != ".md" && end != ".csv" {
		return false
	}
	top, _, _ := strings.Cut(p, "/")
	return p == settingsName || slices.Contains([]string{cooksDir, pitsDir, mixesDir}, top) && p != top
}

// Join saves what a merge makes of the journal's files and moves the branch, as
// store.Store.Join does. It refuses a path that a link of the person's leads elsewhere.
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
