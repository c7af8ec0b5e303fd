package report

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/course"
	"ashbook/report/forecast"
	"ashbook/report/forecast/model"
	"ashbook/report/provision"
)

// Off is a forecast of when a cook comes off, as times of day rounded to ten minutes:
// the range is never accurate to the minute.
type Off struct {
	forecast.Forecast
	Early, Likely, Late time.Time // 10, 50 and 90 %; never before the moment of the forecast
}

// OffFrom converts a forecast in hours from now into times.
func OffFrom(f forecast.Forecast, now time.Time) Off {
	return Off{f, InHours(f.ToGo.Lo, now), InHours(f.ToGo.Mid, now), InHours(f.ToGo.Hi, now)}
}

// InHours returns the time h hours after now, rounded to ten minutes but never before
// now.
func InHours(h float64, now time.Time) time.Time {
	t := now.Add(hours(h)).Round(10 * time.Minute)
	if t.Before(now) {
		return now
	}
	return t
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// Expected returns the expected core temperatures of the slowest piece after it went
// on, as points of a curve.
func Expected(band []model.BandPoint, on time.Time) []course.Expected {
	var out []course.Expected
	for _, b := range band {
		out = append(out, course.Expected{Time: on.Add(hours(b.Hours)), Low: b.Lo, High: b.Hi})
	}
	return out
}

// Lines returns the forecast in sentences: when the cook comes off, whether the meal is
// in time, and the stall.
func (o Off) Lines(c *journal.Cook, sys measure.System) []string {
	late := measure.FormatTime(o.Late, measure.Clock, sys)
	if o.OpenEnd {
		late = "?, may not get there"
	}
	out := []string{"comes off " + measure.FormatTime(o.Early, measure.Clock, sys) + " – " + late + ", likely " + measure.FormatTime(o.Likely, measure.Clock, sys)}
	if meal, _ := o.Meal(c.Serve, len(c.Pieces), sys); meal != "" {
		out = append(out, meal)
	}
	if o.Stall.Says != "" {
		out = append(out, o.Stall.Says)
	}
	return out
}

// Chance says whether a meal will be in time.
type Chance uint8

// The values of Chance.
const (
	NoMeal Chance = iota // no serving hour is set
	InTime
	MayBeLate
	TooLate
)

// Meal says in words whether a cook of so many pieces is in time for the meal. It must
// be off by provision.OffBy.
func (o Off) Meal(serve time.Time, pieces int, sys measure.System) (string, Chance) {
	if serve.IsZero() {
		return "", NoMeal
	}
	latest := provision.OffBy(serve, pieces)
	clock := measure.FormatTime(serve, measure.Clock, sys)
	switch {
	case o.Early.After(latest):
		return "meal " + clock + ": late", TooLate
	case o.OpenEnd || o.Late.After(latest):
		return "meal " + clock + ": may be late", MayBeLate
	}
	return fmt.Sprintf("meal %s: in time, hold %s", clock, measure.FormatRange(serve.Sub(o.Late).Hours(), serve.Sub(o.Early).Hours())), InTime
}

// BasedOn returns a few words on what a forecast is based on.
func BasedOn(f forecast.Forecast, cut string) string {
	if !model.Usual(cut) {
		return "a guess: only big tough cuts are known"
	}
	past := "no past cook yet"
	if f.PastCooks > 0 {
		past = measure.Count(f.PastCooks, "past cook")
	}
	if f.Readings == 0 {
		return "from " + past
	}
	return "from " + measure.Count(f.Readings, "core reading") + " and " + past
}
