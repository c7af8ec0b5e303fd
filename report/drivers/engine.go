package drivers

import (
	"slices"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/frame"
)

// Engine is the physics of a Forecaster as Options want it: usual meat, in the
// pit as it ran, wrapped as it was, to the core at which it came off.
func Engine(f *forecast.Forecaster) func(*journal.Cook) (hours float64, ok bool) {
	offCore := frame.Named(frame.CoreOff).Of
	return func(c *journal.Cook) (float64, bool) {
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
		return f.Simulated(c, forecast.AsUsual)
	}
}
