package app

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal/carrier"
	"ashbook/journal/folder"
)

// From how many objects in files of their own, or packs, git gc is offered (chosen: a
// year of several people's nights).
const (
	mostLoose = 20_000
	mostPacks = 50
)

// Litter offers git gc where history lies in very many files and no cook is running; ""
// otherwise. It is never run unasked.
func (a *App) Litter(all []folder.Summary, now time.Time) string {
	repo := a.journal.History()
	if repo == nil || slices.ContainsFunc(all, func(s folder.Summary) bool { return s.Running(now) }) {
		return ""
	}
	loose, packs := repo.Litter()
	what := ""
	switch {
	case loose > mostLoose:
		what = fmt.Sprintf("about %d,000 files", loose/1000)
	case packs > mostPacks:
		what = fmt.Sprintf("%d packs", packs)
	}
	if what == "" || !carrier.Program() {
		return ""
	}
	return "history is spread over " + what + " and gets slower: git gc, typed in the journal's folder, joins them; nothing is lost"
}
