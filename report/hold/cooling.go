package hold

import (
	"cmp"
	"math"
	"slices"

	"ashbook/report/numeric/heat"
	"ashbook/report/safety"
)

// Newton's law of cooling, T(t) = A + (T₀ − A)·exp(−k·t), with what is not
// known of it: k between people's boxes and from load to load of one box, the
// room A, the first temperature T₀, and a k that changes as the box warms
// through. The distribution is worked out on a grid; nothing is drawn.
const (
	slowBox, fastBox = .035, safety.FastBox // k per hour; the ends of what is known of real boxes

	loadSpread = .30 // of ln k from load to load of one box (chosen: full or half full, warmed first or not)
	drift      = .12 // of ln k between what was read and what follows (chosen)
	readError  = 1.0 // K, of a reading of the same spot (chosen: a kitchen probe is good to 1 K)
	unread     = 4.0 // K, of a first temperature taken from before the box, which restFall has lowered (chosen)
	restFall   = 3.0 // K (chosen: ten to twenty minutes uncovered)
	roomSpread = 4.0 // K, of the room (chosen: a kitchen against a yard)

	decile = 1.2816 // standard deviations to the tenth percentile
)

// belief is what is known of ln k before the meat is read.
type belief struct{ mean, sd float64 }

// anyBox takes the ends of what is known for its tenth and ninetieth
// percentiles.
func anyBox() belief {
	return belief{(math.Log(slowBox) + math.Log(fastBox)) / 2, (math.Log(fastBox) - math.Log(slowBox)) / 2 / decile}
}

// bare is what is known of ln k of meat that cools uncovered in air: the time
// constant ρcL/h·(1+Bi/3) of a slab runs from 1.9 h (L 3 cm, h 25 W/(m²·K), wet) to
// 10 h (L 7 cm, h 10).
func bare() belief {
	const slow, fast = .10, .54
	return belief{(math.Log(slow) + math.Log(fast)) / 2, (math.Log(fast) - math.Log(slow)) / 2 / decile}
}

// learned joins what past loads of the person's box showed, each with its own
// variance of ln k, to what is known of any box, for the next load.
func learned(lnK, variance []float64) belief {
	any := anyBox()
	weight := 1 / (any.sd * any.sd)
	sum := weight * any.mean
	for i := range lnK {
		w := 1 / (variance[i] + loadSpread*loadSpread)
		weight += w
		sum += w * lnK[i]
	}
	if len(lnK) == 0 {
		return any
	}
	return belief{sum / weight, math.Sqrt(1/weight + loadSpread*loadSpread)}
}

// observed is a core at hours since the box was closed.
type observed struct{ hours, c float64 }

// load is one piece in a box.
type load struct {
	rate           belief
	room, roomSD   float64 // °C
	start, startSD float64 // °C, before any reading; startSD 0: nothing known
	seen           []observed
}

// state is one way the load may be, and its weight.
type state struct {
	k, room, last float64 // per hour; °C; °C at the last reading
	later         float64 // k after it, over k
	weight        float64
}

// course is all the ways, with the hour of the last reading.
type course struct {
	from   float64 // h
	states []state
}

// third and its weights are the three-point Gauss–Hermite rule (Abramowitz &
// Stegun 25.4.46).
var third = [3]struct{ z, w float64 }{{-math.Sqrt(3), 1. / 6}, {0, 2. / 3}, {math.Sqrt(3), 1. / 6}}

// work works the distribution out.
func (l load) work() course {
	const rates, rooms, reach = 81, 9, 4.0
	out := course{}
	if n := len(l.seen); n > 0 {
		out.from = l.seen[n-1].hours
	}
	startSD := l.startSD
	if startSD == 0 {
		startSD = 200
	}
	best := math.Inf(-1)
	for i := range rates {
		z := reach * (2*float64(i)/(rates-1) - 1)
		k := math.Exp(l.rate.mean + z*l.rate.sd)
		for j := range rooms {
			y := 2.5 * (2*float64(j)/(rooms-1) - 1)
			room := l.room + y*l.roomSD
			fitted, sd, log := l.first(k, room, startSD)
			log -= (z*z + y*y) / 2
			best = max(best, log)
			left := math.Exp(-k * out.from)
			for _, s := range third {
				last := room + (fitted+s.z*sd-room)*left
				for _, d := range third {
					out.states = append(out.states, state{k, room, last, math.Exp(d.z * drift), log + math.Log(s.w*d.w)})
				}
			}
		}
	}
	for i := range out.states {
		out.states[i].weight = math.Exp(out.states[i].weight - best)
	}
	return out
}

// first is the first temperature that fits the readings best for k and room,
// its standard deviation, and the logarithm of how well they fit.
func (l load) first(k, room, startSD float64) (mean, sd, log float64) {
	precision := 1 / (startSD * startSD)
	sum := (l.start - room) * precision
	chi := (l.start - room) * sum
	for _, o := range l.seen {
		x := math.Exp(-k * o.hours)
		y := o.c - room
		precision += x * x / (readError * readError)
		sum += x * y / (readError * readError)
		chi += y * y / (readError * readError)
	}
	return room + sum/precision, 1 / math.Sqrt(precision), -(chi-sum*sum/precision)/2 - math.Log(precision)/2
}

// horizon is how far a box is foretold, h: past a day the law says nothing of
// a real one (chosen).
const horizon = 24.0

// falls is when the core comes down to a temperature, in h since the box was
// closed, at the given shares; horizon after the last reading where it does not.
func (c course) falls(to float64, shares ...float64) []float64 {
	return c.quantiles(func(s state) float64 {
		h := math.Inf(1)
		switch {
		case s.last > to:
			if t, ok := heat.CoolingTime(s.last, to, s.room, s.k*s.later); ok {
				h = t
			}
		case s.last > s.room: // it fell before the last reading
			if t, ok := heat.CoolingTime(to, s.last, s.room, s.k); ok {
				h = -t
			}
		default:
			h = -c.from
		}
		return c.from + math.Max(-c.from, math.Min(h, horizon))
	}, shares)
}

// at is the core at an hour, °C, at the given shares.
func (c course) at(hours float64, shares ...float64) []float64 {
	return c.quantiles(func(s state) float64 {
		return heat.Cooled(s.last, s.room, s.k*s.later, math.Max(0, hours-c.from))
	}, shares)
}

// rate is k per hour at the given shares.
func (c course) rate(shares ...float64) []float64 {
	return c.quantiles(func(s state) float64 { return s.k }, shares)
}

// quantiles are the values below which the given shares of the weight lie.
func (c course) quantiles(of func(state) float64, shares []float64) []float64 {
	type weighted struct{ v, w float64 }
	all := make([]weighted, len(c.states))
	total := 0.0
	for i, s := range c.states {
		all[i] = weighted{of(s), s.weight}
		total += s.weight
	}
	slices.SortFunc(all, func(a, b weighted) int { return cmp.Compare(a.v, b.v) })
	out := make([]float64, len(shares))
	for i, share := range shares {
		sum := 0.0
		for _, x := range all {
			if sum += x.w; sum >= share*total {
				out[i] = x.v
				break
			}
		}
	}
	return out
}
