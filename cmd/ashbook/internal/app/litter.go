package app

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal/carrier"
	"ashbook/journal/folder"
)

// Litter offers git gc where history is in very many files and no cook is running; ""
// otherwise. It is never run unasked.
func (a *App) Litter(all []folder.Summary, now time.Time) string {
	repo := a.journal.History()
	if repo == nil || slices.ContainsFunc(all, func(s folder.Summary) bool { return s.Running(now) }) {
		return ""
	}
	n := repo.Untidy()
	if n == 0 || !carrier.Program() {
		return ""
	}
	return fmt.Sprintf("the history is in about %d files, which makes it slower: git gc, typed in the journal's folder, makes a few of them; nothing is lost", n)
}
