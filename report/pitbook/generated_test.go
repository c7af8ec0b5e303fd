package pitbook

import (
	"math"
	"sync"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/numeric/score"
	"ashbook/samples/invent"
	"ashbook/samples/invent/roast"
)

// filed are the pits of the generated journals, as their files describe them.
var filed = map[string]journal.Pit{
	"brick": {Name: "brick", Kind: journal.Brick},
	"drum":  {Name: "drum", Kind: journal.Drum},
}

// generated returns generated cooks on pits with known behaviour.
func generated(seed uint64, n int, probes float64) []journal.Cook {
	var out []journal.Cook
	for _, g := range invent.Generate(seed, n, invent.Options{Probes: probes, Without: true}) {
		c, err := g.Read(cookfile.Options{Zone: time.UTC})
		if err != nil {
			panic(err)
		}
		out = append(out, c)
	}
	return out
}

// six returns six journals of 60 cooks, generated once.
var six = sync.OnceValue(func() (out [][]journal.Cook) {
	for seed := range uint64(6) {
		out = append(out, generated(seed+1, 60, .5))
	}
	return out
})

// The book recovers the behaviour of generated pits. The truth is the generator's: fuel
// grows with the gap to the air and with the wind, an untended fire falls by so much an
// hour, and an open lid costs so much and recovers exponentially. The generated pit is
// coldest right at the opening and has a row every five minutes, so the fall is read 2½
// minutes late on average.
func TestFindsKnownPits(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	const at, air, wind = 110.0, 10.0, 3.0
	weather := journal.Weather{Air: measure.Degrees(air, measure.Metric)}
	weather.Wind = measure.Speed{Base: wind, Known: true}
	for name, pit := range roast.Pits {
		fell := pit.Dip * .95 * math.Exp(-2.5/pit.Recover)
		truth := map[string]float64{
			"fuel":  pit.Burn * (at - air) / 95 * (1 + .03*wind),
			"alone": -pit.Sag * (1 + .05*wind),
			"dip":   fell,
			"back":  pit.Recover * math.Log(pit.Dip*.95/backWithin),
			"cold":  10 / (at - air),
			"wind":  .03 / (1 + .03*wind),
		}
		miss := map[string][]float64{}
		for _, cooks := range six() {
			b := of(cooks, filed, name)
			got := map[string]float64{"fuel": b.FuelAt(at, weather).Likely, "alone": b.Alone.Likely, "dip": b.Dip.Likely, "back": b.Recovery.Likely, "cold": b.Cold.Likely, "wind": b.Wind.Likely}
			for k, v := range got {
				miss[k] = append(miss[k], v/truth[k]-1)
			}
		}
		// How far the median of six journals may be from the truth, as a share: about
		// twice what was measured.
		for k, most := range map[string]float64{"fuel": .04, "alone": .35, "dip": .25, "back": .15, "cold": .25, "wind": .3} {
			middle := score.Quantile(miss[k], .5)
			t.Logf("%s %s: truth %.3f, middle %+.0f %%, from %+.0f to %+.0f %%", name, k, truth[k], 100*middle, 100*score.Quantile(miss[k], 0), 100*score.Quantile(miss[k], 1))
			if math.Abs(middle) > most {
				t.Errorf("%s %s: off by %+.0f %%, at most %.0f", name, k, 100*middle, 100*most)
			}
		}
	}
}

// Of the next cooks, 8 in 10 burn an amount inside the range. Generated fires burn more
// evenly than the starting spread assumes, so more are inside until cooks have shown
// it.
func TestRangesHoldTheNextCook(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	var in, all [3]int
	names := []string{"from 1 to 5 cooks", "from 6 to 14", "from 15 on"}
	for _, cooks := range six() {
		for i := range cooks {
			c := &cooks[i]
			kg, ok := c.FuelBurned()
			lit, hasLit := c.First(journal.Lit)
			off, done := c.Finish()
			if !ok || !hasLit || !done {
				continue
			}
			b := of(cooks[:i], filed, c.Pit)
			k := 0
			switch n := b.FuelPerHour.N; {
			case n == 0:
				continue
			case n > 14:
				k = 2
			case n > 5:
				k = 1
			}
			f := b.FuelAt(look(c, false).stood(), c.Weather)
			all[k]++
			if rate := kg / off.Sub(lit).Hours(); f.Low <= rate && rate <= f.High {
				in[k]++
			}
		}
	}
	for k, name := range names {
		share := float64(in[k]) / float64(all[k])
		t.Logf("%s: the range of 8 in 10 held %d of %d (%.0f %%)", name, in[k], all[k], 100*share)
		if share < .75 || k == 2 && share > .97 {
			t.Errorf("%s: held %.0f %%", name, 100*share)
		}
	}
}
