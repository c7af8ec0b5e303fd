package app

import (
	"context"
	"fmt"
	"io"
	"slices"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/ingest/paper"
)

// Import is a text of past cooks as it was understood. Nothing is saved yet.
type Import struct {
	paper.Sheet
	Places []Place // where each of its cooks is saved, in order
}

// Place is where an imported cook is saved.
type Place struct {
	ID    string // "" if it has no day and so cannot be saved
	There bool   // the journal has this cook already, so it stays unchanged
	data  []byte
}

// mostImported is the largest text read, in bytes: ten thousand long notes (chosen).
const mostImported = 8 << 20

// LookImport reads past cooks from the text of a file, and finds a place for each. A
// cook with the same day and title as one in the journal counts as that cook, and of
// two with the same day and title the second counts as the journal's second. So
// importing a text again adds nothing.
//
// It fails with Invalid if the text is too long, and with paper.Error.
func (a *App) LookImport(r io.Reader, file string, opt paper.Options) (Import, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostImported+1))
	switch {
	case err != nil:
		return Import{}, err
	case len(text) > mostImported:
		return Import{}, typed.Mistaken(typed.Invalid, file, "%s: longer than %d MB; split it", file, mostImported>>20)
	}
	sheet, err := paper.Read(string(text), opt)
	if err != nil {
		return Import{}, fmt.Errorf("%s:%w", file, err)
	}
	im := Import{Sheet: sheet, Places: make([]Place, len(sheet.Cooks))}
	there := a.journal.IDs()
	var taken []string
	for i, c := range sheet.Cooks {
		if !c.Usable() {
			continue
		}
		p := &im.Places[i]
		p.ID = freeID(taken, c.Day, c.Title)
		taken = append(taken, p.ID)
		p.There = slices.Contains(there, p.ID)
		if p.data, err = cookfile.New(c.Cook); err != nil {
			return Import{}, fmt.Errorf("line %d: %w", c.Line, err)
		}
	}
	return im, nil
}

// SaveImport saves the chosen cooks, numbered from 0: all or none. Cooks that are in
// the journal already stay unchanged. It returns the IDs of the new ones.
func (a *App) SaveImport(ctx context.Context, im Import, chosen []int) ([]string, error) {
	var files []folder.NewCook
	var ids []string
	for _, i := range chosen {
		if p := im.Places[i]; p.ID != "" && !p.There {
			files = append(files, folder.NewCook{ID: p.ID, Data: p.data, Message: p.ID + ": imported"})
			ids = append(ids, p.ID)
		}
	}
	if len(files) == 0 {
		return nil, ctx.Err()
	}
	return ids, a.journal.CreateAll(files)
}
