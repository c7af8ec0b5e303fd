package runsheet

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal/measure"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
	"ashbook/report/safety"
)

// adder adds a step.
type adder func(at time.Time, kind Kind, what, margin string)

// loadSteps adds the steps of one load.
func (p *Sheet) loadSteps(l *provision.Load, add adder) {
	p.prepSteps(l, add)
	p.fireSteps(l, add)
	p.onSteps(l, add)
	p.finishStep(l, add)
	p.offSteps(l, add)
}

// prepSteps adds what is done to the meat before it goes on.
func (p *Sheet) prepSteps(l *provision.Load, add adder) {
	of, salt := p.Of(l), p.Salts[l.Dish]
	if !l.Thaw.IsZero() {
		add(l.Thaw, Thaw, "from the freezer into the refrigerator"+of, fmt.Sprintf("%s until it is trimmed: a day for each %s. A day sooner does no harm", measure.FormatSpan(l.Trim.Sub(l.Thaw)), p.Mass(1.814)))
	}
	trim, n := "trim", len(l.Cook.Pieces)
	if l.Halved {
		trim, n = "trim, and cut every piece in two", n/2
	}
	add(l.Trim, TrimMeat, trim+of, fmt.Sprintf("takes %s for %s", measure.FormatSpan(l.Trimming()), measure.Count(n, "piece")))
	ahead := l.OnBy.Sub(l.Salt)
	says := measure.FormatSpan(ahead) + " before it goes on; half that time is enough"
	if ahead < time.Hour {
		says = "there is no time for it to go in: taste the meat once it is cut, and salt again"
	}
	if brings := p.mixes.Salt * salt.Rub; brings >= 1 {
		says = "the rub brings " + p.rate(brings) + ": salt that much less; " + says
	}
	add(l.Salt, SaltMeat, "salt, "+p.salted(l)+of, says)
	add(l.Rub, Rub, named(salt.Mix, "rub")+", "+p.rate(salt.Rub)+of, "")
}

// fireSteps adds what is done to the fire of a load that lights one.
func (p *Sheet) fireSteps(l *provision.Load, add adder) {
	if l.Oven {
		add(l.Light, Light, "turn the kitchen oven on, "+p.Oven(l.Forecast.Pit)+p.Of(l), "")
		return
	}
	if l.Light.IsZero() {
		return
	}
	usual, allowed := p.Pits[l.Pit].Settles()
	settles := "takes " + measure.FormatSpan(usual) + " to settle"
	if l.Missed.IsZero() {
		settles += ", with " + measure.FormatSpan(allowed-usual) + " to spare"
	}
	add(l.Light, Light, "light "+p.PitName(l.Pit)+p.batch(l), settles)
	for _, f := range p.Fuel {
		for _, at := range f.TopUps {
			if f.Pit == l.Pit && at.After(l.Light) && at.Before(l.Off[1]) {
				add(at, TopUp, "top up "+p.PitName(l.Pit)+", about "+p.Mass(f.More), "before the fire runs low; a full load lasts about "+measure.FormatHalf(f.Lasts))
			}
		}
	}
	add(l.OnBy.Add(-provision.Spare), Settle, p.PitName(l.Pit)+" steady at "+p.pitTemp(l), "steady for a quarter of an hour before the meat goes on")
}

// onSteps adds when the pieces of a load go on.
func (p *Sheet) onSteps(l *provision.Load, add adder) {
	of := p.Of(l)
	if l.Missed.IsZero() {
		add(l.OnBy, OnBy, "on by"+of, fmt.Sprintf("if it goes on later, more than %s are late", p.oneIn(1-l.Sure)))
	} else {
		add(l.OnBy, OnBy, "on, at once"+of, "it should have been on at "+p.At(l.Missed))
	}
	for _, s := range l.Stagger {
		add(s.OnBy, OnBy, "or, to come off together, "+s.Piece+" on by"+of, "it is lighter than the largest; on with the others it is only held longer")
	}
}

// offSteps adds when a load comes off, and where it goes.
func (p *Sheet) offSteps(l *provision.Load, add adder) {
	of := p.Of(l)
	add(l.Off[1], LikelyOff, "off, most likely"+of, fmt.Sprintf("%s – %s, 8 in 10", p.At(l.Off[0]), p.At(l.Off[2])))
	sure := l.Sure
	if !l.Missed.IsZero() {
		sure = 1 - l.Late()
	}
	switch {
	case sure < .5:
	case l.Batch == 0:
		add(l.LatestOff, LatestOff, "off at the latest"+of, fmt.Sprintf("%.0f of 100 are off by then; %s are left to rest", 100*sure, measure.FormatSpan(l.Rest())))
	default:
		add(l.LatestOff, Chill, "off, rested and cut up for chilling, at the latest"+of, fmt.Sprintf("chill it to %s within 2 h and to %s within 6 h", p.Temp(safety.CoolHalf), p.Temp(safety.ColdHold)))
	}
	boxed := l.Off[1].Add(l.Rest())
	if l.Batch > 0 || !boxed.Before(l.CutAt) {
		return
	}
	if p.Request.NoBox {
		add(boxed, Box, "into the low oven, covered, most likely"+of, fmt.Sprintf("oven at %s, meat at %s or above", p.Oven(90), p.Temp(p.Hold.Limit)))
		return
	}
	margin := ""
	switch keeps := quantity.Find(l.Cook.Cut).Keeps; {
	case l.Quick():
		margin = fmt.Sprintf("most likely held for %s; it stays good there for about %s", measure.FormatHalf(l.Held()), measure.FormatHalf(keeps))
	case l == p.Hold.Load:
		margin = p.holds()
	}
	add(boxed, Box, "into the box, most likely"+of, margin)
}

// look says what to do at the look at a load.
func (p *Sheet) look(l *provision.Load) string {
	lags := "if it will be late"
	if core := l.Finish.Core; core > 0 {
		lags = "a core below " + p.Temp(core)
	}
	return fmt.Sprintf("look: %s, and the pit goes up to %s", lags, p.Oven(l.Finish.Pit))
}

// finishStep adds the look at a load that finishes in a hotter pit if it lags.
func (p *Sheet) finishStep(l *provision.Load, add adder) {
	f := l.Finish
	if f == nil || l.Oven {
		return
	}
	add(l.LookAt(), Look, p.look(l)+p.Of(l),
		fmt.Sprintf("or it goes into the kitchen oven at that; %.0f in 10 need neither", 10*(1-l.Helped())))
}

// carveSteps adds when each load is cut: all at once, or what does not keep last.
func (p *Sheet) carveSteps(add adder) {
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
		add(at, Carve, what, "takes "+measure.FormatSpan(until.Sub(at))+", half of that with two people")
	}
}
