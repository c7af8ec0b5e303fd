// Package people gives the hours to go of a cook from a few numbers: first from how
// long other people's cooks took, then corrected by how long the person's own took.
//
// It has three layers, each correcting the one before:
//
//   - People. Before a cook, the hours are the simulated hours times a constant. From
//     a core reading on, they are multiplied by the share of the time that is left
//     and, near the end, by the pace of the core, both without changes of wrap and pit
//     setting. The effect of such a change is simulated and added to the mean alone,
//     so that neither a hotter pit nor an earlier wrap makes a cook later. The
//     standard deviation has three parts: a share of the time, the doubt from things
//     not noted, and a fixed part in hours, since people look only now and then and
//     wait for guests.
//   - This person. The errors that the first layer makes on the person's own cooks are
//     modelled as a Gaussian process (Person): similar moments have similar errors.
//     Its mean corrects the forecast; the errors that are left set the width of the
//     range.
//   - This cook. Hours count from the last reading. The plan has the weight of the
//     share of its time that is left, so it loses weight if the core contradicts it.
//
// The result is a lognormal time from the last reading, given that it is longer than the
// time since then (Hours).
//
// The numbers were fitted on 70 cooks of 57 people (public notes) by maximum likelihood;
// fit.go prints them, README.md says what each chosen one gains.
package people

import "math"

// Table holds the fitted numbers of the law. All but Floor are without unit.
type Table struct {
	Level   float64 // ln(hours of a cook / its simulated hours)
	Raise   float64 // factor on Moment.Raise
	Scatter float64 // standard deviation of ln(hours) before a cook
	Begun   float64 // added to ln(hours to go) once the core is beginning K above its start; in part before that
	Gone    float64 // factor on ln(share of the time that is left)
	Pace    float64 // factor on ln(pace/usual) at the end; see paceFrom
	Floor   float64 // h, standard deviation of when people decide to take it off
}

// fitted is printed by fit.go.
var fitted = Table{Level: .020, Scatter: .252, Raise: .307, Begun: -.548, Gone: .590, Pace: .839, Floor: 1.670}

// FittedOn is the number of people on whose cooks the table was fitted.
const FittedOn = 57

// Fitted returns the numbers in use.
func Fitted() Table { return fitted }

// Chosen constants. fullWay is the rise of a core from 5 to 94 °C; soonest and overrun
// keep results finite.
const (
	fullWay   = 89.0 // K
	soonest   = .05  // h
	overrun   = 3.0  // standard deviations
	beginning = 30.0 // K above the start at which a reading fully replaces the plan
	paceFrom  = 40.0 // K to go at which the pace begins to count; with more to go, a stall may still begin or end
	farthest  = 1.0  // ln hours: greatest excess of a pace over the law, and difference of a simulation from it
	leastGo   = .1   // least share of the time that is left
	look      = .25  // h between two looks at the meat: tender meat comes off at the next look, so lessons are no more exact than this
)

// Moment is what is known about a cook at one time.
type Moment struct {
	Physics float64 // simulated length of the whole cook, h, ignoring core readings; after a reading, without the changes in Wrap and Raise
	Plan    float64 // ln(Physics/usual), where usual is the length simulated in the usual pit and, before a reading, without a wrap
	Wrap    float64 // ln of the simulated factor by which wraps change the hours to go: those since the last reading and those to come
	Raise   float64 // like Wrap, for changes of the pit setting
	Bird    bool    // poultry
	Doubt   float64 // standard deviation of ln hours due to what was not noted: weight, pit
	Read    bool    // there is a core reading
	Left    float64 // K to go of the coldest piece at its last reading
	At      float64 // h from going on to that reading; 0 without one
	Since   float64 // h from that reading to now
	Pace    float64 // h to go from now if the core rises as between its last readings; 0: not known

	// The rest is used only for the person's own cooks.
	Cut     string  // cooks of the same cut set the width of the range
	Setting bool    // the pit is only known by its setting
	Kg      float64 // weight of the heaviest piece
	Fitted  float64 // h to go from now by the simulation fitted to the readings, without the changes in Wrap and Raise; 0: not known
	Tender  bool    // every piece still on is tender
}

// Law is a normal distribution of ln(hours), counted from the last reading.
type Law struct{ Mean, SD float64 }

// Law returns the distribution for m that people's cooks give.
func (m *Moment) Law() Law { return fitted.Law(m) }

// Law returns the distribution for m that a table gives.
func (t *Table) Law(m *Moment) Law {
	l := t.goingOn(m)
	l.Mean += m.Wrap + t.Raise*m.Raise
	return l
}

// goingOn returns the Law as if Wrap and Raise were 0. They do not change its standard
// deviation.
func (t *Table) goingOn(m *Moment) Law {
	whole := t.whole(m)
	mean := math.Log(whole)
	if !m.Read {
		return Law{mean, math.Hypot(t.Scatter, m.Doubt)}
	}
	mean += t.Begun*math.Max(0, math.Min(1, (fullWay-m.Left)/beginning)) + t.Gone*m.gone(whole) + t.Pace*t.pace(m, whole)
	return Law{mean, math.Sqrt(t.Scatter*t.Scatter + m.Doubt*m.Doubt + math.Log1p(math.Pow(t.Floor/math.Exp(mean), 2)))}
}

// whole returns the median length of a cook before any reading, h.
func (t *Table) whole(m *Moment) float64 {
	return math.Exp(t.Level) * math.Max(m.Physics, soonest)
}

// left returns ln of the share of the core's rise, in kelvins, that is left; 0 at the
// start.
func (m *Moment) left() float64 { return math.Log((math.Max(0, m.Left) + 1) / (fullWay + 1)) }

// gone returns ln(share of the time that is left).
func (m *Moment) gone(whole float64) float64 { return math.Log(math.Max(leastGo, 1-m.At/whole)) }

// pace returns ln(hours to go at the pace of the core / hours usual from this core). It
// counts less the further the core has to rise, and is at most farthest.
func (t *Table) pace(m *Moment, whole float64) float64 {
	if m.Pace <= 0 {
		return 0
	}
	over := math.Log(math.Max(m.Pace+m.Since, soonest)/whole) - t.Gone*m.left()
	return math.Min(over, farthest) * math.Max(0, 1-math.Max(0, m.Left)/paceFrom)
}

func clamp(x, most float64) float64 { return math.Max(-most, math.Min(most, x)) }

// Hours is the distribution of the hours to go: lognormal from the last reading, given
// that it is longer than Since.
type Hours struct {
	Law
	Since float64 // h
}

// Quantile returns the time to go, h, that is not exceeded with probability q, between
// 0 and 1. If Since is more than overrun standard deviations above the mean, the mean
// is raised until it is exactly that far below Since.
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
