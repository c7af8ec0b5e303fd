package forecast

import (
	"fmt"
	"math"
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
	Note    string // what the choice costs or rests on
}

// raiseBy is how far "pit up" raises the pit, K (chosen: one notch of common
// practice, 107 to 121 °C).
const raiseBy = 14.0

// WhatIf shows a running cook left alone and with one thing done now, each
// with its range; left is its forecast at now. It is empty when nothing is on.
// Left alone, a cook that says nothing of a wrap stays bare, which the forecast
// does not take for certain.
//
// The alternatives share the cook's fit and corrections; only the difference
// is simulated, since past cooks say too little of each.
func (f *Forecaster) WhatIf(c *journal.Cook, now time.Time, left Forecast) []Alternative {
	if left.Done || left.On.IsZero() {
		return nil
	}
	j := f.world.Read(c, now)
	e := model.New(j)
	post := e.Fit()
	base, _ := e.Point(post)
	base = math.Max(base, model.Soonest)
	leave := Alternative{Name: "leave", ToGo: left.ToGo, OpenEnd: left.OpenEnd}
	switch {
	case j.Plan != heat.Bare && !j.Wrapped:
		leave.Note = fmt.Sprintf("as planned: %s at %s", c.Aim.Wrap.Kind, j.Temp(j.PlanAt))
	case len(j.May) > 0: // to leave it is not to wrap it
		j.May = nil
		bare, reached := model.New(j).Point(post)
		factor := math.Max(1, bare/base)
		base *= factor
		leave.ToGo = Range{left.ToGo.Lo * factor, left.ToGo.Mid * factor, left.ToGo.Hi * factor}
		leave.OpenEnd = leave.OpenEnd || !reached
		leave.Note = "bare to the end"
	}
	out := []Alternative{leave}
	try := func(name, note string, change func(j *model.State)) {
		k := *j
		k.Changes = append([]heat.Change(nil), j.Changes...)
		change(&k)
		hours, reached := model.New(&k).Point(post)
		hours *= model.Longer(k.Pit.Future, j.Pit.Future)
		factor := math.Min(1, hours/base) // more heat or less drying never makes it later
		// The difference itself is known to about a third (chosen).
		doubt := math.Exp(math.Abs(math.Log(factor)) / 3)
		r := Range{leave.ToGo.Lo * factor / doubt, leave.ToGo.Mid * factor, leave.ToGo.Hi * factor * doubt}
		r.Hi = math.Min(r.Hi, math.Max(leave.ToGo.Hi, r.Mid))
		out = append(out, Alternative{Name: name, ToGo: r, Saves: leave.ToGo.Mid - r.Mid, OpenEnd: !reached, Note: note})
	}
	at := j.Elapsed * 3600
	wrap := func(cover heat.Cover) func(*model.State) {
		return func(k *model.State) {
			k.Plan, k.May = heat.Bare, nil
			k.Changes = append(k.Changes, heat.Change{At: at, Cover: cover})
		}
	}
	if !j.Wrapped {
		try("paper", "the bark stays drier than in foil", wrap(heat.Paper))
		try("foil", "the bark softens", wrap(heat.Foil))
	}
	note := "watch the surface"
	if j.Pit.Setting {
		note = "only the setting is known: the grate may gain less"
	}
	try("pit up", note, func(k *model.State) { k.Pit.Future += raiseBy })
	return out
}
