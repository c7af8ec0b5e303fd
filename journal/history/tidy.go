package history

import (
	"os"
	"path/filepath"
)

// Numbers from which running git gc is worth it (chosen: at these, a sync with nothing
// new takes about .3 s).
const (
	manyLoose = 20_000
	manyPacks = 50
)

// Untidy returns the number of files that store the history if git gc would reduce it,
// and 0 if not. It estimates loose objects as git does, from one of their 256 folders.
func (r *Repo) Untidy() int {
	packs, err := filepath.Glob(filepath.Join(r.common, "objects", "pack", "*.pack"))
	if err != nil {
		return 0
	}
	some, err := os.ReadDir(filepath.Join(r.common, "objects", "17"))
	if err != nil {
		some = nil
	}
	loose := 256 * len(some)
	if loose <= manyLoose && len(packs) <= manyPacks {
		return 0
	}
	return loose + len(packs)
}
