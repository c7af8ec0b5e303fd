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

// Load is what goes into one pit of one dish for one fire.
type Load struct {
	Dish, Pit int // places in the plan
	Batch     int // 0: for the meal itself; 1, 2: cooked before it and chilled
	Cook      journal.Cook
	Forecast  forecast.Forecast
	// Sure is the share of cooks that must be off by LatestOff: more than nine
	// in ten where several have to be, so that all of them are in nine of ten
	// whatever they have in common (Bonferroni's inequality).
	Sure      float64
	LatestOff time.Time
	OnBy      time.Time    // or, lit at once, when the pit is steady
	Missed    time.Time    // when it should have been on; zero: that is to come
	Off       [3]time.Time // off when on at OnBy: 10, 50 and 90 %
	Thaw      time.Time    // out of the freezer; zero: it is fresh
	Trim      time.Time
	Salt      time.Time
	Rub       time.Time
	Light     time.Time // zero: the pit burns already for another load
	Halved    bool      // its pieces are cut in two
	Oven      bool      // it is cooked in a kitchen oven, not in the pit
	Stagger   []Stagger // pieces that may go on later and come off with the rest
}

// Stagger is a piece that goes on after the load's first.
type Stagger struct {
	Piece string
	OnBy  time.Time
}

// Time for plating, which depends on hands alone (chosen; common practice,
// no source): so long before the first piece, and so long for each.
const (
	carveFirst = 10 * time.Minute
	carveEach  = 5 * time.Minute
)

// ShortestRest is the least between off and the knife: "rest, brisket: at
// least 30 min", "sliced or pulled same day: 30 – 45 min" (a tutorial page,
// hobby threads).
const ShortestRest = 30 * time.Minute

// OffBy is when the meat must be off for a meal: there is time to rest and to cut
// so many pieces.
func OffBy(serve time.Time, pieces int) time.Time {
	return serve.Add(-carving(pieces) - ShortestRest)
}

// carving is how long pulling or slicing takes.
func carving(pieces int) time.Duration { return carveFirst + time.Duration(pieces)*carveEach }

// Chilling and reheating of what is cooked before, with the time to cut up and
// to clean the pit (chosen). The limits are those of the Food Code.
const (
	cleanPit = 90 * time.Minute
	cutUp    = 45 * time.Minute
)

// Settles is from lit to settled as a rule, and what is allowed for it: what
// does in nine of ten fires, but a quarter of an hour over the usual at least
// and an hour at most, where nobody knows the pit yet.
func (p Pit) Settles() (usual, allowed time.Duration) {
	usual = duration(p.Book.Settle.Likely / 60).Round(fine)
	return usual, min(max(usual+Spare, duration(p.Book.Settle.High/60).Round(fine)), usual+time.Hour)
}

// cook is a dish in a pit as it is planned.
func (p *Plan) cook(dish, pit int, pieces []journal.Piece) *journal.Cook {
	r := p.Request
	aim := r.Dishes[dish].Aim
	if p.Pits[pit].Aim.Known {
		aim.Pit = p.Pits[pit].Aim
	}
	aim.Wrap.Bare = aim.Wrap.Kind == journal.NoWrap // a plan leaves no wrap to chance
	p.habit(&aim, p.like[dish], p.Pits[pit].Name)
	return &journal.Cook{Title: r.Title, Cut: r.Dishes[dish].Cut, Pieces: pieces, Pit: p.Pits[pit].Name, Aim: aim,
		Serve: r.Serve, Heads: r.Party.Heads, Weather: r.Weather}
}

// forecastPieces takes off what trimming takes off.
func (p *Plan) forecastPieces(dish int, pieces []journal.Piece) []journal.Piece {
	out := slices.Clone(pieces)
	for i := range out {
		if !out[i].Trimmed.Known {
			out[i].Trimmed = measure.Kilograms(out[i].Raw.Base * (1 - p.Meats[dish].Trim.Lost))
		}
	}
	return out
}

// ahead forecasts a load.
func (p *Plan) ahead(f *forecast.Forecaster, l *Load) forecast.Forecast {
	c := l.Cook
	c.Pieces = p.forecastPieces(l.Dish, c.Pieces)
	return buffer.Drawn(f.Plan(&c), p.Margin)
}

// apart is the difference between two pieces that is worth a second time on
// the clock, h (chosen).
const apart = .75

// Spare is what lighting gets on top of the usual settling, at least (chosen).
const Spare = 15 * time.Minute

// How finely a clock time is told: what depends on meat, and what on hands.
const (
	step = 10 * time.Minute
	fine = 5 * time.Minute
)

// schedule finds for each load, backwards from the meal, when it must be on.
//
// A forecast before the cook knows no hour of the day: nothing of the engine
// and nothing a person notes beforehand depends on it, so the last moment is
// the latest off less the hours nine in ten need.
func (p *Plan) schedule(ctx context.Context, f *forecast.Forecaster) error {
	for b := range p.Batches {
		var loads []*Load
		wait := 0
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
			loads = append(loads, l)
			wait += 1 + len(p.staggered(l))
		}
		for _, l := range loads {
			l.Sure = 1 - (1-buffer.Sure)/float64(wait)
			l.LatestOff = p.latestOff(l)
			p.place(l, l.LatestOff.Add(-duration(buffer.Hours(l.Forecast, l.Sure))).Truncate(step))
		}
		oneFire(loads)
	}
	return nil
}

// oneFire lights each pit once: for the load that goes on first.
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

// place puts a load on at a time.
func (p *Plan) place(l *Load, on time.Time) {
	l.OnBy = on.In(p.Request.Serve.Location())
	l.Off = offWhen(l.Forecast, l.OnBy)
	_, settle := p.Pits[l.Pit].Settles()
	l.Light = l.OnBy.Add(-settle) // see oneFire
	l.Stagger = nil
	stretch := buffer.Hours(l.Forecast, l.Sure) / l.Forecast.ToGo.Mid
	for _, i := range p.staggered(l) {
		piece := l.Forecast.Pieces[i]
		l.Stagger = append(l.Stagger, Stagger{piece.Name, l.OnBy.Add(duration((l.Forecast.ToGo.Mid - piece.Hours) * stretch)).Truncate(step)})
	}
}

// offWhen is when a load on at a time is off: 10, 50 and 90 %.
func offWhen(f forecast.Forecast, on time.Time) (off [3]time.Time) {
	for i, share := range []float64{.1, .5, .9} {
		off[i] = on.Add(duration(buffer.Hours(f, share))).Round(step)
	}
	return off
}

// staggered are the pieces that need clearly less than the longest.
func (p *Plan) staggered(l *Load) []int {
	var out []int
	for i, piece := range l.Forecast.Pieces {
		if l.Forecast.ToGo.Mid-piece.Hours >= apart && piece.Name != "" {
			out = append(out, i)
		}
	}
	return out
}

// latestOff is the meal less the knife and the shortest rest; of a load that
// is cooked before, also early enough to chill and reheat it, and to clean the
// pit for the next fire.
func (p *Plan) latestOff(l *Load) time.Time {
	last := p.CarveAt.Add(-ShortestRest)
	if l.Batch == 0 {
		return last
	}
	last = p.ReheatAt.Add(-ShortestRest - cutUp - duration(safety.WholeCooling))
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
