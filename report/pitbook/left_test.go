package pitbook

import (
	"math"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// A kettle starts with .4 kg an hour: 3 kg last seven and a half hours, 2 kg added
// after four hours another five. Without a weight the result is unknown.
func TestLeft(t *testing.T) {
	lit := time.Date(2026, 9, 18, 19, 0, 0, 0, time.UTC)
	b := of(nil, map[string]journal.Pit{"kettle": {Name: "kettle", Kind: journal.Kettle}}, "kettle")
	at := func(h float64) time.Time { return lit.Add(time.Duration(h * float64(time.Hour))) }
	add := func(h float64, kg float64) journal.Entry {
		return journal.Entry{Time: at(h), Items: []journal.Item{{Act: journal.AddFuel, Amount: measure.Mass{Base: kg, Known: kg > 0}}}}
	}
	fire := journal.Entry{Time: lit, Items: []journal.Item{{Act: journal.Lit}}}
	loaded := journal.Fuel{Loaded: measure.Kilograms(3)}
	for name, c := range map[string]struct {
		cook  journal.Cook
		at    float64
		hours float64 // below zero: not known
	}{
		"loaded":                     {journal.Cook{Fuel: loaded, Entries: []journal.Entry{fire}}, 2, 5.5},
		"topped up":                  {journal.Cook{Fuel: loaded, Entries: []journal.Entry{fire, add(4, 2)}}, 5, 7.5},
		"not yet topped up":          {journal.Cook{Fuel: loaded, Entries: []journal.Entry{fire, add(4, 2)}}, 3, 4.5},
		"burnt out":                  {journal.Cook{Fuel: loaded, Entries: []journal.Entry{fire}}, 12, 0},
		"noted as it was lit":        {journal.Cook{Entries: []journal.Entry{fire, add(.2, 3)}}, 2, 5.5},
		"only what went on later":    {journal.Cook{Entries: []journal.Entry{fire, add(4, 2)}}, 5, -1},
		"put on without its weight":  {journal.Cook{Fuel: loaded, Entries: []journal.Entry{fire, add(4, 0)}}, 5, -1},
		"nothing noted":              {journal.Cook{Entries: []journal.Entry{fire}}, 5, -1},
		"loaded, and not lit so far": {journal.Cook{Fuel: loaded}, 5, -1},
	} {
		left, ok := b.Left(&c.cook, at(c.at))
		if ok != (c.hours >= 0) || ok && math.Abs(left.Hours-c.hours) > 1e-9 || left.Own != 0 {
			t.Errorf("%s: %+v, %v; want %g h", name, left, ok, c.hours)
		}
	}
}
