// Package forecast says when a cook will be done and with what range. The hours come from
// how long other people's cooks took, then from the person's own (package people). The
// simulation of the meat in its pit (package model) gives the length of the plan, the
// shape of the core curve and the effect of changes.
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

// Range is the 10th, 50th and 90th percentile of a time.
type Range struct {
	Lo, Mid, Hi float64 // h
}

// Forecast is the forecast of one cook at one time.
type Forecast struct {
	At      time.Time // the time for which it is made; zero: before the cook
	On      time.Time // when the first piece went on; zero: not yet
	Elapsed float64   // h from On to At
	// ToGo is the time from At, or before the cook from going on, until the last piece
	// is off. It is zero once all pieces are off.
	ToGo   Range
	Done   bool      // all pieces are off
	Sample []float64 // hours to go at the percentiles 1, 3, 5 … 99, for scoring
	// MayNotReach is the share of simulations, 0 to 1, in which a piece does not reach
	// its target within Longest. With OpenEnd set, ToGo.Hi must not be shown as a time.
	MayNotReach float64
	OpenEnd     bool
	Pieces      []PieceForecast
	Stall       Stall
	// The hours to go by three methods: Engine, from the simulation alone; People, from
	// other people's cooks; Alike, from the person's own cooks at a similar core (Cooks
	// is 0 if there are none).
	Engine    float64
	People    float64
	Alike     LookAlike
	PastCooks int     // cooks learned from
	OwnOnPit  int     // how many of PastCooks were on this pit
	Readings  int     // core readings used
	Pit       float64 // expected pit temperature from now on, °C
	Loss      float64 // share of the weight lost by the end, 0 to 1, ± .05; 0: not known
	Band      []BandPoint
	Reasons   []string // sentences, most important first
	Notes     []string // what was missing, doubted or ignored
}

// PieceForecast is the forecast of one piece.
type PieceForecast struct {
	Name   string
	Target float64 // core at which it comes off, °C
	Core   float64 // last reading, °C; valid if Read
	Read   bool    // there is a reading
	Off    bool
	Hours  float64 // median time to go, h; 0 if off
}

// BandPoint is the expected core of the slowest piece at one time.
type BandPoint = model.BandPoint

// Forecaster makes forecasts from past cooks; Experience returns one. The zero Forecaster
// has no cooks and no pits. It is safe for concurrent use.
type Forecaster struct {
	past   []journal.Cook
	taught []taught // one entry for each cook of past
	world  model.Context
	person *people.Person
}

// draws is the number of simulations for MayNotReach.
const draws = 40

// Plan returns the forecast of a cook before it goes on.
func (f *Forecaster) Plan(c *journal.Cook) Forecast {
	return f.forecast(f.world.Read(c, time.Time{}), time.Time{})
}

// At returns the forecast of a cook at now. Later entries and readings are ignored.
func (f *Forecaster) At(c *journal.Cook, now time.Time) Forecast {
	return f.forecast(f.world.Read(c, now), now)
}

// Hours returns the same as At, or as Plan if now is zero, but leaves out what takes
// most of the work: MayNotReach, OpenEnd, PieceForecast.Hours, Stall, Loss, Band and
// Reasons.
func (f *Forecaster) Hours(c *journal.Cook, now time.Time) Forecast {
	out, _ := f.hours(f.world.Read(c, now), now)
	return out
}

// Ends returns what Hours does, and MayNotReach and OpenEnd. It takes half as long as
// At.
func (f *Forecaster) Ends(c *journal.Cook, now time.Time) Forecast {
	out, e := f.hours(f.world.Read(c, now), now)
	if !out.Done {
		out.ends(e)
	}
	return out
}

// fitted is a simulation fitted to the readings.
type fitted struct {
	*model.Engine
	post    fit.Posterior
	reached bool // the cook ends within Longest
}

// hours returns the hours to go, and the fitted simulation, which is the zero value if
// all pieces are off.
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

// forecast returns the whole forecast; now is zero before the cook.
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

// ends sets MayNotReach and OpenEnd.
func (out *Forecast) ends(e fitted) {
	out.MayNotReach = e.Misses(e.post, draws)
	out.OpenEnd = out.MayNotReach > .1 || !e.reached
}

// fill sets ToGo and Sample.
func (out *Forecast) fill(h people.Hours) {
	const points = 50
	for i := range points {
		out.Sample = append(out.Sample, h.Quantile((float64(i)+.5)/points))
	}
	out.ToGo = rangeOf(h)
}

// Moment returns what package people needs to forecast a cook at now; a zero now means
// before the cook.
func (f *Forecaster) Moment(c *journal.Cook, now time.Time) people.Moment {
	j := f.world.Read(c, now)
	e := model.New(j)
	return momentOf(j, e, e.Fit())
}

// Common returns the correlation of the hours of cooks that have not begun, which is what
// the person does to all of them: 0 to 1.
func (f *Forecaster) Common(cooks []*journal.Cook) [][]float64 {
	moments, sd := make([]people.Moment, len(cooks)), make([]float64, len(cooks))
	out := make([][]float64, len(cooks))
	for i, c := range cooks {
		moments[i] = f.Moment(c, time.Time{})
		sd[i] = f.person.Hours(&moments[i]).SD
		out[i] = make([]float64, len(cooks))
		for k := range i + 1 {
			out[i][k] = math.Min(1, f.person.Common(&moments[i], &moments[k])/(sd[i]*sd[k]))
			out[k][i] = out[i][k]
		}
		out[i][i] = 1
	}
	return out
}

// Person returns what is learned from the person's own cooks; nil if there are none.
func (f *Forecaster) Person() *people.Person { return f.person }

// Units returns the units to print in.
func (f *Forecaster) Units() measure.System { return f.world.Settings.Units }

// tender reports whether every piece that is still on is tender.
func tender(j *model.State) bool {
	for i := range j.Pieces {
		if p := &j.Pieces[i]; !p.Done && !p.Tender {
			return false
		}
	}
	return true
}

// ownOn counts past cooks on a pit.
func (f *Forecaster) ownOn(pit string) int {
	n := 0
	for i := range f.past {
		if f.past[i].Pit == pit {
			n++
		}
	}
	return n
}
