package safety

import (
	"math"
	"slices"
	"sort"
	"time"

	"ashbook/journal"
)

// Range holds the least and the greatest value that the readings allow. They are equal
// if the readings allow only one.
type Range struct{ Low, High float64 }

func (r Range) plus(o Range) Range { return Range{r.Low + o.Low, r.High + o.High} }

// The longest time and the largest step between readings for which a straight line
// between them is believed (chosen).
const (
	lineOver = time.Hour
	fineStep = time.Minute
)

// point is one reading. It is loose if the stretch before it is so long or so steep
// that the temperature between the readings is not known.
type point struct {
	at    time.Time
	c     float64
	loose bool
	jump  bool // the stretch before it is too steep
}

type curve []point

// toCurve sorts readings by time and marks the loose ones.
func toCurve(sorted []journal.Reading) curve {
	slices.SortStableFunc(sorted, func(a, b journal.Reading) int { return a.Time.Compare(b.Time) })
	out := make(curve, 0, len(sorted))
	for _, r := range sorted {
		p := point{at: r.Time, c: r.C}
		if n := len(out); n > 0 {
			p.jump = journal.Steep(sorted[n-1], r)
			p.loose = p.jump || r.Time.Sub(out[n-1].at) > lineOver
		}
		out = append(out, p)
	}
	return out
}

// between returns the points in a time span. The first point has no stretch before it.
func (v curve) between(from, to time.Time) curve {
	out := make(curve, 0, len(v))
	for _, p := range v {
		if !p.at.Before(from) && !p.at.After(to) {
			if len(out) == 0 {
				p.loose, p.jump = false, false
			}
			out = append(out, p)
		}
	}
	return out
}

// hours returns the time spent strictly between two temperatures. Low is along straight
// lines; for High a loose stretch that touches the band counts whole.
func (v curve) hours(low, high float64) Range {
	var sum Range
	for i := 1; i < len(v); i++ {
		a, b := v[i-1], v[i]
		dt := b.at.Sub(a.at).Hours()
		lo, hi := min(a.c, b.c), max(a.c, b.c)
		share := 0.0
		switch {
		case hi <= low || lo >= high:
		case lo == hi:
			share = 1
		default:
			share = (min(hi, high) - max(lo, low)) / (hi - lo)
		}
		most := share
		if v[i].loose && share > 0 {
			most = 1
		}
		sum = sum.plus(Range{dt * share, dt * most})
	}
	return sum
}

// logs returns the log10 reduction along the curve. For Low each loose stretch counts
// at its colder end; High is along straight lines.
func (v curve) logs(k Kill) Range {
	var sum Range
	for i := 1; i < len(v); i++ {
		a, b := v[i-1], v[i]
		line := along(a, b, k.perMinute) * 60
		least := line
		if b.loose {
			least = min(line, k.perMinute(min(a.c, b.c))*b.at.Sub(a.at).Minutes())
		}
		sum = sum.plus(Range{least, line})
	}
	return sum
}

// growth returns the growth without a lag, log10. Low is along straight lines; for High
// a loose stretch counts at the fastest rate between its ends.
func (v curve) growth(g Growth) Range {
	var sum Range
	for i := 1; i < len(v); i++ {
		a, b := v[i-1], v[i]
		line := along(a, b, g.Rate)
		most := line
		if b.loose {
			most = max(line, g.fastest(min(a.c, b.c), max(a.c, b.c))*b.at.Sub(a.at).Hours())
		}
		sum = sum.plus(Range{line, most})
	}
	return sum
}

// along integrates a rate per hour over the straight line between two points, by
// trapezoids of at most a minute.
func along(a, b point, rate func(celsius float64) float64) float64 {
	const most = 2000
	apart := b.at.Sub(a.at)
	n := min(max(1, int(math.Ceil(float64(apart)/float64(fineStep)))), most)
	sum := (rate(a.c) + rate(b.c)) / 2
	for i := 1; i < n; i++ {
		sum += rate(a.c + (b.c-a.c)*float64(i)/float64(n))
	}
	return sum * apart.Hours() / float64(n)
}

// gap is a stretch of time without a reading.
type gap struct{ from, to time.Time }

func (g gap) length() time.Duration { return g.to.Sub(g.from) }

// gaps returns the stretches longer than long between sorted times.
func gaps(times []time.Time, long time.Duration) []gap {
	var out []gap
	for i := 1; i < len(times); i++ {
		if g := (gap{times[i-1], times[i]}); g.length() > long {
			out = append(out, g)
		}
	}
	return out
}

// The surface has no probe, so it is estimated. While the pit is hotter, the estimate
// is a quarter of the way from core to pit, at most 60 °C unless the core is hotter;
// the heat model of this program is nowhere below that after a quarter of an hour (1 to
// 8 kg, pit 95 to 150 °C). While the pit is cooler, it is six tenths of the way (first
// term of a slab, Biot number 2.4).
const (
	surfaceUp   = .25
	surfaceTop  = 60.0
	surfaceDown = .6
)

func surfaceAt(core, pit float64) float64 {
	if pit < core {
		return core + surfaceDown*(pit-core)
	}
	return min(core+surfaceUp*(pit-core), max(core, surfaceTop))
}

// After this long in such a pit, read at least every two hours, the surface is at
// surfaceHot or above. The heat model gives 58.9 °C for 12 kg from the cold in a pit of
// 95 °C, and more for anything smaller or hotter.
const (
	hotPit     = 95.0 // °C
	hotAfter   = 150 * time.Minute
	surfaceHot = 58.0 // °C
)

// surface estimates the surface temperature at each core or pit reading after on.
// Within a loose stretch of core readings the colder end is used, after the last
// reading the last one; without a pit reading within an hour the core is used for the
// surface.
func surface(core curve, pit []journal.Reading, on time.Time) curve {
	if len(core) == 0 {
		return nil
	}
	readings := make([]journal.Reading, 0, len(core)+len(pit))
	since := hotSince(pit, on)
	add := func(at time.Time, c float64) {
		i := sort.Search(len(pit), func(i int) bool { return pit[i].Time.After(at) }) - 1
		if i >= 0 && !since[i].IsZero() && at.Sub(pit[i].Time) <= unwatched && at.Sub(since[i]) >= hotAfter {
			c = max(c, surfaceHot)
		}
		readings = append(readings, journal.Reading{Time: at, C: c})
	}
	for _, p := range core {
		c := p.c
		if near, ok := nearest(pit, p.at); ok {
			c = surfaceAt(c, near)
		}
		add(p.at, c)
	}
	last := core[len(core)-1]
	for _, r := range pit {
		c, ok := core.atLeast(r.Time)
		if r.Time.After(last.at) {
			c, ok = last.c, true
		}
		if ok {
			add(r.Time, surfaceAt(c, r.C))
		}
	}
	return toCurve(readings)
}

// hotSince returns, for each pit reading, the time since which all readings showed a
// hot pit without a gap of over two hours. The time is zero if the pit was not hot, and
// for readings from before the meat went on.
func hotSince(pit []journal.Reading, on time.Time) []time.Time {
	since := make([]time.Time, len(pit))
	for i, r := range pit {
		switch {
		case r.Time.Before(on) || r.C < hotPit:
		case i > 0 && !since[i-1].IsZero() && r.Time.Sub(pit[i-1].Time) <= unwatched:
			since[i] = since[i-1]
		default:
			since[i] = r.Time
		}
	}
	return since
}

// nearest returns the pit reading closest to a moment, within an hour. The readings
// must be sorted.
func nearest(pit []journal.Reading, at time.Time) (celsius float64, ok bool) {
	next := sort.Search(len(pit), func(i int) bool { return !pit[i].Time.Before(at) })
	best := lineOver
	for _, r := range pit[max(0, next-1):min(len(pit), next+1)] {
		if d := r.Time.Sub(at).Abs(); d <= best {
			best, celsius, ok = d, r.C, true
		}
	}
	return celsius, ok
}

// atLeast returns the lowest core that is possible at a moment inside the curve: on the
// line, or at the colder end of a loose stretch.
func (v curve) atLeast(at time.Time) (celsius float64, ok bool) {
	i := sort.Search(len(v), func(i int) bool { return v[i].at.After(at) })
	if i == 0 || i == len(v) {
		return 0, false
	}
	a, b := v[i-1], v[i]
	if b.loose {
		return min(a.c, b.c), true
	}
	return a.c + (b.c-a.c)*at.Sub(a.at).Hours()/b.at.Sub(a.at).Hours(), true
}
