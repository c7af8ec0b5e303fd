package app

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"

	"ashbook/journal"
)

// Editing is a cook's file while the user changes it in another program.
type Editing struct {
	ID, File string // File is its path on disk
	app      *App
	path     string // path in the journal
	before   []byte
}

// Edited is the outcome of editing a file.
type Edited struct {
	Changed  bool
	Broken   bool              // nothing in the file can be used
	Problems []journal.Problem // what cannot be read as meant
}

// Edit prepares a cook's file for an editor. Call Done after the editor has ended.
func (a *App) Edit(id string) (Editing, error) {
	name, err := a.journal.HandOver(id)
	if err != nil {
		return Editing{}, err
	}
	path, err := filepath.Rel(a.journal.Dir(), name)
	if err != nil {
		return Editing{}, err
	}
	e := Editing{ID: id, File: name, app: a, path: filepath.ToSlash(path)}
	e.before, err = a.journal.Bytes(e.path)
	return e, err
}

// Done reads the file after the named editor has ended. It does so even if the editor
// failed, since it may have saved the file.
func (e Editing) Done(editor string, ended error) (Edited, error) {
	after, err := e.app.journal.Bytes(e.path)
	if err != nil {
		return Edited{}, fmt.Errorf("%s: the file is missing after the editor closed: %w", e.ID, err)
	}
	out := Edited{Changed: !bytes.Equal(e.before, after)}
	if ended != nil && !out.Changed {
		return out, fmt.Errorf("editor %q: %w", editor, ended)
	}
	if out.Changed {
		if err := e.app.journal.TakeIn(e.ID); err != nil {
			return out, err
		}
	}
	f, err := e.app.Load(e.ID)
	var p journal.Problem
	switch {
	case errors.As(err, &p):
		out.Broken, out.Problems = true, []journal.Problem{p}
	case err != nil:
		return out, err
	}
	out.Problems = append(out.Problems, f.Problems...)
	return out, nil
}
