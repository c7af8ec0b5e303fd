package app

import (
	"context"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/safety"
)

// Care returns the most urgent caution of a cook: something to do now, or an aim that
// is wrong. Without an aim, it assumes the usual core of the cut.
func (a *App) Care(ctx context.Context, c *journal.Cook, now time.Time) (f safety.Finding, ok bool) {
	aimed := *c
	if !aimed.Aim.Core.Known && model.Usual(c.Cut) {
		aimed.Aim.Core = measure.Degrees(min(model.UsualOff(c.Cut), journal.HottestCore(a.Settings().Altitude)), measure.Metric)
	}
	all := safety.LookKnowing(&aimed, a.before(ctx, c), a.Settings(), now).Findings
	i := slices.IndexFunc(all, func(f safety.Finding) bool {
		return f.Weight == safety.DoNow || f.Weight == safety.Ask && f.Kind == safety.LowAim || f.Kind == safety.FarAim
	})
	if i < 0 {
		return safety.Finding{}, false
	}
	return all[i], true
}

// askedBy returns the questions that the words of new entries raise, for cautions less
// urgent than those of Care.
func (a *App) askedBy(c *journal.Cook, entries []journal.Entry, now time.Time) (asks []string) {
	if !slices.ContainsFunc(entries, func(e journal.Entry) bool { return e.Words != "" }) {
		return nil
	}
	for _, f := range safety.Look(c, a.Settings(), now).Findings {
		of := slices.ContainsFunc(entries, func(e journal.Entry) bool { return f.RestsOn(e, a.Settings().Units) })
		if of && f.Weight == safety.Ask {
			asks = append(asks, string(f.Kind)+": "+f.Do)
		}
	}
	return asks
}

// before returns the cooks that show whether this user usually goes on noting after the
// meat is off. It returns none if the meat of c is on, or if they cannot be read.
func (a *App) before(ctx context.Context, c *journal.Cook) []*frame.Cook {
	if _, off := c.Finish(); !off {
		return nil
	}
	all, _, err := a.journal.List(ctx)
	if err != nil {
		return nil
	}
	all = slices.DeleteFunc(all, func(s folder.Summary) bool {
		return s.Broken || s.Finish.IsZero() || s.ID == c.ID || s.Date.After(c.Date())
	})
	slices.SortStableFunc(all, func(a, b folder.Summary) int { return a.Date.Compare(b.Date) })
	past, _ := a.load(ctx, all[max(0, len(all)-safety.Habit):])
	return frame.Cooks(past)
}

// aimOf returns the aim that the user last had for a cut without a usual core. It fails
// with NoAim if there is none.
func aimOf(n *journal.Cook, past []journal.Cook) (measure.Temperature, error) {
	if n.Aim.Core.Known || model.Usual(n.Cut) {
		return n.Aim.Core, nil
	}
	for _, c := range slices.Backward(past) {
		if strings.EqualFold(c.Cut, n.Cut) && c.Aim.Core.Known {
			return c.Aim.Core, nil
		}
	}
	return n.Aim.Core, typed.Mistaken(typed.NoAim, n.Cut, "no usual core is known for %q; add the core at which it is done, on the Shelf such as %s 60 °C", n.Cut, n.Cut)
}
