package forecast

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

// Character is what the readings of a cook say of its meat and its pit's air
// beyond what was written down: factors on the usual, 1 = as usual. Shape and
// Transfer of opposite sign can hardly be told apart unless the thickness was
// measured: tell them together.
type Character struct {
	Transfer float64   // heat and vapour exchange at the surface
	Shape    []float64 // half thickness, by piece; missing ones count as 1
}

// AsUsual is the character of a cook about which nothing is known.
var AsUsual = Character{Transfer: 1}

// Character fits a cook to its readings up to now.
func (f *Forecaster) Character(c *journal.Cook, now time.Time) Character {
	j := f.world.Read(c, now)
	e := model.New(j)
	z := e.Fit().Mean
	var out Character
	for i := range j.Pieces {
		factors := e.Factors(z, i)
		out.Transfer = factors.Transfer
		out.Shape = append(out.Shape, factors.Shape)
	}
	return out
}

// Simulated is how long the engine gives a cook of that character with the pit,
// wraps and acts written down, readings of the core not looked at, h; ok is
// false when it never gets there within 48 h or has not gone on. Past the last
// entry the pit goes on as it was. A caller who asks what another pit, weight
// or wrap would have done changes the cook.
func (f *Forecaster) Simulated(c *journal.Cook, ch Character) (hours float64, ok bool) {
	end, known := c.LastEntry()
	if off, done := c.Finish(); done {
		end = off
	}
	if !known {
		return 0, false
	}
	j := f.world.Read(c, end)
	if j.On.IsZero() {
		return 0, false
	}
	e := model.New(j)
	for i := range j.Pieces {
		p := &j.Pieces[i]
		factors := heat.Factors{Transfer: ch.Transfer, Supply: 1, Crust: 1, Shape: 1, Leak: 1}
		if i < len(ch.Shape) {
			factors.Shape = ch.Shape[i]
		}
		h, reached := p.Finish(e.Run(factors, i, p.Target, 0, model.MaxSteps))
		if !reached {
			return 0, false
		}
		hours = math.Max(hours, p.Start+h)
	}
	return hours, true
}
