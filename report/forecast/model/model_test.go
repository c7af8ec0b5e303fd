package model

import (
	"math"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/heat"
)

var laidOn = time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)

func after(h float64) time.Time { return laidOn.Add(time.Duration(h * float64(time.Hour))) }

func celsius(c float64) measure.Temperature { return measure.Temperature{Base: c, Known: true} }

// minutely returns an invented shoulder with pit and core once a minute.
func minutely(hours, aim float64, pit, core func(h float64) float64) journal.Cook {
	c := journal.Cook{
		Cut: "pork shoulder", Pieces: []journal.Piece{{Raw: measure.Mass{Base: 4, Known: true}}},
		Entries: []journal.Entry{{Time: laidOn, Items: []journal.Item{{Act: journal.On}}}},
		Series:  journal.Series{Cores: []journal.CoreSeries{{}}},
	}
	if aim > 0 {
		c.Aim.Pit = celsius(aim)
	}
	s := &c.Series
	for m := range int(hours * 60) {
		h := float64(m) / 60
		s.Times = append(s.Times, after(h))
		s.Pit = append(s.Pit, pit(h))
		s.Cores[0].C = append(s.Cores[0].C, core(h))
	}
	return c
}

func rising(h float64) float64 { return 5 + 12*h }

// A pit that is heating up, or whose lid was just open, is expected at its aim.
func TestPitIsNotExtrapolated(t *testing.T) {
	var w Context
	warming := minutely(.8, 115, func(h float64) float64 { return 40 + 60*h }, rising)
	if j := w.Read(&warming, after(.8)); math.Abs(j.Pit.Future-115) > 1 {
		t.Errorf("warming up: %.1f °C expected, aim 115", j.Pit.Future)
	}
	dipped := minutely(4, 115, func(h float64) float64 {
		if h > 3.8 {
			return 75
		}
		return 113
	}, rising)
	if j := w.Read(&dipped, after(4)); j.Pit.Future < 112 {
		t.Errorf("after a lid: %.1f °C expected, it stood at 113", j.Pit.Future)
	}
	low := minutely(5, 115, func(float64) float64 { return 101 }, rising)
	if j := w.Read(&low, after(5)); j.Pit.Future < 102 || j.Pit.Future > 110 {
		t.Errorf("14 K under its aim for hours: %.1f °C expected", j.Pit.Future)
	}
	stopped := minutely(5, 0, func(h float64) float64 {
		if h > 3 {
			return math.NaN()
		}
		return 121
	}, rising)
	if j := w.Read(&stopped, after(5)); math.Abs(j.Pit.Future-121) > 3.1 {
		t.Errorf("log stopped at 121 °C: %.1f °C expected", j.Pit.Future)
	}
}

func TestRaisedSetting(t *testing.T) {
	c := minutely(6, 107, func(float64) float64 { return math.NaN() }, rising)
	c.Pit = "cabinet"
	c.Entries = append(c.Entries, journal.Entry{Time: after(5), Items: []journal.Item{{Act: journal.SetPit, Temp: celsius(127)}}})
	setting := Context{Pits: map[string]journal.Pit{"cabinet": {Setting: true}}}
	for name, w := range map[string]Context{"thermostat": setting, "fire": {}} {
		if got := w.Read(&c, after(6)).Pit.Future; math.Abs(got-127) > 1e-9 {
			t.Errorf("%s raised from 107 to 127: %.1f °C", name, got)
		}
	}
}

func TestReadingsAreThinnedAndCleaned(t *testing.T) {
	var w Context
	c := minutely(6, 115, func(float64) float64 { return 115 }, func(h float64) float64 {
		switch {
		case h > 3 && h < 3.8:
			return 30 // out of the meat
		case h > 5 && h < 5.1:
			return 160 // °F
		}
		return rising(h)
	})
	p := w.Read(&c, after(6)).Pieces[0]
	if n := len(p.Readings); n < 12 || n > 25 {
		t.Errorf("%d readings of six hours", n)
	}
	for _, r := range p.Readings {
		if math.Abs(r.C-rising(r.H)) > 1.5 {
			t.Errorf("%.1f °C at %.2f h kept", r.C, r.H)
		}
	}
	// Moved for good to a colder spot: earlier readings are dropped.
	moved := minutely(8, 115, func(float64) float64 { return 115 }, func(h float64) float64 {
		if h > 4 {
			return rising(h) - 20
		}
		return rising(h)
	})
	p = w.Read(&moved, after(8)).Pieces[0]
	if p.Readings[0].H < 4 {
		t.Errorf("readings from %.1f h on kept after the probe was moved", p.Readings[0].H)
	}
}

func TestFrozenMiddle(t *testing.T) {
	var w Context
	c := minutely(6, 115, func(float64) float64 { return 115 }, func(h float64) float64 { return max(0, 14*(h-1.5)) })
	j := w.Read(&c, after(6))
	if p := j.Pieces[0]; p.Start < 1 || p.Start > 2 || len(j.Notes) == 0 {
		t.Errorf("frozen for 1.5 h: clock starts at %.2f h, notes %q", p.Start, j.Notes)
	}
}

func TestManyPiecesAreSetAside(t *testing.T) {
	c := minutely(1, 115, func(float64) float64 { return 115 }, rising)
	c.Pieces = nil
	for i := range 10 {
		c.Pieces = append(c.Pieces, journal.Piece{Name: string(rune('a' + i)), Raw: measure.Mass{Base: 1 + float64(i), Known: true}})
	}
	j := (&Context{}).Read(&c, after(1))
	waits := 0
	for i := range j.Pieces {
		if j.Pieces[i].Waits() {
			waits++
		}
	}
	if waits != MostPieces || !j.Pieces[9].Waits() {
		t.Errorf("the cook waits for %d pieces; heaviest: %v", waits, j.Pieces[9].Waits())
	}
}

// Without readings the fit is the prior; with them it moves towards the true parameters, by
// at most four standard deviations.
func TestFit(t *testing.T) {
	c := minutely(6, 115, func(float64) float64 { return 115 }, rising)
	j := (&Context{}).Read(&c, after(0))
	for _, z := range New(j).Fit().Mean {
		if z != 0 {
			t.Errorf("no readings, yet a parameter at %g", z)
		}
	}
	j = (&Context{}).Read(&c, after(6))
	e := New(j)
	curve := append([]float64(nil), e.Run(heat.Factors{Shape: 1, Transfer: 1.4, Supply: 1, Crust: 1, Leak: 1}, 0, math.Inf(1), 0, 120)...)
	for i := range j.Pieces[0].Readings {
		r := &j.Pieces[0].Readings[i]
		r.C = at(curve, r.H, j.Pieces[0].Meat.Start)
	}
	post := New(j).Fit()
	if f := e.Factors(post.Mean, 0); f.Transfer/f.Shape < 1.1 {
		t.Errorf("40 %% more heat seen as %+v", f)
	}
}

// The kitchen oven is its own pit: from the move on its setting counts, whatever the pit
// before did.
func TestOvenIsAPitOfItsOwn(t *testing.T) {
	move := func(c *journal.Cook, at float64, it journal.Item) {
		it.Act = journal.Oven
		c.Entries = append(c.Entries, journal.Entry{Time: after(at), Items: []journal.Item{it}})
	}
	nothing := func(float64) float64 { return math.NaN() }
	cabinet := minutely(6, 107, nothing, rising)
	cabinet.Pit = "cabinet"
	move(&cabinet, 5, journal.Item{Temp: celsius(140)})
	w := Context{Pits: map[string]journal.Pit{"cabinet": {Setting: true}}}
	fire := minutely(6, 115, func(h float64) float64 {
		if h > 5 {
			return math.NaN()
		}
		return 101
	}, rising)
	move(&fire, 5, journal.Item{Temp: celsius(140)})
	unset := minutely(6, 115, func(float64) float64 { return 101 }, rising)
	move(&unset, 5, journal.Item{})
	for name, c := range map[string]struct {
		cook         journal.Cook
		before, then float64
	}{"from a cabinet": {cabinet, 107, 140}, "from a fire": {fire, 101, 140}, "at a setting not noted": {unset, 101, 103}} {
		j := w.Read(&c.cook, after(6))
		if math.Abs(j.Pit.Future-c.then) > 3 || j.Pit.Setting {
			t.Errorf("%s: %.1f °C from now on, want %g; setting %v", name, j.Pit.Future, c.then, j.Pit.Setting)
		}
		seen := make([]float64, 6)
		j.Pit.sample(seen, 0, 1, j.Elapsed)
		if math.Abs(seen[3]-c.before) > 1 {
			t.Errorf("%s: %.1f °C half way, want %g", name, seen[3], c.before)
		}
	}
}
