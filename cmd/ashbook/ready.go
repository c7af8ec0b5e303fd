package main

import (
	"fmt"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

func (a *program) readyCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "ready [COOK] [NUMBER …]",
		Short: "What to make ready and to buy: print the list, tick it off",
		Long: `Print the task lists of a cook, each item with its number: of the one named, else
of the next one planned. Numbers behind it tick these items off; once more unticks
them. Any "- [ ] …" you write into a cook's file yourself counts.`,
		Example: `  ashbook ready harvest supper
  ashbook ready harvest supper 3 5`,
		RunE: func(_ *cobra.Command, args []string) error { return a.ready(args) },
	}
}

func (a *program) ready(args []string) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	words, numbers := typed.TrailingNumbers(args)
	s, err := a.toMakeReady(j, words, now)
	if err != nil {
		return err
	}
	f, err := j.Load(s.ID)
	if err != nil {
		return err
	}
	if len(numbers) > 0 {
		if f, err = tick(j, s.ID, f.Tasks(), numbers); err != nil {
			return err
		}
	}
	tasks := f.Tasks()
	if a.json {
		return a.printJSON(jsonout.ReadyOf(s.ID, tasks))
	}
	if len(tasks) == 0 {
		a.printf("%s holds no list; write \"- [ ] …\" lines into %s\n", s.Name(), s.Path)
		return nil
	}
	a.printPage(readyPage(s, tasks, now))
	return nil
}

// toMakeReady is the cook named, else the next one planned, else the one that
// is running.
func (a *program) toMakeReady(j *app.App, words []string, now time.Time) (folder.Summary, error) {
	if len(words) > 0 {
		return j.Resolve(a.ctx, words)
	}
	return j.NextToReady(a.ctx, now)
}

// tick turns the tasks of these numbers over.
func tick(j *app.App, id string, tasks []cookfile.Task, numbers []int) (cookfile.File, error) {
	for _, n := range numbers {
		if n < 1 || n > len(tasks) {
			return cookfile.File{}, hint(usage("task %d: the list of %s has %d", n, id, len(tasks)), "ashbook ready "+id)
		}
	}
	return j.Folder().Edit(id, func(f cookfile.File) (cookfile.File, error) {
		var err error
		for _, n := range numbers {
			if f, err = f.SetTask(tasks[n-1], !tasks[n-1].Done); err != nil {
				return cookfile.File{}, err
			}
		}
		return f, nil
	}, fmt.Sprintf("%s: made ready", id))
}

// readyPage is the list as it is printed and pinned up.
func readyPage(s folder.Summary, tasks []cookfile.Task, now time.Time) page.Page {
	p := page.Page{Title: s.Name()}
	if !s.Serve.IsZero() {
		p.Aside = "serve " + s.Serve.In(now.Location()).Format(measure.DayDateClock)
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
