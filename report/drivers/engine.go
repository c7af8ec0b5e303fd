package drivers

import (
	"slices"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/frame"
)

// Engine returns Options.Engine for the simulation of f.
func Engine(f *forecast.Forecaster) func(*frame.Cook) (hours float64, ok bool) {
	col := expected(f)
	return func(c *frame.Cook) (float64, bool) {
		v := c.Of(col)
		return v.Number, v.Known
	}
}

// expected returns the column of the simulated hours of a finished cook: usual meat, the
// pit and wrap noted, to the core at which it came off.
func expected(f *forecast.Forecaster) frame.Column {
	offCore := frame.Named(frame.CoreOff).Of
	return frame.Column{Name: "hours by the physics", Kind: frame.Hours, Of: func(c *journal.Cook) frame.Value {
		off, done := c.Finish()
		if v := offCore(c); done && v.Known {
			to := journal.Entry{Time: off, Items: []journal.Item{{Act: journal.SetCore, Temp: measure.Degrees(v.Number, measure.Metric)}}}
			at := slices.IndexFunc(c.Entries, func(e journal.Entry) bool { return e.Time.After(off) })
			if at < 0 {
				at = len(c.Entries)
			}
			k := *c
			k.Entries = slices.Insert(slices.Clone(c.Entries), at, to)
			c = &k
		}
		h, ok := f.Simulated(c, forecast.AsUsual)
		return frame.Value{Number: h, Known: ok}
	}}
}
