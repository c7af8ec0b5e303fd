// Package runsheet turns a plan into instructions: its steps in order, what to prepare
// and to buy, a page, a calendar, and the files of the planned cooks.
package runsheet

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/thermo"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
	"ashbook/report/safety"
)

// Sheet is a plan with its steps, lists and summary.
type Sheet struct {
	*provision.Plan
	Steps    []Step
	Tasks    []Task
	Sentence []string // the plan in a few sentences
	mixes    Mixes
	turns    []turn // turns of the helpers, by night
}

// Mixes are the mixes for the meal, weighed out, each on one line with its parts. A mix
// that is not in the journal is empty, and the plan shows an estimate instead.
type Mixes struct {
	Rub, Sauce, Slaw string
	Hold             []string // allergens in them, each with its mix: "mustard (hall-rub)"
	Salt             float64  // g of salt in a gram of the rub
}

// Of makes the sheet for a plan.
func Of(plan *provision.Plan, mixes Mixes) *Sheet {
	p := &Sheet{Plan: plan, mixes: mixes}
	p.turns = p.nights()
	p.Steps = p.steps()
	p.Tasks = p.tasks()
	p.Sentence = p.sentence()
	return p
}

// Step is one step of the plan.
type Step struct {
	At     time.Time
	Kind   Kind
	What   string
	Margin string // how late the step may be, or how sure its time is
	Who    string // helper who does the step; empty: nobody is named
}

// Kind is the kind of a step. Its words are part of the JSON output and never change.
type Kind string

// The values of Kind.
const (
	Thaw      Kind = "thaw"
	TrimMeat  Kind = "trim"
	SaltMeat  Kind = "salt"
	Rub       Kind = "rub"
	Light     Kind = "light"
	Settle    Kind = "settled"
	TopUp     Kind = "top up"
	Look      Kind = "look"
	OnBy      Kind = "on by"
	LikelyOff Kind = "likely off"
	LatestOff Kind = "latest off"
	Box       Kind = "box"
	Chill     Kind = "chill"
	Reheat    Kind = "reheat"
	Carve     Kind = "carve"
	Sides     Kind = "sides"
	Serve     Kind = "serve"
	Watch     Kind = "watch"
)

// steps returns all steps, sorted by time. If the meal cannot be saved, these are only
// buying and serving.
func (p *Sheet) steps() []Step {
	var out []Step
	pit := 0
	add := func(at time.Time, kind Kind, what, margin string) {
		out = append(out, Step{at, kind, what, margin, p.who(kind, pit, at)})
	}
	lost := p.Lost()
	for i := range p.Loads {
		if l := &p.Loads[i]; !lost || l.Missed.IsZero() {
			pit = l.Pit
			p.loadSteps(l, add)
		}
	}
	if p.Batches > 1 {
		add(p.ReheatAt, Reheat, fmt.Sprintf("chilled meat into the oven, to %s all through", p.Temp(safety.ReheatTo)), "within two hours (Food Code 3-403.11)")
	}
	if lost {
		add(p.Request.Serve, Serve, "the meal asked for", "not with this plan: see what can still save the meal")
	} else {
		add(p.Request.Serve.Add(-sidesFirst), Sides, "hot sides on the fire, the table laid",
			fmt.Sprintf("hot at %s or above, slaw cold, until served (Food Code 3-501.16)", p.Temp(p.Settings.HoldLimit())))
		p.carveSteps(add)
		add(p.Request.Serve, Serve, fmt.Sprintf("serve %d", p.Request.Party.Heads), "")
	}
	for _, t := range p.turns {
		out = append(out, t.step(p))
	}
	out = slices.DeleteFunc(out, func(s Step) bool { return s.At.Before(p.Moment) })
	slices.SortStableFunc(out, func(a, b Step) int { return a.At.Compare(b.At) })
	return out
}

// sidesFirst is how long before the meal the side dishes are started (common practice,
// no source).
const sidesFirst = time.Hour

// who returns the helper for a step. One helper keeps the fire of the first pit, one
// the meat, one the table, and one the fire of each further pit; if there are fewer
// helpers, they take turns. At night it is the helper on watch.
func (p *Sheet) who(kind Kind, pit int, at time.Time) string {
	n := len(p.Request.Helpers)
	if n == 0 {
		return ""
	}
	for _, t := range p.turns {
		if !at.Before(t.from) && at.Before(t.to) {
			return t.who
		}
	}
	duty := 1
	switch kind {
	case Light, Settle, TopUp:
		if duty = 0; pit > 0 {
			duty = 2 + pit
		}
	case Sides, Carve, Serve:
		duty = 2
	}
	return p.Request.Helpers[duty%n]
}

// loadSteps adds the steps of one load.
func (p *Sheet) loadSteps(l *provision.Load, add func(at time.Time, kind Kind, what, margin string)) {
	of, salt := p.Of(l), p.Salts[l.Dish]
	on, n := l.OnBy, len(l.Cook.Pieces)
	if !l.Thaw.IsZero() {
		add(l.Thaw, Thaw, "out of the freezer into the cold"+of, fmt.Sprintf("%s until it is trimmed, a day for each %s; a day sooner does no harm", measure.FormatSpan(l.Trim.Sub(l.Thaw)), p.Mass(1.814)))
	}
	trim := "trim"
	if l.Halved {
		trim, n = "trim, and cut every piece in two", n/2
	}
	add(l.Trim, TrimMeat, trim+of, fmt.Sprintf("%s for %s", measure.FormatSpan(l.Trimming()), measure.Count(n, "piece")))
	ahead := measure.FormatSpan(on.Sub(l.Salt)) + " ahead; half of it will do"
	if on.Sub(l.Salt) < time.Hour {
		ahead = "there is no time for salt to go in: taste once it is cut, and salt again"
	}
	if brings := p.mixes.Salt * salt.Rub; brings >= 1 {
		ahead = "the rub brings " + p.rate(brings) + ": salt that much less; " + ahead
	}
	add(l.Salt, SaltMeat, "salt, "+p.salted(l)+of, ahead)
	add(l.Rub, Rub, named(salt.Mix, "rub")+", "+p.rate(salt.Rub)+of, "")
	switch usual, allowed := p.Pits[l.Pit].Settles(); {
	case l.Oven:
		add(l.Light, Light, "the kitchen oven on, "+p.Oven(l.Forecast.Pit)+of, "")
	case !l.Light.IsZero():
		spare := "; " + measure.FormatSpan(allowed-usual) + " spare"
		if !l.Missed.IsZero() {
			spare = ""
		}
		add(l.Light, Light, "light "+p.PitName(l.Pit)+p.batch(l), "settles in "+measure.FormatSpan(usual)+spare)
		for _, f := range p.Fuel {
			for _, at := range f.TopUps {
				if f.Pit == l.Pit && at.After(l.Light) && at.Before(l.Off[1]) {
					add(at, TopUp, "top up "+p.PitName(l.Pit)+", about "+p.Mass(f.More), "before the fire runs low; a full load lasts about "+measure.FormatHalf(f.Lasts))
				}
			}
		}
		add(on.Add(-provision.Spare), Settle, p.PitName(l.Pit)+" steady at "+p.pitTemp(l), "steady for a quarter of an hour before the meat")
	}
	if l.Missed.IsZero() {
		add(on, OnBy, "on by"+of, fmt.Sprintf("later, and more than %s are late", p.oneIn(1-l.Sure)))
	} else {
		add(on, OnBy, "on, at once"+of, "it should have been on at "+p.At(l.Missed))
	}
	for _, s := range l.Stagger {
		add(s.OnBy, OnBy, "or, so that all come off together, "+s.Piece+" on by"+of, "lighter than the largest; it may go on together with it, and is then held longer")
	}
	p.finishStep(l, add)
	add(l.Off[1], LikelyOff, "off, most likely"+of, fmt.Sprintf("%s – %s, 8 in 10", p.At(l.Off[0]), p.At(l.Off[2])))
	sure := l.Sure
	if !l.Missed.IsZero() {
		sure = 1 - l.Late()
	}
	switch {
	case sure < .5:
	case l.Batch == 0:
		add(l.LatestOff, LatestOff, "off at the latest"+of, fmt.Sprintf("%.0f of 100 cooks are off by now; %s of rest are left then", 100*sure, measure.FormatSpan(l.Rest())))
	default:
		add(l.LatestOff, Chill, "off, rested and cut up for chilling, at the latest"+of, fmt.Sprintf("%s in 2 h, %s in 6 h", p.Temp(safety.CoolHalf), p.Temp(safety.ColdHold)))
	}
	if boxed := l.Off[1].Add(l.Rest()); l.Batch == 0 && !p.Request.NoBox && boxed.Before(l.CutAt) {
		margin := ""
		switch keeps := quantity.Find(l.Cook.Cut).Keeps; {
		case l.Quick():
			margin = fmt.Sprintf("held most likely %s: it stays good there for about %s", measure.FormatHalf(l.Held()), measure.FormatHalf(keeps))
		case l == p.Hold.Load:
			margin = p.holds()
		}
		add(boxed, Box, "into the box, most likely"+of, margin)
	}
}

// finishStep adds the look at a load that finishes in a hotter pit if it lags.
func (p *Sheet) finishStep(l *provision.Load, add func(at time.Time, kind Kind, what, margin string)) {
	f := l.Finish
	if f == nil || l.Oven {
		return
	}
	lags := "if it will be late"
	if f.Core > 0 {
		lags = "a core below " + p.Temp(f.Core)
	}
	add(l.OnBy.Add(time.Duration(f.After*float64(time.Hour))).Round(fine), Look, fmt.Sprintf("look: %s, and the pit goes up to %s%s", lags, p.Oven(f.Pit), p.Of(l)),
		fmt.Sprintf("or into the kitchen oven at that; %.0f in 10 need neither", 10*(1-l.Helped())))
}

// carveSteps adds when each load is cut: all at once, or what does not keep last.
func (p *Sheet) carveSteps(add func(at time.Time, kind Kind, what, margin string)) {
	names := map[time.Time][]string{}
	var times []time.Time
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Batch > 0 {
			continue
		}
		if names[l.CutAt] == nil {
			times = append(times, l.CutAt)
		}
		if !slices.Contains(names[l.CutAt], l.Cook.Cut) {
			names[l.CutAt] = append(names[l.CutAt], l.Cook.Cut)
		}
	}
	slices.SortFunc(times, time.Time.Compare)
	for i, at := range times {
		what, until := p.knife(), p.Request.Serve
		if len(times) > 1 {
			what += " (" + strings.Join(names[at], ", ") + ")"
		}
		if i < len(times)-1 {
			until = times[i+1]
		}
		add(at, Carve, what, measure.FormatSpan(until.Sub(at))+"; two pairs of hands halve it")
	}
}

// Task is one thing to prepare or to buy.
type Task struct {
	Section string // MakeReady or Shopping
	Text    string
}

// The headings of the two lists in a cook's file.
const (
	MakeReady = "Make ready"
	Shopping  = "Shopping"
)

// tasks returns both lists, in the order in which things are done.
func (p *Sheet) tasks() []Task {
	if p.nothing() {
		return append(p.lost(), p.beside()...)
	}
	var out []Task
	ready := func(format string, args ...any) {
		out = append(out, Task{MakeReady, fmt.Sprintf(format, args...)})
	}
	boil := thermo.BoilingPoint(thermo.Pressure(p.Settings.Altitude.Base))
	where := "at sea level"
	if p.Settings.Altitude.Known {
		where = "at " + p.Settings.Altitude.In(p.Settings.Units)
	}
	ready("probes: %s in ice and water, %s in boiling water %s; note if one is a degree off, replace it if it is more", p.Temp(0), p.tenths(boil), where)
	for i := range p.Pits {
		if p.burns(i) {
			ready("%s: ash out cold, grease out, grate scraped, vents free; out of doors, nothing that burns near", p.PitName(i))
		}
	}
	if len(p.Fuel) > 0 {
		ready("metal bin with a lid for ash, water or a fire blanket within reach")
	}
	var timed []Step
	at := func(t time.Time, format string, args ...any) {
		timed = append(timed, Step{At: t, What: fmt.Sprintf(format, args...)})
	}
	for _, s := range p.Steps {
		if s.Kind == Thaw || s.Kind == SaltMeat || s.Kind == TrimMeat || s.Kind == Rub {
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
		at(p.Hold.Boxed.Add(-time.Hour), "%s clean, warmed with hot water; towels", several(p.Hold.Boxes, "box", "boxes"))
	}
	if !p.Hold.OvenBy.IsZero() {
		at(p.Hold.OvenBy, "%s free, %s", several(provision.Ovens(p.Hold.Unboxed), "low oven", "low ovens"), p.Oven(90))
	}
	if p.Batches > 1 {
		at(p.ReheatAt, "%s free to reheat to %s; before that shallow trays and a cold room for %s", several(provision.Ovens(p.Cooked(true)), "oven", "ovens"), p.Temp(safety.ReheatTo), p.Mass(p.Cooked(true)))
	}
	slices.SortStableFunc(timed, func(a, b Step) int { return a.At.Compare(b.At) })
	for _, s := range timed {
		ready("%s: %s", p.day(s.At), s.What)
	}
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

// burns reports whether the plan uses a pit.
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

// sentence sums up the plan.
func (p *Sheet) sentence() []string {
	r := p.Request
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
	second := fmt.Sprintf("9 in 10 that %s by %s, in time to rest and %s; most likely %s.", all, p.clock(p.latest()), p.knife(), p.clock(p.likely()))
	if now := p.Hurry; now != nil {
		second = fmt.Sprintf("The time to put it on was %s%s: if lit now, it is too late in %.0f of 100 cooks, off at %s most likely. %s",
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
		second += fmt.Sprintf(" Hold %s, %s.", measure.FormatRange(h.Short, h.Long), box)
	}
	var fuel []string
	for _, w := range append(p.fuels(), p.woods()...) {
		fuel = append(fuel, fmt.Sprintf("%s of %s", p.Mass(w.Buy), w.Kind))
	}
	third := ""
	if len(fuel) > 0 {
		third = strings.Join(fuel, ", ") + ", a quarter more than it takes. "
	}
	return []string{first, second, third + fmt.Sprintf("Fire out of doors only (carbon monoxide), hold at %s or above; the local food code decides.", p.Temp(h.Limit))}
}

// likely returns when the last load for the meal most likely comes off.
func (p *Sheet) likely() (last time.Time) {
	for _, l := range p.Loads {
		if l.Batch == 0 && l.Off[1].After(last) {
			last = l.Off[1]
		}
	}
	return last
}

// latest returns the latest time off of the last load for the meal.
func (p *Sheet) latest() (last time.Time) {
	for _, l := range p.Loads {
		if l.Batch == 0 && l.LatestOff.After(last) {
			last = l.LatestOff
		}
	}
	return last
}

// fuels and woods return what all pits burn, by kind.
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

// heap adds kg of one kind to the amount already listed.
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
