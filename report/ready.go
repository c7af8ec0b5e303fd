package report

import (
	"fmt"
	"time"

	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Ready builds a printable page of the tasks of a cook, with the number still open.
func Ready(title string, serve time.Time, tasks []cookfile.Task, sys measure.System) page.Page {
	p := page.Page{Title: title}
	if !serve.IsZero() {
		p.Aside = "serve " + measure.FormatTime(serve, measure.DayDateClock, sys)
	}
	open := 0
	var sections []page.Section
	for i, t := range tasks {
		if i == 0 || t.Section != tasks[i-1].Section {
			sections = append(sections, page.Section{Heading: t.Section})
		}
		sign := "☐"
		if t.Done {
			sign = "☑"
		} else {
			open++
		}
		at := &sections[len(sections)-1]
		at.Facts = append(at.Facts, page.Fact{Name: fmt.Sprintf("%2d %s", i+1, sign), Value: t.Text})
	}
	p.Lead = []string{fmt.Sprintf("%d of %d to do.", open, len(tasks))}
	for _, x := range sections {
		p.Add(x)
	}
	return p
}
