package folder

import (
	"errors"
	"fmt"

	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/merge"
	"ashbook/journal/store"
)

// Half is the error for a file that another program has saved only in part.
type Half = store.Half

// Versions returns the versions of a cook's file, newest first: at most limit, or all
// if limit is 0. It first commits what the file has and history lacks, unless the file
// is only partly saved. It fails with history.ErrNotUnderGit.
func (f *Folder) Versions(id string, limit int) ([]history.Version, error) {
	p, err := f.locate(id)
	if err != nil {
		return nil, err
	}
	if f.repo == nil {
		return nil, fmt.Errorf("%q: %w", f.dir, history.ErrNotUnderGit)
	}
	if f.ReadOnly() == "" {
		if err := f.takeIn(p, f.keep.Edit); err != nil && !errors.As(err, new(Half)) {
			return nil, err
		}
	}
	return f.repo.Versions(p, limit)
}

// Version returns a cook's file as it was in a version; it may not be readable as a
// cook. It fails with history.ErrNoVersion.
func (f *Folder) Version(id, hash string) ([]byte, error) {
	p, err := f.locate(id)
	if err != nil {
		return nil, err
	}
	if f.repo == nil {
		return nil, fmt.Errorf("%q: %w", f.dir, history.ErrNotUnderGit)
	}
	return f.repo.At(hash, p)
}

// Tip returns the newest commit of history; "" if there is none.
func (f *Folder) Tip() (string, error) {
	if f.repo == nil {
		return "", fmt.Errorf("%q: %w", f.dir, history.ErrNotUnderGit)
	}
	return f.repo.Tip()
}

// ParseCook parses data as the file of a cook.
func (f *Folder) ParseCook(id string, data []byte) (cookfile.File, error) {
	p, err := f.locate(id)
	if err != nil {
		return cookfile.File{}, err
	}
	return f.parse(p, data)
}

// Replace replaces the content of a cook's file with data, even if the file is only
// partly saved.
func (f *Folder) Replace(id string, data []byte, message string) error {
	p, err := f.locate(id)
	if err != nil {
		return err
	}
	return f.change(p, func(p string) error {
		_, err := f.keep.EditAnyway(p, func([]byte) ([]byte, error) { return data, nil }, message)
		return err
	})
}

// EditBytes does what Edit does, but with the bytes of the cook's file, which need not
// be readable as a cook.
func (f *Folder) EditBytes(id string, edit func([]byte) ([]byte, error), message string) error {
	p, err := f.locate(id)
	if err != nil {
		return err
	}
	_, err = f.EditFile(p, edit, message)
	return err
}

// HandOver prepares a cook's file for editing with another program, and returns its
// path on disk. What the user deletes in it stays deleted, since they see everything
// saved before. Call TakeIn when they are done.
func (f *Folder) HandOver(id string) (name string, err error) {
	p, err := f.locate(id)
	if err != nil {
		return "", err
	}
	err = f.within(p, func(p string) error { return f.keep.HandOver(p) })
	return f.full(p), err
}

// TakeIn commits a cook's file as the user has edited it, readable or not.
func (f *Folder) TakeIn(id string) error {
	p, err := f.locate(id)
	if err != nil {
		return err
	}
	f.hasSaved()
	return f.takeIn(p, f.keep.EditAnyway)
}

// edit is Store.Edit or Store.EditAnyway.
type edit func(p string, change func([]byte) ([]byte, error), message string) ([]byte, error)

func (f *Folder) takeIn(p string, edit edit) error {
	err := f.within(p, func(p string) error {
		_, err := edit(p, func(b []byte) ([]byte, error) { return b, nil }, "")
		return err
	})
	if err != nil {
		return err
	}
	return f.Flush()
}

// Changes returns the lines in which two texts of a cook's file differ.
func (f *Folder) Changes(id string, was, is []byte) ([]cookfile.Change, error) {
	p, err := f.locate(id)
	if err != nil {
		return nil, err
	}
	return cookfile.Changes(p, was, is, f.reading()), nil
}

// MergeCook merges two texts of a cook's file by what they mean. base is their common
// version.
func (f *Folder) MergeCook(id string, base, one, two []byte) ([]byte, error) {
	p, err := f.locate(id)
	if err != nil {
		return nil, err
	}
	text, _ := merge.Cook(p, base, merge.Version{Text: one}, merge.Version{Text: two}, f.reading())
	return text, nil
}
