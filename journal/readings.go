package journal

import (
	"ashbook/journal/measure"
	"slices"
	"sort"
	"strings"
	"time"
)

// Series is a probe series: one row for each time, NaN where a probe gave no value.
type Series struct {
	Times []time.Time // in ascending order
	Pit   []float64   // °C, as long as Times; nil without a pit probe
	Cores []CoreSeries
}

// CoreSeries is the series of one piece's core probe.
type CoreSeries struct {
	Piece string    // "" for the only piece
	C     []float64 // °C, as long as Series.Times
}

// Reading is one temperature at one time.
type Reading struct {
	Time  time.Time
	C     float64 // °C
	Probe bool    // from the series; if false, noted by hand
}

// PieceIndex returns the index of the piece with that name; 0 for "", −1 for none.
func (c *Cook) PieceIndex(name string) int {
	if name == "" {
		return 0
	}
	return slices.IndexFunc(c.Pieces, func(p Piece) bool { return strings.EqualFold(p.Name, name) })
}

// CoreReadings returns the core readings of a piece ordered by time, noted ones and
// those of the probe, without doubted ones (see Doubts).
func (c *Cook) CoreReadings(piece int) []Reading { return c.coreSince(piece, time.Time{}) }

// coreSince returns what CoreReadings does, without the probe's values before from.
func (c *Cook) coreSince(piece int, from time.Time) []Reading {
	notes, rule := c.judgedCore(piece)
	return c.Series.merge(believed(notes), c.coreSeries(piece), from, rule)
}

// PitReadings returns the pit readings ordered by time, without doubted ones, and
// without those of the empty pit once all meat is in the oven.
func (c *Cook) PitReadings() []Reading {
	all := c.Series.merge(believed(c.judgedPit()), c.Series.Pit, time.Time{}, c.pitRule())
	if moved, least, ok := c.inOven(); ok {
		all = slices.DeleteFunc(all, func(r Reading) bool { return r.Time.After(moved) && r.C < least })
	}
	return all
}

// An oven stays within about 10 K of its setting; a reading more than ovenSlack below
// it is of the empty pit. Without a setting it is taken to be ovenUsual (common
// practice, no source).
const (
	ovenSlack = 30.0  // K
	ovenUsual = 120.0 // °C
)

// inOven returns when all meat had been moved to the oven, and the lowest reading that
// can be of the oven, °C.
func (c *Cook) inOven() (moved time.Time, least float64, ok bool) {
	for _, e := range c.Entries {
		if it, in := e.Item(Oven); in && (it.Piece == "" || len(c.Pieces) < 2) {
			if moved, least, ok = e.Time, ovenUsual-ovenSlack, true; it.Temp.Known {
				least = it.Temp.Base - ovenSlack
			}
		}
	}
	return moved, least, ok
}

// aroundMeat reports whether the item gives the temperature around cooking meat: a pit
// reading, or the oven at its setting.
func aroundMeat(it *Item) bool { return it.Act == ReadPit || it.Act == Oven }

// BoxReadings returns the readings of the air in the holding box.
func (c *Cook) BoxReadings() []Reading {
	return believed(c.notes(func(it *Item) bool { return it.Act == ReadBox }))
}

// believed returns the readings that are not doubted.
func believed(notes []note) []Reading {
	if len(notes) == 0 {
		return nil
	}
	out := make([]Reading, 0, len(notes))
	for i := range notes {
		if n := &notes[i]; n.why == "" {
			out = append(out, Reading{Time: n.at, C: n.temp.Base})
		}
	}
	return out
}

// merge merges the series' values from a time on with the noted readings, ordered by
// time.
func (s Series) merge(noted []Reading, values []float64, from time.Time, q quantity) []Reading {
	n := min(len(values), len(s.Times))
	first := sort.Search(n, func(i int) bool { return !s.Times[i].Before(from) })
	if first == n {
		return noted
	}
	out := make([]Reading, 0, len(noted)+n-first)
	for i := first; i < n; i++ {
		if !q.wrote(values[i]) {
			continue
		}
		for len(noted) > 0 && !noted[0].Time.After(s.Times[i]) {
			out, noted = append(out, noted[0]), noted[1:]
		}
		out = append(out, Reading{Time: s.Times[i], C: values[i], Probe: true})
	}
	return append(out, noted...)
}

// thinned returns readings that are at least step apart.
func thinned(readings []Reading, step time.Duration) []Reading {
	var out []Reading
	for _, r := range readings {
		if n := len(out); n == 0 || r.Time.Sub(out[n-1].Time) >= step {
			out = append(out, r)
		}
	}
	return out
}

// LastPit returns the last pit reading at or before now. It equals Last(PitReadings(),
// now) but is faster.
func (c *Cook) LastPit(now time.Time) (Reading, bool) {
	if _, _, moved := c.inOven(); moved {
		return Last(c.PitReadings(), now)
	}
	r, ok := Last(believed(c.judgedPit()), now)
	return c.Series.later(r, ok, c.Series.Pit, now, c.pitRule())
}

// LastCore returns the last core reading of a piece at or before now.
func (c *Cook) LastCore(piece int, now time.Time) (Reading, bool) {
	notes, rule := c.judgedCore(piece)
	r, ok := Last(believed(notes), now)
	return c.Series.later(r, ok, c.coreSeries(piece), now, rule)
}

// later returns the series' last value at or before now, or the noted reading if that
// is later.
func (s Series) later(noted Reading, ok bool, values []float64, now time.Time, q quantity) (Reading, bool) {
	for i := min(len(values), sort.Search(len(s.Times), func(i int) bool { return s.Times[i].After(now) })) - 1; i >= 0; i-- {
		if ok && s.Times[i].Before(noted.Time) {
			break
		}
		if q.wrote(values[i]) {
			return Reading{Time: s.Times[i], C: values[i], Probe: true}, true
		}
	}
	return noted, ok
}

// Last returns the last reading at or before now.
func Last(readings []Reading, now time.Time) (Reading, bool) {
	i := upTo(readings, now)
	if i == 0 {
		return Reading{}, false
	}
	return readings[i-1], true
}

// Interpolate returns the temperature at t on straight lines between the readings, °C.
// Before the first and after the last it is constant. ok is false without readings.
func Interpolate(readings []Reading, t time.Time) (celsius float64, ok bool) {
	i := upTo(readings, t)
	switch {
	case len(readings) == 0:
		return 0, false
	case i == 0:
		return readings[0].C, true
	case i == len(readings):
		return readings[i-1].C, true
	}
	a, b := readings[i-1], readings[i]
	f := t.Sub(a.Time).Seconds() / b.Time.Sub(a.Time).Seconds()
	return a.C + f*(b.C-a.C), true
}

// upTo returns how many readings are at or before t.
func upTo(readings []Reading, t time.Time) int {
	return sort.Search(len(readings), func(i int) bool { return readings[i].Time.After(t) })
}

// The widest gap for which a rate is given, and the shortest span it needs (chosen:
// notes at night are up to four hours apart).
const (
	rateWindow  = time.Hour
	rateGap     = 4 * time.Hour
	rateShort   = 20 * time.Minute
	rateReading = 3
)

// PerHour returns the change in K/h over the hour before the last reading at or before
// now: the slope of a straight line through at least three readings that span 20
// minutes, or of the last two if they are 20 minutes to four hours apart. ok is false
// if there are too few readings or the last is over four hours old.
func PerHour(readings []Reading, now time.Time) (rate float64, ok bool) {
	last, found := Last(readings, now)
	if !found || now.Sub(last.Time) > rateGap {
		return 0, false
	}
	var n, sx, sy, sxx, sxy float64
	var before Reading
	var apart time.Duration // time between the last two readings; 0 for fewer than two
	for _, r := range slices.Backward(readings[:upTo(readings, last.Time)]) {
		back := last.Time.Sub(r.Time)
		if back > rateGap || back > rateWindow && apart > 0 {
			break
		}
		if back >= rateShort && apart == 0 {
			before, apart = r, back
		}
		if back <= rateWindow {
			x := -back.Hours()
			n, sx, sy, sxx, sxy = n+1, sx+x, sy+r.C, sxx+x*x, sxy+x*r.C
		}
	}
	switch {
	case apart == 0:
		return 0, false
	case apart <= rateWindow && n >= rateReading:
		return (n*sxy - sx*sy) / (n*sxx - sx*sx), true
	}
	return (last.C - before.C) / apart.Hours(), true
}

// AimPit returns the pit setting at t, °C: the last one noted, or the plan's.
func (c *Cook) AimPit(t time.Time) (celsius float64, ok bool) {
	return c.aim(t, SetPit, c.Aim.Pit.Base, c.Aim.Pit.Known)
}

// AimCore returns the core temperature wanted at t, °C.
func (c *Cook) AimCore(t time.Time) (celsius float64, ok bool) {
	return c.aim(t, SetCore, c.Aim.Core.Base, c.Aim.Core.Known)
}

func (c *Cook) aim(t time.Time, act Act, planned float64, known bool) (float64, bool) {
	for _, e := range c.Entries {
		if e.Time.After(t) {
			break
		}
		for k := range e.Items {
			if it := &e.Items[k]; it.Act == act || it.Act == Oven && act == SetPit && it.Temp.Known {
				planned, known = it.Temp.Base, it.Temp.Known
			}
		}
	}
	return planned, known
}

// BoilingPoint returns the temperature at which water boils at a height, °C: 1 K less
// every 300 m, within .1 K of the table (Hyland–Wexler in the standard atmosphere) from
// sea level to 4,000 m. A height that is not recorded counts as sea level.
func BoilingPoint(height measure.Length) float64 { return 100 - height.Base/300 }

// HottestCore returns the highest temperature that a core reaches at a height, °C: 1 K
// below the boiling point, since the meat still gives off water (chosen).
func HottestCore(height measure.Length) float64 { return BoilingPoint(height) - 1 }
