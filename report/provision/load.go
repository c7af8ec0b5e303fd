package provision

import (
	"context"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/provision/buffer"
	"ashbook/report/safety"
)

// Load is the meat of one dish in one pit for one fire.
type Load struct {
	Dish, Pit int // indexes in the plan
	Batch     int // 0: cooked for the meal itself; 1, 2: cooked earlier and chilled
	Cook      journal.Cook
	Forecast  forecast.Forecast
	// Sure is the share of cooks that must be off by LatestOff. It is above nine in ten
	// if the meal has several loads, so that all of them are off in nine of ten meals.
	Sure      float64
	Finish    *Finish   // how it comes late and is in time all the same; nil: it does not
	CutAt     time.Time // when it is pulled or sliced for the meal
	LatestOff time.Time
	OnBy      time.Time    // when to put it on; for a pit that should be lit already, when the pit is steady
	Missed    time.Time    // when it should have gone on; zero: that time is still ahead
	Off       [3]time.Time // when it is off if on at OnBy: 10, 50 and 90 %
	Thaw      time.Time    // out of the freezer; zero: not frozen
	Trim      time.Time
	Salt      time.Time
	Rub       time.Time
	Light     time.Time // zero: the pit is already lit for another load
	Halved    bool      // the pieces are cut in two
	Oven      bool      // cooked in a kitchen oven, not in the pit
	Stagger   []Stagger // pieces that may go on later to come off with the rest
}

// Stagger is a piece that may go on after the first of its load.
type Stagger struct {
	Piece string
	OnBy  time.Time
}

// Time for carving (chosen; common practice, no source): until the first piece, and for
// each piece.
const (
	carveFirst = 10 * time.Minute
	carveEach  = 5 * time.Minute
)

// ShortestRest is the least time between off and carving: "rest, brisket: at least 30
// min", "sliced or pulled same day: 30 – 45 min" (a tutorial page, hobby threads).
const ShortestRest = 30 * time.Minute

// OffBy returns when the meat must be off for a meal, with time to rest it and to carve
// so many pieces.
func OffBy(serve time.Time, pieces int) time.Time {
	return serve.Add(-carving(pieces) - ShortestRest)
}

// carving returns how long it takes to pull or slice so many pieces.
func carving(pieces int) time.Duration { return carveFirst + time.Duration(pieces)*carveEach }

// Times to chill and reheat what is cooked earlier, to cut it up and to clean the pit
// (chosen). The limits are those of the Food Code.
const (
	cleanPit = 90 * time.Minute
	cutUp    = 45 * time.Minute
)

// Settles returns the usual time from lighting to a steady pit, and the time to allow,
// which is enough for nine in ten fires. Without cooks on the pit, the time to allow is
// between a quarter of an hour and an hour longer than usual.
func (p Pit) Settles() (usual, allowed time.Duration) {
	usual = duration(p.Book.Settle.Likely / 60).Round(fine)
	return usual, min(max(usual+Spare, duration(p.Book.Settle.High/60).Round(fine)), usual+time.Hour)
}

// cook returns the cook planned for a dish in a pit.
func (p *Plan) cook(dish, pit int, pieces []journal.Piece) *journal.Cook {
	r := p.Request
	aim := r.Dishes[dish].Aim
	if p.Pits[pit].Aim.Known {
		aim.Pit = p.Pits[pit].Aim
	}
	aim.Wrap.Bare = aim.Wrap.Kind == journal.NoWrap // a plan decides that there is no wrap
	p.habit(&aim, p.like[dish], p.Pits[pit].Name)
	return &journal.Cook{Title: r.Title, Cut: r.Dishes[dish].Cut, Pieces: pieces, Pit: p.Pits[pit].Name, Aim: aim,
		Serve: r.Serve, Heads: r.Party.Heads, Weather: r.Weather}
}

// forecastPieces subtracts what trimming removes.
func (p *Plan) forecastPieces(dish int, pieces []journal.Piece) []journal.Piece {
	out := slices.Clone(pieces)
	for i := range out {
		if !out[i].Trimmed.Known {
			out[i].Trimmed = measure.Kilograms(out[i].Raw.Base * (1 - p.Meats[dish].Trim.Lost))
		}
	}
	return out
}

// ahead forecasts a load before it goes on.
func (p *Plan) ahead(f *forecast.Forecaster, l *Load) forecast.Forecast {
	c := l.Cook
	c.Pieces = p.forecastPieces(l.Dish, c.Pieces)
	return buffer.Drawn(f.Plan(&c), p.Margin)
}

// apart is the least difference between two pieces, h, for which each gets its own time
// (chosen).
const apart = .75

// Spare is the least time added to the usual settling when lighting (chosen).
const Spare = 15 * time.Minute

// Rounding of planned times: those that depend on meat, and those that depend on
// people.
const (
	step = 10 * time.Minute
	fine = 5 * time.Minute
)

// schedule sets when each load must go on, counting back from the meal.
//
// A forecast before the cook does not depend on the hour of the day, so OnBy is
// LatestOff minus the hours that are enough for the share Sure of cooks.
func (p *Plan) schedule(ctx context.Context, f *forecast.Forecaster, past []journal.Cook) error {
	p.cutInTurn()
	for b := range p.Batches {
		var loads []*Load
		for i := range p.Loads {
			l := &p.Loads[i]
			if l.Batch != b {
				continue
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			l.Forecast = p.ahead(f, l)
			if err := p.reaches(l); err != nil {
				return err
			}
			p.finish(l)
			loads = append(loads, l)
		}
		bonds := p.bonds(f, loads)
		p.odds(loads, bonds, past)
		if b == 0 {
			p.common = bonds
		}
		for _, l := range loads {
			l.LatestOff = p.latestOff(l)
			p.place(l, l.LatestOff.Add(-duration(l.hours(l.Sure))).Truncate(step))
		}
		oneFire(loads)
	}
	return nil
}

// oneFire keeps one lighting for each fire in a pit: that of the load that goes on
// first.
func oneFire(loads []*Load) {
	for _, l := range loads {
		for _, o := range loads {
			if o != l && o.Pit == l.Pit && !o.Light.IsZero() && !o.Light.After(l.Light) {
				l.Light = time.Time{}
				break
			}
		}
	}
}

// place sets a load's times, given the time at which it goes on.
func (p *Plan) place(l *Load, on time.Time) {
	l.OnBy = on.In(p.Request.Serve.Location())
	has := l.LatestOff.Sub(l.OnBy).Hours()
	l.Off = offWhen(l.within(has), l.OnBy)
	if l.Finish != nil {
		finish := *l.Finish
		finish.core(&l.Forecast, has)
		l.Finish = &finish
	}
	_, settle := p.Pits[l.Pit].Settles()
	l.Light = l.OnBy.Add(-settle) // oneFire clears it if the pit is already lit
	l.Stagger = nil
	stretch := l.hours(l.Sure) / l.Forecast.ToGo.Mid
	for _, i := range p.staggered(l) {
		piece := l.Forecast.Pieces[i]
		l.Stagger = append(l.Stagger, Stagger{piece.Name, l.OnBy.Add(duration((l.Forecast.ToGo.Mid - piece.Hours) * stretch)).Truncate(step)})
	}
}

// offWhen returns when a load that goes on at the given time comes off: 10, 50 and 90 %
// of cooks are off by then.
func offWhen(f forecast.Forecast, on time.Time) (off [3]time.Time) {
	for i, share := range []float64{.1, .5, .9} {
		off[i] = on.Add(duration(buffer.Hours(f, share))).Round(step)
	}
	return off
}

// staggered returns the pieces that need at least apart hours less than the slowest.
func (p *Plan) staggered(l *Load) []int {
	var out []int
	for i, piece := range l.Forecast.Pieces {
		if l.Forecast.ToGo.Mid-piece.Hours >= apart && piece.Name != "" {
			out = append(out, i)
		}
	}
	return out
}

// latestOff returns the latest time at which a load may come off: the meal less carving
// and the shortest rest. A load cooked earlier also needs time to be chilled and
// reheated, and the pit to be cleaned for the next fire.
func (p *Plan) latestOff(l *Load) time.Time {
	if l.Batch == 0 {
		return l.CutAt.Add(-l.Rest())
	}
	last := p.ReheatAt.Add(-ShortestRest - cutUp - duration(safety.WholeCooling))
	for _, next := range p.Loads {
		if next.Batch == l.Batch-1 && next.Pit == l.Pit && !next.Light.IsZero() {
			if t := next.Light.Add(-cleanPit); t.Before(last) {
				last = t
			}
		}
	}
	return last
}

func duration(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
