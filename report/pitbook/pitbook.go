// Package pitbook says what a pit does, from the cooks on it: fuel an hour, how
// long it takes to settle, what an open lid costs, how steady it is, how it
// drifts and how far off its aim it runs.
//
// Every figure is the next cook's: a likely value and the range that holds 8 in
// 10, drawn towards what is usual of the kind of pit while cooks are few.
package pitbook

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/report/numeric/score"
)

// Figure is what to expect of the next cook.
type Figure struct {
	Likely, Low, High float64 // Low to High holds 8 in 10
	N                 int     // cooks it is based on; lids for Dip and Recovery; 0: chosen for the kind of pit alone
	From              string  // what it is based on, in words
}

// Own reports that cooks of the pit are behind the figure.
func (f Figure) Own() bool { return f.N > 0 }

// Effect is what a change of weather does to the fuel, as a share: .1 is a
// tenth more.
type Effect struct {
	Likely, Low, High float64
	N                 int  // cooks that noted this weather
	Told              bool // cooks have shown it; else it is what was chosen
}

// Book is what is known of one pit.
type Book struct {
	Name  string
	Pit   journal.Pit
	Filed bool    // it has a file
	Cooks int     // on it that are finished
	Hours float64 // from lit, or on, to the last piece off: the middle of its cooks; 0 without any

	FuelPerHour Figure // kg/h from lit to the last piece off, in this pit's usual weather
	Settle      Figure // min from lit until it was at its aim
	Dip         Figure // K it falls when the lid is opened
	Recovery    Figure // min until it is back within 5 K of where it was
	Steady      Figure // K: 8 in 10 of a cook's readings are within ± this of their middle
	Over        Figure // K over its aim; below zero it runs under
	Night       Figure // K/h from the 2nd to the 8th hour, tended; below zero it eases
	Alone       Figure // K/h while nobody touches it
	Hand        Figure // K that readings noted by hand lie over the probe series

	Fuel string  // the kind of fuel the rate is of; "" not named
	Cold Effect  // on the fuel, of air 10 K colder
	Wind Effect  // on the fuel, of 1 m/s more
	Air  float64 // °C, the usual air the rate is in; with HasAir
	Blow float64 // m/s, the usual wind; with HasWind

	HasAir, HasWind bool

	Notes []string // what was left out, and what is odd
	Next  []string // what to note so that more can be told

	fuel belief
	over float64 // mean of what the pit was over the air, K less usualOver
	wind float64 // mean of the wind, m/s less usualWind
}

// Least cooks that make a figure of the weather, and least share of what is
// known of a slope that must come from cooks (chosen).
const (
	leastWeather = 8
	leastShown   = .5
)

// All are the books of every pit that has a file or a cook, the most used
// first.
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

// Of is the book of a pit. A name that no file and no cook has gives a book of
// starting values. Cooks that are not finished are left out.
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

// usualHours is the middle of how long the fire was needed.
func usualHours(own []Cook) float64 {
	var hours []float64
	for _, c := range own {
		hours = append(hours, c.Hours)
	}
	return score.Quantile(hours, .5)
}

// figure is the next value after those seen.
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

// FuelAt is the fuel in kg/h with the pit at a temperature in a weather; what
// of it is not known is taken as usual for the pit.
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
