package app

import (
	"context"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/report/baseline"
	"ashbook/report/forecast"
)

// Past reads every finished cook with its timeline. It skips files that cannot be read,
// which check reports. It fails with ctx's error.
func (a *App) Past(ctx context.Context) ([]journal.Cook, error) {
	return a.read(ctx, func(s *folder.Summary) bool { return !s.Finish.IsZero() })
}

// Like reads every cook of a cut, for comparison. It fails with ctx's error.
func (a *App) Like(ctx context.Context, cut string) ([]journal.Cook, error) {
	cut = strings.TrimSpace(cut)
	return a.read(ctx, func(s *folder.Summary) bool { return strings.EqualFold(strings.TrimSpace(s.Cut), cut) })
}

// Lesson returns the last finished cook of the same cut if it says what to change, and
// a cook without an ID if not. It fails with ctx's error.
func (a *App) Lesson(ctx context.Context, c *journal.Cook) (journal.Cook, error) {
	known, err := a.Known(ctx)
	if err != nil {
		return journal.Cook{}, err
	}
	if last := baseline.Last(baseline.Like(c, known.Cooks)); last != nil && last.Change != "" {
		if whole := last.Whole(); whole != nil {
			return *whole, nil
		}
	}
	return journal.Cook{}, nil
}

// read reads the cooks for which wanted is true.
func (a *App) read(ctx context.Context, wanted func(*folder.Summary) bool) ([]journal.Cook, error) {
	all, _, err := a.journal.List(ctx)
	if err != nil {
		return nil, err
	}
	return a.load(ctx, slices.DeleteFunc(all, func(s folder.Summary) bool { return s.Broken || !wanted(&s) }))
}

// load reads cooks in parallel. It skips those that cannot be read.
func (a *App) load(ctx context.Context, all []folder.Summary) ([]journal.Cook, error) {
	cooks := make([]journal.Cook, len(all))
	err := forecast.Each(ctx, len(all), nil, func(i int) error {
		if f, err := a.journal.Load(all[i].ID); err == nil {
			cooks[i] = f.Cook
		}
		return nil
	})
	return slices.DeleteFunc(cooks, func(c journal.Cook) bool { return c.ID == "" }), err
}

// Pits returns the journal's pits by name.
func (a *App) Pits() map[string]journal.Pit {
	all := map[string]journal.Pit{}
	known, _ := a.journal.Pits()
	for _, p := range known {
		all[p.Name] = p
	}
	return all
}
