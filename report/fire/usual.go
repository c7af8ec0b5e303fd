package fire

import (
	"slices"
	"time"

	"ashbook/journal"
)

// Usual describes a person's own fires in one pit. Zero values are not known.
type Usual struct {
	Fed   time.Duration // median time from one fuel to the next
	Hand  time.Duration // median time from one act on the fire to the next: vents, fuel, wood
	Cooks int           // cooks that Hand is based on
	Back  time.Duration // time in which nearly every lid recovered, from package pitbook
}

// enough is the least number of cooks for a habit (chosen).
const enough = 3

// UsualOf returns what is usual in the finished cooks of a pit. It does not set Back.
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

// gaps returns the hours from one of the acts to the next while meat was on; the first gap
// starts when it went on.
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
