package drivers

import (
	"math"
	"slices"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
)

// Shoulders of 12 h whose pits ran from 105 to 119 °C, and one turkey breast of 3 h in
// a pit of 130 °C, to which no shoulder can be compared. Both pages give the same
// effect of a pit 10 °C hotter with the turkey and without it, to a hundredth of the
// time.
func TestOnlyCookOfItsCut(t *testing.T) {
	inPit := func(celsius float64, more func(*journal.Cook)) func(*journal.Cook) {
		return func(c *journal.Cook) {
			on, off := c.Entries[0], c.Entries[1]
			c.Entries = []journal.Entry{on}
			for at := on.Time.Add(30 * time.Minute); at.Before(off.Time); at = at.Add(30 * time.Minute) {
				c.Entries = append(c.Entries, journal.Entry{Time: at, Items: []journal.Item{{Act: journal.ReadPit, Temp: measure.Degrees(celsius, measure.Metric)}}})
			}
			c.Entries = append(c.Entries, off)
			if more != nil {
				more(c)
			}
		}
	}
	var cooks []journal.Cook
	for i := range 24 {
		cooks = append(cooks, cook(i, 12*math.Exp(.06*math.Sin(float64(5*i))), inPit(105+2*float64(i*3%8), nil)))
	}
	turkey := cook(24, 4.5, inPit(130, func(c *journal.Cook) { c.Cut = "turkey breast" }))
	both := append(slices.Clone(cooks), turkey)

	hotter := func(cooks []journal.Cook) (matters, why float64) {
		read := frame.Cooks(cooks)
		r, err := Weigh(t.Context(), read, Time, Options{Engine: func(*frame.Cook) (float64, bool) { return 10, true }})
		if err != nil {
			t.Fatal(err)
		}
		pit, ok := candidate(r, "pit, mean")
		if !ok {
			t.Fatalf("nothing of the pit: %+v", r.Silent)
		}
		row := func(more float64) Row {
			return func(col frame.Column) frame.Value {
				v := col.Of(&cooks[0])
				if col.Name == frame.PitMean {
					v.Number += more
				}
				return v
			}
		}
		learned, err := LearnTimes(t.Context(), read, model.Context{}, row(10), row(0))
		if err != nil {
			t.Fatal(err)
		}
		_, whole := learned.Between(0, 1)
		return math.Log1p(pit.Lines[0].Effect / 60 / r.Typical), whole.Mean()
	}
	matters, why := hotter(cooks)
	withMatters, withWhy := hotter(both)
	if math.Abs(withMatters-matters) > .01 || math.Abs(withWhy-why) > .01 {
		t.Errorf("10 °C hotter without the turkey: %.3f and %.3f ln, with it %.3f and %.3f", matters, why, withMatters, withWhy)
	}
	r, err := Weigh(t.Context(), frame.Cooks(both), Time, ten)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.LeftOut) != 1 || r.LeftOut[0] != (Silent{turkey.ID, `no other cook has the cut "turkey breast", so there is nothing to compare its time with`}) {
		t.Errorf("left out: %+v", r.LeftOut)
	}
}
