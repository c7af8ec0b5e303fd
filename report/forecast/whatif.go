package forecast

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

// Alternative is the forecast of a running cook after one decision.
type Alternative struct {
	Name  string  // "leave", "paper", "foil", "pit up"
	ToGo  Range   // time until the last piece is off, h
	Saves float64 // median time saved against "leave", h; negative: longer
	// OpenEnd is set if the core may never get there.
	OpenEnd bool
	Note    string // what the choice costs or is based on
}

// raiseBy is how much "pit up" raises the pit, K (chosen: a common step, 107 to 121 °C).
const raiseBy = 14.0

// WhatIf returns the forecast of a running cook as it is and after one change made now.
// Left is its forecast at now. It returns nil if nothing is on. "Leave" assumes no wrap if
// the plan mentions none; the forecast itself does not. A hotter pit or an earlier wrap
// never makes a cook later (people.Moment).
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
	case len(j.May) > 0: // here "leave" means that the meat is not wrapped
		j.May = nil
		leave = with("leave", "unwrapped to the end", func(*model.State) {})
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
	note := "watch the bark"
	if j.Pit.Setting {
		note = "only the setting is known: the pit may rise by less"
	}
	out = append(out, with("pit up", note, func(k *model.State) { k.Pit.Future += raiseBy }))
	for i := range out {
		out[i].Saves = leave.ToGo.Mid - out[i].ToGo.Mid
	}
	return out
}
