// Package forecast says when a cook will be done and how sure that is. How long
// it takes and how wide the range is comes from what people's cooks took, then
// the person's own (package people); the simulation of the meat in its pit
// (package model) gives the law of people the length of the plan, and the shape
// of the course and the effect of a change.
package forecast

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/forecast/people"
	"ashbook/report/numeric/fit"
)

// Range is a span of hours that holds the truth in 8 of 10 cases, with its
// middle.
type Range struct {
	Lo, Mid, Hi float64 // h
}

// Forecast is what is expected of one cook at one moment.
type Forecast struct {
	At      time.Time // the moment; zero: before the cook
	On      time.Time // when the first piece went on; zero: not yet
	Elapsed float64   // h on by then
	// ToGo counts from At, or from going on before the cook, to the last piece
	// off. Zero once all is off.
	ToGo   Range
	Done   bool      // all pieces are off
	Sample []float64 // h to go at the 1, 3, 5 … 99 % points, for scoring
	// MayNotReach is the share of simulated courses in which some piece did not
	// reach its target within 48 h of going on, 0 to 1. From OpenEnd on the
	// upper end of ToGo is not to be told as a time.
	MayNotReach float64
	OpenEnd     bool
	Pieces      []PieceForecast
	Stall       Stall
	// Engine is the simulation alone, People what other people's cooks took, Alike
	// what the person's look-alikes took (Cooks = 0: none).
	Engine    float64 // h to go
	People    float64 // h to go
	Alike     LookAlike
	PastCooks int     // cooks learned from
	OwnOnPit  int     // of them on this pit
	Readings  int     // core readings used
	Pit       float64 // °C expected from now on
	Loss      float64 // share of the weight lost by the end, ± .05; 0 when unknown
	Band      []BandPoint
	Reasons   []string // plain sentences, most telling first
	Notes     []string // what was missing, doubted or left out
}

// PieceForecast is the same for one piece; the cook comes off with its last.
type PieceForecast struct {
	Name   string
	Target float64 // °C
	Core   float64 // last reading, °C; see Read
	Read   bool    // a core was read
	Off    bool
	Hours  float64 // to go, middle; 0 when off
}

// BandPoint is the expected core of the slowest piece at one moment.
type BandPoint = model.BandPoint

// Forecaster forecasts with what it learned; get one from Experience. The zero
// Forecaster knows no cooks and no pits. It may be used from several
// goroutines.
type Forecaster struct {
	past   []journal.Cook
	taught []taught // as long as past
	world  model.Context
	person *people.Person
}

// draws from the fitted parameters tell whether the core may not get there.
const draws = 40

// Plan forecasts a cook that has not gone on.
func (f *Forecaster) Plan(c *journal.Cook) Forecast {
	return f.forecast(f.world.Read(c, time.Time{}), time.Time{})
}

// At forecasts a cook as it was at now, from what was written down by then:
// later entries and readings are not looked at.
func (f *Forecaster) At(c *journal.Cook, now time.Time) Forecast {
	return f.forecast(f.world.Read(c, now), now)
}

// Hours is At, and where now is zero Plan, but of the hours alone: MayNotReach,
// OpenEnd, Pieces' hours, Stall, Loss, Band and Reasons are left out, which is most
// of the work.
func (f *Forecaster) Hours(c *journal.Cook, now time.Time) Forecast {
	out, _ := f.hours(f.world.Read(c, now), now)
	return out
}

// Ends is Hours and whether the end is open: At without what only one who looks at
// that moment needs, which is half of the work.
func (f *Forecaster) Ends(c *journal.Cook, now time.Time) Forecast {
	out, e := f.hours(f.world.Read(c, now), now)
	if !out.Done {
		out.ends(e)
	}
	return out
}

// fitted is the simulation of a cook fitted to its readings.
type fitted struct {
	*model.Engine
	post    fit.Posterior
	reached bool // it comes to an end
}

// hours works out how long a job has to go; of what is done nothing is fitted.
func (f *Forecaster) hours(j *model.State, now time.Time) (Forecast, fitted) {
	out := Forecast{At: now, On: j.On, Elapsed: j.Elapsed, PastCooks: len(f.past), OwnOnPit: f.ownOn(j.Cook.Pit), Pit: j.Pit.Future}
	if j.On.IsZero() {
		out.At = time.Time{}
	}
	out.Done = true
	for i := range j.Pieces {
		p := &j.Pieces[i]
		out.Done = out.Done && p.Done
		out.Readings += len(p.Readings)
		last, ok := p.Last()
		out.Pieces = append(out.Pieces, PieceForecast{Name: p.Name, Target: p.Target, Core: last.C, Read: ok, Off: p.Done})
	}
	out.Notes = j.Notes
	if out.Done {
		return out, fitted{}
	}
	e := fitted{Engine: model.New(j)}
	e.post = e.Fit()
	engine, reached := e.Point(e.post)
	e.reached = reached
	out.Engine = math.Max(engine, model.Soonest)
	m := momentOf(j, e.Engine, e.post)
	out.People = people.Hours{Law: m.Law(), Since: m.Since}.Quantile(.5)
	out.Alike = f.alike(&m)
	out.fill(f.person.Hours(&m))
	return out, e
}

// forecast works a job out; now is zero before the cook.
func (f *Forecaster) forecast(j *model.State, now time.Time) Forecast {
	out, e := f.hours(j, now)
	if out.Done {
		return out
	}
	out.ends(e)
	for i := range out.Pieces {
		if p := &out.Pieces[i]; !p.Off {
			h, _ := e.Remaining(e.Curve(e.post.Mean, i, p.Target, 0, model.MaxSteps), i, 0)
			p.Hours = math.Min(out.ToGo.Mid, math.Max(model.Soonest, h)*out.ToGo.Mid/out.Engine)
		}
	}
	out.Loss = e.Loss(e.post)
	out.Band = e.Band(e.post, out.ToGo.Mid/out.Engine)
	out.Stall = f.stall(j, now)
	out.Reasons = f.reasons(j, &out, e.Factors(e.post.Mean, 0))
	return out
}

// ends sets how likely the cook is not to come to an end.
func (out *Forecast) ends(e fitted) {
	out.MayNotReach = e.Misses(e.post, draws)
	out.OpenEnd = out.MayNotReach > .1 || !e.reached
}

// fill sets range and sample.
func (out *Forecast) fill(h people.Hours) {
	const points = 50
	for i := range points {
		out.Sample = append(out.Sample, h.Quantile((float64(i)+.5)/points))
	}
	out.ToGo = rangeOf(h)
}

// Moment is what the law of people is asked of a cook as it was at now; a zero
// now is before it.
func (f *Forecaster) Moment(c *journal.Cook, now time.Time) people.Moment {
	j := f.world.Read(c, now)
	e := model.New(j)
	return momentOf(j, e, e.Fit())
}

// Person is what the person's own cooks teach; nil when none is known.
func (f *Forecaster) Person() *people.Person { return f.person }

// Units are those of the reader.
func (f *Forecaster) Units() measure.System { return f.world.Settings.Units }

// tender reports whether every piece still on is tender.
func tender(j *model.State) bool {
	for i := range j.Pieces {
		if p := &j.Pieces[i]; !p.Done && !p.Tender {
			return false
		}
	}
	return true
}

// ownOn counts the past cooks on a pit.
func (f *Forecaster) ownOn(pit string) int {
	n := 0
	for i := range f.past {
		if f.past[i].Pit == pit {
			n++
		}
	}
	return n
}
