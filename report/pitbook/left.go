package pitbook

import (
	"math"
	"time"

	"ashbook/journal"
)

// Left is what a running fire has left to burn.
type Left struct {
	Kg    float64 // below zero: more should have burnt than was put on
	Hours float64 // that it lasts at this burn; 0 where nothing is left
	Own   int     // cooks the burn is based on; 0: a starting value
}

// bedWithin is how long after it is lit fuel that is noted was there from the start
// (chosen).
const bedWithin = 30 * time.Minute

// Left estimates what the fire of a running cook has left at now: what was loaded and put
// on, less what the pit usually burns in that time at that temperature and weather. ok is
// false where it was not lit, where what was loaded is not known, and where fuel went on
// without its weight.
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
