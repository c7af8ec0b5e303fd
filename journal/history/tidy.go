package history

import (
	"os"
	"path/filepath"
)

// Above these git gc is worth its while (chosen: with them a sync with nothing new takes
// some .3 s).
const (
	manyLoose = 20_000
	manyPacks = 50
)

// Untidy returns the number of files that the history is in, if git gc would reduce it;
// otherwise 0. It estimates loose objects as git does, from one of their 256 folders.
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
