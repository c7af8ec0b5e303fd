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

// mark is the state of a past cook at one core reading: the kelvins that its coldest
// piece still had to rise, the hours it still took, and the hours since it went on.
type mark struct{ Left, Hours, Elapsed float64 }

// Marks are the marks of one cook, in order of time.
type Marks []mark

// markEvery is the least time between marks of a probe, h (chosen).
const markEvery = .25

// marksOf returns the marks of a finished cook.
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
			continue // a reading of another piece at the same time
		}
		out = append(out, mark{left, math.Max(took-m.h, model.Soonest), math.Max(m.h, model.Soonest)})
	}
	return out
}

// alikeWidth says how close a past mark must be to count: its weight falls off as a
// normal curve of this standard deviation over the difference in kelvins to go, K
// (chosen on real cooks, where 2 to 5 K did equally well).
const alikeWidth = 3.0

// LookAlike is how long a person's own cooks still took from a similar core
// temperature.
type LookAlike struct {
	Hours  float64 // geometric mean
	Spread float64 // standard deviation of ln hours between cooks
	Cooks  int     // number of cooks with a similar core
}

// paceRidge pulls the effect of the time so far towards zero if few cooks show it (a
// variance of ln(hours), chosen small compared with the variance among a dozen cooks).
const paceRidge = .5

// lookAlikes returns how long past cooks still took when their cores had left kelvins
// to rise, corrected for whether this cook was faster or slower up to then. It uses
// each cook for which use is true once. ok is false if there are fewer than two.
func lookAlikes(past []Marks, left, elapsed float64, use func(cook int) bool) (a LookAlike, ok bool) {
	var w, ww, y, yy, x, xx, xy float64 // sums; x is ln(time so far), y is ln(time to go)
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
	// Two cooks may agree by chance, so two invented cooks with a spread of .4 are
	// added (chosen).
	a.Spread = math.Sqrt((n*variance + 2*.16) / (n + 2) * (1 + 1/n))
	a.Hours = math.Exp(y + lean)
	return a, true
}

func equalCut(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// alike returns the LookAlike from the past cooks of the same kind as m, or the zero
// LookAlike if there are too few.
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

// MarksOf returns the marks of a cook for LookAlikes; nil if it is not finished.
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

// LookAlikes applies the simple rule: how long other finished cooks still took when
// their core was where the coldest piece of c is at now. All count equally; the time so
// far is ignored.
func LookAlikes(c *journal.Cook, now time.Time, others []Marks) (LookAlike, bool) {
	left, since, ok := coldest((&model.Context{}).Read(c, now))
	if !ok {
		return LookAlike{}, false
	}
	a, ok := lookAlikes(others, left, 1, func(int) bool { return true })
	a.Hours = math.Max(model.Soonest, a.Hours-since)
	return a, ok
}
