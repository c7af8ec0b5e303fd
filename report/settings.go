package report

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Settings builds the page of the journal's settings and what follows from them. file
// is the path of the file they are stored in, pits are the names of the journal's pits.
func Settings(s journal.Settings, pits []string, file string) page.Page {
	temp := func(celsius float64) string { return measure.FormatTemperature(celsius, s.Units) }
	p := page.Page{Title: "Settings", Lead: []string{"Each line is a key in " + file + ". Press e to change one."}}
	numbers := "°C, kg and cm; if you write us: °F, lb and in"
	if s.Units == measure.US {
		numbers = "°F, lb and in; if you write metric: °C, kg and cm"
	}
	hold := "the default"
	if s.HotHold.Known {
		hold = "yours"
	}
	pit, known := "not set; a new cook asks, or takes the last pit used", "none yet; each pit is a file in the folder pits"
	if s.Pit != "" {
		pit = s.Pit
	}
	if len(pits) > 0 {
		known = strings.Join(pits, ", ")
	}
	height := "not set, so sea level"
	if s.Altitude.Known {
		height = s.Altitude.In(s.Units)
	}
	p.Add(page.Section{Heading: "Now", Facts: []page.Fact{
		{Name: "units", Value: fmt.Sprintf("%s: a number without a unit is in %s", s.Units, numbers)},
		{Name: "hot hold", Value: fmt.Sprintf("%s, %s: the lowest core temperature allowed in the box; never below %s, the limit of the FDA Food Code", temp(s.HoldLimit()), hold, temp(journal.SafeHold))},
		{Name: "pit", Value: fmt.Sprintf("%s. Known pits: %s", pit, known)},
		{Name: "altitude", Value: fmt.Sprintf("%s. Water boils at %s, and no core gets hotter than %s", height, temp(journal.BoilingPoint(s.Altitude)), temp(journal.HottestCore(s.Altitude)))},
	}})
	again := page.Section{Heading: "Look again after", Lines: []string{"Change one with the key recheck, such as recheck: {vent: 15 min}."}}
	for _, act := range journal.Acts() {
		span, whose := act.DefaultRecheck(), "the default"
		if own, ok := s.Recheck[act]; ok {
			span, whose = measure.Duration(own), "yours"
		}
		if span == 0 {
			continue
		}
		again.Facts = append(again.Facts, page.Fact{Name: act.Word(), Value: measure.FormatDuration(span) + ", " + whose})
	}
	p.Add(again)
	return p
}
