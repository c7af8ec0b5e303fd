package runsheet

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
)

// bell is how long before each kind of step a phone rings (chosen: before lighting
// there is time to carry wood, before "on by" time to fetch the meat). Other steps do
// not ring.
var bell = map[Kind]time.Duration{
	Thaw:      0,
	SaltMeat:  0,
	TopUp:     10 * time.Minute,
	Light:     15 * time.Minute,
	OnBy:      15 * time.Minute,
	Look:      0,
	LikelyOff: time.Hour,
	LatestOff: 0,
	Chill:     0,
	Reheat:    15 * time.Minute,
	Carve:     10 * time.Minute,
	Watch:     15 * time.Minute,
	boxFalls:  30 * time.Minute,
}

// boxFalls is the time at which the meat in the box may have cooled to the hot-hold
// limit. It is not a step of the plan, only a warning in the calendar.
const boxFalls Kind = "box limit"

// Calendar returns the future steps of the plan as an iCalendar stream (RFC 5545), one
// event a step, with an alarm for steps that must not be missed. Times are in UTC (form
// 2 of section 3.3.5), so they stay right across a change of the clocks and in every
// time zone. The UIDs depend only on the meal's title, day and step, so that a new plan
// replaces the events of the old one.
func (p *Sheet) Calendar() []byte {
	c := ics.NewCalendarFor("ashbook")
	c.SetMethod(ics.MethodPublish)
	steps := p.Steps
	if at := p.Hold.FallsAt; !at.IsZero() && !p.Request.NoBox {
		steps = append(steps[:len(steps):len(steps)], Step{At: at, Kind: boxFalls,
			What: "the box may fall below " + p.Temp(p.Hold.Limit), Margin: "read its temperature; reheat, serve or chill the meat before then"})
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

// eventName returns the UID of the nth step of a kind.
func (p *Sheet) eventName(kind Kind, n int) string {
	meal := p.Request.Title + "\x00" + p.Request.Serve.Format(time.DateOnly)
	return fmt.Sprintf("%.8x-%s-%d@ashbook.invalid", sha256.Sum256([]byte(meal)), strings.ReplaceAll(string(kind), " ", "-"), n)
}
