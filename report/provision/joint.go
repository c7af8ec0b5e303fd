package provision

import (
	"cmp"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/hold"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/quantity"
)

// Finish says how a load that does not keep in a box comes late and is in time all the
// same: at a look the pit gets hotter if the core lags.
type Finish struct {
	After  float64 // h on the grate, at the look
	Core   float64 // °C at the look of a load that comes off just in time; 0: not known
	Pit    float64 // °C, if the core is lower than that
	Factor float64 // hours to go in the hotter pit, as a share of those in the usual one
}

const (
	// shortRest is the rest of a cut that does not keep: it is served hot from the pit
	// (common practice, no source).
	shortRest = 15 * time.Minute
	// look is the share of the likely hours after which the load is looked at: its pace
	// is known then, and there is still time for a hotter pit to help (chosen).
	look = 2. / 3
	// unhelped is the share of loads that are to be in time in the usual pit (chosen).
	unhelped = .75
)

// keeps returns for how many hours a load stays good in a box, at most box hours.
func (l *Load) keeps(box float64) float64 {
	if k := quantity.Find(l.Cook.Cut).Keeps; k > 0 {
		return math.Min(k, box)
	}
	return box
}

// Quick reports whether a load is for the meal itself and does not keep in a box.
func (l *Load) Quick() bool { return l.Batch == 0 && quantity.Find(l.Cook.Cut).Keeps > 0 }

// Rest is the least time between off and carving.
func (l *Load) Rest() time.Duration {
	if l.Quick() {
		return shortRest
	}
	return ShortestRest
}

// hours returns the time that a load needs on the grate so that a share of such loads is
// in time, h.
func (l *Load) hours(share float64) float64 {
	h := buffer.Hours(l.Forecast, share)
	if f := l.Finish; f != nil && h > f.After {
		helped := f.After + (h-f.After)*f.Factor
		return math.Min(h, math.Max(helped, buffer.Hours(l.Forecast, unhelped)))
	}
	return h
}

// late returns the share of loads that are not off within h hours.
func (l *Load) late(h float64) float64 {
	if f := l.Finish; f != nil && h > f.After {
		h = f.After + (h-f.After)/f.Factor
	}
	return buffer.Late(l.Forecast, h)
}

// within returns the forecast of a load that has so many hours: one that would take
// longer finishes in the hotter pit.
func (l *Load) within(h float64) forecast.Forecast {
	out := l.Forecast
	f := l.Finish
	if f == nil {
		return out
	}
	out.Sample = slices.Clone(out.Sample)
	for i, took := range out.Sample {
		if took > math.Max(h, f.After) {
			out.Sample[i] = f.After + (took-f.After)*f.Factor
		}
	}
	slices.Sort(out.Sample)
	return out
}

// finish sets how a quick load finishes. The effect of a hotter pit is known to about a
// third, so a third of it is not counted on. Pieces of different size have their own
// hours instead.
func (p *Plan) finish(l *Load) {
	l.Finish = nil
	if !l.Quick() || l.Forecast.Pit+raise > crispSkin || len(p.staggered(l)) > 0 {
		return
	}
	hot := l.Cook
	hot.Aim.Pit = measure.Degrees(crispSkin, measure.Metric)
	factor := p.changed(l, hot).ToGo.Mid / l.Forecast.ToGo.Mid
	if factor >= 1 {
		return
	}
	l.Finish = &Finish{After: look * l.Forecast.ToGo.Mid, Pit: crispSkin, Factor: math.Pow(factor, 2./3)}
}

// core sets the core at the look of a load that takes all of its h hours.
func (f *Finish) core(of *forecast.Forecast, h float64) {
	at := f.After * of.ToGo.Mid / h
	i, _ := slices.BinarySearchFunc(of.Band, at, func(b forecast.BandPoint, at float64) int { return cmp.Compare(b.Hours, at) })
	if f.Core = 0; h > 0 && i < len(of.Band) {
		f.Core = of.Band[i].Mid
	}
}

// odds divides the chance of being late between loads so that all are off in time in a
// share buffer.Sure of the meals, if they are late independently of each other; what they
// have in common makes it more. An hour costs a load the share that it is of the hours
// for which the load keeps in a box, and each step goes where it is cheapest.
func (p *Plan) odds(loads []*Load, past []journal.Cook) {
	const steps, most = 1000., .99 // a forecast ends at 99 %
	cost := make([]float64, len(loads))
	waits := make([]float64, len(loads)) // pieces that have their own hours
	for i, l := range loads {
		box, _ := hold.Keeps(boxedAt, p.Settings.HoldLimit(), &l.Cook, past)
		cost[i], waits[i] = 1/l.keeps(box[1]), float64(1+len(p.staggered(l)))
		l.Sure = .5
	}
	for {
		all, best, least := 1., -1, math.Inf(1)
		for i, l := range loads {
			all *= math.Pow(l.Sure, waits[i])
			more := math.Round(l.Sure*steps+1) / steps
			price := cost[i] * (l.hours(more) - l.hours(l.Sure)) / (waits[i] * math.Log(more/l.Sure))
			if more <= most && price < least {
				best, least = i, price
			}
		}
		if all >= buffer.Sure || best < 0 {
			return
		}
		loads[best].Sure = math.Round(loads[best].Sure*steps+1) / steps
	}
}

// Together returns the share of meals for which all loads are off in time, if they are
// late independently of each other.
func (p *Plan) Together() float64 {
	all := 1.
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Batch == 0 {
			all *= math.Pow(l.Sure, float64(1+len(l.Stagger)))
		}
	}
	return all
}

// cutInTurn sets when each load is cut: those that keep in a box from CarveAt on, the
// others after them, the one that keeps shortest last.
func (p *Plan) cutInTurn() {
	var quick []*Load
	held := false
	for i := range p.Loads {
		l := &p.Loads[i]
		l.CutAt = p.CarveAt
		if l.Quick() {
			quick = append(quick, l)
		}
		held = held || l.Batch == 0 && !l.Quick()
	}
	keeps := func(l *Load) float64 { return quantity.Find(l.Cook.Cut).Keeps }
	slices.SortStableFunc(quick, func(a, b *Load) int { return cmp.Compare(keeps(b), keeps(a)) })
	at := p.Request.Serve
	for i, l := range slices.Backward(quick) {
		at = at.Add(-time.Duration(len(l.Cook.Pieces)) * carveEach)
		if l.CutAt = at; i == 0 && !held {
			l.CutAt = p.CarveAt
		}
	}
	for i := 1; i < len(quick); i++ { // loads of one cut are cut as one
		if quick[i].Dish == quick[i-1].Dish {
			quick[i].CutAt = quick[i-1].CutAt
		}
	}
}

// Late returns the chance that a load is not off in time, as it is put on.
func (l *Load) Late() float64 { return l.late(l.LatestOff.Sub(l.OnBy).Hours()) }

// Helped returns the share of loads that need the hotter pit to be in time.
func (l *Load) Helped() float64 { return buffer.Late(l.Forecast, l.LatestOff.Sub(l.OnBy).Hours()) }

// Held returns how long a load is in the box most likely, h.
func (l *Load) Held() float64 { return l.held(1) }
