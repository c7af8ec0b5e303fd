package runsheet

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/provision"
	"ashbook/report/safety"
)

// possible returns a sentence with the first way that saves the meal, or else with the
// earliest meal that any way is ready for.
func (p *Sheet) possible() string { return possible(p.Ways, p.Request.Serve, p.Settings.Units) }

func possible(ways []provision.Way, serve time.Time, sys measure.System) string {
	clock := func(t time.Time) string {
		if t = t.In(serve.Location()); t.YearDay() == serve.YearDay() {
			return measure.FormatTime(t, measure.Clock, sys)
		}
		return measure.FormatTime(t, measure.DayClock, sys)
	}
	if at := slices.IndexFunc(ways, provision.Way.InTime); at >= 0 {
		w := ways[at]
		return fmt.Sprintf("Still possible for %s: %s (%s).", clock(serve), w.What, w.Cost)
	}
	var soonest *provision.Way
	for i := range ways {
		if w := &ways[i]; !w.Meal.IsZero() && (soonest == nil || w.Meal.Before(soonest.Meal)) {
			soonest = w
		}
	}
	if soonest == nil {
		return "Nothing can be ready for this meal any more."
	}
	return fmt.Sprintf("Nothing can be ready for %s any more; the soonest is %s, for %s.", clock(serve), soonest.What, clock(soonest.Meal))
}

// Rescue builds the page of ways to save the meal of a running cook.
func Rescue(c *journal.Cook, ways []provision.Way, sys measure.System) page.Page {
	out := page.Page{Title: c.Name(), Aside: "serve " + measure.FormatTime(c.Serve, measure.DayClock, sys), Lead: []string{possible(ways, c.Serve, sys)}}
	out.Add(page.Section{Heading: "What can still save the meal", Table: waysTable(ways, c.Serve.Location(), sys), Lines: []string{
		"Late: the chance that it is not off in time to rest and to cut.",
	}})
	out.Add(page.Section{Heading: "Cautions", Lines: []string{
		"Reheat bought or chilled meat to 74 °C (165 °F) all through within two hours. (Food Code 3-403.11)", safety.Closing,
	}})
	return out
}

func waysTable(ways []provision.Way, zone *time.Location, sys measure.System) page.Table {
	t := page.Table{Columns: []page.Column{{}, {Title: "late", Right: true}, {Title: "9 in 10 for a meal at", Right: true}, {Title: "drawback"}}}
	for _, w := range ways {
		meal := "may never get there"
		if !w.Meal.IsZero() {
			meal = measure.FormatTime(w.Meal.In(zone), measure.DayClock, sys)
		}
		t.Rows = append(t.Rows, page.Row{Mark: w.InTime(), Cells: []string{w.What, fmt.Sprintf("%.0f %%", 100*w.Late), meal, w.Cost}})
	}
	return t
}
