package forecast

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

// Character describes how the meat and the air in the pit differ from the usual,
// according to the readings. Each value is a factor; 1 is usual. Unless the thickness
// was measured, a thick piece that takes up heat well looks almost like a thin one that
// takes it up badly, so report Shape and Transfer together.
type Character struct {
	Transfer float64   // heat and vapour transfer at the surface
	Shape    []float64 // factor on the half thickness of each piece; missing: 1
}

// AsUsual is the Character without any difference.
var AsUsual = Character{Transfer: 1}

// Character returns the factors fitted to the readings up to now.
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

// Simulated returns how long the simulation of c takes with the character ch and the
// pit, wraps and acts noted, h; core readings are ignored. ok is false if it is not
// done within Longest or has not gone on. After the last entry the pit stays as it was.
// To simulate another pit, weight or wrap, change c.
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
