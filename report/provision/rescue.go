package provision

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/quantity"
)

// Hurry is the result of lighting at once.
type Hurry struct {
	Load   *Load        // the load most likely to be late
	Missed time.Time    // when that load should have gone on
	Late   float64      // chance, 0 to 1
	On     time.Time    // once the pit is settled
	Off    [3]time.Time // 10, 50 and 90 %
}

// hurry plans to put on at once the loads that should be on already.
func (p *Plan) hurry() {
	for i := range p.Loads {
		l := &p.Loads[i]
		usual, _ := p.Pits[l.Pit].Settles()
		on := p.soonest(l, usual)
		if !on.After(l.OnBy) {
			continue
		}
		missed := l.OnBy
		p.place(l, on)
		l.Missed, l.Light = missed, p.Moment
		chance := l.late(l.LatestOff.Sub(on).Hours())
		if p.Hurry == nil || p.Hurry.Late < chance {
			p.Hurry = &Hurry{Load: l, Missed: missed, Late: chance, On: on, Off: l.Off}
		}
	}
	for b := range p.Batches {
		oneFire(p.batch(b))
	}
}

// batch returns the loads of one batch that are cooked in a pit.
func (p *Plan) batch(b int) (loads []*Load) {
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Batch == b && !l.Oven {
			loads = append(loads, l)
		}
	}
	return loads
}

// soonest returns the earliest time at which a load can go on: its pit or oven is hot
// and the meat is trimmed.
func (p *Plan) soonest(l *Load, hot time.Duration) time.Time {
	return upTo(p.Moment.Add(max(hot, l.Trimming())))
}

// Way is a way to save a meal that is late, starting now.
type Way struct {
	What string
	Late float64   // chance of missing the meal, 0 to 1
	Meal time.Time // earliest meal for which 9 of 10 such cooks are ready; zero: it may never be done
	Cost string

	load *Load // the load cooked this way; nil: cooked meat is bought, or it may never be done
}

// InTime reports whether a way is as often in time as a plan.
func (w Way) InTime() bool { return !w.Meal.IsZero() && w.Late <= 1-buffer.Sure+1e-9 }

// Ways of cooking faster (common practice, no source): the hottest pit for big cuts,
// and a kitchen oven with the meat covered. The oven is hot in a quarter of an hour.
const (
	hotPit    = 135.0 // °C
	hotOven   = 150.0 // °C
	coverAt   = 60.0  // °C of core, when the meat has most of its smoke
	heatOven  = 15 * time.Minute
	reheating = 2 * time.Hour
)

// quick lists cuts that cook in an afternoon, slowest first (common practice, no
// source).
var quick = []string{"spare ribs", "chicken"}

// rescue works out the ways and their chances. It fails with ctx's error.
func (p *Plan) rescue(ctx context.Context, f *forecast.Forecaster) error {
	late := p.Hurry.Load
	try := func(l Load, on time.Time, what, cost string) Way {
		w := Way{What: what, Late: 1, Cost: cost}
		if !l.Forecast.OpenEnd {
			w.Late = l.late(l.LatestOff.Sub(on).Hours())
			w.Meal = p.mealFor(&l, on)
			p.place(&l, on)
			l.Missed, l.Light = late.Missed, late.Light
			w.load = &l
		}
		return w
	}
	change := func(what, cost string, hot time.Duration, changes ...func(*journal.Cook)) {
		if ctx.Err() != nil {
			return
		}
		l := *late
		l.Cook.Pieces = slices.Clone(l.Cook.Pieces)
		for _, c := range changes {
			c(&l.Cook)
		}
		if len(changes) > 0 {
			l.Halved = len(l.Cook.Pieces) > len(late.Cook.Pieces)
			l.Forecast, l.Finish = p.changed(late, l.Cook), nil
		}
		p.Ways = append(p.Ways, try(l, p.soonest(&l, hot), what, cost))
	}
	pit := max(hotPit, late.Forecast.Pit+raise)
	hotter := func(c *journal.Cook) { c.Aim.Pit = measure.Degrees(pit, measure.Metric) }
	foil := wrapped(journal.Foil, 72)
	bare := late.Cook.Aim.Wrap.Kind == journal.NoWrap
	settles, _ := p.Pits[late.Pit].Settles()
	change("as planned, lit now", "only the wait", settles)
	change("pit at "+p.Temp(pit), "a darker bark and drier edges", settles, hotter)
	if bare {
		change("foil at "+p.Temp(72), "a soft bark", settles, foil)
	}
	change("every piece cut in two", "more crust, smaller slices", settles, halved)
	change(fmt.Sprintf("all of it: pit at %s, foil, cut in two", p.Temp(pit)), "a soft bark, smaller pieces", settles, hotter, foil, halved)
	ovens := "no smoke; sauce carries it"
	if n := Ovens(p.Cooked(late.Batch > 0)); n > 1 {
		ovens = fmt.Sprintf("%d ovens; %s", n, ovens)
	}
	change("the kitchen oven at "+p.Oven(hotOven)+", cut in two and covered", ovens, heatOven,
		func(c *journal.Cook) { c.Aim.Pit = measure.Degrees(hotOven, measure.Metric) }, wrapped(journal.Foil, coverAt), halved)
	if err := ctx.Err(); err != nil {
		return err
	}
	if oven := p.Ways[len(p.Ways)-1].load; oven != nil {
		oven.Oven, oven.Light = true, p.Moment
	}
	p.Ways = append(p.Ways, p.quickly(late, p.Hurry.On, f, try), p.bought())
	return nil
}

// take plans the first way that cooks everything in time, if the meal is lost without
// it. A plan with times that nobody can meet would be useless.
func (p *Plan) take() {
	if !p.Lost() {
		return
	}
	for i := range p.Ways {
		if w := &p.Ways[i]; w.InTime() && w.load != nil && w.load.Cook.Cut == p.Hurry.Load.Cook.Cut {
			p.Taken = w
			*p.Hurry.Load = *w.load
			p.unhurried(p.Hurry.Load)
			return
		}
	}
}

// unhurried puts a load that a faster way shortens on at the time a normal plan would
// give it, and plans the lighting of the pits again for the loads they still have.
func (p *Plan) unhurried(l *Load) {
	if by := l.LatestOff.Add(-duration(l.hours(l.Sure))).Truncate(step); by.After(l.OnBy) {
		p.place(l, by)
		if l.Missed = (time.Time{}); l.Oven {
			l.Light = by.Add(-heatOven)
		}
	}
	loads := p.batch(l.Batch)
	for _, o := range loads {
		if o.Missed.IsZero() {
			_, settle := p.Pits[o.Pit].Settles()
			o.Light = later(o.OnBy.Add(-settle), p.Moment)
		} else {
			o.Light = p.Moment
		}
	}
	oneFire(loads)
}

// quickly returns the way that adds a faster cut for half of the people.
func (p *Plan) quickly(late *Load, on time.Time, f *forecast.Forecaster, try func(Load, time.Time, string, string) Way) (w Way) {
	for _, cut := range quick {
		l := *late
		half := quantity.Buy(cut, nil, p.Meats[late.Dish].Cooked/2, p.Request.Enough, nil, p.Settings.Units)
		l.Cook.Cut, l.Cook.Pieces = cut, half.Pieces
		l.Cook.Aim = journal.Aim{Pit: late.Cook.Aim.Pit}
		l.Forecast, l.Finish = p.ahead(f, &l), nil
		w = try(l, on, cut+" as well, for half of the people", fmt.Sprintf("%s of %s more to buy; the other guests eat later", p.Mass(half.Buy), cut))
		if w.InTime() {
			break
		}
	}
	return w
}

// bought returns the way in which cooked meat is bought.
func (p *Plan) bought() Way {
	cooked := 0.0
	for _, m := range p.Meats {
		cooked += m.Cooked
	}
	w := Way{What: fmt.Sprintf("bought cooked, %s, reheated to %s", p.Mass(cooked), p.Temp(74)), Cost: "you pay for it; what you cook is for tomorrow", Meal: p.Request.Serve}
	if ready := p.Moment.Add(reheating).Round(step); ready.After(p.Request.Serve) {
		w.Late, w.Meal = 1, ready
	}
	return w
}

// mealFor returns the earliest time of a meal for which a load that goes on at the
// given time is in time often enough.
func (p *Plan) mealFor(l *Load, on time.Time) time.Time {
	late := on.Add(duration(l.hours(l.Sure))).Sub(l.LatestOff)
	return upTo(p.Request.Serve.Add(late))
}

// upTo rounds a time up to the steps in which a plan gives times.
func upTo(t time.Time) time.Time {
	if at := t.Truncate(step); at.Before(t) {
		return at.Add(step)
	}
	return t
}

// wrapped returns a change that wraps a cook at a core, °C.
func wrapped(kind journal.Wrap, at float64) func(*journal.Cook) {
	return func(c *journal.Cook) {
		c.Aim.Wrap = journal.WrapPlan{Kind: kind, At: measure.Degrees(at, measure.Metric)}
	}
}

// halved cuts every piece in two.
func halved(c *journal.Cook) {
	var halves []journal.Piece
	for _, piece := range c.Pieces {
		piece.Raw.Base, piece.Trimmed.Base, piece.Thick = piece.Raw.Base/2, piece.Trimmed.Base/2, measure.Length{}
		one, other := piece, piece
		one.Name, other.Name = piece.Name+"a", piece.Name+"b"
		halves = append(halves, one, other)
	}
	c.Pieces = halves
}
