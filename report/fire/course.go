package fire

import (
	"math"
	"slices"
	"sort"
	"time"

	"ashbook/journal"
)

// lookBack is how much of the past is judged.
const lookBack = 4 * time.Hour

// What a pit can read, °C; other figures are a probe's fault (chosen).
const (
	coldest = -40.0
	hottest = 400.0
)

// course is the pit of the last hours, a point a minute: a probe may write
// every second, and two hundred points say as much.
type course struct {
	at  []time.Time
	c   []float64
	now time.Time
}

// courseOf reduces readings, ascending, to the means of their minutes.
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

// A probe is one that wrote often until just now.
const (
	denseGap  = 11 * time.Minute
	denseSpan = 50 * time.Minute
	densest   = 6 // points within denseSpan
)

// dense reports whether a probe writes: then how fast a pit moves is known.
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

// smoothing is over what a level is taken: longer than a flame flares.
const smoothing = 12 * time.Minute

// level is the median over the smoothing before t; ok is false where nothing
// was read then.
func (s course) level(t time.Time) (celsius float64, ok bool) {
	from, to := s.since(t.Add(-smoothing)), s.since(t.Add(1))
	if from == to {
		return 0, false
	}
	return median(s.c[from:to]), true
}

// slope is how fast the pit moved from one moment to another, K an hour: the
// median of the slopes between all its points a third of the stretch apart
// (Theil 1950, Sen 1968), which a lid or a flare cannot turn round.
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

// dip is a sharp fall: from where, when, and how low.
type dip struct {
	began  time.Time
	at     time.Time // of the lowest point
	before float64   // °C
	low    float64   // °C
}

// lastDip finds the last fall of at least by within a time.
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
		// From here the pit may fall a little on; the low is the lowest of the
		// next minutes.
		low := i
		for j := i + 1; j < len(s.at) && s.at[j].Sub(s.at[i]) <= 2*within; j++ {
			if s.c[j] < s.c[low] {
				low = j
			}
		}
		// A fall that went on for longer than a lid is up began earlier.
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

// restless is how many points tell how a pit strays: two hours of a slow probe
// (chosen).
const restless = 24

// strays is how far a pit strays from the median of the hour around, as a
// standard deviation; lids and warming up hardly count in a median of
// deviations. It is zero where too little was read.
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
	return 1.4826 * median(deviations) // of a normal spread the median deviation is .6745 (handbook)
}

// movingSince is when a move that still goes on began; sign is 1 for a fall,
// −1 for a rise. It goes back to where the move came from, and then to the
// last moment at which hardly any of it was done.
func (s course) movingSince(sign float64) time.Time {
	const step = 5 * time.Minute
	const slack = 2.0 // K the level may go the other way on its course
	const begun = .15 // of the move
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
