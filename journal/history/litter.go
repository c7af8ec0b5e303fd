package history

import (
	"os"
	"path/filepath"
	"strings"
)

// Litter is about how many objects git keeps in files of their own, and in how many
// packs it has the rest. The former is reckoned from one of its 256 folders, as git does
// for gc.auto.
func (r *Repo) Litter() (loose, packs int) {
	objects := filepath.Join(r.common, "objects")
	if names, err := os.ReadDir(filepath.Join(objects, "17")); err == nil {
		loose = 256 * len(names)
	}
	if names, err := os.ReadDir(filepath.Join(objects, "pack")); err == nil {
		for _, n := range names {
			if strings.HasSuffix(n.Name(), ".pack") {
				packs++
			}
		}
	}
	return loose, packs
}
