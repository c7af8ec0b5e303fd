package model

import (
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/score"
)

// Pit is the air temperature around the meat, past and expected.
type Pit struct {
	Future  float64 // expected mean from now on, °C
	SD      float64 // standard deviation of Future, K
	Setting bool    // only a thermostat setting is known

	times   []float64 // known times, h since On, ascending
	celsius []float64
	stopped float64 // °C, for times in the past without a reading or setting
	aim     float64 // present setting or aim, °C; 0: none
}

// Known reports whether the pit was read or set by now.
func (p *Pit) Known() bool { return len(p.times) > 0 }

const (
	// settling is how long, h, after a new setting the pit's readings do not predict
	// its future. After that, the setting has the weight of settling hours of readings
	// (chosen: most fires of the invented journal are steady by then).
	settling = 1.0
	// lowest is the lowest pit temperature that makes meat tender, °C. People raise a
	// lower one before the end: of 58 strangers, three began lower, and all three
	// raised it.
	lowest = 104.0
	// UsualPit is assumed if nothing is known about the pit: the middle of the range
	// for cooking low and slow, °C (common practice, no source).
	UsualPit = 115.0
)

// Standard deviations of Pit.Future, K (chosen: a measured pit varies by 2.5 K, a
// planned one misses its plan by about twice that, and one without a plan may be far
// off).
const (
	sdMeasured, SDAimed, sdUnknown = 2.5, 4.0, 9.0
	sdDoubted                      = 25.0
	hotPit                         = 190.0 // °C: a pit above it is doubted
)

// findPit sets the pit of a cook at now.
func (w *Context) findPit(j *State, now time.Time) {
	p := &j.Pit
	c := j.Cook
	var measured []journal.Reading
	if !j.On.IsZero() {
		strange, all := 0, c.PitReadings()
		measured = all[:0] // reuse the slice
		for _, r := range all {
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
			j.note("%s outside %s to %s ignored", measure.Count(strange, "pit reading"), j.Temp(coldestPit), j.Temp(hottestPit))
		}
	}
	aim, aimed := c.AimPit(now)
	if aimed && (aim < coolestAim || aim > hottestPit) {
		j.note("a pit aim of %s cannot be right; it is ignored", j.Temp(aim))
		aimed = false
	}
	if aimed {
		p.aim = aim
	}
	from, moved := j.setting(now)
	thermostat := w.Pits[c.Pit].Setting
	p.Setting = thermostat && !moved
	switch {
	case aimed && (thermostat || len(measured) == 0):
		p.fromSettings(j, now)
	case len(measured) > 0:
		usual, ok := w.usual(c.Pit)
		if !ok {
			usual = UsualPit
		}
		p.fromReadings(j, measured, usual, from)
	default:
		if usual, ok := w.usual(c.Pit); ok {
			p.Future, p.SD = usual, sdUnknown/2
			j.note("no pit temperature; your usual %s is used", j.Temp(usual))
		} else {
			p.Future, p.SD = UsualPit, sdUnknown
			j.note("no pit temperature; %s is assumed", j.Temp(UsualPit))
		}
	}
	p.stopped = p.Future
}

// raise assumes that a pit too low to make meat tender is raised before the end. For a plan
// it only adds a note; see Raised.
func (j *State) raise() {
	low := j.Pit.Future < lowest && j.wantsTender()
	switch {
	case low && j.On.IsZero():
		j.note("a pit at %s may never bring the core to its aim", j.Temp(j.Pit.Future))
		return
	case low:
		j.note("a pit at %s may never bring the core to its aim; the forecast assumes you raise it to %s", j.Temp(j.Pit.Future), j.Temp(lowest))
		j.Pit.SD = math.Max(j.Pit.SD, sdUnknown)
	}
	if !j.On.IsZero() {
		*j = *j.Raised()
	}
}

// wantsTender reports whether a piece is to be tender.
func (j *State) wantsTender() bool {
	return slices.ContainsFunc(j.Pieces, func(p Piece) bool { return p.Target >= tenderFrom })
}

// unchanged returns the pit without changes of its setting since the meat went on.
func (w *Context) unchanged(j *State, now time.Time) Pit {
	for _, e := range j.Cook.Entries {
		if j.On.IsZero() || e.Time.After(now) {
			break
		}
		if e.Time.After(j.On) && slices.ContainsFunc(e.Items, setsPit) {
			was := State{Cook: j.Cook, On: j.On, units: j.units}
			w.findPit(&was, e.Time.Add(-1))
			return was.Pit
		}
	}
	return j.Pit
}

// setsPit reports whether an item changes the setting of the pit, or the pit itself.
func setsPit(it journal.Item) bool {
	return (it.Act == journal.SetPit || it.Act == journal.Oven) && it.Temp.Known
}

// setting returns when the setting last changed before now, h after going on, or 0 if
// it did not; moved is true if the meat moved to the kitchen oven then.
func (j *State) setting(now time.Time) (h float64, moved bool) {
	for _, e := range j.Cook.Entries {
		if e.Time.After(now) {
			break
		}
		for _, it := range e.Items {
			if setsPit(it) && e.Time.After(j.On) {
				h, moved = e.Time.Sub(j.On).Hours(), it.Act == journal.Oven
			}
		}
	}
	return h, moved
}

// fromSettings sets the pit from its settings.
func (p *Pit) fromSettings(j *State, now time.Time) {
	p.Future, p.SD = p.aim, SDAimed
	if j.On.IsZero() {
		return
	}
	seen, ok := j.Cook.AimPit(j.On)
	if !ok {
		seen = p.aim
	}
	p.times, p.celsius = []float64{0}, []float64{seen}
	for _, e := range j.Cook.Entries {
		if e.Time.After(now) {
			break
		}
		if set, ok := j.Cook.AimPit(e.Time); ok && set != seen && e.Time.After(j.On) && set >= coolestAim && set <= hottestPit {
			h := e.Time.Sub(j.On).Hours()
			p.times, p.celsius = append(p.times, h, h+1e-6), append(p.celsius, seen, set)
			seen = set
		}
	}
	p.Future = seen
}

// fromReadings sets the pit from readings. Its future is the average of the aim (or
// else the usual pit) and the median reading since the last setting, leaving out the
// time of settling.
func (p *Pit) fromReadings(j *State, measured []journal.Reading, usual, from float64) {
	// One reading a minute is enough and limits the work.
	for _, r := range measured {
		h := r.Time.Sub(j.On).Hours()
		if n := len(p.times); n > 0 && h < p.times[n-1]+1./60 {
			continue
		}
		p.times, p.celsius = append(p.times, h), append(p.celsius, r.C)
	}
	p.Future, p.SD = usual, sdUnknown
	if p.aim > 0 {
		p.Future, p.SD = p.aim, SDAimed
	}
	var settled []float64
	read, last := 0.0, from // h
	for i, h := range p.times {
		if h < from {
			continue
		}
		if h >= from+settling {
			settled = append(settled, p.celsius[i])
			read += math.Min(settling, h-last)
		}
		last = h
	}
	if len(settled) == 0 {
		return
	}
	weight := read / (read + settling)
	p.Future += weight * (score.Quantile(settled, .5) - p.Future)
	p.SD += weight * (sdMeasured - p.SD)
}

// sample sets out to the pit temperature at the middle of each step of dt hours,
// starting at from, and returns for how many steps it is known.
func (p *Pit) sample(out []float64, from, dt, elapsed float64) (known int) {
	k := 0
	for i := range out {
		h := from + (float64(i)+.5)*dt
		if h > elapsed {
			out[i] = p.Future
			continue
		}
		if len(p.times) == 0 {
			out[i] = p.stopped
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
				out[i] = p.stopped
			}
		default:
			u := (h - p.times[k]) / (p.times[k+1] - p.times[k])
			out[i] = p.celsius[k] + u*(p.celsius[k+1]-p.celsius[k])
		}
	}
	return known
}

// Mean returns the mean pit over the first hours of a cook, °C.
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

func (w *Context) usual(pit string) (celsius float64, ok bool) {
	celsius, ok = w.UsualPit[pit]
	return celsius, ok
}
