package model

import (
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report/numeric/score"
)

// Pit is the air round the meat: what was, and what is expected.
type Pit struct {
	Future  float64 // °C expected from now on
	SD      float64 // of that, as a whole, K
	Setting bool    // of a pit whose thermostat is all that is known

	times   []float64 // h since On, ascending: what is known
	celsius []float64
	aim     float64 // °C, the setting or aim in force; 0 = none
}

// Known reports whether anything was measured or set by now.
func (p *Pit) Known() bool { return len(p.times) > 0 }

const (
	// Raised is how much of a raised setting the meat sees. A cabinet's
	// thermostat is not its grate. .2 was chosen on real cooks in one such
	// cabinet; ±.2. A measured pit counts in full.
	Raised = .2
	// warmUp is left out when the pit's future is judged, h.
	warmUp = 1.25
	// lookBack is the stretch that tells how the pit runs, h.
	lookBack = 1.5
	// trustAim and trustUsual are the minutes of readings that weigh as much as
	// the aim, or as what is usual where there is none.
	trustAim, trustUsual = 60.0, 15.0
	// farOff is an aim too far from the readings to be what is kept, K.
	farOff = 60.0
	// dip below the median of that stretch is a lid, not a fire, K.
	dip = 12.0
	// lowest is a pit that brings meat to tenderness. One set lower at first is
	// raised to it in the end: all three of 58 strangers who began lower did.
	lowest = 104.0
	// fallback is a pit about which nothing is known: the middle of what is
	// called low and slow (common practice, no source), °C.
	fallback = 115.0
)

// Spread of the mean future pit, K (chosen; a measured pit strays by 2.5 K, a
// bare plan misses by twice that, no plan by far more).
const (
	sdMeasured, SDAimed, sdUnknown = 2.5, 4.0, 9.0
	sdDoubted                      = 25.0
	hotPit                         = 190.0 // °C, above it a pit is doubted
)

// findPit gathers the pit of a cook as known at now.
func (w *Context) findPit(j *State, now time.Time) {
	p := &j.Pit
	c := j.Cook
	var measured []journal.Reading
	if !j.On.IsZero() {
		strange := 0
		for _, r := range c.PitReadings() {
			if r.Time.After(now) || r.Time.Before(j.On.Add(-30*time.Minute)) {
				continue
			}
			if math.IsNaN(r.C) || r.C < coldestPit || r.C > hottestPit {
				strange++
				continue
			}
			measured = append(measured, r)
		}
		if strange > 0 {
			j.note("%s outside %s to %s left out", Count(strange, "pit reading", "pit readings"), j.Temp(coldestPit), j.Temp(hottestPit))
		}
	}
	aim, aimed := c.AimPit(now)
	if aimed && (aim < 50 || aim > hottestPit) {
		j.note("a pit aim of %s is not believed", j.Temp(aim))
		aimed = false
	}
	if aimed {
		p.aim = aim
	}
	p.Setting = w.Pits[c.Pit].Setting
	switch {
	case aimed && (p.Setting || len(measured) == 0):
		p.fromSettings(j, now)
	case len(measured) > 0:
		usual, ok := w.usual(c.Pit)
		if !ok {
			usual = fallback
		}
		p.fromReadings(j, measured, usual)
	default:
		if usual, ok := w.usual(c.Pit); ok {
			p.Future, p.SD = usual, sdUnknown/2
			j.note("no pit temperature; your usual %s stands in", j.Temp(usual))
		} else {
			p.Future, p.SD = fallback, sdUnknown
			j.note("no pit temperature; %s stands in", j.Temp(fallback))
		}
	}
	switch {
	case !j.On.IsZero() && p.Future < lowest:
		j.note("a pit at %s may never bring the core there; taken to be raised to %s", j.Temp(p.Future), j.Temp(lowest))
		p.Future, p.SD = lowest, math.Max(p.SD, sdUnknown)
	case p.Future <= 95:
		j.note("a pit at %s may never bring the core there", j.Temp(p.Future))
	}
}

// fromSettings makes the pit from what it was set to: the first in full, later
// changes of a thermostat by the share that reaches the meat.
func (p *Pit) fromSettings(j *State, now time.Time) {
	c := j.Cook
	share := 1.0
	if p.Setting {
		share = Raised
	}
	base, ok := c.AimPit(j.On)
	if !ok || j.On.IsZero() {
		base = p.aim
	}
	seen := base
	if !j.On.IsZero() {
		p.times, p.celsius = []float64{0}, []float64{base}
		for _, e := range c.Entries {
			if e.Time.After(now) {
				break
			}
			if it, ok := e.Item(journal.SetPit); ok && it.Temp.Known && e.Time.After(j.On) && it.Temp.Base >= 50 && it.Temp.Base <= hottestPit {
				h := e.Time.Sub(j.On).Hours()
				p.times, p.celsius = append(p.times, h), append(p.celsius, seen)
				set := it.Temp.Base
				whole := math.Max(base, math.Min(set, lowest)) // up to there a raise is no nudge but a part of the plan
				seen = whole + share*(set-whole)
				p.times, p.celsius = append(p.times, h+1e-6), append(p.celsius, seen)
			}
		}
	}
	p.Future, p.SD = seen, SDAimed
}

// fromReadings makes the pit from measurements. Its future is the aim (else
// the usual pit) blended with the last hour and a half, without warm-up and lid
// dips: neither of those goes on.
func (p *Pit) fromReadings(j *State, measured []journal.Reading, usual float64) {
	// A minute's mean is fine enough and bounds the work.
	for _, r := range measured {
		h := r.Time.Sub(j.On).Hours()
		if n := len(p.times); n > 0 && h < p.times[n-1]+1./60 {
			continue
		}
		p.times, p.celsius = append(p.times, h), append(p.celsius, r.C)
	}
	anchor, trust := usual, trustUsual
	p.SD = sdUnknown
	if p.aim > 0 {
		anchor, trust, p.SD = p.aim, trustAim, SDAimed
	}
	p.Future = anchor
	var recent []float64
	minutes, last := 0.0, 0.0
	for i, h := range p.times {
		settled := h >= warmUp || p.celsius[i] >= anchor
		if settled && h >= j.Elapsed-lookBack {
			recent = append(recent, p.celsius[i])
			minutes += math.Min(20, math.Max(1, 60*(h-last)))
		}
		last = h
	}
	if len(recent) == 0 {
		if last < warmUp {
			return
		}
		// Silent for longer: the last that was heard, with less weight.
		recent = p.celsius[max(0, len(p.celsius)-5):]
		minutes = 20
	}
	middle := score.Quantile(recent, .5)
	recent = slices.DeleteFunc(slices.Clone(recent), func(c float64) bool { return c < middle-dip })
	sum := 0.0
	for _, c := range recent {
		sum += c
	}
	minutes = math.Min(90, minutes)
	weight := minutes / (minutes + trust)
	if math.Abs(anchor-middle) > farOff {
		weight = 1
	}
	p.Future = weight*sum/float64(len(recent)) + (1-weight)*anchor
	p.SD = weight*sdMeasured + (1-weight)*p.SD
}

// sample fills out with the pit at the middle of each step of dt hours from
// from on, and returns how many of them are known.
func (p *Pit) sample(out []float64, from, dt, elapsed float64) (known int) {
	k := 0
	for i := range out {
		h := from + (float64(i)+.5)*dt
		if h > elapsed || len(p.times) == 0 {
			out[i] = p.Future
			continue
		}
		known = i + 1
		for k < len(p.times)-1 && p.times[k+1] <= h {
			k++
		}
		switch {
		case h <= p.times[0] || k == len(p.times)-1:
			out[i] = p.celsius[k]
			if k == len(p.times)-1 && h-p.times[k] > 1 {
				out[i] = p.Future // the log stopped
			}
		default:
			u := (h - p.times[k]) / (p.times[k+1] - p.times[k])
			out[i] = p.celsius[k] + u*(p.celsius[k+1]-p.celsius[k])
		}
	}
	return known
}

// Mean is the pit over the first hours of a course, °C.
func (p *Pit) Mean(hours float64) float64 {
	const step = .25 // h
	out := make([]float64, max(1, int(hours/step)))
	p.sample(out, 0, step, math.Inf(1))
	sum := 0.0
	for _, c := range out {
		sum += c
	}
	return sum / float64(len(out))
}

// MiddlePit is a pit at which the physics has about the right level, °C (chosen
// between 107, where most real cooks it was measured on were, and 117, where it
// crosses what the trade tells of a shoulder).
const MiddlePit = 112.0

// HeatSlope is how much longer a course takes for each 10 K that its pit is
// hotter than the simulation makes of it, ln: hours told fall by .7 to 1 % a
// kelvin, simulated ones by 2.9 at 112 °C and 1.5 at 163. It is the slope of
// ln(told/simulated) over trade rules, logs and printed tables for one cut, each
// kind by itself: .116 ± .033 over 10 rows, .11 to .18 without any one of them.
//
// Note: it is not in a remaining time once a core is read, where the fit has
// the level and half of it did harm on real cooks.
const HeatSlope = .115

// Hotter is by how many tens of kelvin a pit is hotter than the middle one; at
// most two either way, since printed tables find the physics right in ovens of
// 150 to 177 °C.
func Hotter(celsius float64) float64 {
	return math.Max(-2, math.Min(2, (celsius-MiddlePit)/10))
}

// Longer is the factor by which the simulated difference between a pit and
// another is to be corrected.
func Longer(celsius, than float64) float64 {
	return math.Exp(HeatSlope * (Hotter(celsius) - Hotter(than)))
}

func (w *Context) usual(pit string) (celsius float64, ok bool) {
	celsius, ok = w.UsualPit[pit]
	return celsius, ok
}
