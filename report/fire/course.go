package fire

import (
	"math"
	"slices"
	"sort"
	"time"

	"ashbook/journal"
)

// lookBack is the age up to which readings are used.
const lookBack = 4 * time.Hour

// Possible pit temperatures, °C; a reading outside them is a fault of the probe (chosen).
const (
	coldest = -40.0
	hottest = 400.0
)

// course holds the pit readings of the last hours, at most one a minute: more add nothing.
type course struct {
	at  []time.Time
	c   []float64
	now time.Time
}

// courseOf averages readings, in ascending order, by minute.
func courseOf(all []journal.Reading, now time.Time) course {
	from := sort.Search(len(all), func(i int) bool { return !all[i].Time.Before(now.Add(-lookBack)) })
	out := course{now: now}
	var sum, n float64
	for _, r := range all[from:] {
		if r.Time.After(now) {
			break
		}
		if math.IsNaN(r.C) || r.C < coldest || r.C > hottest {
			continue
		}
		last := len(out.at) - 1
		if last < 0 || !r.Time.Truncate(time.Minute).Equal(out.at[last].Truncate(time.Minute)) {
			out.at, out.c = append(out.at, r.Time), append(out.c, r.C)
			sum, n = r.C, 1
			continue
		}
		sum, n = sum+r.C, n+1
		out.c[last] = sum / n
	}
	return out
}

// Limits for how frequent and recent readings must be to count as a probe's.
const (
	denseGap  = 11 * time.Minute
	denseSpan = 50 * time.Minute
	densest   = 6 // points within denseSpan
)

// dense reports whether a probe is writing, so that the slope is known.
func (s course) dense() bool {
	n := len(s.at)
	if n == 0 || s.now.Sub(s.at[n-1]) > 2*denseGap {
		return false
	}
	return n-s.since(s.at[n-1].Add(-denseSpan)) >= densest
}

// since returns the index of the first point at or after t.
func (s course) since(t time.Time) int {
	return sort.Search(len(s.at), func(i int) bool { return !s.at[i].Before(t) })
}

// smoothing is the time over which a level is taken: longer than a flare-up.
const smoothing = 12 * time.Minute

// level returns the median of the readings within smoothing before t; ok is false if there
// is none.
func (s course) level(t time.Time) (celsius float64, ok bool) {
	from, to := s.since(t.Add(-smoothing)), s.since(t.Add(1))
	if from == to {
		return 0, false
	}
	return median(s.c[from:to]), true
}

// slope returns how fast the pit changed between two times, K an hour: the median slope of
// all pairs of points at least a third of that time apart (Theil 1950, Sen 1968), which a
// lid or a flare-up hardly changes.
func (s course) slope(from, to time.Time) (perHour float64, ok bool) {
	a, b := s.since(from), s.since(to.Add(1))
	apart := to.Sub(from) / 3
	var all []float64
	for i := a; i < b; i++ {
		for k := i + 1; k < b; k++ {
			if d := s.at[k].Sub(s.at[i]); d >= apart {
				all = append(all, (s.c[k]-s.c[i])/d.Hours())
			}
		}
	}
	if len(all) < 3 {
		return 0, false
	}
	return median(all), true
}

// dip is a sharp fall of the pit temperature.
type dip struct {
	began  time.Time
	at     time.Time // time of the lowest point
	before float64   // level before it, °C
	low    float64   // lowest point, °C
}

// lastDip finds the last time within a span when the pit fell by at least the given
// number of kelvins.
func (s course) lastDip(by float64, within time.Duration) (d dip, ok bool) {
	for i := len(s.at) - 1; i > 0; i-- {
		k := s.since(s.at[i].Add(-within))
		if k == i || s.c[i] > s.c[i-1] {
			continue
		}
		high := slices.Max(s.c[k:i])
		if high-s.c[i] < by {
			continue
		}
		// The pit may fall a little further: take the lowest point of the next minutes.
		low := i
		for j := i + 1; j < len(s.at) && s.at[j].Sub(s.at[i]) <= 2*within; j++ {
			if s.c[j] < s.c[low] {
				low = j
			}
		}
		// A fall that lasts longer than a lid is open began earlier.
		for k > 0 {
			b := s.since(s.at[k].Add(-within))
			if b == k || slices.Max(s.c[b:k])-s.c[k] < by {
				break
			}
			k = b
		}
		before := slices.Max(s.c[k : i+1])
		if b := s.since(s.at[k].Add(-20 * time.Minute)); b < k {
			before = median(s.c[b : k+1])
		}
		return dip{s.at[k], s.at[low], before, s.c[low]}, true
	}
	return dip{}, false
}

// restless is the least number of points for strays: two hours of a slow probe (chosen).
const restless = 24

// strays returns how much the pit swings around its level, K: a standard deviation from
// the median of the hour around each point. It is computed from the median deviation,
// which lids and heating up hardly change. It is 0 if there are too few readings.
func (s course) strays() (kelvin float64) {
	if len(s.at) < restless {
		return 0
	}
	var deviations []float64
	step := max(1, len(s.at)/120)
	for i := 0; i < len(s.at); i += step {
		a, b := s.since(s.at[i].Add(-30*time.Minute)), s.since(s.at[i].Add(30*time.Minute))
		deviations = append(deviations, math.Abs(s.c[i]-median(s.c[a:max(b, a+1)])))
	}
	return 1.4826 * median(deviations) // median deviation of a normal distribution: .6745 σ (handbook)
}

// movingSince returns when the current move began: sign 1 for a fall, −1 for a rise. It
// finds the level the move started from, then the last time at which less than begun of
// the move was done. It returns the zero time if there is no current level.
func (s course) movingSince(sign float64) time.Time {
	const step = 5 * time.Minute
	const slack = 2.0 // K the level may go the other way during the move
	const begun = .15 // share of the move that counts as its start
	here, ok := s.level(s.now)
	if !ok {
		return time.Time{}
	}
	best, bestAt := here, s.now
	for t := s.now.Add(-step); s.now.Sub(t) <= lookBack; t = t.Add(-step) {
		v, ok := s.level(t)
		if !ok || sign*(v-best) < -slack {
			break
		}
		if sign*(v-best) > 0 {
			best, bestAt = v, t
		}
	}
	at := bestAt
	for t := bestAt; t.Before(s.now); t = t.Add(step) {
		v, ok := s.level(t)
		if ok && sign*(best-v) <= begun*sign*(best-here) {
			at = t
		}
	}
	return at
}

func median(values []float64) float64 {
	v := slices.Clone(values)
	slices.Sort(v)
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}
