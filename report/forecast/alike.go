package forecast

import (
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/forecast/people"
)

// mark is a moment of a past cook at which a core was read: how far the
// coldest piece still had to go, how long that took, and the time so far.
type mark struct{ Left, Hours, Elapsed float64 }

// Marks are those of one cook, in order of time.
type Marks []mark

// markEvery is how often a probe's readings are taken up, h (chosen).
const markEvery = .25

// marksOf lists the moments of a finished cook, at most one a quarter of an
// hour.
func marksOf(c *journal.Cook, took float64) []mark {
	on, _ := c.OnAt()
	type moment struct{ h, left float64 }
	var all []moment
	usual := model.UsualOff(c.Cut)
	latest := make([]float64, max(1, len(c.Pieces)))
	for i := range latest {
		latest[i] = math.NaN()
		last := math.Inf(-1)
		for _, r := range c.CoreReadings(i) {
			h := r.Time.Sub(on).Hours()
			if !model.Believable(r.C) || h < 0 || h >= took || h < last+markEvery && r.Probe {
				continue
			}
			if off, ok := c.OffAt(i); ok && r.Time.After(off) {
				continue
			}
			target := usual
			if t, ok := c.AimCore(r.Time); ok {
				target = t
			}
			target = math.Min(target, journal.HottestCore(c.Altitude))
			last = h
			all = append(all, moment{h, target - r.C})
		}
	}
	slices.SortFunc(all, func(a, b moment) int {
		switch {
		case a.h < b.h:
			return -1
		case a.h > b.h:
			return 1
		}
		return 0
	})
	var out []mark
	for i, m := range all {
		left := m.left
		for k := i + 1; k < len(all) && all[k].h < m.h+.02; k++ {
			left = math.Max(left, all[k].left)
		}
		if i > 0 && all[i-1].h > m.h-.02 {
			continue // the same look at another piece
		}
		out = append(out, mark{left, math.Max(took-m.h, model.Soonest), math.Max(m.h, model.Soonest)})
	}
	return out
}

// alikeWidth is how close, in K still to go, a past moment must lie to count
// (kernel standard deviation; chosen on real cooks, where 2 to 5 K did alike).
const alikeWidth = 3.0

// LookAlike is how long a person's own cooks took from a like moment.
type LookAlike struct {
	Hours  float64 // geometric mean
	Spread float64 // standard deviation of ln hours between cooks
	Cooks  int     // how many had such a moment
}

// paceRidge holds the pace back when few cooks show it (squared spread of ln
// time so far; chosen small against the spread among a dozen cooks).
const paceRidge = .5

// lookAlikes asks past cooks how long it took from left K to go, and
// leans the answer on how much sooner or later than those this one came there.
// Only cooks for which use is true count, each once, however many readings it has. ok is false when fewer than two count.
func lookAlikes(past []Marks, left, elapsed float64, use func(cook int) bool) (a LookAlike, ok bool) {
	var w, ww, y, yy, x, xx, xy float64 // sums; x is ln time so far, y ln time to go
	for i := range past {
		if !use(i) {
			continue
		}
		var total, best, toGo, soFar float64
		for _, m := range past[i] {
			d := (m.Left - left) / alikeWidth
			k := math.Exp(-d * d / 2)
			total += k
			toGo += k * math.Log(m.Hours)
			soFar += k * math.Log(m.Elapsed)
			best = math.Max(best, k)
		}
		if best < .1 {
			continue
		}
		toGo, soFar = toGo/total, soFar/total
		w, ww = w+best, ww+best*best
		y, yy = y+best*toGo, yy+best*toGo*toGo
		x, xx, xy = x+best*soFar, xx+best*soFar*soFar, xy+best*soFar*toGo
		a.Cooks++
	}
	if a.Cooks < 2 {
		return LookAlike{}, false
	}
	y, x = y/w, x/w
	pace := (xy - w*x*y) / (xx - w*x*x + paceRidge)
	lean := math.Max(-.7, math.Min(.7, pace*(math.Log(math.Max(elapsed, model.Soonest))-x)))
	n := w * w / ww
	variance := math.Max(0, yy/w-y*y)
	if n > 1 {
		variance *= n / (n - 1)
	}
	// Two cooks that agree prove little: two pseudo-cooks at .4 (chosen).
	a.Spread = math.Sqrt((n*variance + 2*.16) / (n + 2) * (1 + 1/n))
	a.Hours = math.Exp(y + lean)
	return a, true
}

func equalCut(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// alike asks the past cooks.
func (f *Forecaster) alike(m *people.Moment) LookAlike {
	if !m.Read {
		return LookAlike{}
	}
	past := make([]Marks, len(f.taught))
	for i := range past {
		past[i] = f.taught[i].Marks
	}
	a, ok := lookAlikes(past, m.Left, m.At, func(i int) bool { return model.Bird(f.past[i].Cut) == m.Bird })
	if !ok {
		return LookAlike{}
	}
	a.Hours = math.Max(model.Soonest, a.Hours-m.Since)
	return a
}

// MarksOf are the marks of a cook, as LookAlikes wants them; none of one that is not
// finished.
func MarksOf(c *journal.Cook) Marks {
	took, ok := courseOf(c)
	if !ok {
		return nil
	}
	all := marksOf(c, took)
	for i := range all {
		all[i].Elapsed = 1
	}
	return all
}

// LookAlikes is the plain rule: how long other finished cooks took from the
// core the coldest piece of c has at now, all with equal standing, the time so
// far not looked at.
func LookAlikes(c *journal.Cook, now time.Time, others []Marks) (LookAlike, bool) {
	left, since, ok := coldest((&model.Context{}).Read(c, now))
	if !ok {
		return LookAlike{}, false
	}
	a, ok := lookAlikes(others, left, 1, func(int) bool { return true })
	a.Hours = math.Max(model.Soonest, a.Hours-since)
	return a, ok
}
