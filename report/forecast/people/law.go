// Package people says how many hours a cook has to go, from figures alone: what
// cooks of other people took, then what this person's own took.
//
// Three layers, each overruled by the next:
//
//   - People. Before a cook, its hours are those of its simulation, and a little.
//     From a core reading on they are scaled by the share of the time that is left
//     and, near the end, by the pace of the core, both of the cook as it would go on. What a wrap, or a change of the
//     pit's setting, makes of that is simulated and moves the middle alone, so that
//     neither a hotter pit nor an earlier wrap makes a cook later. The scatter is a
//     share of the time, what was not written down, and a floor in hours: people look
//     now and then and wait for guests.
//   - This person. How far the law was off on the person's own cooks is a normal
//     process over their moments (Person); its mean moves the law's, and how far
//     off it still was sets how wide the range is.
//   - This cook. Every reading starts the count again. The plan counts only by the
//     share of it that is left, so that one the core contradicts loses its say.
//
// The answer is one lognormal time from the last reading, cut off at the time
// that has passed since (Hours).
//
// The numbers were fitted on 70 cooks of 57 people (public notes), by maximum
// likelihood; fit.go prints them, README.md says what each chosen one pays.
package people

import "math"

// Table holds the fitted numbers of the law of people.
type Table struct {
	Level   float64 // ln of the hours a cook takes over those of its simulation
	Raise   float64 // on ln of what a change of the pit's setting makes of the time
	Scatter float64 // of ln hours before a cook
	Begun   float64 // of ln(to go/whole) once a reading says more than the plan; see beginning
	Gone    float64 // on ln of the share of the time that is left
	Pace    float64 // on ln(pace/usual), at the end; see paceFrom
	Floor   float64 // h, scatter of the decision to take it off
}

// fitted is printed by fit.go.
var fitted = Table{Level: .020, Scatter: .252, Raise: .307, Begun: -.548, Gone: .590, Pace: .839, Floor: 1.670}

// Fitted is the law in force.
func Fitted() Table { return fitted }

// Chosen; fullWay is a cook from 5 to 94 °C, soonest and overrun keep figures finite.
const (
	fullWay   = 89.0 // K
	soonest   = .05  // h
	overrun   = 3.0  // spreads
	beginning = 30.0 // K of the way until a reading says more than the plan
	paceFrom  = 40.0 // K to go at which the pace of a core begins to tell, and tells more as it goes on: a stall may begin or end
	farthest  = 1.0  // of ln hours: no pace is believed to take longer over the law, nor a simulation to be farther from it
	leastGo   = .1   // share of the time that is left at the least
	look      = .25  // h from one look to the next: what is tender is lifted then, and a time to go is known to it
)

// Moment is what is known of a cook at one moment.
type Moment struct {
	Physics float64 // h the simulation gives the whole cook, readings of the core not looked at; once one was read, without the changes of Wrap and Raise
	Plan    float64 // ln of what the planned pit, and before a reading the planned wrap, make of Physics against a usual pit and none
	Wrap    float64 // ln of what wraps since the last reading and to come make of the hours to go, by the simulation
	Raise   float64 // the same of changes of the pit's setting
	Bird    bool
	Doubt   float64 // spread of ln hours from what was not written down: a weight, a pit
	Read    bool    // a core was read
	Left    float64 // K still to go by the coldest piece at its last reading
	At      float64 // h on at that reading; 0 when none was read
	Since   float64 // h from then to now
	Pace    float64 // h to go from now if the core goes on as it last went; 0 = not known

	// What else a person's own cooks may be off by.
	Cut     string  // whose range the person's own cooks of it tell
	Setting bool    // the pit is known by its setting only
	Kg      float64 // of the heaviest piece
	Fitted  float64 // h to go from now by the simulation fitted to the readings, without the changes of Wrap and Raise; 0 = not known
	Tender  bool    // all that is on is tender
}

// Law is a normal distribution of ln hours, from the last reading.
type Law struct{ Mean, SD float64 }

// Law is what people's cooks say of m.
func (m *Moment) Law() Law { return fitted.Law(m) }

// Law is what a table says of m.
func (t *Table) Law(m *Moment) Law {
	l := t.goingOn(m)
	l.Mean += m.Wrap + t.Raise*m.Raise
	return l
}

// goingOn is the law without what Wrap and Raise change: its spread does not hang on
// them, and no more does what a person's cooks add to it, but for the share of the plan.
func (t *Table) goingOn(m *Moment) Law {
	whole := t.whole(m)
	mean := math.Log(whole)
	if !m.Read {
		return Law{mean, math.Hypot(t.Scatter, m.Doubt)}
	}
	mean += t.Begun*math.Max(0, math.Min(1, (fullWay-m.Left)/beginning)) + t.Gone*m.gone(whole) + t.Pace*t.pace(m, whole)
	return Law{mean, math.Sqrt(t.Scatter*t.Scatter + m.Doubt*m.Doubt + math.Log1p(math.Pow(t.Floor/math.Exp(mean), 2)))}
}

// whole is the middle of the whole time before a reading, h.
func (t *Table) whole(m *Moment) float64 {
	return math.Exp(t.Level) * math.Max(m.Physics, soonest)
}

// left is ln of the way still to go, 0 at the start of a cook.
func (m *Moment) left() float64 { return math.Log((math.Max(0, m.Left) + 1) / (fullWay + 1)) }

// gone is ln of the share of the whole time that is left.
func (m *Moment) gone(whole float64) float64 { return math.Log(math.Max(leastGo, 1-m.At/whole)) }

// pace is ln of the time to go by the pace of the core over a usual one from there,
// which falls with the way still to go as with the share of the time that is left. It
// fades with the way. A core that stands gives no endless time.
func (t *Table) pace(m *Moment, whole float64) float64 {
	if m.Pace <= 0 {
		return 0
	}
	over := math.Log(math.Max(m.Pace+m.Since, soonest)/whole) - t.Gone*m.left()
	return math.Min(over, farthest) * math.Max(0, 1-math.Max(0, m.Left)/paceFrom)
}

func clamp(x, most float64) float64 { return math.Max(-most, math.Min(most, x)) }

// Hours is a time to go: lognormal from the last reading, given that it is not
// over after Since.
type Hours struct {
	Law
	Since float64 // h
}

// Quantile is the time to go that q of all cases are under, h; q between 0 and
// 1. A law that the time has overrun by more than overrun spreads is taken to be
// overrun by no more.
func (h Hours) Quantile(q float64) float64 {
	least := soonest * (1 + q)
	if h.Since <= 0 {
		return math.Max(least, math.Exp(h.Mean+h.SD*math.Sqrt2*math.Erfcinv(2*(1-q))))
	}
	z := (math.Log(h.Since) - h.Mean) / h.SD
	mean := h.Mean
	if z > overrun {
		mean, z = math.Log(h.Since)-overrun*h.SD, overrun
	}
	still := math.Erfc(z/math.Sqrt2) / 2
	return math.Max(least, math.Exp(mean+h.SD*math.Sqrt2*math.Erfcinv(2*still*(1-q)))-h.Since)
}
