package app

import (
	"context"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/report"
	"ashbook/report/forecast"
)

// Learn reads the finished cooks to forecast from them. They are replayed when a
// forecast first needs them, and progress reports on that. It fails with ctx's error.
func (a *App) Learn(ctx context.Context, progress Progress) (*forecast.Experience, error) {
	past, err := a.Past(ctx)
	if err != nil {
		return nil, err
	}
	return a.Experience(past, progress), nil
}

// Experience returns what finished cooks teach the forecast. What each cook teaches is
// cached.
func (a *App) Experience(past []journal.Cook, progress Progress) *forecast.Experience {
	return forecast.Learn(past, a.Pits(), a.Settings(), forecast.Options{Cache: a.journal.Cache(), Progress: progress})
}

// Before returns a forecaster that knows only the cooks that were over when c went on,
// or all cooks if c is not on. It fails with ctx's error.
func Before(ctx context.Context, x *forecast.Experience, c *journal.Cook) (*forecast.Forecaster, error) {
	return x.Where(ctx, Earlier(c))
}

// Earlier returns a filter for the cooks that were over when c went on; all if it is
// not on.
func Earlier(c *journal.Cook) func(*journal.Cook) bool {
	began, ok := c.OnAt()
	return func(o *journal.Cook) bool {
		off, _ := o.Finish()
		return !ok || o.ID != c.ID && !off.After(began)
	}
}

// latest reads only the cooks that Before uses for c, which must be on. It fails with
// ctx's error.
func (a *App) latest(ctx context.Context, c *journal.Cook) ([]journal.Cook, error) {
	began, _ := c.OnAt()
	all, _, err := a.journal.List(ctx)
	if err != nil {
		return nil, err
	}
	over := slices.DeleteFunc(all, func(s folder.Summary) bool {
		return s.Broken || s.Finish.IsZero() || s.On.IsZero() || s.ID == c.ID || s.Finish.After(began) || !forecast.Counts(s.Finish.Sub(s.On))
	})
	slices.SortStableFunc(over, func(a, b folder.Summary) int { return a.Date.Compare(b.Date) })
	return a.load(ctx, over[max(0, len(over)-forecast.MostCooks):])
}

// ComesOff forecasts a running cook from its notes up to now. ok is false if it is off
// or not on yet. It fails with ctx's error.
func (a *App) ComesOff(ctx context.Context, c *journal.Cook, now time.Time, learning Progress) (off report.Off, ok bool, err error) {
	if _, on := c.OnAt(); !on {
		return report.Off{}, false, nil
	}
	past, err := a.latest(ctx, c)
	if err != nil {
		return report.Off{}, false, err
	}
	know, err := Before(ctx, a.Experience(past, learning), c)
	if err != nil {
		return report.Off{}, false, err
	}
	f := know.At(c, now)
	return report.OffFrom(f, now), !f.Done, ctx.Err()
}
