// Package model describes one cook at one time, from what was noted by then with
// obvious errors left out. It simulates each piece, and fits the simulation to the
// readings.
package model

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/thermo"
)

// Limits outside which a noted number is ignored (chosen wide: they catch slips and wrong
// units, not unusual cooks).
const (
	coldestCore, hottestCore = -25.0, 112.0 // °C; above: °F, or a probe out of the meat
	coldestPit, hottestPit   = -20.0, 350.0 // °C
	coolestAim               = 50.0         // °C
	lightest, heaviest       = .1, 40.0     // kg a piece
	thinnest, thickest       = .01, .30     // m
)

// tenderFrom is the least core aim of meat that is to be tender, °C: collagen gelatinises
// above 70 to 80 °C.
const tenderFrom = 85.0

// UsualShape is the standard deviation of ln half thickness among pieces of one cut and
// weight (chosen).
const UsualShape = .10

// Longest is the length of the forecast, h; a later end counts as "may not reach".
const Longest = 48.0

// Reading is one core reading.
type Reading struct {
	H float64 // hours since the piece went on
	C float64 // °C
}

// Piece is one piece of meat.
type Piece struct {
	Name     string
	Meat     heat.Meat
	ShapeSD  float64   // standard deviation of ln half thickness
	Start    float64   // when it went on, h after the first piece
	Target   float64   // core at which it comes off, °C
	Readings []Reading // cleaned and thinned, ascending
	Done     bool      // it is off
	Tender   bool      // the probe slides in
	ByHours  bool      // thin cut: done softHours after its core passes softFrom, whatever the core is then
	aside    bool      // not simulated, because there are too many pieces
}

// Waits reports whether the end of the cook depends on the piece.
func (p *Piece) Waits() bool { return !p.Done && !p.aside }

// A thin cut is hot through long before it is tender: collagen softens over hours at 70 to
// 80 °C and above (Encyclopedia of Meat Sciences, Cooking of Meat, abstract), and recipes
// give hours for a rack, not a core. softHours is chosen: a rack of 1.3 kg passes 80 °C
// after about 2 h at 110 °C and is tender after 5 to 6 h (common practice, no source).
const softFrom, softHours = 80.0, 1.5 // °C, h

// end returns the core that counts for a piece, °C, and how long after it the piece is
// done, h.
func (p *Piece) end() (core, wait float64) {
	if p.ByHours {
		return softFrom, softHours
	}
	return p.Target, 0
}

// Finish returns when a piece with this core curve is done, h after it went on; readings
// are ignored. Ok is false if it never is.
func (p *Piece) Finish(curve []float64) (hours float64, ok bool) {
	core, wait := p.end()
	h, ok := Crossing(curve, core)
	return h + wait, ok
}

// passed returns when the readings passed a core temperature, h after the piece went
// on.
func (p *Piece) passed(core float64) (hours float64, ok bool) {
	before := Reading{0, p.Meat.Start}
	for _, r := range p.Readings {
		if r.C >= core {
			if r.C <= before.C {
				return r.H, true
			}
			return before.H + (r.H-before.H)*math.Max(0, core-before.C)/(r.C-before.C), true
		}
		before = r
	}
	return 0, false
}

// Way returns the kelvins to go at the last reading. For a thin cut above softFrom, they
// shrink with the hours since.
func (p *Piece) Way() (kelvin float64, ok bool) {
	last, ok := p.Last()
	if at, warm := p.passed(softFrom); p.ByHours && warm {
		return (p.Target - softFrom) * math.Max(0, 1-(last.H-at)/softHours), ok
	}
	return p.Target - last.C, ok
}

// coreWords returns "the core", with the name of the piece if it has one.
func (p *Piece) coreWords() string {
	if p.Name == "" {
		return "the core"
	}
	return "the core of " + p.Name
}

// Last returns the last reading; ok is false if there is none.
func (p *Piece) Last() (r Reading, ok bool) {
	if len(p.Readings) == 0 {
		return Reading{}, false
	}
	return p.Readings[len(p.Readings)-1], true
}

// State is a cook at one time.
type State struct {
	Cook    *journal.Cook
	On      time.Time // when it went on; zero: not yet
	Elapsed float64   // h since On
	Pieces  []Piece
	Pit     Pit
	Changes []heat.Change // wraps and sprays so far, s after On
	Plan    heat.Cover    // wrap planned and not yet put on
	PlanAt  float64       // core at which it is planned, °C
	May     []MayWrap     // possible wraps if the plan mentions none
	Wrapped bool
	Notes   []string // what was missing, doubted or ignored

	was        Pit            // the pit as if its setting had not changed
	height     measure.Length // above sea level; 0 if it is not known
	air        heat.Air
	transferSD float64 // standard deviation of ln surface transfer
	units      measure.System
}

// Context is what is known apart from the cook itself. The zero Context is valid.
type Context struct {
	Pits     map[string]journal.Pit // by name
	Settings journal.Settings
	UsualPit map[string]float64 // the person's usual aim by name of pit, °C
	// MayWrap returns the possible wraps of a cook whose plan mentions none; nil: none.
	MayWrap func(*journal.Cook) []MayWrap
}

// MayWrap is a possible wrap.
type MayWrap struct {
	Kind   journal.Wrap
	At     float64 // core at which it is put on, °C
	Chance float64 // 0 to 1
}

// UsualWrapAt is the core at which meat is assumed to be wrapped if none is noted, °C
// (one recipe: 71 for pork shoulder, 74 for brisket).
const UsualWrapAt = 72.0

func (j *State) note(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); !slices.Contains(j.Notes, s) {
		j.Notes = append(j.Notes, s)
	}
}

// Temp prints a temperature in the units of the settings.
func (j *State) Temp(celsius float64) string { return measure.FormatTemperature(celsius, j.units) }

// Mass prints a mass in the units of the settings.
func (j *State) Mass(kg float64) string { return measure.FormatMass(kg, j.units) }

// Read returns the cook at now, ignoring later entries and readings; zero now: before it.
func (w *Context) Read(c *journal.Cook, now time.Time) *State {
	j := &State{Cook: c, units: w.Settings.Units}
	cut, known := findCut(c.Cut)
	if !known {
		j.note("the cut %q is not known; it is forecast as a pork shoulder, so the range is wide", c.Cut)
	}
	planned := now.IsZero()
	if !planned {
		j.On = startOf(c, now)
		planned = j.On.IsZero()
	}
	if !planned {
		j.Elapsed = math.Max(0, now.Sub(j.On).Hours())
		if j.Elapsed > Longest {
			j.note("on for more than %.0f h; only the last %.0f h are used", Longest, Longest)
			j.On = now.Add(-time.Duration(Longest * float64(time.Hour)))
			j.Elapsed = Longest
		}
	}
	j.air = w.around(c, j)
	w.findPit(j, now)
	j.was = w.unchanged(j, now)
	for i := range max(1, len(c.Pieces)) {
		j.Pieces = append(j.Pieces, j.piece(i, cut, now))
	}
	j.raise()
	j.slowest()
	j.covers(now)
	if w.MayWrap != nil && c.Aim.Wrap == (journal.WrapPlan{}) {
		j.mayWrap(w.MayWrap(c))
	}
	j.doubt()
	return j
}

// MostPieces is the number of pieces simulated: a forecast may take a fifth of a second
// (chosen).
const MostPieces = 6

// slowest leaves out pieces until MostPieces remain: first pieces that are off, then
// those nearest to done by their core, or the lightest ones if no core was read.
func (j *State) slowest() {
	if len(j.Pieces) <= MostPieces {
		return
	}
	order := make([]int, len(j.Pieces))
	for i := range order {
		order[i] = i
	}
	ahead := func(p *Piece) (core, kg float64) {
		last, ok := p.Last()
		switch {
		case p.Done:
			return math.Inf(1), p.Meat.Mass
		case !ok:
			return math.Inf(-1), p.Meat.Mass
		}
		return last.C - p.Target, p.Meat.Mass
	}
	slices.SortStableFunc(order, func(a, b int) int {
		coreA, kgA := ahead(&j.Pieces[a])
		coreB, kgB := ahead(&j.Pieces[b])
		return cmp.Or(cmp.Compare(coreA, coreB), cmp.Compare(kgB, kgA))
	})
	for _, i := range order[MostPieces:] {
		j.Pieces[i].aside = true
	}
	j.note("of %d pieces only the %d that need longest are forecast", len(order), MostPieces)
}

// doubt notes numbers that contradict each other.
func (j *State) doubt() {
	if j.Pit.Future > hotPit {
		j.note("a pit of %s is too hot for low and slow: °F written as °C?", j.Temp(j.Pit.Future))
		j.Pit.SD = math.Max(j.Pit.SD, sdDoubted)
	}
	for i := range j.Pieces {
		if last, ok := j.Pieces[i].Last(); ok && !j.Pieces[i].Done && last.C > j.Pit.Future+3 {
			j.note("%s reads %s in a pit of %s: one of them is wrong", j.Pieces[i].coreWords(), j.Temp(last.C), j.Temp(j.Pit.Future))
		}
	}
}

// perKelvin is the decrease of ln hours for each kelvin of the pit (fitted on 118 cooks of
// as many people, public notes).
const perKelvin = .018

// Doubt returns how uncertain the hours are because the weight or the pit's aim was not
// noted: a standard deviation of ln(hours). The weight counts because it gives the half
// thickness, and hours are proportional to that.
func (j *State) Doubt() float64 {
	shape := 0.0
	for i := range j.Pieces {
		shape = math.Max(shape, j.Pieces[i].ShapeSD)
	}
	over := func(sd, usual float64) float64 { return math.Sqrt(math.Max(0, sd*sd-usual*usual)) }
	return math.Hypot(over(shape, UsualShape), perKelvin*over(j.Pit.SD, SDAimed))
}

// startOf returns when the meat went on: the entry, or else the first core reading; zero
// if neither is before now.
func startOf(c *journal.Cook, now time.Time) time.Time {
	if t, ok := c.OnAt(); ok {
		if t.After(now) {
			return time.Time{}
		}
		return t
	}
	var first time.Time
	for i := range max(1, len(c.Pieces)) {
		if r := c.CoreReadings(i); len(r) > 0 && !r[0].Time.After(now) && (first.IsZero() || r[0].Time.Before(first)) {
			first = r[0].Time
		}
	}
	return first
}

// around returns the properties of the air at the altitude in the settings, and sets
// height and transferSD.
func (w *Context) around(c *journal.Cook, j *State) heat.Air {
	j.height = w.Settings.Altitude
	j.height.Base = math.Max(-400, math.Min(5000, j.height.Base))
	j.transferSD = sdTransfer
	if !j.height.Known {
		// Most people live below 1,000 m, where air carries up to 6 % less heat.
		j.transferSD = math.Hypot(sdTransfer, .05)
		j.note("altitude not known; sea level is assumed")
	}
	// Vapour pressure in the pit, Pa (chosen: 5 kPa with a charcoal or wood fire, 1.5 in an
	// electric cabinet, 12 with a hot water pan). It hardly matters once the supply of
	// water limits drying.
	vapour := 5000.0
	if w.Pits[c.Pit].Kind == journal.Cabinet {
		vapour = 1500
	}
	pan := strings.ToLower(c.Pan)
	if strings.Contains(pan, "hot") || strings.Contains(pan, "boil") || strings.Contains(pan, "full") {
		vapour = 12000
	}
	return heat.Air{Pressure: thermo.Pressure(j.height.Base), Vapour: vapour}
}

// piece returns piece i as it was at now.
func (j *State) piece(i int, cut cut, now time.Time) Piece {
	var piece journal.Piece
	if i < len(j.Cook.Pieces) {
		piece = j.Cook.Pieces[i]
	}
	p := Piece{Name: piece.Name, ShapeSD: UsualShape, Target: cut.off}
	if t, ok := j.Cook.AimCore(now); ok {
		if t < 40 || t > 105 {
			j.note("a core aim of %s cannot be right; %s is used instead", j.Temp(t), j.Temp(cut.off))
		} else {
			p.Target = t
		}
	}
	if most := journal.HottestCore(j.height); p.Target > most {
		j.note("water boils at %s at this altitude, so no core reaches %s; the forecast is for %s", j.Temp(journal.BoilingPoint(j.height)), j.Temp(p.Target), j.Temp(most))
		p.Target = most
	}
	p.ByHours = cut.kind == byHours && p.Target >= tenderFrom
	kg, thick := j.size(&p, piece, cut)
	start := 5.0
	if piece.Core.Known && piece.Core.Base > coldestCore && piece.Core.Base < 60 {
		start = piece.Core.Base
	}
	if !j.On.IsZero() {
		j.follow(&p, i, now)
		if r := p.Readings; len(r) > 0 && r[0].H < 1./3 && r[0].C < 45 && !piece.Core.Known {
			start = r[0].C
		}
	}
	if lag := frozenFor(p.Readings); lag > 0 {
		j.note("the middle was frozen for the first %s; the forecast counts as if it had gone on that much later", measure.FormatHours(lag))
		p.thawed(lag)
		start = 0
		p.ShapeSD = math.Max(p.ShapeSD, .15)
	} else if start < .5 {
		// Ice in meat melts between −2 and 0 °C, so a probe at 0 °C is in partly frozen meat.
		j.note("the core was %s when it went on: partly frozen", j.Temp(start))
		start = math.Min(start, -.5)
		p.ShapeSD = math.Max(p.ShapeSD, .15)
	}
	p.Meat = cut.meat(kg, thick, start)
	return p
}

// size returns the weight of a piece, kg, and its thickness, m, or 0 if that is not
// known. It sets ShapeSD.
func (j *State) size(p *Piece, piece journal.Piece, cut cut) (kg, thick float64) {
	kg = cut.usualWeight
	switch w := piece.Weight(); {
	case !w.Known:
		j.note("no weight; %s a piece is assumed", j.Mass(kg))
		p.ShapeSD = .2
	case w.Base < lightest || w.Base > heaviest:
		j.note("a weight of %s cannot be right; %s is used instead", j.Mass(w.Base), j.Mass(kg))
		p.ShapeSD = .25
	default:
		kg = w.Base
	}
	if piece.Thick.Known {
		thick = piece.Thick.Base
		cube := math.Cbrt(kg / 1000 / cut.fill)
		if thick < thinnest || thick > thickest || thick > 1.25*cube {
			j.note("a thickness of %s does not fit %s; it is estimated from the weight instead", piece.Thick.Text, j.Mass(kg))
			thick = 0
			p.ShapeSD = math.Max(p.ShapeSD, .15)
		} else if p.ShapeSD < .15 {
			p.ShapeSD = .06
		}
	}
	return kg, thick
}

// frozenFor returns how long the core was at or below 1 °C after going on, h; 0 if it was
// not frozen.
func frozenFor(r []Reading) float64 {
	lag := 0.0
	for _, x := range r {
		if x.C > 1 {
			break
		}
		lag = x.H
	}
	return lag
}

// thawed makes a frozen piece start lag hours later.
func (p *Piece) thawed(lag float64) {
	p.Start += lag
	kept := p.Readings[:0]
	for _, x := range p.Readings {
		if x.H > lag {
			kept = append(kept, Reading{x.H - lag, x.C})
		}
	}
	p.Readings = kept
}

// follow sets what happened to a piece until now: when it went on, whether it is off or
// tender, and its readings.
func (j *State) follow(p *Piece, i int, now time.Time) {
	on := j.On
	for _, e := range j.Cook.Entries {
		for _, it := range e.Items {
			mine := it.Piece == "" || j.Cook.PieceIndex(it.Piece) == i
			switch {
			case !mine || e.Time.After(now):
			case it.Act == journal.On && it.Piece != "" && e.Time.After(on):
				on = e.Time
			case it.Act == journal.Feel && it.Grade == journal.Feel.TopGrade():
				p.Tender = true
			}
		}
	}
	p.Start = on.Sub(j.On).Hours()
	until := now
	if at, ok := j.Cook.OffAt(i); ok && !at.After(now) {
		p.Done, until = true, at
	}
	j.clean(p, j.Cook.CoreReadings(i), on, until)
}
