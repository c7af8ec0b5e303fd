package model

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/report/numeric/heat"
)

// covers sets the wraps and sprays so far and the planned wrap.
func (j *State) covers(now time.Time) {
	aim := j.Cook.Aim.Wrap
	if c := coverOf(aim.Kind, false); c != heat.Bare {
		j.Plan, j.PlanAt = c, UsualWrapAt
		if aim.At.Known && aim.At.Base > 30 && aim.At.Base < 100 {
			j.PlanAt = aim.At.Base
		}
	}
	if j.On.IsZero() {
		return
	}
	cover := heat.Bare
	for _, e := range j.Cook.Entries {
		if e.Time.After(now) {
			break
		}
		h := e.Time.Sub(j.On).Seconds()
		for _, it := range e.Items {
			switch {
			case it.Act == journal.PutWrap:
				cover = coverOf(it.Wrap, it.Loose)
				j.Plan = heat.Bare
			case it.Act == journal.Unwrap:
				cover = heat.Bare
			case it.Act.WetsSurface():
				// A spray all round puts .05 to .1 kg/m² of water on a bare surface.
				j.Changes = append(j.Changes, heat.Change{At: math.Max(0, h), Cover: cover, Spritz: .07})
				continue
			default:
				continue
			}
			j.Changes = append(j.Changes, heat.Change{At: math.Max(0, h), Cover: cover})
		}
	}
	j.Wrapped = cover != heat.Bare
}

// mayWrap sets the possible wraps, unless the meat is wrapped already or its core is
// past the temperature at which they are put on.
func (j *State) mayWrap(all []MayWrap) {
	for _, c := range j.Changes {
		if c.Cover != heat.Bare {
			return
		}
	}
	core := math.Inf(-1)
	for i := range j.Pieces {
		if last, ok := j.Pieces[i].Last(); ok {
			core = math.Max(core, last.C)
		}
	}
	for _, m := range all {
		if core <= m.At && m.Chance >= .01 {
			j.May = append(j.May, m)
		}
	}
}

// way is one possible wrap.
type way struct {
	cover  heat.Cover
	at     float64 // core at which it is put on, °C
	chance float64
}

// ways returns all possible wraps, the plan first; their chances sum to 1.
func (j *State) ways() []way {
	all := []way{{j.Plan, j.PlanAt, 1}}
	for _, m := range j.May {
		all[0].chance -= m.Chance
		all = append(all, way{coverOf(m.Kind, false), m.At, m.Chance})
	}
	return all
}

func coverOf(w journal.Wrap, loose bool) heat.Cover {
	switch w {
	case journal.Foil:
		return heat.Foil
	case journal.Paper:
		if loose {
			return heat.LoosePaper
		}
		return heat.Paper
	case journal.Boat:
		return heat.Boat
	case journal.InPan:
		return heat.Pan
	}
	return heat.Bare
}
