package provision

import (
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
)

// A cook that stalls on the morning of its meal: each way is sooner than no change, the
// oven soonest. Notes later than now change nothing.
func TestRunning(t *testing.T) {
	on := time.Date(2026, 9, 19, 1, 0, 0, 0, time.UTC)
	at := func(h float64) time.Time { return on.Add(duration(h)) }
	read := func(h, pit, core float64) journal.Entry {
		return journal.Entry{Time: at(h), Items: []journal.Item{
			{Act: journal.ReadPit, Temp: measure.Degrees(pit, measure.Metric)}, {Act: journal.ReadCore, Temp: measure.Degrees(core, measure.Metric)}}}
	}
	c := journal.Cook{ID: "x", Cut: "pork shoulder", Serve: at(12), Heads: 20,
		Pieces:  []journal.Piece{{Raw: mass(4.7), Core: measure.Degrees(5, measure.Metric)}},
		Aim:     journal.Aim{Pit: measure.Degrees(115, measure.Metric), Wrap: journal.WrapPlan{Bare: true}},
		Entries: []journal.Entry{{Time: on, Items: []journal.Item{{Act: journal.On}}}, read(2, 114, 40), read(4, 115, 61), read(6, 115, 70), read(8, 115, 72)}}
	f := forecast.Untaught(nil, journal.Settings{})
	now := at(8.2)
	ways := Running(&c, f, now, nil, journal.Settings{})
	if len(ways) != 6 {
		t.Fatalf("%+v", ways)
	}
	left, oven, bought := ways[0], ways[4], ways[5]
	if left.Late < .5 || left.Meal.Before(c.Serve) {
		t.Errorf("a shoulder of 72 °C four hours before the meal: %+v", left)
	}
	for _, w := range ways[1:5] {
		if w.Late > left.Late || !w.Meal.Before(left.Meal) || w.Cost == "" || oven.Meal.After(w.Meal) || w.InTime() != !w.Meal.After(c.Serve) {
			t.Errorf("%+v; left alone %+v, in the oven %+v", w, left, oven)
		}
	}
	if bought.What != "bought cooked, 3.0 kg, reheated" || !bought.InTime() {
		t.Errorf("%+v", bought)
	}
	later := c
	later.Entries = append(later.Entries, read(9, 115, 80))
	if again := Running(&later, f, now, nil, journal.Settings{}); again[4] != oven || again[0] != left {
		t.Errorf("a later reading made it %+v, was %+v", again[4], oven)
	}
	c.Entries = append(c.Entries, journal.Entry{Time: at(8.1), Items: []journal.Item{{Act: journal.Off}}})
	if off := Running(&c, f, now, nil, journal.Settings{}); len(off) != 0 {
		t.Errorf("off already: %+v", off)
	}
}
