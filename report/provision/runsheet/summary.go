package runsheet

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal/measure"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
)

// sentence sums up the plan.
func (p *Sheet) sentence() []string {
	r := p.Request
	if p.nothing() {
		return []string{fmt.Sprintf("Serve %d at %s: nothing that is lit now is ready in time. %s", r.Party.Heads, p.said(r.Serve), p.possible()),
			"The local food code decides what may be served."}
	}
	var meat []string
	for i, m := range p.Meats {
		verb := "buy "
		switch {
		case m.Ready:
			verb = "take "
		case i > 0 && !p.Meats[i-1].Ready:
			verb = ""
		}
		meat = append(meat, fmt.Sprintf("%s%s of %s as %s", verb, p.Mass(m.Buy), m.Cut, p.piecesOf(&m)))
	}
	var on []string
	for _, l := range p.Loads {
		word := "on by "
		if !l.Missed.IsZero() {
			word = "at once, on at "
		}
		on = append(on, word+p.said(l.OnBy)+p.Of(&l))
	}
	first := fmt.Sprintf("Serve %d at %s: %s, %s.", r.Party.Heads, p.said(r.Serve), strings.Join(meat, " and "), strings.Join(on, ", "))
	all := "it is off"
	if p.loadsFor(0) > 1 {
		all = "all of it is off"
	}
	second := fmt.Sprintf("In 9 of 10 cooks %s by %s, in time to rest and %s; most likely at %s.", all, p.clock(p.latest()), p.knife(), p.clock(p.likely()))
	if now := p.Hurry; now != nil {
		second = fmt.Sprintf("It should have been on by %s%s: lit now, it is late in %.0f of 100, and most likely off at %s. %s",
			p.said(now.Missed), p.Of(now.Load), 100*now.Late, p.At(now.Off[1]), p.possible())
	}
	h := p.Hold
	box := fmt.Sprintf("your box keeps %s for %s", p.Temp(h.Limit), measure.FormatHalf(h.Keeps[1]))
	switch {
	case h.Lasts == provision.NoHold:
		box = "with no box, a low oven at " + p.Oven(90)
	case h.Loads == 0:
		box = fmt.Sprintf("a box keeps %s for %s", p.Temp(h.Limit), measure.FormatRange(h.Keeps[0], h.Keeps[2]))
	}
	if p.Hurry == nil {
		second += fmt.Sprintf(" It is held for %s; %s.", measure.FormatRange(h.Short, h.Long), box)
	}
	var fuel []string
	for _, w := range append(p.fuels(), p.woods()...) {
		fuel = append(fuel, fmt.Sprintf("%s of %s", p.Mass(w.Buy), w.Kind))
	}
	third := ""
	if len(fuel) > 0 {
		third = "Buy " + strings.Join(fuel, ", ") + ": a quarter more than it takes. "
	}
	return []string{first, second, third + fmt.Sprintf("Burn it out of doors only (carbon monoxide) and hold the meat at %s or above; the local food code decides.", p.Temp(h.Limit))}
}

// likely is when the last load for the meal is off, most likely.
func (p *Sheet) likely() (last time.Time) {
	for _, l := range p.Loads {
		if l.Batch == 0 && l.Off[1].After(last) {
			last = l.Off[1]
		}
	}
	return last
}

// latest is when the last load for the meal is off at the latest.
func (p *Sheet) latest() (last time.Time) {
	for _, l := range p.Loads {
		if l.Batch == 0 && l.LatestOff.After(last) {
			last = l.LatestOff
		}
	}
	return last
}

// fuels and woods are what all pits burn, by kind.
func (p *Sheet) fuels() []quantity.Wood {
	var out []quantity.Wood
	for _, f := range p.Fuel {
		out = heap(out, f.Kind, f.Buy)
	}
	return out
}

func (p *Sheet) woods() []quantity.Wood {
	var out []quantity.Wood
	for _, f := range p.Fuel {
		out = heap(out, named(f.Wood.Kind, "smoke wood"), f.Wood.Buy)
	}
	return out
}

// heap adds kg of a kind to the amount already listed.
func heap(out []quantity.Wood, kind string, kg float64) []quantity.Wood {
	if kg <= 0 {
		return out
	}
	if i := slices.IndexFunc(out, func(o quantity.Wood) bool { return o.Kind == kind }); i >= 0 {
		out[i].Buy += kg
		return out
	}
	return append(out, quantity.Wood{Kind: kind, Buy: kg})
}

func (p *Sheet) loadsFor(batch int) int {
	n := 0
	for _, l := range p.Loads {
		if l.Batch == batch {
			n++
		}
	}
	return n
}

func named(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}
