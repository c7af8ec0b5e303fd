package forecast

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

// Alternative is what one decision would make of a running cook.
type Alternative struct {
	Name  string  // "leave", "paper", "foil", "pit up"
	ToGo  Range   // h from now to the last piece off
	Saves float64 // h against leaving it, middle; negative: later
	// OpenEnd is set where the core may not get there at all.
	OpenEnd bool
	Note    string // what the choice costs or is based on
}

// raiseBy is how far "pit up" raises the pit, K (chosen: one notch of common
// practice, 107 to 121 °C).
const raiseBy = 14.0

// WhatIf shows a running cook left alone and with one thing done now, each with its
// range; left is its forecast at now. It is empty when nothing is on. Left alone, a
// cook that says nothing of a wrap stays bare, which the forecast does not take for
// certain. Each is the forecast of the cook with that done: more heat and an earlier
// wrap make none later (people.Moment).
func (f *Forecaster) WhatIf(c *journal.Cook, now time.Time, left Forecast) []Alternative {
	if left.Done || left.On.IsZero() {
		return nil
	}
	j := f.world.Read(c, now)
	post := model.New(j).Fit()
	with := func(name, note string, change func(k *model.State)) Alternative {
		k := *j
		k.Changes = slices.Clone(j.Changes)
		change(&k)
		e := model.New(&k)
		_, reached := e.Point(post)
		m := momentOf(&k, e, post)
		return Alternative{Name: name, ToGo: rangeOf(f.person.Hours(&m)), OpenEnd: !reached, Note: note}
	}
	leave := Alternative{Name: "leave", ToGo: left.ToGo, OpenEnd: left.OpenEnd}
	switch {
	case j.Plan != heat.Bare && !j.Wrapped:
		leave.Note = fmt.Sprintf("as planned: %s at %s", c.Aim.Wrap.Kind, j.Temp(j.PlanAt))
	case len(j.May) > 0: // to leave it is not to wrap it
		j.May = nil
		leave = with("leave", "bare to the end", func(*model.State) {})
		leave.OpenEnd = leave.OpenEnd || left.OpenEnd
	}
	wrap := func(cover heat.Cover) func(*model.State) {
		return func(k *model.State) {
			k.Plan = heat.Bare
			k.Changes = append(k.Changes, heat.Change{At: j.Elapsed * 3600, Cover: cover})
		}
	}
	out := []Alternative{leave}
	if !j.Wrapped {
		out = append(out, with("paper", "the bark stays drier than in foil", wrap(heat.Paper)), with("foil", "the bark softens", wrap(heat.Foil)))
	}
	note := "watch the surface"
	if j.Pit.Setting {
		note = "only the setting is known: the grate may gain less"
	}
	out = append(out, with("pit up", note, func(k *model.State) { k.Pit.Future += raiseBy }))
	for i := range out {
		out[i].Saves = leave.ToGo.Mid - out[i].ToGo.Mid
	}
	return out
}
