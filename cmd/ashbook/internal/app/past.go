package app

import (
	"strings"

	"ashbook/journal"
)

// Past reads every finished cook whole. A file that cannot be read is left out;
// check names it.
func (a *App) Past() []journal.Cook {
	all, _ := a.journal.List()
	var out []journal.Cook
	for _, s := range all {
		if s.Broken || s.Finish.IsZero() {
			continue
		}
		if f, err := a.journal.Load(s.ID); err == nil {
			out = append(out, f.Cook)
		}
	}
	return out
}

// Like reads every cook of a cut, as what one of them can be compared with.
func (a *App) Like(cut string) []journal.Cook {
	all, _ := a.journal.List()
	var out []journal.Cook
	for _, s := range all {
		if !s.Broken && strings.EqualFold(strings.TrimSpace(s.Cut), strings.TrimSpace(cut)) {
			if f, err := a.journal.Load(s.ID); err == nil {
				out = append(out, f.Cook)
			}
		}
	}
	return out
}

// Pits are the journal's pits by name.
func (a *App) Pits() map[string]journal.Pit {
	all := map[string]journal.Pit{}
	known, _ := a.journal.Pits()
	for _, p := range known {
		all[p.Name] = p
	}
	return all
}
