package textout

import (
	"fmt"
	"strconv"
	"strings"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/page"
)

// Found returns the list of cooks found by words. problems is the number of problems in
// the journal's files.
func Found(found []lookup.Found, words []string, problems int, sys measure.System) page.Page {
	p := page.Page{Title: measure.Count(len(found), "cook")}
	table := page.Table{Columns: []page.Column{
		{Title: "date"}, {Title: "cook"}, {Title: "cut"}, {Title: "weight", Right: true}, {Title: "pit", Gives: 2}, {Title: "wrap", Gives: 4},
		{Title: "took", Right: true, Gives: 1}, {Title: "liked", Right: true, Gives: 3}, {},
	}}
	table.Rows = make([]page.Row, 0, len(found))
	cells := make([]string, 0, len(table.Columns)*len(found)) // cells of all rows
	for i := range found {
		f, from := &found[i], len(cells)
		cells = appendFound(cells, f, sys)
		table.Rows = append(table.Rows, page.Row{Cells: cells[from:len(cells):len(cells)]})
		if h := f.Hit; h.Line > 0 && !lookup.Named(f.Summary, words) {
			table.Rows = append(table.Rows, page.Row{Heading: fmt.Sprintf("    line %d: %s", h.Line, strings.TrimSpace(h.Text))})
		}
	}
	p.Add(page.Section{Table: table})
	if problems > 0 {
		p.Notes = append(p.Notes, measure.Count(problems, "line")+" in these files could not be read as meant: ashbook check lists them.")
	}
	return p
}

// appendFound adds the cells of a cook.
func appendFound(cells []string, f *lookup.Found, sys measure.System) []string {
	weight, hours, score := "", "", ""
	if f.Weight > 0 {
		weight = measure.FormatMass(f.Weight, sys)
	}
	if d, ok := lookup.Took(f.Summary); ok {
		hours = measure.FormatHours(d.Hours())
	}
	if f.Score > 0 {
		score = strconv.FormatFloat(f.Score, 'f', 1, 64)
	}
	wraps := ""
	for i, w := range f.Wraps {
		if i > 0 {
			wraps += ", "
		}
		wraps += string(w)
	}
	state := string(f.State)
	if f.State == lookup.Finished {
		state = ""
	}
	return append(cells, f.Date.Format("2 Jan 2006"), f.Name(), f.Cut, weight, f.Pit, wraps, hours, score, state)
}

// Entries returns the entries of a cook with their lines in its file.
func Entries(c *journal.Cook, sys measure.System) page.Page {
	p := page.Page{Title: c.Name(), Aside: c.ID}
	p.Add(report.Unsettled(c))
	table := page.Table{Columns: []page.Column{{Title: "line", Right: true}, {}, {}}}
	shown := c.Shown()
	for i, e := range c.Entries {
		table.Rows = append(table.Rows, page.Row{Cells: []string{strconv.Itoa(e.Line), measure.FormatTime(e.Time, measure.DayClock, sys) + c.Offset(e), shown[i]}})
	}
	p.Add(page.Section{Table: table})
	return p
}
