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

	"gonum.org/v1/gonum/stat/distuv"
)

// Finish is the plan for a load that does not keep in a box. It is meant to come off
// late. Somebody looks at it once, and raises the pit if the core lags, so that it is
// still in time.
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
	// look is the share of the likely hours after which somebody looks at the load: by
	// then its pace is known, and there is still time for a hotter pit to help
	// (chosen).
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

// within returns the forecast of a load that must be off after h hours: if it would
// take longer, it finishes in the hotter pit.
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

// bond is a group of loads whose hours have something in common.
type bond struct {
	loads []int
	with  float64 // least correlation of two of them, 0 to 1
}

// bonds groups the loads whose hours depend on the same habits of the person. At a
// person's first plan these habits are not known, so its loads tend to be late
// together. Past cooks show the habits; then each load is late by itself.
func (p *Plan) bonds(f *forecast.Forecaster, loads []*Load) (out []bond) {
	var cooks []*journal.Cook
	for _, l := range loads {
		c := l.Cook
		c.Pieces = p.forecastPieces(l.Dish, c.Pieces)
		cooks = append(cooks, &c)
	}
	common := f.Common(cooks)
	for i := range loads {
		at := slices.IndexFunc(out, func(b bond) bool { return common[i][b.loads[0]] > 0 })
		if at < 0 {
			out = append(out, bond{[]int{i}, 1})
			continue
		}
		for _, k := range out[at].loads {
			out[at].with = math.Min(out[at].with, common[i][k]/math.Max(1, p.Margin*p.Margin))
		}
		out[at].loads = append(out[at].loads, i)
	}
	return out
}

// inTime returns the chance, 0 to 1, that all loads are in time. share is the chance of
// each load, and pieces is how many of its pieces have hours of their own. The loads of
// a bond share one normal variable (a Gaussian copula of one factor).
func inTime(bonds []bond, share, pieces []float64) float64 {
	const reach, points = 5., 40 // standard deviations of the common variable either side
	all := 1.
	for _, b := range bonds {
		if len(b.loads) == 1 {
			all *= math.Pow(share[b.loads[0]], pieces[b.loads[0]])
			continue
		}
		sum, weights := 0., 0.
		for n := range 2*points + 1 {
			u := reach * float64(n-points) / points
			density := math.Exp(-u * u / 2)
			weights += density
			for _, i := range b.loads {
				z := (distuv.UnitNormal.Quantile(share[i]) - math.Sqrt(b.with)*u) / math.Sqrt(math.Max(1e-6, 1-b.with))
				density *= math.Pow(distuv.UnitNormal.CDF(z), pieces[i])
			}
			sum += density
		}
		all *= sum / weights
	}
	return all
}

// LookAt returns when a load is looked at; it has a Finish.
func (l *Load) LookAt() time.Time {
	return l.OnBy.Add(duration(l.Finish.After)).Round(15 * time.Minute)
}

// odds sets for each load the chance of being in time, so that all are off in time in a
// share buffer.Sure of the meals. It raises the chances in small steps, each time that
// of the load for which the added hours in the box are the smallest share of the hours
// that it keeps there.
func (p *Plan) odds(loads []*Load, bonds []bond, past []journal.Cook) {
	const steps, most = 1000., .99 // a forecast ends at 99 %
	cost, share, pieces := make([]float64, len(loads)), make([]float64, len(loads)), make([]float64, len(loads))
	for i, l := range loads {
		box, _ := hold.Keeps(boxedAt, p.Settings.HoldLimit(), &l.Cook, past)
		cost[i], pieces[i], share[i] = 1/l.keeps(box[1]), float64(1+len(p.staggered(l))), buffer.Sure
	}
	for all := inTime(bonds, share, pieces); all < buffer.Sure; {
		best, least, then := -1, math.Inf(1), 0.
		for i, l := range loads {
			was := share[i]
			share[i] = math.Round(was*steps+1) / steps
			gets := inTime(bonds, share, pieces)
			if price := cost[i] * (l.hours(share[i]) - l.hours(was)) / (gets - all); share[i] <= most && price < least {
				best, least, then = i, price, gets
			}
			share[i] = was
		}
		if best < 0 {
			break
		}
		share[best], all = math.Round(share[best]*steps+1)/steps, then
	}
	for i, l := range loads {
		l.Sure = share[i]
	}
}

// Together returns the share of meals for which all loads are off in time.
func (p *Plan) Together() float64 {
	var share, pieces []float64
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Batch == 0 {
			share, pieces = append(share, l.Sure), append(pieces, float64(1+len(l.Stagger)))
		}
	}
	return inTime(p.common, share, pieces)
}

// cutInTurn sets when each load is cut: first, from CarveAt on, the loads that keep in
// a box, then the others, and last the one that keeps for the shortest time.
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

// Late returns the chance that a load that goes on at OnBy is not off in time.
func (l *Load) Late() float64 { return l.late(l.LatestOff.Sub(l.OnBy).Hours()) }

// Helped returns the share of loads that need the hotter pit to be in time.
func (l *Load) Helped() float64 { return buffer.Late(l.Forecast, l.LatestOff.Sub(l.OnBy).Hours()) }

// Held returns how long a load is in the box most likely, h.
func (l *Load) Held() float64 { return l.held(1) }
