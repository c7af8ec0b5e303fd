package hold

import (
	"cmp"
	"math"
	"slices"

	"ashbook/report/numeric/heat"
	"ashbook/report/safety"
)

// Newton's law of cooling: T(t) = A + (T₀ − A)·exp(−k·t). Uncertain are k, which differs
// between boxes, between loads of one box, and during a hold as the box warms through; the
// room A; and the first temperature T₀. The distribution is computed on a grid, without
// random numbers.
const (
	slowBox, fastBox = .035, safety.FastBox // k of the slowest and fastest known boxes, 1/h

	loadSpread = .30 // standard deviation of ln k between loads of one box (chosen: full or half full, preheated or not)
	drift      = .12 // standard deviation of the change of ln k after the last reading (chosen)
	readError  = 1.0 // K, standard error of a reading (chosen: a kitchen probe is good to 1 K)
	guessError = 4.0 // K, standard error of a start temperature guessed from a reading before the box (chosen)
	restFall   = 3.0 // K lost between that reading and the box (chosen: 10 to 20 min uncovered)
	roomSpread = 4.0 // K, standard deviation of the room (chosen: a kitchen or a yard)

	decile = 1.2816 // standard deviations from the median to the 10th percentile
)

// belief is what is known about the cooling rate k before any reading: a normal
// distribution of ln k.
type belief struct{ mean, sd float64 }

// anyBox takes slowBox and fastBox as the 10th and 90th percentiles.
func anyBox() belief {
	return belief{(math.Log(slowBox) + math.Log(fastBox)) / 2, (math.Log(fastBox) - math.Log(slowBox)) / 2 / decile}
}

// bare is the belief for meat cooling uncovered in air: the time constant ρcL/h·(1+Bi/3)
// of a slab runs from 1.9 h (L 3 cm, h 25 W/(m²·K), wet) to 10 h (L 7 cm, h 10).
func bare() belief {
	const slow, fast = .10, .54
	return belief{(math.Log(slow) + math.Log(fast)) / 2, (math.Log(fast) - math.Log(slow)) / 2 / decile}
}

// learned combines anyBox with the ln k of past loads, each with its variance, into a
// belief for the next load.
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

// observed is a core reading, °C, at hours since the box was closed.
type observed struct{ hours, c float64 }

// load is one piece in a box.
type load struct {
	rate           belief
	room, roomSD   float64 // °C
	start, startSD float64 // T₀ before any reading, °C; startSD 0: not known
	seen           []observed
}

// state is one possible state of the load.
type state struct {
	k, room, last float64 // 1/h; °C; core at the last reading, °C
	later         float64 // k after the last reading, as a multiple of k
	weight        float64 // proportional to its probability
}

// distribution is a set of possible states of the load, each with its probability.
type distribution struct {
	from   float64 // time of the last reading, h
	states []state
}

// hermite holds the points and weights of the three-point Gauss–Hermite rule (Abramowitz &
// Stegun 25.4.46).
var hermite = [3]struct{ z, w float64 }{{-math.Sqrt(3), 1. / 6}, {0, 2. / 3}, {math.Sqrt(3), 1. / 6}}

// work computes the distribution.
func (l load) work() distribution {
	const rates, rooms, reach = 81, 9, 4.0
	out := distribution{}
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
			for _, s := range hermite {
				last := room + (fitted+s.z*sd-room)*left
				for _, d := range hermite {
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

// first returns the start temperature T₀ that fits the readings best for a k and a room
// temperature, its standard deviation, and the log likelihood up to a constant.
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

// horizon is the length of the forecast after the last reading, h (chosen: after a day
// Newton's law no longer describes a real box).
const horizon = 24.0

// falls returns quantiles of when the core falls to a temperature, h since the box was
// closed; at most horizon after the last reading.
func (c distribution) falls(to float64, shares ...float64) []float64 {
	return c.quantiles(func(s state) float64 {
		h := math.Inf(1)
		switch {
		case s.last > to:
			if t, ok := heat.CoolingTime(s.last, to, s.room, s.k*s.later); ok {
				h = t
			}
		case s.last > s.room: // fell before the last reading
			if t, ok := heat.CoolingTime(to, s.last, s.room, s.k); ok {
				h = -t
			}
		default:
			h = -c.from
		}
		return c.from + math.Max(-c.from, math.Min(h, horizon))
	}, shares)
}

// at returns quantiles of the core at an hour, °C.
func (c distribution) at(hours float64, shares ...float64) []float64 {
	return c.quantiles(func(s state) float64 {
		return heat.Cooled(s.last, s.room, s.k*s.later, math.Max(0, hours-c.from))
	}, shares)
}

// rate returns quantiles of k, 1/h.
func (c distribution) rate(shares ...float64) []float64 {
	return c.quantiles(func(s state) float64 { return s.k }, shares)
}

// quantiles returns weighted quantiles of a function of the state.
func (c distribution) quantiles(of func(state) float64, shares []float64) []float64 {
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
