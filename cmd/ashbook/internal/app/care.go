package app

import (
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/safety"
)

// Care is what presses of a cook now: what is to be done, and an aim that is wrong.
// A cook without an aim of its own is taken to come off where its cut usually does.
func (a *App) Care(c *journal.Cook, now time.Time) (f safety.Finding, ok bool) {
	aimed := *c
	if !aimed.Aim.Core.Known && model.Usual(c.Cut) {
		aimed.Aim.Core = measure.Degrees(min(model.UsualOff(c.Cut), journal.HottestCore(a.Settings().Altitude)), measure.Metric)
	}
	all := safety.Look(&aimed, a.Settings(), now).Findings
	i := slices.IndexFunc(all, func(f safety.Finding) bool {
		return f.Weight == safety.DoNow || f.Weight == safety.Ask && f.Kind == safety.LowAim
	})
	if i < 0 {
		return safety.Finding{}, false
	}
	return all[i], true
}

// aimOf gives a cut that has no usual core the aim that the person last had for it;
// without one it fails with NoAim.
func aimOf(n *journal.Cook, past []journal.Cook) (measure.Temperature, error) {
	if n.Aim.Core.Known || model.Usual(n.Cut) {
		return n.Aim.Core, nil
	}
	for _, c := range slices.Backward(past) {
		if strings.EqualFold(c.Cut, n.Cut) && c.Aim.Core.Known {
			return c.Aim.Core, nil
		}
	}
	return n.Aim.Core, typed.Mistaken(typed.NoAim, n.Cut, "no usual core is known for %q; expected the core at which it is to come off, on the Shelf such as %s 60 °C", n.Cut, n.Cut)
}
