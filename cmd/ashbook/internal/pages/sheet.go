package pages

import (
	"context"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/report/page/paper"
	"ashbook/report/provision/runsheet"
)

// Plan plans a planned cook back from its meal and lays the plan out. Its errors are
// those of app.WorkBackCook.
func (m *Maker) Plan(ctx context.Context, c *journal.Cook) (*runsheet.Sheet, error) {
	return m.app.WorkBackCook(ctx, c, m.past, m.learned)
}

// PlanPage returns the page of a cook's plan, with its lists.
func (m *Maker) PlanPage(ctx context.Context, c *journal.Cook) (page.Page, error) {
	plan, err := m.Plan(ctx, c)
	if err != nil {
		return page.Page{}, err
	}
	return m.signed(plan.Page(), "the plan of "+c.ID), nil
}

// SheetStart returns the first hour of a cook's sheet; zero if it has no meal or cannot
// be planned.
func SheetStart(ctx context.Context, a *app.App, c *journal.Cook, now time.Time) (time.Time, error) {
	if c.Serve.IsZero() {
		return time.Time{}, nil
	}
	m, err := New(ctx, a, now, false)
	if err != nil {
		return time.Time{}, err
	}
	plan, err := m.Plan(ctx, c)
	if err != nil {
		return time.Time{}, ctx.Err()
	}
	return sheetStart(plan), nil
}

// sheetStart returns the hour in which the fire of a plan is lit.
func sheetStart(plan *runsheet.Sheet) time.Time {
	load := plan.Main()
	start := load.Light
	if start.IsZero() {
		start = load.OnBy
	}
	return start.Add(-time.Duration(start.Minute())*time.Minute - time.Duration(start.Second())*time.Second)
}

// blankRows is the number of rows of a blank sheet: as many as one side of A4 has room
// for.
const blankRows = 21

// BlankSheet returns a sheet without hours and without a curve; c may be nil.
func BlankSheet(c *journal.Cook, s journal.Settings) paper.Sheet {
	out := sheetOf(c, s)
	out.Rows = make([]paper.Row, blankRows)
	return out
}

// sheetOf returns the parts of a sheet that do not depend on its hours.
func sheetOf(c *journal.Cook, s journal.Settings) paper.Sheet {
	us := s.Units == measure.US
	out := paper.Sheet{Title: "Cook", Cores: []string{"core"}, Mass: "kg", Thick: "cm", Temp: "°C", Ticks: [3]string{"0", "50", "100"}, Foot: []string{
		"Burn fire outdoors only: carbon monoxide has no smell and kills indoors, in tents and in garages. Ash stays hot for a day: put it in a metal bin with a lid, away from walls.",
		"A starved fire flares up: open the vents first, then the lid a hand's breadth, and wait. Hold at " + measure.FormatTemperature(s.HoldLimit(), s.Units) + " or above (never under " + measure.FormatTemperature(journal.SafeHold, s.Units) + "); below that, the time for leftovers counts.",
		"Local food codes and the people licensed to apply them decide.",
	}}
	if us {
		out.Mass, out.Thick, out.Temp, out.Ticks = "lb", "in", "°F", [3]string{"32", "122", "212"}
	}
	if c == nil {
		return out
	}
	out.Title = c.Name()
	if names := c.PieceNames(); len(names) > 1 {
		out.Cores = nil
		for _, n := range names {
			out.Cores = append(out.Cores, "core "+n)
		}
	}
	out.Foot[len(out.Foot)-1] += " Next morning, to type it in: ashbook sheet --type " + c.ID
	parts := []string{orWord(c.Cut, "cut not noted")}
	if c.Pit != "" {
		parts[0] += " on the " + c.Pit
	}
	var aims []string
	if c.Aim.Pit.Known {
		aims = append(aims, "pit "+c.Aim.Pit.In(s.Units))
	}
	if c.Aim.Core.Known {
		aims = append(aims, "core "+c.Aim.Core.In(s.Units))
	}
	if w := c.Aim.Wrap; w.Kind != journal.NoWrap || w.Bare {
		aims = append(aims, w.String())
	}
	out.Plan = strings.Join(parts, ", ")
	if w := frame.Weights(c, s.Units); w != "" {
		out.Plan += ", " + w
	}
	if len(aims) > 0 {
		out.Plan += ": " + strings.Join(aims, ", ")
	}
	return out
}

func orWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// Core temperatures from which the sheet asks for a look. Common practice, no source.
const (
	barkFrom = 60.0 // °C
	feelFrom = 88.0
)

// Sheet returns the sheet of a planned cook: one row for each hour from lighting to the
// meal.
func (m *Maker) Sheet(ctx context.Context, c *journal.Cook) (paper.Sheet, error) {
	plan, err := m.Plan(ctx, c)
	if err != nil {
		return paper.Sheet{}, err
	}
	s, load, start := sheetOf(c, m.settings), plan.Main(), sheetStart(plan)
	zone := c.Serve.Location()
	clock := func(t time.Time) string { return measure.FormatTime(t.In(zone), measure.Clock, m.settings.Units) }
	s.Date = start.In(zone).Format("Monday 2") + " to " + c.Serve.Format("Monday 2 January 2006")
	if start.In(zone).YearDay() == c.Serve.YearDay() {
		s.Date = c.Serve.Format("Monday 2 January 2006")
	}
	s.Meal = "meal " + clock(c.Serve)
	if c.Heads > 0 {
		s.Meal += ", " + measure.Count(c.Heads, "head")
	}
	s.Times = "on by " + clock(load.OnBy) + " · likely off " + clock(load.Off[1]) + " · off by " + clock(load.LatestOff)
	for t := start; !t.After(c.Serve); t = t.Add(time.Hour) {
		row := paper.Row{Hour: t.In(zone).Format("15")}
		if t.In(zone).Hour() == 0 {
			row.Day = t.In(zone).Format("Mon")
		}
		s.Rows = append(s.Rows, row)
	}
	note := func(t time.Time, words string) {
		if i := int(t.Sub(start) / time.Hour); !t.IsZero() && !t.Before(start) && i < len(s.Rows) {
			s.Rows[i].Notes = append(s.Rows[i].Notes, words)
		}
	}
	at := func(t time.Time, words string) { note(t, clock(t)+" "+words) }
	band := load.Forecast.Band
	passes := func(core float64, words string) {
		if h, ok := passing(band, core); ok {
			note(load.OnBy.Add(time.Duration(h*float64(time.Hour))), words)
		}
	}
	at(load.Light, "light")
	at(load.OnBy, "on by")
	passes(barkFrom, "bark? about "+measure.FormatTemperature(barkFrom, m.settings.Units))
	if w := c.Aim.Wrap; w.Kind != journal.NoWrap && w.At.Known {
		passes(w.At.Base, string(w.Kind)+" at "+w.At.In(m.settings.Units)+"?")
	}
	passes(feelFrom, "feel from "+measure.FormatTemperature(feelFrom, m.settings.Units))
	note(load.Off[1], "likely off")
	at(load.LatestOff, "latest off")
	at(c.Serve, "meal")
	for _, b := range band {
		s.Curve = append(s.Curve, paper.Point{Row: load.OnBy.Sub(start).Hours() + b.Hours, Low: b.Lo / 100, Mid: b.Mid / 100, High: b.Hi / 100})
	}
	return s, nil
}

// passing returns when the expected core passes a temperature, h after it went on;
// false if it does not.
func passing(band []model.BandPoint, core float64) (float64, bool) {
	for i := 1; i < len(band); i++ {
		a, b := band[i-1], band[i]
		if a.Mid < core && b.Mid >= core {
			return a.Hours + (b.Hours-a.Hours)*(core-a.Mid)/(b.Mid-a.Mid), true
		}
	}
	return 0, false
}

// Cards returns the tasting cards for the eaters of a cook.
func Cards(c *journal.Cook) paper.Cards {
	out := paper.Cards{Title: c.Name(), Date: c.Date().Format("2 Jan 2006")}
	if !c.Serve.IsZero() {
		out.Date = c.Serve.Format("2 Jan 2006")
	}
	for _, t := range journal.Traits {
		out.Traits = append(out.Traits, t.String())
		out.Leans = append(out.Leans, t != journal.Tenderness && t != journal.Overall)
	}
	return out
}
