package merge

import (
	"strings"

	"ashbook/journal/cookfile"
)

// tableEnd is the extension of a table of probe readings.
const tableEnd = ".csv"

// File merges two versions of a file of the journal. The path shows the kind of file.
// base is nil if each version created the file.
func File(path string, base []byte, a, b Version, opt cookfile.Options) ([]byte, []Conflict) {
	switch {
	case strings.HasSuffix(path, tableEnd):
		return Series(base, a, b)
	case strings.HasPrefix(path, "cooks/") || strings.Contains(path, "/cooks/"):
		return Cook(path, base, a, b, opt)
	}
	return Markdown(path, base, a, b)
}
