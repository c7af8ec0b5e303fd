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

// Some of what people do is caused by a late cook: they raise the pit or wrap in foil,
// and they take slow meat off cooler, by feel. A comparison of cooks then shows why
// people act, not what the act does. Therefore one column marks hurried cooks, and the
// time that the last kelvins of a core take is read within each cook.

// hurry is the prior standard deviation of the effect of being hurried, ln hours (chosen:
// the scatter of cooks).
const hurry = .15

// A setting raised this late, by this much, marks a hurried cook (chosen).
const (
	hurriedAfter = 2 * time.Hour
	hurriedBy    = 3.0 // K
)

// hurry adds the column that marks hurried cooks. Further rows get its mean.
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

// isSo returns a column that has a value for the cooks for which so is true.
func isSo(name string, so func(*journal.Cook) bool) frame.Column {
	return frame.Column{Name: name, Kind: frame.Count, Of: func(c *journal.Cook) frame.Value { return frame.Value{Known: so(c)} }}
}

// Columns used besides frame.Columns.
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

// lastOf returns the column with the time that the last step kelvins of a core took.
func lastOf(step float64) frame.Column {
	return frame.Column{Name: fmt.Sprint("last kelvins ", step), Kind: frame.Hours, Of: func(c *journal.Cook) frame.Value {
		took, ok := lastKelvins(c, step)
		return frame.Value{Number: took.Hours(), Known: ok}
	}}
}

// Columns returns the columns that Weigh and LearnTimes use in addition to
// frame.Columns, with the Engine of f.
func Columns(f *forecast.Forecaster, units measure.System) []frame.Column {
	out := []frame.Column{expected(f), raisedSetting, plannedWrap, unplannedWrap, feltAtEnd}
	for _, s := range Time.specs(units) {
		if s.column.Name == frame.CoreOff {
			out = append(out, lastOf(s.step))
		}
	}
	return out
}

// raised reports whether the pit setting was raised well after the meat went on.
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

// Limits in lastKelvins (chosen). It needs fewestEnds cooks, with at most endGap
// between the readings used. If at least half of the cooks ended by feel, noted within
// endGap of the end, the standard error of the mean is at least closest; otherwise it
// is at least sideways, because a comparison between cooks may give another value.
const (
	fewestEnds = 3
	endGap     = 2 * time.Hour
	closest    = .01
	sideways   = .025
)

// lastKelvins returns how much shorter a cook is if it ends at a core step kelvins
// lower, in ln(hours), with the standard error; ok is false if the readings do not show
// it.
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

// lastKelvins returns how long the core of the coolest piece took for its last step K; ok
// is false if the readings do not show it.
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
