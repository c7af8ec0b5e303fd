package report

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// Compared is one column with its value in each of several cooks.
type Compared struct {
	Column  frame.Column
	Values  []frame.Value // one for each cook, in order
	Differs bool          // the known values differ by at least Column.Matters, or are different words
}

// SideBySide returns one row for each column that at least one of the cooks recorded.
func SideBySide(cooks []*journal.Cook) []Compared {
	var out []Compared
	for _, col := range frame.Columns {
		row := Compared{Column: col}
		known := false
		for _, c := range cooks {
			v := col.Of(c)
			row.Values = append(row.Values, v)
			known = known || v.Known
		}
		if known {
			row.Differs = differs(col, row.Values)
			out = append(out, row)
		}
	}
	return out
}

func differs(col frame.Column, values []frame.Value) bool {
	first := -1
	for i, v := range values {
		switch {
		case !v.Known:
		case first < 0:
			first = i
		case col.Kind == frame.Word && !strings.EqualFold(v.Word, values[first].Word):
			return true
		}
	}
	if col.Kind == frame.Word || first < 0 {
		return false
	}
	low, high := values[first].Number, values[first].Number
	for _, v := range values[first:] {
		if v.Known {
			low, high = min(low, v.Number), max(high, v.Number)
		}
	}
	return high-low >= col.Matters-1e-9
}

// Beside builds the page that compares two or more cooks. accounts explain, cook by
// cook, why each further one took longer or shorter than the first.
func Beside(cooks []*journal.Cook, accounts []attribution.Account, s journal.Settings) page.Page {
	p := page.Page{Title: fmt.Sprintf("%d cooks side by side", len(cooks)), Lead: []string{"≠ marks a difference that is larger than measuring errors."}}
	columns := []page.Column{{}}
	dates := []string{"date"}
	for _, c := range cooks {
		columns = append(columns, page.Column{Title: c.Name(), Right: true})
		dates = append(dates, c.Date().Format("2 Jan 2006"))
	}
	t := page.Table{Columns: columns, Rows: []page.Row{{Cells: dates}}}
	heading := frame.Group("")
	for _, row := range SideBySide(cooks) {
		if row.Column.Group != heading {
			heading = row.Column.Group
			t.Rows = append(t.Rows, page.Row{Heading: "— " + string(heading)})
		}
		cells := []string{row.Column.Name}
		var rests []string
		for i, v := range row.Values {
			text := row.Column.Format(v, s.Units)
			if row.Column.Name == frame.PitMean && v.Known && frame.PitIsSetting(cooks[i]) {
				text += p.Note("the setting; no pit reading was noted")
			}
			cells = append(cells, text)
			if from := restsOn(cooks[i], row.Column, s.Units); from != "" {
				rests = append(rests, named(cooks[i])+": "+from+".")
			}
		}
		t.Rows = append(t.Rows, page.Row{Mark: row.Differs, Cells: cells, Rests: rests})
	}
	p.Add(page.Section{Table: t})
	if _, ok := cooks[0].Took(); !ok {
		p.Add(page.Section{Lines: []string{named(cooks[0]) + " is not off yet, or its times were not noted, so the others cannot be compared with it by time."}})
	}
	for _, a := range accounts {
		if !a.Known {
			p.Add(page.Section{Lines: []string{named(a.Cook) + ": " + strings.Join(a.Says, " ")}})
			continue
		}
		p.Add(page.Section{Heading: named(a.Cook) + ": why " + verdict(a), Table: minutes(a, named(a.Cook), baseline.Against(a.Cook, cooks[0]), s)})
		said := a.Says
		if a.Verdict != "" {
			said = append([]string{a.Verdict}, said...)
		}
		p.Add(page.Section{Lines: append(said, resting(a)...)})
	}
	addCurves(&p, cooks, s)
	p.Add(page.Section{Heading: "In their own words", Table: ownWords(cooks, named)})
	return p
}

// named returns a cook's name with its date, as two cooks may have the same name.
func named(c *journal.Cook) string { return c.Name() + ", " + c.Date().Format("2 Jan 2006") }

// ownWords lists the Keep and Change fields of the cooks that have either.
func ownWords(cooks []*journal.Cook, name func(*journal.Cook) string) page.Table {
	t := page.Table{Columns: []page.Column{{Title: "cook"}, {Title: "keep"}, {Title: "change"}}}
	for _, c := range cooks {
		if c.Keep != "" || c.Change != "" {
			t.Rows = append(t.Rows, page.Row{Cells: []string{name(c), c.Keep, c.Change}})
		}
	}
	return t
}
