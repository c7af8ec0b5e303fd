package main

import (
	"fmt"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/course"
	"ashbook/report/fire"
	"ashbook/report/forecast"
	"ashbook/report/page"
	"ashbook/tui/backend"
)

// experience replays the finished cooks, which takes some 10 ms each.
func experience(j *app.App, progress func(done, of int)) *forecast.Experience {
	return forecast.Learn(j.Past(), j.Pits(), j.Settings(), progress)
}

// forecaster knows the cooks that were over before this one began.
func forecaster(x *forecast.Experience, c *journal.Cook) *forecast.Forecaster {
	began, ok := c.OnAt()
	if !ok {
		return x.All()
	}
	return x.Where(func(o *journal.Cook) bool {
		off, _ := o.Finish()
		return o.ID != c.ID && !off.After(began)
	})
}

// comesOff is a forecast as times of day.
type comesOff struct {
	forecast.Forecast
	Early, Likely, Late time.Time
}

// forecastOf says when a cook comes off, from the notes up to now; ok is false
// when it is off, or not on and nothing says when it will be.
func forecastOf(x *forecast.Experience, c *journal.Cook, now time.Time) (comesOff, bool) {
	if _, on := c.OnAt(); !on {
		return comesOff{}, false
	}
	f := forecaster(x, c).At(c, now)
	if f.Done {
		return comesOff{}, false
	}
	return timed(f, now), true
}

func timed(f forecast.Forecast, now time.Time) comesOff {
	early, likely, late := times(f.ToGo, now)
	return comesOff{f, early, likely, late}
}

// times turns hours to go into times, to ten minutes: the range is never sure
// to the minute.
func times(r forecast.Range, now time.Time) (early, likely, late time.Time) {
	at := func(h float64) time.Time {
		t := now.Add(time.Duration(h * float64(time.Hour))).Round(10 * time.Minute)
		if t.Before(now) {
			return now
		}
		return t
	}
	return at(r.Lo), at(r.Mid), at(r.Hi)
}

// shortestRest is how long before the meal a cook must be off to be rested and
// pulled. Common practice, no source.
const shortestRest = 45 * time.Minute

// meal says what a forecast means for the serving hour.
func (o comesOff) meal(serve time.Time) (string, backend.Tone) {
	if serve.IsZero() {
		return "", backend.Even
	}
	latest := serve.Add(-shortestRest)
	clock := serve.Format("15:04")
	switch {
	case o.Early.After(latest):
		return "meal " + clock + ": late", backend.Bad
	case o.OpenEnd || o.Late.After(latest):
		return "meal " + clock + ": may be late", backend.Careful
	}
	return fmt.Sprintf("meal %s: in time, hold %s", clock, baseline.Range(serve.Sub(o.Late).Hours(), serve.Sub(o.Early).Hours())), backend.Good
}

// expected is the forecast as the screens show it.
func expected(x *forecast.Experience, c *journal.Cook, now time.Time) backend.Forecast {
	_, on := c.OnAt()
	if !on {
		plan := x.All().Plan(c)
		return backend.Forecast{From: "once on " + baseline.Range(plan.ToGo.Lo, plan.ToGo.Hi) + ", " + restsOn(plan)}
	}
	know := forecaster(x, c)
	f := know.At(c, now)
	if f.Done {
		return backend.Forecast{}
	}
	off := timed(f, now)
	out := backend.Forecast{Early: off.Early, Likely: off.Likely, Late: off.Late, Open: off.OpenEnd, From: restsOn(f)}
	out.Meal, out.MealTone = off.meal(c.Serve)
	if f.Stall.Cooks > 0 {
		out.Stall = "yours " + baseline.Range(f.Stall.Usual.Lo, f.Stall.Usual.Hi)
	}
	for _, b := range f.Band {
		out.Band = append(out.Band, course.Expected{Time: off.On.Add(time.Duration(b.Hours * float64(time.Hour))), Low: b.Lo, High: b.Hi})
	}
	for _, h := range f.Sample {
		out.Off = append(out.Off, now.Add(time.Duration(h*float64(time.Hour))))
	}
	for _, alt := range know.WhatIf(c, now, f) {
		early, likely, late := times(alt.ToGo, now)
		out.Choices = append(out.Choices, backend.Choice{
			Name: alt.Name, Early: early, Likely: likely, Late: late, Open: alt.OpenEnd,
			Saves: time.Duration(alt.Saves * float64(time.Hour)).Round(10 * time.Minute), Note: alt.Note,
		})
	}
	return out
}

// watched adds what the night watch wants to know: how the fire does, and which
// probes have stopped.
func watched(out backend.Forecast, c *journal.Cook, p journal.Pit, usual fire.Usual, now time.Time, sys measure.System) backend.Forecast {
	v := fire.Read(c, p, usual, now, fire.Defaults(), sys)
	out.Fire = backend.Fire{Kind: v.Kind.String(), Says: v.Says, Caution: v.Caution, Alert: v.Alert, Wake: v.Wake}
	switch {
	case v.Kind >= fire.Choked:
		out.Fire.Tone = backend.Bad
	case v.Alert:
		out.Fire.Tone = backend.Careful
	}
	out.Hand = usual.Hand
	if !c.Running(now) {
		return out
	}
	if since, silent := fire.Silent(c.PitReadings(), now); silent {
		out.Silent = append(out.Silent, backend.Silence{Probe: "pit", Since: since})
	}
	for i, piece := range c.Pieces {
		if c.PieceStage(i, now) >= journal.TakenOff {
			continue
		}
		if since, silent := fire.Silent(c.CoreReadings(i), now); silent {
			out.Silent = append(out.Silent, backend.Silence{Probe: strings.TrimSpace("core " + piece.Name), Since: since})
		}
	}
	return out
}

// restsOn says in a few words what a forecast rests on.
func restsOn(f forecast.Forecast) string {
	past := "no past cook yet"
	if f.PastCooks > 0 {
		past = page.Count(f.PastCooks, "past cook")
	}
	if f.Readings == 0 {
		return "from " + past
	}
	return "from " + page.Count(f.Readings, "core reading") + " and " + past
}
