// Package pitbook learns how a pit behaves from the cooks on it: fuel an hour, time to
// settle, the effect of an open lid, steadiness, drift, and distance from its aim.
//
// Every figure is for the next cook: a likely value and a range that should hold 8 in
// 10 cooks. With few cooks it stays near a typical value for the kind of pit.
package pitbook

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/report/numeric/score"
)

// Figure is what to expect from the next cook.
type Figure struct {
	Likely, Low, High float64 // 8 in 10 cooks are from Low to High
	N                 int     // number of cooks it is based on, or of lids for Dip and Recovery; 0: a starting value for the kind of pit
	From              string  // basis in words
}

// Own reports whether the figure is based on cooks of this pit.
func (f Figure) Own() bool { return f.N > 0 }

// Effect is what a change of weather adds to the fuel, as a share: .1 is a tenth more.
type Effect struct {
	Likely, Low, High float64
	N                 int  // cooks that noted this weather
	Told              bool // enough cooks show the effect; if false, it is a starting value
}

// Book is everything learned about one pit.
type Book struct {
	Name  string
	Pit   journal.Pit
	Filed bool    // the pit has a file
	Cooks int     // finished cooks on it
	Hours float64 // from lit, or on, to the last piece off: median of its cooks; 0 without any

	FuelPerHour Figure // kg/h from lit to the last piece off, in this pit's usual weather
	Settle      Figure // min from lit until it is at its aim
	Dip         Figure // K it falls when the lid is opened
	Recovery    Figure // min until it is within 5 K of where it was
	Steady      Figure // K: 8 in 10 readings of a cook are within ± this of their median
	Over        Figure // K above its aim; below zero: under it
	Night       Figure // K/h from the 2nd to the 8th hour, while tended; below zero: falling
	Alone       Figure // K/h while nobody touches it
	Hand        Figure // K by which hand notes are above the probe series

	Fuel string  // fuel that the rate is for; "": not named
	Cold Effect  // effect of air 10 K colder on the fuel
	Wind Effect  // effect of 1 m/s more wind on the fuel
	Air  float64 // °C, usual air temperature of the rate; valid if HasAir
	Blow float64 // m/s, usual wind of the rate; valid if HasWind

	HasAir, HasWind bool

	Notes []string // what was left out or looks odd
	Next  []string // what to note to learn more

	fuel belief
	over float64 // mean gap from pit to air, K, minus usualOver
	wind float64 // mean wind, m/s, minus usualWind
}

// The least number of cooks for an effect of the weather, and the share of the
// knowledge about a slope that must come from cooks, not from the prior (chosen).
const (
	leastWeather = 8
	leastShown   = .5
)

// All returns the books of all pits that have a file or a cook, most used first.
func All(cooks []Cook, pits map[string]journal.Pit) []Book {
	names := map[string]string{}
	for name := range pits {
		names[strings.ToLower(name)] = name
	}
	for i := range cooks {
		if name := strings.TrimSpace(cooks[i].Pit); name != "" && names[strings.ToLower(name)] == "" {
			names[strings.ToLower(name)] = name
		}
	}
	var all []Book
	for _, name := range names {
		all = append(all, Of(cooks, pits, name))
	}
	slices.SortFunc(all, func(a, b Book) int { return cmp.Or(cmp.Compare(b.Cooks, a.Cooks), cmp.Compare(a.Name, b.Name)) })
	return all
}

// Of returns the book of one pit. A name without file and cooks gives starting values.
// Unfinished cooks are ignored.
func Of(cooks []Cook, pits map[string]journal.Pit, name string) Book {
	b := Book{Name: name}
	if key, pit, ok := fileOf(pits, name); ok {
		b.Pit, b.Filed, b.Name = pit, true, key
	}
	own := slices.DeleteFunc(slices.Clone(cooks), func(c Cook) bool { return !c.Finished || !strings.EqualFold(strings.TrimSpace(c.Pit), name) })
	b.Cooks = len(own)
	b.Hours = usualHours(own)
	s := startsOf(b.Pit.Kind)
	b.settle(own, s)
	b.burn(own, s)
	b.lids(own, s)
	b.stand(own, s)
	b.ask(own)
	return b
}

// fileOf finds the file of a pit.
func fileOf(pits map[string]journal.Pit, name string) (key string, p journal.Pit, ok bool) {
	for key, p := range pits {
		if strings.EqualFold(key, name) {
			return key, p, true
		}
	}
	return "", journal.Pit{}, false
}

// usualHours returns the median time for which the fire was needed, h.
func usualHours(own []Cook) float64 {
	var hours []float64
	for _, c := range own {
		hours = append(hours, c.Hours)
	}
	return score.Quantile(hours, .5)
}

// figure predicts the next value from those seen.
func (b *Book) figure(s start, seen []float64, from string) Figure {
	f := Figure{From: from}
	for _, v := range seen {
		if !math.IsNaN(v) && !math.IsInf(v, 0) && (!s.log || v > 0) {
			f.N++
		}
	}
	f.Likely, f.Low, f.High = learn(s, nil, nil, nil, seen).next()
	if f.N == 0 {
		f.From = b.chosen()
	}
	return f
}

// chosen says where a figure without cooks comes from.
func (b *Book) chosen() string {
	if b.Pit.Kind == "" || b.Pit.Kind == journal.OtherPit {
		return "chosen, kind not known"
	}
	return "chosen for its kind"
}

// FuelAt returns the fuel in kg/h at a pit temperature in some weather. Unknown parts
// of the weather are taken as usual for the pit.
func (b *Book) FuelAt(pitC float64, w journal.Weather) Figure {
	over, wind := b.over, b.wind
	if w.Air.Known {
		over = (pitC - w.Air.Base - usualOver) / 10
	}
	if w.Wind.Known {
		wind = w.Wind.Base - usualWind
	}
	f := b.FuelPerHour
	f.Likely, f.Low, f.High = b.fuel.next(over, wind)
	return f
}
