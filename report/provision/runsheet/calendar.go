package runsheet

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
)

// bell is how long before a step a phone rings; steps without one are only shown.
// (chosen: light with time to carry wood, on by with time to fetch the meat).
var bell = map[Kind]time.Duration{
	Thaw:      0,
	SaltMeat:  0,
	TopUp:     10 * time.Minute,
	Light:     15 * time.Minute,
	OnBy:      15 * time.Minute,
	LikelyOff: time.Hour,
	LatestOff: 0,
	Chill:     0,
	Reheat:    15 * time.Minute,
	Carve:     10 * time.Minute,
	Watch:     15 * time.Minute,
	boxFalls:  30 * time.Minute,
}

// boxFalls is the moment at which the box may have fallen to the limit of a hot
// hold. It is no step: the plan warns of it.
const boxFalls Kind = "box limit"

// Calendar is the clock of the plan as an iCalendar stream (RFC 5545): an event a
// step that is still to come, with an alarm before those that must not be missed.
// Times are in UTC (form 2 of section 3.3.5), so that they hold across a change of
// the clocks and in every zone. A plan made again replaces its events: their names
// hang on the meal's title, day and step alone.
func (p *Sheet) Calendar() []byte {
	c := ics.NewCalendarFor("ashbook")
	c.SetMethod(ics.MethodPublish)
	steps := p.Steps
	if at := p.Hold.FallsAt; !at.IsZero() && !p.Request.NoBox {
		steps = append(steps[:len(steps):len(steps)], Step{At: at, Kind: boxFalls,
			What: "the box may fall below " + p.Temp(p.Hold.Limit), Margin: "read it; reheat, serve or chill before"})
	}
	seen := map[Kind]int{}
	for _, s := range steps {
		seen[s.Kind]++
		if s.At.Before(p.Moment) {
			continue
		}
		e := c.AddEvent(p.eventName(s.Kind, seen[s.Kind]))
		e.SetDtStampTime(p.Moment)
		e.SetStartAt(s.At)
		e.SetTimeTransparency(ics.TransparencyTransparent)
		what := s.What
		if s.Who != "" {
			what = s.Who + ": " + what
		}
		e.SetSummary(oneLine(p.Request.Title + ": " + what))
		if s.Margin != "" {
			e.SetDescription(s.Margin)
		}
		before, rings := bell[s.Kind]
		if !rings || strings.HasPrefix(s.What, "or,") {
			continue
		}
		a := e.AddAlarm()
		a.SetAction(ics.ActionDisplay)
		a.SetTrigger(fmt.Sprintf("-PT%dM", int(before.Minutes())))
		a.SetProperty(ics.ComponentPropertyDescription, oneLine(s.What))
	}
	return []byte(c.Serialize(ics.WithNewLineWindows))
}

// eventName is an event's UID: the nth step of a kind of this meal.
func (p *Sheet) eventName(kind Kind, n int) string {
	meal := p.Request.Title + "\x00" + p.Request.Serve.Format(time.DateOnly)
	return fmt.Sprintf("%.8x-%s-%d@ashbook.invalid", sha256.Sum256([]byte(meal)), strings.ReplaceAll(string(kind), " ", "-"), n)
}
