package merge

import (
	"strings"

	"ashbook/journal/cookfile"
)

// tableEnd ends the name of a table of probe readings.
const tableEnd = ".csv"

// File merges two versions of a file of the journal by its kind, which its path shows;
// base is nil where both began the file.
func File(path string, base []byte, a, b Version, opt cookfile.Options) ([]byte, []Told) {
	switch {
	case strings.HasSuffix(path, tableEnd):
		return Series(base, a, b)
	case strings.HasPrefix(path, "cooks/") || strings.Contains(path, "/cooks/"):
		return Cook(path, base, a, b, opt)
	}
	return Markdown(path, base, a, b)
}
