package report

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Version describes one version of a cook's file.
type Version struct {
	N    int // 1 is the oldest
	Of   int // number of versions
	When time.Time
	Who  string
	What string // message of the commit
	Gone bool   // the file did not exist in this version
}

// Versions builds the page that lists the versions of a cook, newest first.
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

// OneVersion builds the page of one version: its changes against the version before,
// and what restoring it would change now.
func OneVersion(name string, v Version, changed, back []cookfile.Change) page.Page {
	p := page.Page{
		Title: fmt.Sprintf("%s, version %d of %d", name, v.N, v.Of), Aside: v.When.Format("Mon " + measure.FullClock),
		Lead: []string{v.Who + ": " + v.What},
	}
	if v.Gone {
		p.Add(page.Section{Lines: []string{"The file does not exist in this version."}})
		return p
	}
	heading := "What it changed"
	if v.N == 1 {
		heading = "The first version"
	}
	p.Add(section(heading, changed))
	if v.N < v.Of {
		p.Add(section("What bringing it back would change", back))
	}
	return p
}

// mostTold is how many changes are listed (chosen: as many as a cook of a long night
// has).
const mostTold = 60

func section(heading string, changes []cookfile.Change) page.Section {
	s := page.Section{Heading: heading}
	if len(changes) == 0 {
		s.Lines = []string{"It changed only blank lines, or the order of lines."}
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
