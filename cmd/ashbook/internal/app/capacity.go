package app

import (
	"errors"
	"io/fs"
	"strings"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/report/provision/runsheet"
)

// Remembered is how many pieces fit in a pit, and the path of the pit's file; "" if the
// pit has no name.
type Remembered struct {
	Path string
	Fits journal.Fits
}

// RememberFits writes how many pieces fit in each pit of a plan into the pit's file.
func (a *App) RememberFits(p *runsheet.Sheet) (out []Remembered, err error) {
	for _, pit := range p.Pits {
		if pit.Takes == 0 {
			continue
		}
		r := Remembered{Fits: pit.Fits}
		if pit.Name != "" {
			if r.Path, err = a.rememberFits(pit.Name, pit.Fits); err != nil {
				return out, err
			}
		}
		out = append(out, r)
	}
	return out, nil
}

// rememberFits writes how many pieces fit in a pit into its file, which it makes if
// there is none, and returns the file's path.
func (a *App) rememberFits(pit string, f journal.Fits) (path string, err error) {
	if pit == "" || strings.HasPrefix(pit, ".") || strings.ContainsAny(pit, `/\`) {
		return "", typed.Mistaken(typed.Invalid, "", "pit %q: this is not a name for a file in pits", pit)
	}
	path = folder.PitPath(pit)
	edit := func(old []byte) ([]byte, error) { return cookfile.SetIn(path, old, f.String(), "fits") }
	did := "pit " + pit + ": takes " + f.String()
	if _, err = a.journal.EditFile(path, edit, did); !errors.Is(err, fs.ErrNotExist) {
		return path, err
	}
	data, err := edit([]byte("# " + upperFirst(pit) + "\n"))
	if err != nil {
		return "", err
	}
	return path, a.journal.CreateFile(path, data, did)
}
