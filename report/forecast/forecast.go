// Package forecast says when a cook will be done and how sure that is: physics
// of the meat in its pit, fitted to the readings of the cook, corrected by
// what the person's own cooks taught, blended with how long those took from a
// like moment, with the plan, and with the pace of the core.
package forecast

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/score"
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
	// Engine is the simulation alone, Corrected with the person's own cooks
	// taken into account, Alike what their look-alikes say (Cooks = 0: none).
	Engine    float64   // h to go
	Corrected float64   // h to go
	Alike     LookAlike // h to go
	Weight    float64   // share of Corrected in the blend, 0 to 1; the rest is Alike, the plan, hours per kg and the last pace
	PastCooks int       // cooks learned from
	OwnOnPit  int       // of them on this pit
	Readings  int       // core readings used
	Pit       float64   // °C expected from now on
	Loss      float64   // share of the weight lost by the end, ± .05; 0 when unknown
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
	past       []journal.Cook
	taught     []taught // as long as past
	world      model.Context
	correction *correction
	judged     []judged
}

// Draws from the fitted parameters; a cook of many pieces takes fewer, so that
// a forecast stays within its time.
const draws = 200

// Plan forecasts a cook that has not gone on.
func (f *Forecaster) Plan(c *journal.Cook) Forecast {
	return f.forecast(f.world.Read(c, time.Time{}), time.Time{})
}

// At forecasts a cook as it stood at now, from what was written down by then:
// later entries and readings are not looked at.
func (f *Forecaster) At(c *journal.Cook, now time.Time) Forecast {
	return f.forecast(f.world.Read(c, now), now)
}

// forecast works a job out; now is zero before the cook.
func (f *Forecaster) forecast(j *model.State, now time.Time) Forecast {
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
	if out.Done {
		out.Notes = j.Notes
		return out
	}
	e := model.New(j)
	post := e.Fit()
	engine, reached := e.Point(post)
	engine = math.Max(engine, model.Soonest)
	out.Engine = engine
	sample, never := e.Ensemble(post, max(40, draws/min(model.MostPieces, len(j.Pieces))))
	out.MayNotReach = never

	s := situationOf(j, engine)
	s.feel = e.Feel(post)
	mean, _ := f.correct(s)
	out.Corrected = engine * math.Exp(mean)
	centre, sd, weights, alike := f.blend(s, model.LogSpread(sample), f.planned(j))
	if tender(j) {
		// All that are on are tender: it comes off when someone lifts it.
		centre, sd = math.Log(.25), .8
	}
	out.Alike, out.Weight = alike, weights[byEngine]
	out.fill(centre, sd)
	out.OpenEnd = never > .1 || !reached
	for i := range out.Pieces {
		if p := &out.Pieces[i]; !p.Off {
			h, _ := e.Remaining(e.Curve(post.Mean, i, p.Target, 0, model.MaxSteps), i, p.Target)
			p.Hours = math.Min(out.ToGo.Mid, math.Max(model.Soonest, h)*out.ToGo.Mid/engine)
		}
	}
	out.Loss = e.Loss(post)
	out.Band = e.Band(post, out.ToGo.Mid/engine)
	out.Stall = f.stall(j, now)
	out.Reasons = f.reasons(j, &out, e.Factors(post.Mean, 0))
	out.Notes = j.Notes
	return out
}

// fill sets range and sample of a lognormal time to go.
func (out *Forecast) fill(centre, sd float64) {
	centre = math.Max(math.Log(.05), math.Min(math.Log(3*model.Longest), centre))
	const points = 50
	for i := range points {
		q := (float64(i) + .5) / points
		out.Sample = append(out.Sample, math.Exp(centre+sd*math.Sqrt2*math.Erfinv(2*q-1)))
	}
	out.ToGo = Range{score.SortedQuantile(out.Sample, .1), math.Exp(centre), score.SortedQuantile(out.Sample, .9)}
}

// plan is the whole time that was expected when a running cook went on.
type plan struct {
	hours float64 // 0: none
	sd    float64 // of ln hours
}

// planned is empty when the engine sees no end, or nothing is on.
func (f *Forecaster) planned(running *model.State) plan {
	if running.On.IsZero() {
		return plan{}
	}
	j := f.world.Read(running.Cook, running.On)
	e := model.New(j)
	post := e.Fit()
	hours, ok := e.Point(post)
	if !ok {
		return plan{}
	}
	s := situationOf(j, hours)
	s.feel = e.Feel(post)
	mean, _ := f.correct(s)
	// Time goes about with the thickness and falls by 2 % a kelvin of pit; what
	// past cooks scatter holds the doubt of a plan with weight and aim.
	thickness := 0.0
	for i := range j.Pieces {
		thickness = math.Max(thickness, j.Pieces[i].ShapeSD-model.UsualShape)
	}
	pit := .02 * math.Max(0, j.Pit.SD-model.SDAimed)
	return plan{hours * math.Exp(mean), math.Hypot(math.Hypot(sigmaCook, thickness), pit)}
}

// tender reports whether every piece still on is tender.
func tender(j *model.State) bool {
	for i := range j.Pieces {
		if p := &j.Pieces[i]; !p.Done && !p.Tender {
			return false
		}
	}
	return true
}
