package runsheet

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/thermo"
	"ashbook/report/provision"
	"ashbook/report/safety"
)

// Task is one thing to prepare or to buy.
type Task struct {
	Section string // MakeReady or Shopping
	Text    string
}

// Headings of the lists in a cook's file.
const (
	MakeReady = "Make ready"
	Shopping  = "Shopping"
)

// tasks returns the two lists, in the order in which things are done.
func (p *Sheet) tasks() []Task {
	if p.nothing() {
		return append(p.lost(), p.beside()...)
	}
	return append(p.makeReady(), p.shopping()...)
}

// makeReady lists what is cleaned and tested, then what is done at a time.
func (p *Sheet) makeReady() (out []Task) {
	ready := func(format string, args ...any) {
		out = append(out, Task{MakeReady, fmt.Sprintf(format, args...)})
	}
	boil := thermo.BoilingPoint(thermo.Pressure(p.Settings.Altitude.Base))
	where := "at sea level"
	if p.Settings.Altitude.Known {
		where = "at " + p.Settings.Altitude.In(p.Settings.Units)
	}
	ready("probes: %s in ice and water, %s in boiling water %s; note one that is a degree off, throw out one that is further off", p.Temp(0), p.tenths(boil), where)
	for i := range p.Pits {
		if p.burns(i) {
			ready("%s: cold ash and grease out, grate scraped, vents free; out of doors, with nothing near that can burn", p.PitName(i))
		}
	}
	if len(p.Fuel) > 0 {
		ready("a metal bin with a lid for the ash; water or a fire blanket within reach")
	}
	for _, s := range p.timed() {
		ready("%s: %s", p.day(s.At), s.What)
	}
	return out
}

// timed lists what is made ready at a time, in order.
func (p *Sheet) timed() (out []Step) {
	at := func(t time.Time, format string, args ...any) {
		out = append(out, Step{At: t, What: fmt.Sprintf(format, args...)})
	}
	for _, s := range p.Steps {
		if s.Kind == Thaw || s.Kind == SaltMeat || s.Kind == TrimMeat || s.Kind == Rub || s.Kind == Look {
			at(s.At, "%s", s.What)
		}
	}
	for _, l := range p.Loads {
		switch {
		case l.Oven:
			at(l.Light, "the kitchen oven on, %s; in at %s%s", p.Oven(l.Forecast.Pit), p.day(l.OnBy), p.Of(&l))
		case l.Light.IsZero():
			at(l.OnBy, "on by%s", p.Of(&l))
		default:
			on := "on by"
			if !l.Missed.IsZero() {
				on = "on at"
			}
			at(l.Light, "light %s%s; %s %s%s", p.PitName(l.Pit), p.batch(&l), on, p.day(l.OnBy), p.Of(&l))
		}
	}
	if !p.Request.NoBox {
		l := p.Hold.Load
		at(l.Off[1].Add(l.Rest()-time.Hour), "%s clean and warmed with hot water; towels", several(p.Hold.Boxes, "box", "boxes"))
	}
	if !p.Hold.OvenBy.IsZero() {
		at(p.Hold.OvenBy, "%s free, at %s", several(provision.Ovens(p.Hold.Unboxed), "low oven", "low ovens"), p.Oven(90))
	}
	if p.Batches > 1 {
		at(p.ReheatAt, "%s free to reheat to %s; before that shallow trays and a cold room for %s", several(provision.Ovens(p.Cooked(true)), "oven", "ovens"), p.Temp(safety.ReheatTo), p.Mass(p.Cooked(true)))
	}
	slices.SortStableFunc(out, func(a, b Step) int { return a.At.Compare(b.At) })
	return out
}

// shopping lists what to buy.
func (p *Sheet) shopping() (out []Task) {
	buy := func(format string, args ...any) { out = append(out, Task{Shopping, fmt.Sprintf(format, args...)}) }
	for _, m := range p.Meats {
		if !m.Ready {
			buy("%s, %s as %s", m.Cut, p.Mass(m.Buy), p.piecesOf(&m))
		}
	}
	for _, f := range p.Fuel {
		if f.Buy > 0 {
			buy("%s, %s for %s", f.Kind, p.Mass(f.Buy), p.PitName(f.Pit))
		}
	}
	for _, w := range p.woods() {
		buy("%s in chunks, dry, %s", w.Kind, p.Mass(w.Buy))
	}
	salt, rub := 0.0, 0.0
	for _, s := range p.Salts {
		salt, rub = salt+s.Grams, rub+s.RubG
	}
	buy("salt, %s", p.Mass(salt/1000))
	buy("%s", named(p.mixes.Rub, named(p.Salts[0].Mix, "rub")+", "+p.Mass(rub/1000)))
	out = append(out, p.beside()...)
	for _, l := range p.Loads {
		if kind := l.Cook.Aim.Wrap.Kind; kind == journal.Foil || kind == journal.Paper {
			buy("%s to wrap %s", kind, measure.Count(p.count(), "piece"))
			break
		}
	}
	buy("gloves, towels, foil for the box")
	return out
}

// burns reports whether a pit is used.
func (p *Sheet) burns(pit int) bool {
	return slices.ContainsFunc(p.Loads, func(l provision.Load) bool { return l.Pit == pit && !l.Oven })
}

// several returns "box", or "3 boxes".
func several(n int, one, more string) string {
	if n <= 1 {
		return one
	}
	return fmt.Sprintf("%d %s", n, more)
}

func (p *Sheet) count() int {
	n := 0
	for _, l := range p.Loads {
		n += len(l.Cook.Pieces)
	}
	return n
}
