package attribution

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/fit"
	"ashbook/report/numeric/heat"
)

// scenario is a cook as a bundle of causes: this one, or what it is held against.
type scenario struct {
	pieces []piece
	pit    fire
	wraps  []wrapping
	sprays []float64 // h after on
	lids   []float64 // h after on, opened; those a pit probe saw are left out

	// What was inferred: the fit of this side's readings, or the usual meat with
	// pace, how much longer the person's cooks take than the physics says.
	engine *model.Engine
	fitted fit.Posterior
	read   bool    // a core was read
	pace   float64 // factor on all times; 1 with a fit
	paceSD float64 // of its ln
}

// piece is one piece; the cook is done with its last.
type piece struct {
	index  int       // among all of its cook
	meat   heat.Meat // its thickness is kept apart
	lag    float64   // h after the first went on
	thick  float64   // thickness over what the weight alone gives; 1 where not measured
	target float64   // °C
	wrapAt float64   // °C of the core at the first wrap
	ahead  float64   // K by which the last reading was above the fit when it came off
}

// wrapping is one change of wrap.
type wrapping struct {
	cover heat.Cover
	after float64 // h after the first
}

// fire is the pit of a side.
type fire struct {
	cook     *journal.Cook // whose notes hold it; nil: steady
	readings []journal.Reading
	steady   float64 // °C
	setting  bool    // known by its setting only
	on       time.Time
	hours    float64 // as long as the notes hold
}

// byWeight is the thickness that the weight alone gives, m.
func byWeight(m heat.Meat) float64 {
	return math.Cbrt(m.Mass / (m.Density * m.Fill * m.Width * m.Length))
}

// lookBackFor is how old the last core may be to be that at which a piece came
// off (chosen: past the stall a core gains 2 K an hour).
const lookBackFor = 2 * time.Hour

// sideOf takes up a finished cook. Missing lists what had to stand in.
func sideOf(c *journal.Cook, w *model.Context) (s scenario, j *model.State, missing []string) {
	off, _ := c.Finish()
	j = w.Read(c, off)
	s = scenario{pace: 1, engine: model.New(j)}
	s.fitted = s.engine.Fit()
	s.pit = fire{cook: c, readings: c.PitReadings(), on: j.On, hours: off.Sub(j.On).Hours()}
	s.pit.setting = j.Pit.Setting || len(s.pit.readings) == 0
	if len(s.pit.readings) == 0 && !c.Aim.Pit.Known {
		s.pit.cook, s.pit.steady = nil, j.Pit.Future
		missing = append(missing, "no pit temperature was noted, the usual one of the cut stands in")
	}
	unknownCore, unknownThick, unknownWeight := false, false, false
	read, known, sum := make([]bool, len(j.Pieces)), 0.0, 0.0
	for i := range j.Pieces {
		p := &j.Pieces[i]
		s.read = s.read || len(p.Readings) > 0
		q := piece{index: i, meat: p.Meat, lag: p.Start, thick: 1, target: p.Target}
		q.meat.Thickness = 0
		if p.Meat.Thickness > 0 {
			q.thick = p.Meat.Thickness / byWeight(q.meat)
		} else {
			unknownThick = true
		}
		if i < len(c.Pieces) && !c.Pieces[i].Weight().Known {
			unknownWeight = true
		}
		at, done := c.OffAt(i)
		if !done {
			at = off
		}
		if r, ok := journal.Last(c.CoreReadings(i), at); ok && at.Sub(r.Time) <= lookBackFor && r.C > q.meat.Start {
			q.target, read[i] = r.C, true
			known, sum = known+1, sum+r.C
		}
		s.pieces = append(s.pieces, q)
	}
	for i := range s.pieces {
		switch {
		case read[i]:
		case known > 0: // taken off with the others
			s.pieces[i].target = sum / known
		default:
			unknownCore = true
		}
	}
	for _, m := range []struct {
		is  bool
		say string
	}{
		{unknownWeight, "the weight was not noted, the usual one of the cut stands in"},
		{unknownThick, "the thickness was not measured, it is taken from the weight"},
		{unknownCore, "no core was read in the last two hours before it came off, the aim stands in"},
	} {
		if m.is {
			missing = append(missing, m.say)
		}
	}
	first := math.Inf(1)
	for _, ch := range j.Changes {
		h := ch.At / 3600
		if ch.Spritz > 0 {
			s.sprays = append(s.sprays, h)
			continue
		}
		first = math.Min(first, h)
		s.wraps = append(s.wraps, wrapping{ch.Cover, h - first})
	}
	if c.Series.Pit == nil && !s.pit.setting {
		for _, e := range c.Entries {
			if opensLid(e) && e.Time.After(j.On) && e.Time.Before(off) {
				s.lids = append(s.lids, e.Time.Sub(j.On).Hours())
			}
		}
	}
	if n := len(s.pieces); n > mostPieces {
		at := func(p piece) time.Time { t, _ := c.OffAt(p.index); return t }
		slices.SortStableFunc(s.pieces, func(a, b piece) int {
			return cmp.Or(at(b).Compare(at(a)), cmp.Compare(b.meat.Mass, a.meat.Mass))
		})
		s.pieces = s.pieces[:mostPieces]
		missing = append(missing, fmt.Sprintf("of %d pieces the %d that came off last are followed", n, mostPieces))
	}
	s.learnWraps(first)
	s.carry(j)
	return s, j, missing
}

// mostPieces are followed: the last ones off decide (chosen, for the time it
// takes).
const mostPieces = 3

// carry finds what the fit leaves of the last reading of every piece, faded
// until it came off, as the forecast of a running cook does.
func (s *scenario) carry(j *model.State) {
	for i := range s.pieces {
		p := &s.pieces[i]
		last, ok := j.Pieces[p.index].Last()
		steps := int(last.H / stepHours)
		if !ok || steps < 1 {
			continue
		}
		curve := s.engine.Curve(s.fitted.Mean, p.index, math.Inf(1), 0, steps)
		if len(curve) > 0 {
			off := j.Elapsed - p.lag
			p.ahead = (last.C - curve[len(curve)-1]) * math.Exp(-math.Max(0, off-last.H)/residualMemory)
		}
	}
}

// residualMemory is how long a reading's distance from the fit lasts, h (as the
// engine has it).
const residualMemory = 2.0

// learnWraps finds the core of every piece when it was wrapped, h after on, by
// the side's own fit.
func (s *scenario) learnWraps(at float64) {
	if len(s.wraps) == 0 {
		return
	}
	for i := range s.pieces {
		p := &s.pieces[i]
		steps := int((at-p.lag)/stepHours) + 1
		p.wrapAt = p.meat.Start
		if steps < 1 {
			continue
		}
		curve := s.engine.Curve(s.fitted.Mean, p.index, math.Inf(1), 0, steps)
		if len(curve) > 0 {
			p.wrapAt = curve[len(curve)-1]
		}
	}
}

// opensLid reports entries for which the lid is lifted.
func opensLid(e journal.Entry) bool {
	for _, a := range []journal.Act{journal.OpenLid, journal.Spritz, journal.AddFuel, journal.Turn} {
		if _, ok := e.Item(a); ok {
			return true
		}
	}
	return false
}

// at is how warm the fire is h hours after on, °C. Beyond the notes it goes on
// as in their last hour and a half, or as on the whole if it was let die there.
func (f *fire) at(h float64) float64 {
	if f.cook == nil {
		return f.steady
	}
	t := f.on.Add(time.Duration(math.Min(h, f.hours) * float64(time.Hour)))
	if len(f.readings) == 0 {
		v, _ := f.cook.AimPit(t)
		return v
	}
	if h > f.hours {
		return math.Max(f.mean(f.hours-1.5, f.hours), f.mean(math.Min(1, f.hours/2), f.hours))
	}
	return f.mean(h-gridHours/2, h+gridHours/2)
}

// mean of the readings in a stretch, else the line through those round it.
func (f *fire) mean(from, to float64) float64 {
	when := func(h float64) time.Time { return f.on.Add(time.Duration(h * float64(time.Hour))) }
	a, b := when(from), when(to)
	i, _ := slices.BinarySearchFunc(f.readings, a, func(r journal.Reading, t time.Time) int { return r.Time.Compare(t) })
	sum, n := 0.0, 0
	for ; i < len(f.readings) && f.readings[i].Time.Before(b); i++ {
		if r := f.readings[i]; !math.IsNaN(r.C) && r.C > -20 && r.C < 350 {
			sum, n = sum+r.C, n+1
		}
	}
	if n > 0 {
		return sum / float64(n)
	}
	v, _ := journal.Interpolate(f.readings, when((from+to)/2))
	return v
}
