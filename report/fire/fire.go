// Package fire judges a fire by the pit readings: steady, low, choked, running away, out,
// or only a lid opened. It also says what to do first.
package fire

import (
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Kind is the state of a fire.
type Kind uint8

// The kinds.
const (
	Unknown Kind = iota // too few readings, or only a setting
	Steady
	Mending // below its aim and rising
	Lid     // a sharp dip that has not recovered yet, as from an open lid
	Low     // below its aim, falling slowly or steady
	Choked  // falling fast, or falling although it got air or fuel
	Runaway // above its aim and rising, or far above it
	Out     // falling towards the outdoor temperature
)

func (k Kind) String() string {
	return [...]string{"unknown", "steady", "coming back", "lid", "low", "choked", "running away", "out"}[k]
}

// Verdict is the state of a fire at one time.
type Verdict struct {
	Kind  Kind
	Since time.Time // when this state began; zero: not known
	// Says is the state and what to do first, without a full stop; "" for a state that
	// needs nothing done.
	Says string
	// Caution warns of what can hurt people in doing so; often "".
	Caution string
	// Alert is set if somebody should come, Wake if a sleeper should be woken. Neither is
	// set while a recent remedy has not had time to work.
	Alert, Wake bool
}

// Limits are the thresholds. All are chosen. They were checked with the probe series of an
// invented journal, whose fires sink by 1 to 2 K an hour and vary by 3 K, so that tended
// fires raise almost no alarm (TestSamplesDoNotCryWolf counts them).
//
// Note: requiring that a sudden fall goes below all readings of the two hours before, to
// ignore pits with a thermostat cycle, was tried. It delayed the alarm for a fire going out
// by ten minutes and avoided no alarm in two logged cabinet smokers.
type Limits struct {
	LowBy    float64       // K below the aim at which a falling fire is Low
	FarBy    float64       // K below the aim at which a steady fire is Low
	Hold     time.Duration // a pit must be low for this long, so that a gust is ignored
	WakeBy   float64       // K below the aim at which a sleeper is woken
	Ease     float64       // K an hour above which a pit counts as falling or rising
	DipBy    float64       // a fall of this many K within DipIn counts as a lid: brick falls 10 to 18 K, steel 25 to 40
	DipIn    time.Duration // see DipBy
	LidBack  time.Duration // time a pit takes to recover from an open lid: thick walls recover two thirds in 15 min
	DipAge   time.Duration // a dip older than this without recovery is not a lid
	Smoulder float64       // a fall of this many K an hour over Sudden is Choked
	Sudden   time.Duration // see Smoulder
	VentIn   time.Duration // time a moved vent takes to have an effect
	FuelIn   time.Duration // time cold fuel takes to catch fire
	ActFor   time.Duration // a fall this long after an act counts as its effect
	HotBy    float64       // K above the aim at which a rising fire is Runaway
	HotFar   float64       // K above the aim at which a steady fire is Runaway
	HotRise  float64       // K an hour above which a pit counts as rising, for HotBy
	OutBy    float64       // K below the aim at which a fire falling by OutFall is Out
	OutFall  float64       // K an hour; see OutBy
	OutShare float64       // (pit − outdoors) / (aim − outdoors) below which a fire is Out
	Fed      time.Duration // after this time without fuel the coals are checked first, if the person's habit is not known: the time one load of charcoal burns
	ReadOld  time.Duration // age at which a reading noted by hand is ignored
}

// Defaults returns the limits used.
func Defaults() Limits {
	return Limits{
		LowBy: 8, FarBy: 12, Hold: 10 * time.Minute, WakeBy: 15, Ease: 3,
		DipBy: 7, DipIn: 6 * time.Minute, LidBack: 35 * time.Minute, DipAge: 15 * time.Minute,
		Smoulder: 25, Sudden: 20 * time.Minute,
		VentIn: 20 * time.Minute, FuelIn: 25 * time.Minute, ActFor: 75 * time.Minute,
		HotBy: 10, HotFar: 18, HotRise: 8,
		OutBy: 25, OutFall: 12, OutShare: .6,
		Fed: 8 * time.Hour, ReadOld: 2 * time.Hour,
	}
}

// warmUp is the time after "on" in which the pit recovers from cold meat and the open lid.
const warmUp = 45 * time.Minute

// wanders is the number of standard deviations of the pit's own variation within which it
// counts as steady (chosen).
const wanders = 2.5

// usualAir is the outdoor temperature if none was noted, °C (chosen).
const usualAir = 10.0

// Read judges the fire of a cook at now, by what was noted and measured until then. Usual
// describes the person's own fires; its zero value means not known. The verdict is
// Unknown for a pit known only by its setting and for a probe that is Silent.
func Read(c *journal.Cook, p journal.Pit, usual Usual, now time.Time, l Limits, sys measure.System) Verdict {
	if p.Setting || !c.Running(now) {
		return Verdict{}
	}
	pit := c.PitReadings()
	if last, ok := journal.Last(pit, now); ok && last.Probe {
		if _, silent := Silent(pit, now); silent {
			return Verdict{}
		}
	}
	look := &look{Limits: l, cook: c, usual: usual, now: now, sys: sys, air: airOf(c, now), course: courseOf(pit, now), sticks: burnsSticks(c, p), aimWord: "aim"}
	if !look.findAim() {
		return Verdict{}
	}
	if usual.Back > 0 {
		look.LidBack = min(max(usual.Back, l.DipAge), 2*l.LidBack)
	}
	if s := wanders * look.course.strays(); s > look.LowBy {
		look.LowBy, look.FarBy, look.HotBy = s, s+look.FarBy-look.LowBy, max(s, look.HotBy)
	}
	look.findActs()
	if look.course.dense() {
		return look.probed()
	}
	return look.noted()
}

// look holds one fire that is being judged.
type look struct {
	Limits
	cook     *journal.Cook
	usual    Usual
	now      time.Time
	sys      measure.System
	aim, air float64 // °C
	aimWord  string  // "aim", or the words for the usual temperature if none was set
	course   course
	acts     []act
	on       time.Time // when the meat went on; zero: not yet
	aimMoved time.Time // when the setting last changed; zero: never
	sticks   bool      // wood is the fuel, and not only there for smoke
}

// act is something done that can change the pit temperature.
type act struct {
	at   time.Time
	do   journal.Act
	word string
	lid  bool // a lid or door was open for it
	air  bool // it should make the fire hotter: vents opened, fuel added
	fed  bool // the fire was lit, or fuel added
}

// burnsSticks reports whether wood is the fuel, not only for smoke.
func burnsSticks(c *journal.Cook, p journal.Pit) bool {
	return p.Kind == journal.Offset && c.Fuel.Kind == "" || mentions(c.Fuel.Kind, []string{"wood", "split", "splits", "log", "logs", "stick", "sticks"})
}

func airOf(c *journal.Cook, now time.Time) float64 {
	air, known := c.Weather.Air.Base, c.Weather.Air.Known
	for _, e := range c.Entries {
		if it, ok := e.Item(journal.ReadAir); ok && !e.Time.After(now) {
			air, known = it.Temp.Base, it.Temp.Known
		}
	}
	if !known {
		return usualAir
	}
	return air
}

// findActs collects what was done by now, oldest first.
func (l *look) findActs() {
	for _, e := range l.cook.Entries {
		if e.Time.After(l.now) {
			break
		}
		for _, it := range e.Items {
			a := act{at: e.Time, do: it.Act, word: it.Act.Word()}
			switch it.Act {
			case journal.On:
				a.lid = true
				if l.on.IsZero() {
					l.on = e.Time
				}
			case journal.Feel, journal.Bark: // the lid must be open for it
				a.lid = true
			case journal.Vent:
				a.air = l.opened(e, it)
			case journal.AddFuel:
				a.lid, a.air, a.fed = true, true, true
			case journal.AddWood:
				a.lid = true
				a.air, a.fed = l.sticks, l.sticks
			case journal.Lit:
				a.fed = true
			case journal.SetPit:
				l.aimMoved = e.Time
				continue
			default:
				if !it.Act.OpensPit() {
					continue
				}
				a.lid = true
			}
			l.acts = append(l.acts, a)
		}
	}
}

// opened reports whether a vent was moved to give more air: by the words noted, or else
// because the pit was below its aim.
func (l *look) opened(e journal.Entry, it journal.Item) bool {
	words := it.Detail + " " + e.Words
	switch {
	case mentions(words, closing):
		return false
	case mentions(words, opening):
		return true
	}
	aim, ok := l.cook.AimPit(e.Time)
	if !ok {
		aim = l.aim
	}
	if pit, ok := e.Item(journal.ReadPit); ok && pit.Temp.Known {
		return pit.Temp.Base < aim
	}
	level, ok := l.course.level(e.Time)
	return !ok || level < aim
}

// last returns the last act that matches; ok is false if none does.
func (l *look) last(want func(act) bool) (a act, ok bool) {
	for i := len(l.acts) - 1; i >= 0; i-- {
		if want(l.acts[i]) {
			return l.acts[i], true
		}
	}
	return act{}, false
}

// fresh returns the last remedy and when it should take effect; ok is false after that.
func (l *look) fresh() (a act, until time.Time, ok bool) {
	a, ok = l.last(func(a act) bool { return a.air })
	if !ok {
		return a, until, false
	}
	until = a.at.Add(l.VentIn)
	if a.do != journal.Vent {
		until = a.at.Add(l.FuelIn)
	}
	return a, until, l.now.Before(until)
}

// ownCourse is the least length of readings from which the usual pit temperature is taken
// if no aim was noted (chosen).
const ownCourse = 90 * time.Minute

// findAim sets the aim: the pit setting, or else the median of the last hours. Ok is false
// if neither is known.
func (l *look) findAim() (ok bool) {
	if l.aim, ok = l.cook.AimPit(l.now); ok {
		return true
	}
	on, started := l.cook.OnAt()
	s := l.course
	from := s.since(on.Add(warmUp))
	if n := len(s.at); !started || from == n || s.at[n-1].Sub(s.at[from]) < ownCourse {
		return false
	}
	l.aim, l.aimWord = median(s.c[from:]), "usual temperature"
	return true
}

// warming reports whether the pit is heating up or recovering from cold meat.
func (l *look) warming() bool {
	return l.on.IsZero() || l.now.Before(l.on.Add(warmUp))
}
