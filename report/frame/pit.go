package frame

import (
	"time"

	"ashbook/journal"
)

// settling is how long after "on" the pit recovers from cold meat and an open lid
// (chosen).
const settling = 30 * time.Minute

// MeanPit returns the mean pit temperature over time, °C, from one time to another. Zero
// from: shortly after the meat went on; zero to: when it came off. Without pit readings it
// is the mean of the settings; see PitIsSetting.
func MeanPit(c *journal.Cook, from, to time.Time) (float64, bool) {
	if from.IsZero() {
		on, ok := c.OnAt()
		if !ok {
			return 0, false
		}
		from = on.Add(settling)
	}
	if to.IsZero() {
		off, ok := c.Finish()
		if !ok {
			return 0, false
		}
		to = off
	}
	if !to.After(from) {
		return 0, false
	}
	readings := c.PitReadings()
	if len(readings) == 0 {
		return meanSetting(c, from, to)
	}
	var area float64
	last := from
	was, _ := journal.Interpolate(readings, from)
	step := func(t time.Time) {
		now, _ := journal.Interpolate(readings, t)
		area += (was + now) / 2 * t.Sub(last).Hours()
		last, was = t, now
	}
	inside := 0
	for _, r := range readings {
		if r.Time.After(from) && r.Time.Before(to) {
			step(r.Time)
			inside++
		}
	}
	if inside == 0 && (to.Before(readings[0].Time) || from.After(readings[len(readings)-1].Time)) {
		return 0, false
	}
	step(to)
	return area / to.Sub(from).Hours(), true
}

func meanSetting(c *journal.Cook, from, to time.Time) (float64, bool) {
	marks := []time.Time{from}
	for _, e := range c.Entries {
		if _, ok := e.Item(journal.SetPit); ok && e.Time.After(from) && e.Time.Before(to) {
			marks = append(marks, e.Time)
		}
	}
	marks = append(marks, to)
	var area float64
	for i := range marks[1:] {
		v, ok := c.AimPit(marks[i])
		if !ok {
			return 0, false
		}
		area += v * marks[i+1].Sub(marks[i]).Hours()
	}
	return area / to.Sub(from).Hours(), true
}

// PitIsSetting reports whether a cook has no pit reading, only settings.
func PitIsSetting(c *journal.Cook) bool { return len(c.PitReadings()) == 0 }
