package fire

import (
	"slices"
	"time"

	"ashbook/journal"
)

// Usual is what a person's own fires in one pit are like. Zero: not known.
type Usual struct {
	Fed   time.Duration // between two feedings with fuel, the median
	Hand  time.Duration // between two hands laid on the fire: vents, fuel, wood, the median
	Cooks int           // cooks that say so
	Back  time.Duration // by which nearly every lid was back; the pit book knows
}

// enough cooks before a habit is told (chosen).
const enough = 3

// UsualOf learns from finished cooks in a pit.
func UsualOf(past []journal.Cook, p journal.Pit) Usual {
	var hand, fed []float64
	cooks, fedCooks := 0, 0
	for i := range past {
		c := &past[i]
		if c.Pit != p.Name {
			continue
		}
		if g := gaps(c, journal.Vent, journal.AddFuel, journal.AddWood); len(g) > 0 {
			hand = append(hand, g...)
			cooks++
		}
		feeds := []journal.Act{journal.AddFuel}
		if burnsSticks(c, p) {
			feeds = append(feeds, journal.AddWood)
		}
		if g := gaps(c, feeds...); len(g) > 0 {
			fed = append(fed, g...)
			fedCooks++
		}
	}
	var u Usual
	rounded := func(hours []float64) time.Duration {
		return time.Duration(median(hours) * float64(time.Hour)).Round(5 * time.Minute)
	}
	if cooks >= enough {
		u.Hand, u.Cooks = rounded(hand), cooks
	}
	if fedCooks >= enough {
		u.Fed = rounded(fed)
	}
	return u
}

// gaps are the hours between one of the acts and the next while meat was on,
// the first counted from going on.
func gaps(c *journal.Cook, acts ...journal.Act) []float64 {
	on, ok := c.OnAt()
	off, done := c.Finish()
	if !ok || !done {
		return nil
	}
	var hours []float64
	last := on
	for _, e := range c.Entries {
		did := slices.ContainsFunc(e.Items, func(it journal.Item) bool { return slices.Contains(acts, it.Act) })
		if did && e.Time.After(on) && e.Time.Before(off) {
			hours = append(hours, e.Time.Sub(last).Hours())
			last = e.Time
		}
	}
	return hours
}
