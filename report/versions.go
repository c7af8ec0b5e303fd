package report

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Version is a version of a cook's file for a reader.
type Version struct {
	N    int // from 1, the oldest
	Of   int // how many there are
	When time.Time
	Who  string
	What string // the line in history
	Gone bool   // the file was not there in this version
}

// Versions lists the versions of a cook, the newest first.
func Versions(name string, all []Version) page.Page {
	p := page.Page{Title: name + ", its history", Aside: fmt.Sprintf("%d versions", len(all))}
	if len(all) == 1 {
		p.Aside = "1 version"
	}
	table := page.Table{Columns: []page.Column{{Right: true}, {}, {}, {}}}
	for _, v := range all {
		table.Rows = append(table.Rows, page.Row{Cells: []string{fmt.Sprint(v.N), v.When.Format(measure.FullClock), v.Who, v.What}})
	}
	p.Add(page.Section{Table: table})
	return p
}

// OneVersion says what a version changed, against the one before it, and what
// bringing it back would change now.
func OneVersion(name string, v Version, changed, back []cookfile.Change) page.Page {
	p := page.Page{
		Title: fmt.Sprintf("%s, version %d of %d", name, v.N, v.Of), Aside: v.When.Format("Mon " + measure.FullClock),
		Lead: []string{v.Who + ": " + v.What},
	}
	if v.Gone {
		p.Add(page.Section{Lines: []string{"In this version the file was gone."}})
		return p
	}
	heading := "What it changed"
	if v.N == 1 {
		heading = "What it began with"
	}
	p.Add(section(heading, changed))
	if v.N < v.Of {
		p.Add(section("What bringing it back would change", back))
	}
	return p
}

// mostTold is how many changes are told (chosen: a long night's cook).
const mostTold = 60

func section(heading string, changes []cookfile.Change) page.Section {
	s := page.Section{Heading: heading}
	if len(changes) == 0 {
		s.Lines = []string{"Only blank lines, or the order of lines."}
	}
	for i, c := range changes {
		if i == mostTold {
			s.Lines = []string{fmt.Sprintf("… and %d more.", len(changes)-mostTold)}
			break
		}
		was, is := line(c.Was, c.Old), line(c.Is, c.New)
		switch {
		case c.Is == "":
			s.Facts = append(s.Facts, page.Fact{Name: "out", Value: was})
		case c.Was == "":
			s.Facts = append(s.Facts, page.Fact{Name: "in", Value: is})
		default:
			s.Facts = append(s.Facts, page.Fact{Name: "was", Value: was}, page.Fact{Name: "now", Value: is})
		}
	}
	return s
}

func line(text string, e *journal.Entry) string {
	if e != nil {
		return e.Time.Format(measure.DayClock+" ") + e.Body()
	}
	return text
}
