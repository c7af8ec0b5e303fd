package provision

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/report/numeric/property"
	"ashbook/report/provision/larder"
	"ashbook/report/safety"
)

// Step is one moment of the plan.
type Step struct {
	At     time.Time
	Kind   Kind
	What   string
	Margin string // how much it may slip, or how sure it is
}

// Kind is what a step is; the words are stable.
type Kind string

// The kinds of step.
const (
	Thaw      Kind = "thaw"
	TrimMeat  Kind = "trim"
	SaltMeat  Kind = "salt"
	Light     Kind = "light"
	Settle    Kind = "settled"
	OnBy      Kind = "on by"
	LikelyOff Kind = "likely off"
	LatestOff Kind = "latest off"
	Box       Kind = "box"
	Chill     Kind = "chill"
	Reheat    Kind = "reheat"
	Carve     Kind = "carve"
	Serve     Kind = "serve"
)

// thawFor is how long a piece thaws in a cold box: a day for every four pounds
// ("24 hours for each 4 to 5 pounds", USDA-FSIS, The Big Thaw, from memory).
func thawFor(kg float64) time.Duration {
	return time.Duration(math.Ceil(kg/1.814*24)) * time.Hour
}

// coldWater is thawing in cold water: "about 30 minutes per pound" (the same).
func coldWater(kg float64) time.Duration {
	return time.Duration(math.Ceil(kg/.4536/2)) * time.Hour
}

// awake moves a time in the night, 22 to 7 o'clock: to seven in the morning
// where three quarters of the time until then are left, else to the evening.
func awake(t, until time.Time) time.Time {
	if h := t.Hour(); h >= 7 && h < 22 {
		return t
	}
	day := t.Day()
	if t.Hour() < 7 {
		day--
	}
	evening := time.Date(t.Year(), t.Month(), day, 21, 0, 0, 0, t.Location())
	morning := time.Date(t.Year(), t.Month(), day+1, 7, 0, 0, 0, t.Location())
	if until.Sub(morning) >= until.Sub(t)*3/4 {
		return morning
	}
	return evening
}

// trimFor is trimming (common practice, no source).
func trimFor(pieces int) time.Duration {
	return 15*time.Minute + time.Duration(pieces)*10*time.Minute
}

// steps lays all moments out in order.
func (p *Plan) steps() []Step {
	var out []Step
	add := func(at time.Time, kind Kind, what, margin string) { out = append(out, Step{at, kind, what, margin}) }
	for _, l := range p.Loads {
		of := p.of(&l)
		on, n := l.OnBy, len(l.Cook.Pieces)
		salt := awake(on.Add(-p.Salt.Ahead), on)
		trim := salt.Add(-trimFor(n))
		if trim.Before(p.now) && on.After(p.now) {
			trim = p.now.Truncate(time.Minute)
			salt = trim.Add(trimFor(n))
		}
		if p.Request.Frozen {
			heaviest := 0.0
			for _, piece := range l.Cook.Pieces {
				heaviest = math.Max(heaviest, piece.Raw.Base)
			}
			thaw := thawFor(heaviest)
			start := awake(trim.Add(-thaw), trim)
			if start.Before(p.now) {
				p.Notes = append(p.Notes, fmt.Sprintf("It will not thaw in the cold in time%s: that wants %s. In cold water, in a tight bag, changed every half hour, it takes about %s (USDA-FSIS, The Big Thaw, from memory), and then goes on at once; or buy it fresh.",
					of, spell(thaw), spell(coldWater(heaviest))))
			}
			add(start, Thaw, "out of the freezer into the cold"+of, fmt.Sprintf("%s for the heaviest, a day for each %s; a day sooner does no harm", spell(thaw), p.mass(1.814)))
		}
		add(trim, TrimMeat, "trim"+of, fmt.Sprintf("%s for %s", spell(trimFor(n)), pieces(n)))
		add(salt, SaltMeat, fmt.Sprintf("salt, %s", p.rate(p.Salt.Rate))+of, fmt.Sprintf("%s ahead; half of it will do", spell(on.Sub(salt))))
		if !l.Light.IsZero() {
			usual, allowed := p.Pits[l.Pit].settles()
			add(l.Light, Light, "light "+p.pitName(l.Pit)+p.batch(&l), fmt.Sprintf("settles in %s; %s spare; rub now", spell(usual), spell(allowed-usual)))
			add(on.Add(-spare), Settle, p.pitName(l.Pit)+" steady at "+p.temp(l.Forecast.Pit), "steady for a quarter of an hour before the meat")
		}
		add(on, OnBy, "on by"+of, fmt.Sprintf("later, and more than %s are late", p.oneIn(1-l.Sure)))
		for _, s := range l.Stagger {
			add(s.OnBy, OnBy, "or, to come off together, "+s.Piece+" on by"+of, "lighter than the largest; with it is no harm, only a longer hold")
		}
		add(l.Off[1], LikelyOff, "off, most likely"+of, fmt.Sprintf("%s – %s, 8 in 10", p.at(l.Off[0]), p.at(l.Off[2])))
		switch {
		case l.Batch == 0:
			add(l.LatestOff, LatestOff, "off at the latest"+of, fmt.Sprintf("%.0f of 100 make it; %s of rest are left then", 100*l.Sure, spell(shortestRest)))
		default:
			add(l.LatestOff, Chill, "off, rested and cut up to chill at the latest"+of, fmt.Sprintf("%s in 2 h, %s in 6 h", p.temp(safety.CoolHalf), p.temp(safety.ColdHold)))
		}
	}
	main := p.Main()
	if !p.Request.NoBox {
		add(main.Off[1].Add(shortestRest), Box, "into the box, most likely", p.holds())
	}
	if p.Batches > 1 {
		add(p.ReheatAt, Reheat, fmt.Sprintf("what was chilled into the oven, to %s all through", p.temp(safety.ReheatTo)), "within two hours (Food Code 3-403.11)")
	}
	add(p.CarveAt, Carve, p.knife(), fmt.Sprintf("%s; two pairs of hands halve it", spell(p.Request.Serve.Sub(p.CarveAt))))
	add(p.Request.Serve, Serve, fmt.Sprintf("serve %d", p.Request.Party.Heads), "")
	slices.SortStableFunc(out, func(a, b Step) int { return a.At.Compare(b.At) })
	return out
}

// Task is one thing to make ready or to buy.
type Task struct {
	Section string // MakeReady or Shopping
	Text    string
}

// Headings of the lists in a cook's file.
const (
	MakeReady = "Make ready"
	Shopping  = "Shopping"
)

// tasks are the two lists, in the order things are done.
func (p *Plan) tasks() []Task {
	var out []Task
	ready := func(format string, args ...any) {
		out = append(out, Task{MakeReady, fmt.Sprintf(format, args...)})
	}
	boil := property.BoilingPoint(property.Pressure(p.settings.Altitude.Base))
	where := "at sea level"
	if p.settings.Altitude.Known {
		where = "at " + p.settings.Altitude.In(p.settings.Units)
	}
	ready("probes: %s in ice and water, %s in boiling water %s; a degree off is noted, more is thrown out", p.temp(0), p.tenths(boil), where)
	for i := range p.Pits {
		if p.burns(i) {
			ready("%s: ash out cold, grease out, grate scraped, vents free; out of doors, nothing that burns near", p.pitName(i))
		}
	}
	ready("metal bin with a lid for ash, water or a fire blanket within reach")
	var timed []Step
	at := func(t time.Time, format string, args ...any) {
		timed = append(timed, Step{At: t, What: fmt.Sprintf(format, args...)})
	}
	for _, s := range p.Steps {
		if s.Kind == Thaw || s.Kind == SaltMeat || s.Kind == TrimMeat {
			at(s.At, "%s", s.What)
		}
	}
	for _, l := range p.Loads {
		if l.Light.IsZero() {
			at(l.OnBy, "on by%s", p.of(&l))
		} else {
			at(l.Light, "light %s%s; on by %s%s", p.pitName(l.Pit), p.batch(&l), p.day(l.OnBy), p.of(&l))
		}
	}
	if !p.Request.NoBox {
		at(p.Hold.Boxed.Add(-time.Hour), "box clean, warmed with hot water; towels")
	}
	if !p.Hold.OvenBy.IsZero() {
		at(p.Hold.OvenBy, "low oven free, %s", p.temp(90))
	}
	if p.Batches > 1 {
		at(p.ReheatAt, "oven free to reheat to %s; before that shallow trays and a cold room for %s", p.temp(safety.ReheatTo), p.mass(p.chilled()))
	}
	slices.SortStableFunc(timed, func(a, b Step) int { return a.At.Compare(b.At) })
	for _, s := range timed {
		ready("%s: %s", p.day(s.At), s.What)
	}
	buy := func(format string, args ...any) { out = append(out, Task{Shopping, fmt.Sprintf(format, args...)}) }
	for _, m := range p.Meats {
		if !m.Ready {
			buy("%s, %s as %s", m.Cut, p.mass(m.Buy), p.piecesOf(&m))
		}
	}
	for _, f := range p.Fuel {
		if f.Buy > 0 {
			buy("%s, %s for %s", f.Kind, p.mass(f.Buy), p.pitName(f.Pit))
		}
	}
	for _, w := range p.woods() {
		buy("%s in chunks, dry, %s", w.Kind, p.mass(w.Buy))
	}
	buy("salt, %s", p.mass(p.Salt.Grams/1000))
	buy("%s, %s", named(p.Salt.Mix, "rub"), p.mass(p.Salt.RubG/1000))
	heads := float64(p.Request.Party.Heads)
	buy("sauce, %s; slaw, %s", p.mass(math.Ceil(heads*sauceEach*10)/10), p.mass(math.Ceil(heads*slawEach*10)/10))
	if !p.Request.Serving.Plated {
		buy("%.0f buns", math.Ceil(heads*bunsEach))
	}
	for _, l := range p.Loads {
		if kind := l.Cook.Aim.Wrap.Kind; kind == journal.Foil || kind == journal.Paper {
			buy("%s to wrap %s", kind, pieces(p.count()))
			break
		}
	}
	buy("gloves, towels, foil for the box")
	return out
}

// What goes with it, a head (common practice, no source): kg of sauce and of
// slaw, buns.
const (
	sauceEach = .045
	slawEach  = .090
	bunsEach  = 1.25
)

// burns reports that a pit is used.
func (p *Plan) burns(pit int) bool {
	return slices.ContainsFunc(p.Loads, func(l Load) bool { return l.Pit == pit })
}

// chilled is the weight cooked before the day, kg, as it comes off.
func (p *Plan) chilled() float64 {
	kg := 0.0
	for _, l := range p.Loads {
		if l.Batch > 0 {
			m := p.Meats[l.Dish]
			for _, piece := range l.Cook.Pieces {
				kg += piece.Raw.Base * (1 - m.Trim.Lost) * (1 - m.Loss.Lost)
			}
		}
	}
	return kg
}

func (p *Plan) count() int {
	n := 0
	for _, m := range p.Meats {
		n += len(m.Pieces)
	}
	return n
}

// sentence says it all.
func (p *Plan) sentence() []string {
	r, main := p.Request, p.Main()
	var meat []string
	for i, m := range p.Meats {
		verb := "buy "
		switch {
		case m.Ready:
			verb = "take "
		case i > 0 && !p.Meats[i-1].Ready:
			verb = ""
		}
		meat = append(meat, fmt.Sprintf("%s%s of %s (%s – %s) as %s", verb, p.mass(m.Buy), m.Cut, p.number(m.Raw[0]), p.mass(m.Raw[2]), p.piecesOf(&m)))
	}
	var on []string
	for _, l := range p.Loads {
		on = append(on, "on by "+p.said(l.OnBy)+p.of(&l))
	}
	first := fmt.Sprintf("Serve %d at %s: %s, %s.", r.Party.Heads, p.said(r.Serve), strings.Join(meat, " and "), strings.Join(on, ", "))
	all := "it is off"
	if p.loadsFor(0) > 1 {
		all = "all of it is off"
	}
	second := fmt.Sprintf("9 in 10 that %s by %s, in time to rest and %s; most likely %s.", all, p.clock(main.LatestOff), p.knife(), p.clock(main.Off[1]))
	if now := p.Now; now != nil {
		second = fmt.Sprintf("That has passed: lit now, it is too late in %.0f of 100, off at %s most likely.", 100*now.Late, p.at(now.Off[1]))
	}
	h := p.Hold
	box := fmt.Sprintf("your box keeps %s for %s", p.temp(h.Limit), halves(h.Keeps[1]))
	switch {
	case h.Lasts == NoHold:
		box = "with no box, a low oven at " + p.temp(90)
	case h.Loads == 0:
		box = fmt.Sprintf("a box keeps %s for %s", p.temp(h.Limit), span(h.Keeps[0], h.Keeps[2]))
	}
	if p.Now == nil {
		second += fmt.Sprintf(" Hold %s, %s.", span(h.Short, h.Long), box)
	}
	var fuel []string
	for _, w := range append(p.fuels(), p.woods()...) {
		fuel = append(fuel, fmt.Sprintf("%s of %s", p.mass(w.Buy), w.Kind))
	}
	third := ""
	if len(fuel) > 0 {
		third = strings.Join(fuel, ", ") + ", a quarter over what it takes. "
	}
	return []string{first, second, third + "Cautions: above; the local food code decides."}
}

// fuels and woods are what all pits burn, by kind.
func (p *Plan) fuels() []larder.Wood {
	var out []larder.Wood
	for _, f := range p.Fuel {
		out = heap(out, f.Kind, f.Buy)
	}
	return out
}

func (p *Plan) woods() []larder.Wood {
	var out []larder.Wood
	for _, f := range p.Fuel {
		out = heap(out, named(f.Wood.Kind, "smoke wood"), f.Wood.Buy)
	}
	return out
}

// heap adds so many kg of a kind to what is there of it.
func heap(out []larder.Wood, kind string, kg float64) []larder.Wood {
	if kg <= 0 {
		return out
	}
	if i := slices.IndexFunc(out, func(o larder.Wood) bool { return o.Kind == kind }); i >= 0 {
		out[i].Buy += kg
		return out
	}
	return append(out, larder.Wood{Kind: kind, Buy: kg})
}

func (p *Plan) loadsFor(batch int) int {
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

func pieces(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// spell prints a duration: "1 h 15", "45 min", "3 h".
func spell(d time.Duration) string { return strings.TrimSuffix(frame.FormatHours(d.Hours()), " 00") }

// halves prints hours to the half hour, as spell does.
func halves(h float64) string { return spell(duration(math.Round(h*2) / 2)) }

// span prints a range of hours to the half hour.
func span(low, high float64) string {
	half := func(h float64) string {
		whole, rest := math.Modf(math.Round(h*2) / 2)
		switch {
		case rest > 0 && whole == 0:
			return "½"
		case rest > 0:
			return fmt.Sprintf("%.0f½", whole)
		}
		return fmt.Sprintf("%.0f", whole)
	}
	if half(low) == half(high) {
		return "about " + half(low) + " h"
	}
	return half(low) + " to " + half(high) + " h"
}

func (p *Plan) mass(kg float64) string { return measure.FormatMass(kg, p.settings.Units) }
func (p *Plan) temp(celsius float64) string {
	return measure.FormatTemperature(celsius, p.settings.Units)
}

// number is a mass in tenths, without its unit.
func (p *Plan) number(kg float64) string {
	s, _, _ := strings.Cut(p.mass(kg), " ")
	return s
}
