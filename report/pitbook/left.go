package pitbook

import (
	"math"
	"time"

	"ashbook/journal"
)

// Left is the fuel that a running fire still has.
type Left struct {
	Kg    float64 // below zero: the fire should have burned more than was put on
	Hours float64 // h until it is burned at this rate; 0 if nothing is left
	Own   int     // cooks the rate is based on; 0: a starting value
}

// bedWithin is how long after lighting noted fuel still counts as loaded at the start
// (chosen).
const bedWithin = 30 * time.Minute

// Left estimates the fuel left in a running cook at now: fuel loaded and added, less
// what the pit usually burns in that time, at that temperature and weather. ok is false
// if the fire was not lit, or if the fuel loaded or added has no weight.
func (b *Book) Left(c *journal.Cook, now time.Time) (left Left, ok bool) {
	lit, ok := c.First(journal.Lit)
	if !ok || !now.After(lit) {
		return Left{}, false
	}
	kg, known := c.Fuel.Loaded.Base, c.Fuel.Loaded.Known
	for _, e := range c.Entries {
		for _, it := range e.Items {
			if it.Act != journal.AddFuel || e.Time.After(now) {
				continue
			}
			if !it.Amount.Known {
				return Left{}, false
			}
			kg += it.Amount.Base
			known = known || e.Time.Sub(lit) <= bedWithin
		}
	}
	if !known {
		return Left{}, false
	}
	at := usualPit
	if c.Aim.Pit.Known {
		at = c.Aim.Pit.Base
	}
	rate := b.FuelAt(at, c.Weather).Likely
	kg -= rate * now.Sub(lit).Hours()
	return Left{Kg: kg, Hours: math.Max(0, kg/rate), Own: b.FuelPerHour.N}, true
}
