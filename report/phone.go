package report

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/course"
	"ashbook/report/forecast"
	"ashbook/report/page"
)

// Running holds the computed results that Phone shows. Fields that are zero are not
// shown.
type Running struct {
	Ready    string            // times of the 8-in-10 range
	Likely   string            // most likely time
	From     string            // what the forecast is based on
	Meal     string            // whether the meal is in time
	Care     string            // what to do now for food safety
	Expected []course.Expected // core of the slowest piece
}

// RunningOf turns a forecast made now into the texts of a Running. It is zero if the
// cook is off.
func RunningOf(c *journal.Cook, f forecast.Forecast, on, now time.Time, sys measure.System) (r Running) {
	if f.Done {
		return r
	}
	off := OffFrom(f, now)
	r = Running{From: BasedOn(f, c.Cut), Expected: Expected(f.Band, on)}
	r.Ready, r.Likely = measure.FormatTime(off.Early, measure.Clock, sys)+" – "+measure.FormatTime(off.Late, measure.Clock, sys), "likely "+measure.FormatTime(off.Likely, measure.Clock, sys)
	if off.OpenEnd {
		r.Ready, r.Likely = "from "+measure.FormatTime(off.Early, measure.Clock, sys), "may not get there"
	}
	r.Meal, _ = off.Meal(c.Serve, len(c.Pieces), sys)
	return r
}

// lastNotes is how many notes a phone shows, the latest ones.
const lastNotes = 6

// Phone builds the page of a running cook for a phone: state, forecast, next check,
// curve and the last notes.
func Phone(c *journal.Cook, r Running, s journal.Settings, now time.Time) page.Page {
	p := page.Page{Title: c.Name(), Aside: c.Status(now).String() + " · " + measure.FormatTime(now, measure.DayClock, s.Units)}
	if r.Care != "" {
		p.Lead = append(p.Lead, r.Care)
	}
	var five []page.Fact
	say := func(name, value string, notes ...string) {
		notes = slices.DeleteFunc(notes, func(n string) bool { return n == "" })
		five = append(five, page.Fact{Name: name, Value: value, Note: strings.Join(notes, " · ")})
	}
	read := func(name string, last journal.Reading, ok bool, all []journal.Reading) {
		if !ok {
			say(name, "–", "not read yet")
			return
		}
		moving := ""
		if rate, ok := journal.PerHour(all, now); ok {
			moving = measure.FormatDifference(rate, 0, s.Units) + "/h"
		}
		say(name, measure.FormatTemperature(last.C, s.Units), "at "+measure.FormatTime(last.Time.In(now.Location()), measure.Clock, s.Units), moving)
	}
	pit, ok := c.LastPit(now)
	read("Pit", pit, ok, c.PitReadings())
	for i := range max(1, len(c.Pieces)) {
		name := "Core"
		if i < len(c.Pieces) {
			name = strings.TrimSpace("Core " + c.Pieces[i].Name)
		}
		core, ok := c.LastCore(i, now)
		read(name, core, ok, c.CoreReadings(i))
	}
	if r.Ready != "" {
		say("Ready to take off", r.Ready, r.Likely, r.Meal, r.From)
	}
	if check, ok := c.NextCheck(now, s); ok {
		when := "in " + measure.FormatDuration(check.Due.Sub(now))
		if check.Due.Before(now) {
			when = measure.FormatDuration(now.Sub(check.Due)) + " overdue"
		}
		say("Next check", when, "at "+measure.FormatTime(check.Due.In(now.Location()), measure.Clock, s.Units), check.For)
	}
	if e, ok := c.LastDone(now); ok {
		e.Words = ""
		say("Last done", measure.FormatDuration(now.Sub(e.Time))+" ago", e.Body())
	}
	p.Add(page.Section{Facts: five})
	if ch := course.Page(c, s.Units, now, r.Expected, nil); ch.From < ch.To {
		p.Add(page.Section{Figure: page.Figure{Title: "Pit and cores of " + c.Name(), Says: "Temperatures of pit and cores by time of day; below, what was done and when.", Picture: &ch}})
	}
	last := page.Section{Heading: "Last notes"}
	for i := len(c.Entries) - 1; i >= max(0, len(c.Entries)-lastNotes); i-- {
		e := c.Entries[i]
		line := measure.FormatTime(e.Time.In(now.Location()), measure.Clock, s.Units) + " " + e.Body()
		last.Lines = append(last.Lines, line)
	}
	p.Add(last)
	return p
}
