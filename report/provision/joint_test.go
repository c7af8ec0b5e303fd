package provision

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/quantity"

	"gonum.org/v1/gonum/stat/distuv"
)

// taking returns a forecast with the quantiles of a lognormal: its median, h, and the
// standard deviation of the logarithm.
func taking(median, sd float64) (f forecast.Forecast) {
	for i := range 50 {
		f.Sample = append(f.Sample, median*math.Exp(sd*distuv.UnitNormal.Quantile((float64(i)+.5)/50)))
	}
	f.ToGo.Mid = median
	return f
}

// All loads of a meal together are in time in nine of ten meals. No other division of
// the chance of being late costs less; the test tries all of them.
func TestOddsOfAMeal(t *testing.T) {
	cook := func(cut string) journal.Cook { return journal.Cook{Cut: cut} }
	big, birds := &Load{Cook: cook("pork shoulder"), Forecast: taking(14, .2)}, &Load{Cook: cook("chicken"), Forecast: taking(4, .3)}
	var p Plan
	apart := func(n int) (out []bond) {
		for i := range n {
			out = append(out, bond{[]int{i}, 1})
		}
		return out
	}
	p.odds([]*Load{big}, apart(1), nil)
	if big.Sure != buffer.Sure {
		t.Errorf("one load alone: %.3f", big.Sure)
	}
	twins := []*Load{big, {Cook: cook("pork shoulder"), Forecast: taking(14, .2)}}
	p.odds(twins, apart(2), nil)
	if math.Abs(twins[0].Sure-twins[1].Sure) > .0011 {
		t.Errorf("two alike: %.3f and %.3f", twins[0].Sure, twins[1].Sure)
	}
	together := twins[0].Sure
	p.odds(twins, []bond{{[]int{0, 1}, .6}}, nil)
	if twins[0].Sure >= together {
		t.Errorf("late together, each must be in time in %.3f; each on its own, in %.3f", twins[0].Sure, together)
	}
	p.odds([]*Load{big, birds}, apart(2), nil)
	if all := big.Sure * birds.Sure; all < buffer.Sure || all > buffer.Sure+.001 {
		t.Errorf("all in time in %.4f", all)
	}
	const box = 10. // h, about what any box keeps
	cost := func(a, b float64) float64 {
		return buffer.Hours(big.Forecast, a)/box + buffer.Hours(birds.Forecast, b)/quantity.Find("chicken").Keeps
	}
	least := math.Inf(1)
	for a := .905; a < .99; a += .001 {
		least = math.Min(least, cost(a, buffer.Sure/a))
	}
	if got := cost(big.Sure, birds.Sure); got > least*1.01 {
		t.Errorf("shares %.3f and %.3f cost %.3f, the best ones %.3f", big.Sure, birds.Sure, got, least)
	}
	if big.Sure <= birds.Sure {
		t.Errorf("an hour of chicken in the box is dear, yet it is in time in %.3f and the shoulder in %.3f", birds.Sure, big.Sure)
	}
}

// The chance that loads of one bond are all in time equals the share of many random
// meals. It is between the chance of independent loads and that of the worst load.
func TestInTimeTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	share, pieces := []float64{.95, .92, .97}, []float64{1, 2, 1}
	for _, with := range []float64{.05, .4, .66, .9} {
		got := inTime([]bond{{[]int{0, 1}, with}, {[]int{2}, 1}}, share, pieces)
		all, n := 0, 200_000
		for range n {
			u, ok := rng.NormFloat64(), true
			for i, s := range share {
				for range int(pieces[i]) {
					z := rng.NormFloat64()
					if i < 2 {
						z = math.Sqrt(with)*u + math.Sqrt(1-with)*z
					}
					ok = ok && z < distuv.UnitNormal.Quantile(s)
				}
			}
			if ok {
				all++
			}
		}
		if want := float64(all) / float64(n); math.Abs(got-want) > .003 {
			t.Errorf("correlation %.2f: %.4f, drawn %.4f", with, got, want)
		}
		if got < .95*.92*.92*.97 || got > .92 {
			t.Errorf("correlation %.2f: %.4f", with, got)
		}
	}
}

// The loads of a person's first plan tend to be late together. After cooks of their
// own, each load is late by itself.
func TestBonds(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Dishes = append(r.Dishes, Dish{Cut: "spare ribs"}, Dish{Cut: "chicken"})
	r.Pits = []Pit{pit("large", journal.Drum, 1.2)}
	p := work(t, r, k)
	if len(p.common) != 2 || len(p.common[0].loads) != 2 || p.common[0].with < .3 || p.common[0].with > .8 {
		t.Errorf("a shoulder, ribs and a bird: %+v", p.common)
	}
	if all := p.Together(); all < buffer.Sure || all > buffer.Sure+.002 {
		t.Errorf("all in time in %.4f", all)
	}
}

// A load that may finish in a hotter pit is in time as often as it claims. Random cooks
// follow its rule: somebody looks at them, and heats those more that would be late.
func TestFinish(t *testing.T) {
	l := &Load{Cook: journal.Cook{Cut: "chicken"}, Forecast: taking(4, .3), Finish: &Finish{After: 4 * look, Factor: .7}}
	rng := rand.New(rand.NewPCG(1, 2))
	for _, share := range []float64{.85, .9, .95, .98} {
		has := l.hours(share)
		late, n := 0, 200_000
		for range n {
			took := 4 * math.Exp(.3*rng.NormFloat64())
			if took > has && took > l.Finish.After {
				took = l.Finish.After + (took-l.Finish.After)*l.Finish.Factor
			}
			if took > has+1e-9 {
				late++
			}
		}
		if got := float64(late) / float64(n); got > 1-share+.006 || math.Abs(got-l.late(has)) > .006 {
			t.Errorf("in time in %.2f: late in %.3f, said to be %.3f", share, got, l.late(has))
		}
		if usual := buffer.Hours(l.Forecast, share); has > usual || has < buffer.Hours(l.Forecast, unhelped) {
			t.Errorf("in time in %.2f: %.2f h, without a hotter pit %.2f", share, has, usual)
		}
		if got := buffer.Late(l.within(has), has); math.Abs(got-l.late(has)) > .02 {
			t.Errorf("in time in %.2f: %.3f of those as they turn out are late", share, got)
		}
	}
}

// Meat that does not keep in a box is cut last and goes on late. Somebody looks at it
// while a hotter pit can still help.
func TestQuickComesLate(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Dishes = append([]Dish{{Cut: "chicken"}, {Cut: "spare ribs"}}, r.Dishes...)
	r.Pits = []Pit{pit("large", journal.Drum, 1.2)}
	p := work(t, r, k)
	birds, ribs, big := &p.Loads[0], &p.Loads[1], &p.Loads[2]
	if !big.CutAt.Equal(p.CarveAt) || !ribs.CutAt.After(big.CutAt) || !birds.CutAt.After(ribs.CutAt) {
		t.Errorf("cut at %s, %s, %s", big.CutAt, ribs.CutAt, birds.CutAt)
	}
	if end := birds.CutAt.Add(time.Duration(len(birds.Cook.Pieces)) * carveEach); !end.Equal(r.Serve) {
		t.Errorf("chicken is cut until %s", end)
	}
	for _, l := range []*Load{birds, ribs} {
		f := l.Finish
		if f == nil {
			t.Fatalf("%s has no look", l.Cook.Cut)
		}
		if at := l.OnBy.Add(duration(f.After)); !at.Before(l.LatestOff.Add(-30*time.Minute)) || f.Core <= 30 || f.Core >= l.Forecast.Pieces[0].Target {
			t.Errorf("%s: look at %s for a core of %.0f °C, off by %s", l.Cook.Cut, at, f.Core, l.LatestOff)
		}
		if sooner := buffer.Hours(l.Forecast, l.Sure) - l.LatestOff.Sub(l.OnBy).Hours(); sooner < .5 {
			t.Errorf("%s: the hotter pit saves %.1f h", l.Cook.Cut, sooner)
		}
	}
	if big.Finish != nil {
		t.Error("a shoulder keeps in the box, yet it finishes in a hotter pit")
	}
}
