package forecast

import (
	"fmt"
	"math"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/heat"
)

// Whatever a tired person or a bad probe may write: a note or a wide range, never NaN,
// never a hang.
func TestNonsense(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	curve := truth(5, 112, heat.Usual)
	base := func() journal.Cook { return noted(shoulder(5, 112), curve, 1, 8, 112) }
	cases := map[string]func() (journal.Cook, float64){
		"pit colder than the meat": func() (journal.Cook, float64) { return noted(shoulder(5, 112), curve, 1, 8, 2), 8 },
		"pit 300 °C":               func() (journal.Cook, float64) { return noted(shoulder(5, 300), curve, 1, 8, 300), 8 },
		"0.1 kg":                   func() (journal.Cook, float64) { return noted(shoulder(.1, 112), curve, 1, 8, 112), 8 },
		"0 kg":                     func() (journal.Cook, float64) { return noted(shoulder(0, 112), curve, 1, 8, 112), 8 },
		"-3 kg":                    func() (journal.Cook, float64) { return shoulder(-3, 112), 1 },
		"900 kg":                   func() (journal.Cook, float64) { return shoulder(900, 112), 1 },
		"60 cm thick": func() (journal.Cook, float64) {
			c := base()
			c.Pieces[0].Thick = measure.Length{Base: .6, Known: true}
			return c, 8
		},
		"1 mm thick": func() (journal.Cook, float64) {
			c := base()
			c.Pieces[0].Thick = measure.Length{Base: .001, Known: true}
			return c, 8
		},
		"core above pit": func() (journal.Cook, float64) {
			c := base()
			c.Entries = append(c.Entries, entry(8, core("", 125)))
			return c, 8
		},
		"core falls": func() (journal.Cook, float64) {
			c := base()
			c.Entries = append(c.Entries, entry(8.2, core("", 17)))
			return c, 8.5
		},
		"time runs backwards": func() (journal.Cook, float64) {
			c := base()
			for i, k := 1, len(c.Entries)-1; i < k; i, k = i+1, k-1 {
				c.Entries[i], c.Entries[k] = c.Entries[k], c.Entries[i]
			}
			return c, 8
		},
		"now before on":     func() (journal.Cook, float64) { return base(), -5 },
		"now a month later": func() (journal.Cook, float64) { return base(), 720 },
		"one reading":       func() (journal.Cook, float64) { return noted(shoulder(5, 112), curve, 5, 5, 112), 5 },
		"one reading, at once": func() (journal.Cook, float64) {
			c := shoulder(5, 112)
			c.Entries[0].Items = append(c.Entries[0].Items, core("", 94))
			return c, 0
		},
		"all readings equal": func() (journal.Cook, float64) {
			c := shoulder(5, 112)
			for h := 1.0; h < 12; h++ {
				c.Entries = append(c.Entries, entry(h, core("", 70), pitAt(70)))
			}
			return c, 12
		},
		"all at one moment": func() (journal.Cook, float64) {
			c := shoulder(5, 112)
			for range 20 {
				c.Entries = append(c.Entries, entry(3, core("", 50), pitAt(100)))
			}
			return c, 3
		},
		"°F as °C": func() (journal.Cook, float64) {
			c := shoulder(5, 225)
			for h := 1.0; h < 8; h++ {
				c.Entries = append(c.Entries, entry(h, core("", 100+10*h), pitAt(225)))
			}
			return c, 8
		},
		"target 20 °C":  func() (journal.Cook, float64) { c := base(); c.Aim.Core = celsius(20); return c, 8 },
		"target 300 °C": func() (journal.Cook, float64) { c := base(); c.Aim.Core = celsius(300); return c, 8 },
		"no numbers": func() (journal.Cook, float64) {
			c := base()
			c.Series = journal.Series{Times: []time.Time{after(1), after(2)}, Pit: []float64{math.NaN(), math.Inf(1)}, Cores: []journal.CoreSeries{{C: []float64{math.NaN(), math.Inf(-1)}}}}
			return c, 8
		},
		"never on": func() (journal.Cook, float64) { c := base(); c.Entries = nil; return c, 8 },
		"empty":    func() (journal.Cook, float64) { return journal.Cook{}, 8 },
		"nine pieces": func() (journal.Cook, float64) {
			c := base()
			c.Pieces = nil
			for i := range 9 {
				c.Pieces = append(c.Pieces, journal.Piece{Name: fmt.Sprint("p", i), Raw: kilos(3 + float64(i)/4)})
			}
			return c, 8
		},
		"thirty pieces": func() (journal.Cook, float64) {
			c := base()
			c.Pieces = nil
			for i := range 30 {
				c.Pieces = append(c.Pieces, journal.Piece{Name: fmt.Sprint("p", i), Raw: kilos(1)})
			}
			return c, 8
		},
		"-40 °C start": func() (journal.Cook, float64) { c := base(); c.Pieces[0].Core = celsius(-40); return c, 8 },
		"frozen":       func() (journal.Cook, float64) { c := shoulder(5, 112); c.Pieces[0].Core = celsius(-10); return c, 1 },
	}
	for _, teach := range []bool{false, true} {
		f := &Forecaster{}
		if teach {
			f = all(t, learned(t, pastShoulders(4)...))
		}
		for name, make := range cases {
			c, h := make()
			r := f.At(&c, after(h))
			sound(t, name, r)
			if teach {
				continue
			}
			for _, a := range f.WhatIf(&c, after(h), r) {
				if math.IsNaN(a.ToGo.Lo + a.ToGo.Mid + a.ToGo.Hi + a.Saves) {
					t.Errorf("%s: what if %+v", name, a)
				}
			}
			sound(t, name+", as a plan", f.Plan(&c))
		}
	}
}

// Nonsense must be reported in a note, or make the range wide.
func TestNonsenseIsReported(t *testing.T) {
	curve := truth(5, 112, heat.Usual)
	fahrenheit := shoulder(5, 112)
	for h := 1.0; h < 8; h++ {
		fahrenheit.Entries = append(fahrenheit.Entries, entry(h, core("", 110+5*h)))
	}
	thick := noted(shoulder(5, 112), curve, 1, 8, 112)
	thick.Pieces[0].Thick = measure.Length{Base: .6, Known: true}
	cold := noted(shoulder(5, 40), curve, 1, 3, 40)
	var f Forecaster
	hot := noted(shoulder(5, 225), curve, 1, 8, 225)
	above := noted(shoulder(5, 112), curve, 1, 8, 60)
	for name, c := range map[string]*journal.Cook{"°F as °C": &fahrenheit, "60 cm": &thick, "pit of 40 °C": &cold, "pit of 225 °C": &hot, "core above pit": &above} {
		if r := f.At(c, after(8)); len(r.Notes) == 0 {
			t.Errorf("%s: nothing is said", name)
		}
	}
}
