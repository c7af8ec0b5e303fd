package report

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Settings is the page of a person's choices: what holds now, what follows from it, and
// the file, a path, in which they are changed. Pits are the journal's, by name.
func Settings(s journal.Settings, pits []string, file string) page.Page {
	temp := func(celsius float64) string { return measure.FormatTemperature(celsius, s.Units) }
	p := page.Page{Title: "Settings", Lead: []string{"Each is a key of " + file + ". e changes one."}}
	numbers := "°C, kg and cm; us makes it °F, lb and in"
	if s.Units == measure.US {
		numbers = "°F, lb and in; metric makes it °C, kg and cm"
	}
	hold := "the usual"
	if s.HotHold.Known {
		hold = "yours"
	}
	pit, known := "not set; a new cook asks, or takes the last one", "none yet: each is a file in pits"
	if s.Pit != "" {
		pit = s.Pit
	}
	if len(pits) > 0 {
		known = strings.Join(pits, ", ")
	}
	height := "not set: the sea"
	if s.Altitude.Known {
		height = s.Altitude.In(s.Units)
	}
	p.Add(page.Section{Heading: "Now", Facts: []page.Fact{
		{Name: "units", Value: fmt.Sprintf("%s: a number without a unit is in %s", s.Units, numbers)},
		{Name: "hot hold", Value: fmt.Sprintf("%s, %s: the least core in the box; never below %s, the limit of the FDA Food Code", temp(s.HoldLimit()), hold, temp(journal.SafeHold))},
		{Name: "pit", Value: fmt.Sprintf("%s. Known pits: %s", pit, known)},
		{Name: "altitude", Value: fmt.Sprintf("%s. Water boils at %s, and no core gets over %s", height, temp(journal.BoilingPoint(s.Altitude)), temp(journal.HottestCore(s.Altitude)))},
	}})
	again := page.Section{Heading: "Look again after", Lines: []string{"Change one with the key recheck, such as recheck: {vent: 15 min}."}}
	for _, act := range journal.Acts() {
		span, whose := act.DefaultRecheck(), "the usual"
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
