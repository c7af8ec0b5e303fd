package drivers

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/frame"
)

// Some of what people do follows from how a cook goes: a late one gets a hotter
// pit or foil, slow meat is lifted cooler, by feel. Cooks side by side then show
// what makes people act, not what the act does. A column of its own takes up
// what is common to cooks that were hurried; what the last kelvins of a core take
// is read off the cooks' own readings.

// hurry is how far a hurried cook is from others beforehand, ln (chosen: as far
// as cooks scatter).
const hurry = .15

// From when on a raised setting, and by how much, is a late cook's (chosen).
const (
	hurriedAfter = 2 * time.Hour
	hurriedBy    = 3.0 // K
)

// hurry adds the column of the cooks that were hurried; a row is neither.
func (d *design) hurry() {
	planned := slices.ContainsFunc(d.cooks, func(c *frame.Cook) bool { return c.Of(plannedWrap).Known })
	x := make([]float64, len(d.cooks)+len(d.rows))
	for i, c := range d.cooks {
		if c.Of(raisedSetting).Known || planned && c.Of(unplannedWrap).Known {
			x[i] = 1
		}
	}
	mean := meanOf(x[:len(d.cooks)])
	if mean == 0 || mean == 1 {
		return
	}
	for i := range d.rows {
		x[len(d.cooks)+i] = mean
	}
	d.hurried = len(d.columns)
	d.columns, d.noted, d.shown = append(d.columns, x), append(d.noted, make([]bool, len(x))), append(d.shown, x)
}

// isSo is a column that is known of the cooks of which something is so.
func isSo(name string, so func(*journal.Cook) bool) frame.Column {
	return frame.Column{Name: name, Kind: frame.Count, Of: func(c *journal.Cook) frame.Value { return frame.Value{Known: so(c)} }}
}

// What is asked of a cook beside frame.Columns.
var (
	raisedSetting = isSo("setting raised", raised)
	plannedWrap   = isSo("wrap planned", func(c *journal.Cook) bool { return c.Aim.Wrap.Kind != journal.NoWrap })
	unplannedWrap = isSo("wrap not planned", func(c *journal.Cook) bool {
		return c.Aim.Pit.Known && c.Aim.Wrap.Kind == journal.NoWrap && len(c.Wrappings()) > 0
	})
	feltAtEnd = isSo("felt at the end", func(c *journal.Cook) bool {
		off, ok := c.Finish()
		return ok && slices.ContainsFunc(c.Entries, func(e journal.Entry) bool {
			_, feel := e.Item(journal.Feel)
			return feel && !e.Time.After(off) && off.Sub(e.Time) <= endGap
		})
	})
)

// lastOf is the column of what the last kelvins of a core took.
func lastOf(step float64) frame.Column {
	return frame.Column{Name: fmt.Sprint("last kelvins ", step), Kind: frame.Hours, Of: func(c *journal.Cook) frame.Value {
		took, ok := lastKelvins(c, step)
		return frame.Value{Number: took.Hours(), Known: ok}
	}}
}

// Columns are what Weigh and LearnTimes ask of a cook beside frame.Columns, where the
// engine is that of f.
func Columns(f *forecast.Forecaster, units measure.System) []frame.Column {
	out := []frame.Column{expected(f), raisedSetting, plannedWrap, unplannedWrap, feltAtEnd}
	for _, s := range Time.specs(units) {
		if s.column.Name == frame.CoreOff {
			out = append(out, lastOf(s.step))
		}
	}
	return out
}

// raised reports a setting put up well after the meat went on.
func raised(c *journal.Cook) bool {
	on, ok := c.OnAt()
	for i := range c.Entries {
		e := &c.Entries[i]
		it, set := e.Item(journal.SetPit)
		if !ok || !set || !e.Time.After(on.Add(hurriedAfter)) {
			continue
		}
		if before, known := c.AimPit(e.Time.Add(-time.Second)); known && it.Temp.Known && it.Temp.Base >= before+hurriedBy {
			return true
		}
	}
	return false
}

// What the end of a core is read from (chosen): at least fewestEnds cooks, no
// two readings about the place further apart than endGap. Their mean is known to
// closest at best where people went by feel, a feel being noted within endGap of
// the end in at least half of the cooks. Elsewhere cooks side by side may say
// something else, by sideways.
const (
	fewestEnds = 3
	endGap     = 2 * time.Hour
	closest    = .01
	sideways   = .025
)

// lastKelvins is what step K less of the core at the end take, ln of the time,
// and its standard deviation; ok is false where readings do not show it.
func (d *design) lastKelvins(step float64) (ln, sd float64, ok bool) {
	var all []float64
	felt := 0
	last := lastOf(step)
	for _, c := range d.cooks {
		took, done := c.Took()
		if v := c.Of(last); done && v.Known && v.Number < took.Hours()/2 {
			all = append(all, -math.Log1p(-v.Number/took.Hours()))
		}
		if c.Of(feltAtEnd).Known {
			felt++
		}
	}
	n := len(all)
	if n < fewestEnds {
		return 0, 0, false
	}
	slices.Sort(all)
	ln = (all[(n-1)/2] + all[n/2]) / 2
	sd = (all[n-1-n/10] - all[n/10]) / (2 * 1.2816)
	if 2*felt >= len(d.cooks) {
		return ln, math.Max(sd/math.Sqrt(float64(n)), closest), true
	}
	return ln, math.Hypot(sd, sideways), true
}

// lastKelvins is how long the coolest piece's core took for its last step K.
func lastKelvins(c *journal.Cook, step float64) (took time.Duration, ok bool) {
	coolest := math.Inf(1)
	for i := range c.Pieces {
		off, done := c.OffAt(i)
		readings := c.CoreReadings(i)
		last, found := journal.Last(readings, off)
		if !done || !found || off.Sub(last.Time) > endGap || last.C >= coolest {
			continue
		}
		coolest, took, ok = last.C, 0, false
		for k := len(readings) - 1; k > 0; k-- {
			after, before := readings[k], readings[k-1]
			if after.Time.After(last.Time) || before.C > last.C-step {
				continue
			}
			if gap := after.Time.Sub(before.Time); gap <= endGap && after.C > before.C {
				share := (last.C - step - before.C) / (after.C - before.C)
				took, ok = last.Time.Sub(before.Time.Add(time.Duration(share*float64(gap)))), true
			}
			break
		}
	}
	return took, ok
}
