package app

import (
	"errors"
	"io/fs"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
)

// RememberFits writes what a pit takes into its file, which is made where there is
// none, and returns the file's path.
func (a *App) RememberFits(pit string, f journal.Fits) (path string, err error) {
	if pit == "" || strings.HasPrefix(pit, ".") || strings.ContainsAny(pit, `/\`) {
		return "", invalid("pit %q: no name for a file in pits", pit)
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
