package screens

import (
	"context"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/course"
	"ashbook/report/fire"
	"ashbook/report/forecast"
	"ashbook/report/pitbook"
	"ashbook/tui/backend"
)

// tones are the tones for the chance to be in time.
var tones = map[report.Chance]backend.Tone{report.NoMeal: backend.Even, report.InTime: backend.Good, report.MayBeLate: backend.Careful, report.TooLate: backend.Bad}

// agos are how long ago the earlier forecasts were that are shown next to the current
// one (chosen).
var agos = []time.Duration{3 * time.Hour, time.Hour}

// expected returns the forecast as the screens show it; empty if ctx ends.
func expected(ctx context.Context, x *forecast.Experience, c *journal.Cook, now time.Time, sys measure.System) backend.Forecast {
	know, err := app.Before(ctx, x, c)
	if err != nil {
		return backend.Forecast{}
	}
	if _, on := c.OnAt(); !on {
		plan := know.Plan(c)
		return backend.Forecast{From: "once on, in " + measure.FormatRange(plan.ToGo.Lo, plan.ToGo.Hi) + ", " + report.BasedOn(plan, c.Cut)}
	}
	f := know.At(c, now)
	if f.Done {
		return backend.Forecast{}
	}
	off := report.OffFrom(f, now)
	out := backend.Forecast{Early: off.Early, Likely: off.Likely, Late: off.Late, Open: off.OpenEnd, From: report.BasedOn(f, c.Cut), Moved: know.Moved(c, now, f)}
	for _, ago := range agos {
		if at := now.Add(-ago); at.After(f.On) {
			if then := report.OffFrom(know.Ends(c, at), at); !then.OpenEnd {
				out.Said = append(out.Said, course.Said{At: at, Early: then.Early, Likely: then.Likely, Late: then.Late})
			}
		}
	}
	var chance report.Chance
	out.Meal, chance = off.Meal(c.Serve, len(c.Pieces), sys)
	out.MealTone = tones[chance]
	if f.Stall.Cooks > 0 {
		out.Stall = "yours " + measure.FormatRange(f.Stall.Usual.Lo, f.Stall.Usual.Hi)
	}
	out.Band = report.Expected(f.Band, off.On)
	for _, h := range f.Sample {
		out.Off = append(out.Off, now.Add(time.Duration(h*float64(time.Hour))))
	}
	for _, alt := range know.WhatIf(c, now, f) {
		out.Choices = append(out.Choices, backend.Choice{
			Name: alt.Name, Open: alt.OpenEnd,
			Early: report.InHours(alt.ToGo.Lo, now), Likely: report.InHours(alt.ToGo.Mid, now), Late: report.InHours(alt.ToGo.Hi, now),
			Saves: time.Duration(alt.Saves * float64(time.Hour)).Round(10 * time.Minute), Note: alt.Note,
		})
	}
	return out
}

// watched adds the state of the fire, and probes that have stopped.
func watched(out backend.Forecast, c *journal.Cook, p journal.Pit, usual usualFire, now time.Time, sys measure.System) backend.Forecast {
	v := fire.Read(c, p, usual.Usual, now, fire.Defaults(), sys)
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
	out.Fuel = fuelLeft(c, &usual.book, now)
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

// lowFuel is the number of hours of fuel from which to add more (chosen: new fuel takes
// half an hour to catch).
const lowFuel = 1.5

// fuelLeft returns a sentence on how long the fuel of a fire will last; "" if that is
// not known or no longer needed.
func fuelLeft(c *journal.Cook, b *pitbook.Book, now time.Time) string {
	left, ok := b.Left(c, now)
	if _, off := c.Finish(); !ok || off {
		return ""
	}
	burn := "as your cooks burn it"
	if left.Own == 0 {
		burn = "as such pits burn it"
	}
	switch {
	case left.Kg <= 0:
		return "the fuel you loaded should have burned down by now, " + burn + ": look at the coals"
	case left.Hours < lowFuel:
		return "for under 1½ h, " + burn + ": top up"
	}
	return "for about " + measure.FormatHalf(left.Hours) + ", " + burn
}
