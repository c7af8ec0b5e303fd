package report

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/course"
	"ashbook/report/page"
)

// Common practice, no source: what cooks ask about in the course of a core. Each is
// named in the terminal and in the browser, with what usually causes it and what it costs.
func TestCookNamesWhatHappened(t *testing.T) {
	on := time.Date(2026, 5, 1, 18, 0, 0, 0, time.UTC)
	read := func(cores ...[]float64) *journal.Cook {
		c := &journal.Cook{Cut: "pork shoulder"}
		c.Aim.Core = measure.Degrees(94, measure.Metric)
		c.Entries = []journal.Entry{{Time: on, Items: []journal.Item{{Act: journal.On}}}}
		for i := range cores {
			c.Pieces = append(c.Pieces, journal.Piece{Name: []string{"left", "right"}[i]})
			for k, v := range cores[i] {
				c.Entries = append(c.Entries, journal.Entry{Time: on.Add(time.Duration(k+1) * 30 * time.Minute), Items: []journal.Item{{Act: journal.ReadCore, Piece: c.Pieces[i].Name, Temp: measure.Degrees(v, measure.Metric)}}})
			}
		}
		return c
	}
	for name, c := range map[string]*journal.Cook{
		"core fell":            read([]float64{20, 40, 55, 66, 61, 60, 62, 65}),
		"core, a second stall": read([]float64{60, 68, 70, 76, 81, 83, 83.5, 84}),
		"time above 80 °C":     read([]float64{60, 68, 70, 76, 81, 83, 83.5, 84}),
		"core above its aim":   read([]float64{70, 79, 88, 98}),
		"two pieces differ":    read([]float64{40, 58, 66, 68}, []float64{38, 50, 57, 61}),
	} {
		c.Entries = append(c.Entries, journal.Entry{Time: on.Add(7 * time.Hour), Items: []journal.Item{{Act: journal.Off}}})
		later := on.Add(12 * time.Hour)
		events := course.Events(c, measure.Metric, later)
		i := slices.IndexFunc(events, func(e course.Event) bool { return strings.HasSuffix(e.Name, name) })
		if i < 0 {
			t.Errorf("%s: no such event in %+v", name, events)
			continue
		}
		e := events[i]
		for where, p := range map[string]page.Page{
			"in the terminal": Cook(c, nil, journal.Settings{}, later, nil),
			"in a browser":    CookPage(c, nil, journal.Settings{}, later, nil, Told{}),
		} {
			if !slices.ContainsFunc(p.Sections, func(s page.Section) bool {
				return strings.Contains(s.Heading, "common practice") && slices.ContainsFunc(s.Facts, func(f page.Fact) bool {
					return strings.HasSuffix(f.Name, e.Name) && f.Value == e.Says+". "+e.Usual
				})
			}) {
				t.Errorf("%s: not on the page %s", name, where)
			}
		}
	}
}
