package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/forecast/model"
	"ashbook/report/provision"
)

// Learn reads the finished cooks to forecast from them. Progress is of replaying
// them, as forecasts come to need it. The error is that of ctx.
func (a *App) Learn(ctx context.Context, progress Progress) (*forecast.Experience, error) {
	past, err := a.Past(ctx)
	if err != nil {
		return nil, err
	}
	return a.Experience(past, progress), nil
}

// Experience is what finished cooks teach. What each taught is kept in the cache.
func (a *App) Experience(past []journal.Cook, progress Progress) *forecast.Experience {
	return forecast.Learn(past, a.Pits(), a.Settings(), forecast.Options{Cache: a.journal.Cache(), Progress: progress})
}

// Before returns a forecaster that knows the cooks that were over when c went on;
// all of them where it is not on. The error is that of ctx.
func Before(ctx context.Context, x *forecast.Experience, c *journal.Cook) (*forecast.Forecaster, error) {
	return x.Where(ctx, before(c))
}

// before chooses the cooks that were over when c went on; all where it is not on.
func before(c *journal.Cook) func(*journal.Cook) bool {
	began, ok := c.OnAt()
	return func(o *journal.Cook) bool {
		off, _ := o.Finish()
		return !ok || o.ID != c.ID && !off.After(began)
	}
}

// latest reads the cooks that Before chooses for c, which is on, and no others. The
// error is that of ctx.
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

// Off is when a cook comes off: a forecast as times of day, to ten minutes, for
// the range is never sure to the minute.
type Off struct {
	forecast.Forecast
	Early, Likely, Late time.Time // 10, 50 and 90 %; never before the moment of the forecast
}

// OffFrom turns a forecast of hours to go from now into times.
func OffFrom(f forecast.Forecast, now time.Time) Off {
	return Off{f, InHours(f.ToGo.Lo, now), InHours(f.ToGo.Mid, now), InHours(f.ToGo.Hi, now)}
}

// InHours is the time in h hours, to ten minutes, but not before now.
func InHours(h float64, now time.Time) time.Time {
	t := now.Add(time.Duration(h * float64(time.Hour))).Round(10 * time.Minute)
	if t.Before(now) {
		return now
	}
	return t
}

// ComesOff forecasts a running cook from its notes up to now. ok is false when it
// is off, or not on yet. The error is that of ctx.
func (a *App) ComesOff(ctx context.Context, c *journal.Cook, now time.Time, learning Progress) (off Off, ok bool, err error) {
	if _, on := c.OnAt(); !on {
		return Off{}, false, nil
	}
	past, err := a.latest(ctx, c)
	if err != nil {
		return Off{}, false, err
	}
	know, err := Before(ctx, a.Experience(past, learning), c)
	if err != nil {
		return Off{}, false, err
	}
	f := know.At(c, now)
	return OffFrom(f, now), !f.Done, ctx.Err()
}

// Lines say when a cook comes off, what that means for its meal, and how its stall goes.
func (o Off) Lines(c *journal.Cook) []string {
	late := o.Late.Format(measure.Clock)
	if o.OpenEnd {
		late = "?, may not get there"
	}
	out := []string{"comes off " + o.Early.Format(measure.Clock) + " – " + late + ", likely " + o.Likely.Format(measure.Clock)}
	if meal, _ := o.Meal(c.Serve, len(c.Pieces)); meal != "" {
		out = append(out, meal)
	}
	if o.Stall.Says != "" {
		out = append(out, o.Stall.Says)
	}
	return out
}

// Chance is what a forecast means for the serving hour.
type Chance uint8

// The chances.
const (
	NoMeal Chance = iota // no serving hour is set
	InTime
	MayBeLate
	TooLate
)

// Meal says what a forecast means for the serving hour of a cook of so many
// pieces: off by provision.OffBy, at the latest.
func (o Off) Meal(serve time.Time, pieces int) (string, Chance) {
	if serve.IsZero() {
		return "", NoMeal
	}
	latest := provision.OffBy(serve, pieces)
	clock := serve.Format(measure.Clock)
	switch {
	case o.Early.After(latest):
		return "meal " + clock + ": late", TooLate
	case o.OpenEnd || o.Late.After(latest):
		return "meal " + clock + ": may be late", MayBeLate
	}
	return fmt.Sprintf("meal %s: in time, hold %s", clock, measure.FormatRange(serve.Sub(o.Late).Hours(), serve.Sub(o.Early).Hours())), InTime
}

// BasedOn says in a few words what a forecast of a cut is based on.
func BasedOn(f forecast.Forecast, cut string) string {
	if !model.Usual(cut) {
		return "a guess: only big tough cuts are known"
	}
	past := "no past cook yet"
	if f.PastCooks > 0 {
		past = measure.Count(f.PastCooks, "past cook")
	}
	if f.Readings == 0 {
		return "from " + past
	}
	return "from " + measure.Count(f.Readings, "core reading") + " and " + past
}
