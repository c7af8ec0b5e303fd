package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/carrier"
	"ashbook/journal/folder"
)

// Litter returns a suggestion to run git gc if the history is in very many files and no
// cook is running, else "". ashbook never runs it itself.
func (a *App) Litter(all []folder.Summary, now time.Time) string {
	repo := a.journal.History()
	if repo == nil || slices.ContainsFunc(all, func(s folder.Summary) bool { return s.Running(now) }) {
		return ""
	}
	n := repo.Untidy()
	if n == 0 || !carrier.Program() {
		return ""
	}
	return fmt.Sprintf("the history is in about %d files, which makes it slower: type git gc in the journal's folder to pack them into a few; nothing is lost", n)
}

// Check reads every file of the journal. It returns the number of cooks, what could not
// be read as meant, and other notices. It fails with ctx's error.
func (a *App) Check(ctx context.Context, now time.Time) (cooks int, problems []journal.Problem, notices []string, err error) {
	cooks, problems, err = a.journal.Check(ctx)
	if err != nil {
		return 0, nil, nil, err
	}
	all, _, err := a.journal.List(ctx)
	if err != nil {
		return 0, nil, nil, err
	}
	notices = append(a.journal.Notices(), a.journal.Remarks()...)
	if offer := a.Litter(all, now); offer != "" {
		notices = append(notices, offer)
	}
	return cooks, problems, notices, nil
}
