package heat

import "math"

// Change is something done to the meat.
type Change struct {
	At     float64 // s after it went on
	Cover  Cover   // from At on
	Spritz float64 // water sprayed on, kg/m²; 0: none
}

// Course is everything that happens to a piece while it cooks.
type Course struct {
	Pit     []float64 // °C, one value a step from the start; the last one continues
	Offset  float64   // K, added to Pit from step Known on
	Known   int       // number of steps of Pit that were measured
	Changes []Change  // ascending
	Plan    Cover     // cover that is put on when the core reaches PlanAt; Bare: none
	PlanAt  float64   // °C
	PlanNow int       // step from which Plan may be put on
	Target  float64   // °C; the run ends soon after the smoothed core reaches it
	Steps   int       // largest number of steps of the run
}

// smoothing is the time over which a core is averaged before it is compared with a
// target. In a swinging pit the raw core can just miss the target and reach it one
// swing later (chosen: half a swing of a badly kept fire).
const smoothing = 1800.0 // s

func window(dt float64) int { return max(1, int(smoothing/dt)) }

// Run simulates a piece through the course and appends the core after each step to
// core. It does not allocate if core has capacity.
func (c *Course) Run(s *Sim, core []float64) []float64 {
	w, next, sum := window(s.dt), 0, 0.0
	for next < len(c.Changes) && c.Changes[next].At < s.Elapsed() {
		next++
	}
	first := len(core)
	for s.steps < c.Steps && len(c.Pit) > 0 {
		for next < len(c.Changes) && c.Changes[next].At <= s.Elapsed() {
			s.Wrap(c.Changes[next].Cover)
			s.Spritz(c.Changes[next].Spritz)
			next++
		}
		if c.Plan != Bare && s.cover == Bare && s.steps >= c.PlanNow && s.Core() >= c.PlanAt {
			s.Wrap(c.Plan)
		}
		pit := c.Pit[min(s.steps, len(c.Pit)-1)]
		if s.steps >= c.Known {
			pit += c.Offset
		}
		s.Step(pit)
		core = append(core, s.Core())
		sum += s.Core()
		if n := len(core) - first; n > w {
			sum -= core[len(core)-1-w]
		}
		if len(core)-first >= w && sum >= c.Target*float64(w) {
			break
		}
	}
	return core
}

// Crossing returns when the smoothed core first reaches the target, in s after the step
// before core[0]. ok is false if it never does.
func Crossing(core []float64, dt, target float64) (seconds float64, ok bool) {
	w := window(dt)
	if len(core) < w {
		return 0, false
	}
	sum := 0.0
	for _, c := range core[:w] {
		sum += c
	}
	before := math.Inf(-1)
	for k := w; ; k++ {
		mean := sum / float64(w)
		if mean >= target {
			at := float64(k) - float64(w-1)/2
			if !math.IsInf(before, -1) {
				at -= (mean - target) / (mean - before)
			}
			return math.Max(0, at*dt), true
		}
		if k >= len(core) {
			return 0, false
		}
		before = mean
		sum += core[k] - core[k-w]
	}
}

// Cooled returns the temperature after hours in a box by Newton's law of cooling: air
// in °C, perHour is the cooling rate per hour.
func Cooled(from, air, perHour, hours float64) float64 {
	return air + (from-air)*math.Exp(-perHour*hours)
}

// CoolingTime returns how long Newton's law takes to cool from one temperature to
// another, h. ok is false if that never happens.
func CoolingTime(from, to, air, perHour float64) (hours float64, ok bool) {
	if from <= to {
		return 0, true
	}
	if to <= air || perHour <= 0 {
		return 0, false
	}
	return math.Log((from-air)/(to-air)) / perHour, true
}
