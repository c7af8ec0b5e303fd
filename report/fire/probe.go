package fire

import (
	"time"

	"ashbook/journal"
)

// A probe is silent after four of its usual gaps, but not before ten minutes: a radio link
// may take that long to reconnect (chosen).
const (
	missedGaps  = 4
	missedAfter = 10 * time.Minute
	probeRows   = 5                // least readings for a usual gap
	forgotten   = 12 * time.Hour   // after this the probe was put away
	usualWithin = 30 * time.Minute // greatest usual gap of a probe
)

// Silent reports whether a probe has stopped writing, and its last reading. Readings are
// those of one pit or piece, ascending; those noted by hand do not count.
func Silent(readings []journal.Reading, now time.Time) (since time.Time, silent bool) {
	var times []time.Time // newest first
	for i := len(readings) - 1; i >= 0 && len(times) <= 4*probeRows; i-- {
		if r := readings[i]; r.Probe && !r.Time.After(now) {
			times = append(times, r.Time)
		}
	}
	if len(times) < probeRows {
		return time.Time{}, false
	}
	gaps := make([]float64, 0, len(times))
	for i := range times[1:] {
		gaps = append(gaps, times[i].Sub(times[i+1]).Seconds())
	}
	gap := time.Duration(median(gaps) * float64(time.Second))
	quiet := now.Sub(times[0])
	return times[0], gap <= usualWithin && quiet > max(missedAfter, missedGaps*gap) && quiet < forgotten
}
