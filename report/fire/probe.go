package fire

import (
	"time"

	"ashbook/journal"
)

// When a probe is missed: after four of its usual gaps, and not before ten
// minutes, which a link over the air may take to come back (chosen).
const (
	missedGaps  = 4
	missedAfter = 10 * time.Minute
	probeRows   = 5                // rows it must have written to have a usual gap
	forgotten   = 12 * time.Hour   // silent for longer, it was put away
	usualWithin = 30 * time.Minute // gaps wider than that are not a probe's
)

// Silent reports since when a probe that wrote has not; readings are those of
// one pit or piece. Notes by hand do not count.
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
