package fire

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// spoilt returns c with the fire failing at a time: later readings and notes are replaced.
func spoilt(c *journal.Cook, at time.Time, step time.Duration, level float64, change func(h float64) float64, seed uint64) *journal.Cook {
	dup := *c
	dup.Entries = slices.DeleteFunc(slices.Clone(c.Entries), func(e journal.Entry) bool { return e.Time.After(at) })
	s := journal.Series{}
	for i, t := range c.Series.Times {
		if !t.After(at) {
			s.Times, s.Pit = append(s.Times, t), append(s.Pit, c.Series.Pit[i])
		}
	}
	rng := rand.New(rand.NewPCG(seed, 7))
	for t := at.Add(step); t.Sub(at) <= 4*time.Hour; t = t.Add(step) {
		s.Times = append(s.Times, t)
		s.Pit = append(s.Pit, change(t.Sub(at).Hours())+.7*rng.NormFloat64()) // a probe's noise (chosen)
	}
	dup.Series = s
	return &dup
}

// steadyMoments returns times at which the verdict says nothing and nothing was done in
// the hour before.
func steadyMoments(c *journal.Cook, p journal.Pit) []time.Time {
	from, to := stretch(c)
	var all []time.Time
	for now := from.Add(2 * time.Hour); now.Before(to.Add(-time.Hour)); now = now.Add(time.Hour) {
		quiet := !slices.ContainsFunc(c.Entries, func(e journal.Entry) bool { return !e.Time.After(now) && now.Sub(e.Time) < time.Hour })
		aim, _ := c.AimPit(now)
		level, ok := courseOf(c.PitReadings(), now).level(now)
		if quiet && ok && math.Abs(level-aim) < 5 && Read(c, p, Usual{}, now, Defaults(), measure.Metric).Kind == Steady {
			all = append(all, now)
		}
	}
	return all
}

// firstCall returns how long after at the first alert comes, at most until to.
func firstCall(c *journal.Cook, p journal.Pit, at, to time.Time) (time.Duration, Verdict) {
	for now := at; now.Before(to); now = now.Add(time.Minute) {
		if v := Read(c, p, Usual{}, now, Defaults(), measure.Metric); v.Alert {
			return now.Sub(at), v
		}
	}
	return to.Sub(at), Verdict{}
}

func TestFailuresAreFound(t *testing.T) {
	cooks, pits := probed(t)
	const air = 9.0
	vent := []journal.Item{{Act: journal.Vent, Detail: "open"}}
	fuel := []journal.Item{{Act: journal.AddFuel}}
	for _, fail := range []struct {
		name   string
		change func(level, h float64) float64
		note   []journal.Item // noted as it begins
		want   []Kind         // the first call
		least  float64        // least share found with such a verdict
		within time.Duration  // in which 9 in 10 are found
	}{
		{"sags by 6 K an hour", func(l, h float64) float64 { return l - 6*h }, nil, []Kind{Low}, .9, 110 * time.Minute},
		{"sags by 12 K an hour", func(l, h float64) float64 { return l - 12*h }, nil, []Kind{Low}, .9, 65 * time.Minute},
		{"goes out, thin steel", func(l, h float64) float64 { return air + (l-air)*math.Exp(-h/.9) }, nil, []Kind{Choked, Low, Out}, 1, 25 * time.Minute},
		{"goes out, thick walls", func(l, h float64) float64 { return air + (l-air)*math.Exp(-h/3) }, nil, []Kind{Choked, Low, Out}, 1, 25 * time.Minute},
		{"smoulders at once", func(l, h float64) float64 { return l - 30*min(h, 1.5) }, nil, []Kind{Choked, Low}, 1, 30 * time.Minute},
		{"falls although vents were opened", func(l, h float64) float64 { return l - 14*h }, vent, []Kind{Choked}, .9, 35 * time.Minute},
		{"falls although fed", func(l, h float64) float64 { return l - 14*h }, fuel, []Kind{Choked}, .9, 35 * time.Minute},
		{"runs away by 20 K an hour", func(l, h float64) float64 { return l + 20*h }, nil, []Kind{Runaway}, 1, 55 * time.Minute},
		{"runs away by 60 K an hour", func(l, h float64) float64 { return l + 60*h }, nil, []Kind{Runaway}, 1, 30 * time.Minute},
	} {
		for _, step := range []time.Duration{5 * time.Minute, time.Minute} {
			var delays []float64
			n, as := 0, 0
			for i := range cooks {
				c, p := &cooks[i], pits[cooks[i].Pit]
				for k, at := range steadyMoments(c, p) {
					level, _ := courseOf(c.PitReadings(), at).level(at)
					bad := spoilt(c, at, step, level, func(h float64) float64 { return fail.change(level, h) }, uint64(100*i+k))
					if fail.note != nil {
						bad.Entries = append(bad.Entries, journal.Entry{Time: at, Items: fail.note})
					}
					n++
					first, v := firstCall(bad, p, at, at.Add(4*time.Hour))
					delays = append(delays, first.Minutes())
					if slices.Contains(fail.want, v.Kind) {
						as++
					}
				}
			}
			slices.Sort(delays)
			late := delays[int(.9*float64(len(delays)-1)+.5)]
			t.Logf("%-34s rows every %v: %d tried, half found after %.0f min, 9 in 10 after %.0f, %d %% as such", fail.name, step, n, delays[n/2], late, 100*as/n)
			if late > fail.within.Minutes() || float64(as) < fail.least*float64(n) {
				t.Errorf("%s, rows every %v: 9 in 10 found after %.0f min, expected %v; %d of %d as such", fail.name, step, late, fail.within, as, n)
			}
		}
	}
}

// An opened lid gets the verdict Lid and no alert, in steel and in brick.
func TestLidIsALid(t *testing.T) {
	cooks, pits := probed(t)
	for _, pit := range []struct {
		name    string
		dip     float64 // K
		recover float64 // min for two thirds
	}{{"steel", 36, 8}, {"brick", 15, 16}} {
		for _, step := range []time.Duration{5 * time.Minute, time.Minute} {
			n, named, called := 0, 0, 0
			for i := range cooks {
				c, p := &cooks[i], pits[cooks[i].Pit]
				for k, at := range steadyMoments(c, p) {
					level, _ := courseOf(c.PitReadings(), at).level(at)
					open := spoilt(c, at, step, level, func(h float64) float64 { return level - pit.dip*math.Exp(-h*60/pit.recover) }, uint64(100*i+k))
					calls, minutes := watch(open, p, Usual{}, at.Add(time.Minute), at.Add(90*time.Minute))
					n++
					if minutes[Lid] > 0 {
						named++
					}
					if len(calls) > 0 {
						called++
						t.Logf("%s: %s %s: %s", pit.name, c.ID, calls[0].from.Sub(at), calls[0].Says)
					}
				}
			}
			t.Logf("%s, rows every %v: %d lids, %d named so, %d calls", pit.name, step, n, named, called)
			if named < n || called > n/20 {
				t.Errorf("%s, rows every %v: of %d lids %d were named and %d called for", pit.name, step, n, named, called)
			}
		}
	}
}
