package main

import (
	"fmt"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/drivers"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

// searchText is what was typed after the flags that are read with the journal's units
// and the clock's zone.
type searchText struct{ since, until, over, under string }

func (a *program) findCommand() *cobra.Command {
	var q app.Search
	var t searchText
	cmd := &cobra.Command{
		Use:   "find [WORDS]",
		Short: "Find cooks by words and by what they were",
		Long: `Find cooks. Every word must stand somewhere in a cook's file: title, cut, pit,
wood, notes. Flags narrow by what the cook was.

Early and late are against your own usual time for the cut, by an hour or more.`,
		Example: `  ashbook find cherry bark
  ashbook find --cut shoulder --over 4kg --late`,
		RunE: func(_ *cobra.Command, args []string) error { return a.find(args, q, t) },
	}
	f := cmd.Flags()
	f.StringVar(&q.Cut, "cut", "", "cut, or a part of its name")
	f.StringVar(&q.Pit, "pit", "", "pit, or a part of its name")
	choiceFlag(cmd, &q.Wrap, "wrap", app.FindWraps, "")
	choiceFlag(cmd, &q.State, "state", app.States, " (left open)")
	choiceFlag(cmd, &q.Season, "season", app.Seasons, ", of the north")
	f.StringVar(&t.since, "since", "", "`DAY`, month or year and later")
	f.StringVar(&t.until, "until", "", "`DAY`, month or year and earlier")
	f.StringVar(&t.over, "over", "", "heaviest piece of this `WEIGHT` or more")
	f.StringVar(&t.under, "under", "", "heaviest piece lighter than this `WEIGHT`")
	f.Float64Var(&q.Score, "score", 0, "mean overall score of this or more, 1 to 9")
	f.BoolVar(&q.Early, "early", false, "off an hour or more before your usual time for the cut")
	f.BoolVar(&q.Late, "late", false, "off an hour or more after it")
	f.BoolVar(&q.Aside, "aside", false, "only cooks that were put aside")
	return cmd
}

func (t searchText) read(q *app.Search, now time.Time, sys measure.System) error {
	weight := func(to *float64) func(string) error {
		return func(text string) error {
			m, err := measure.ParseMass(text, sys)
			*to = m.Base
			return err
		}
	}
	return readFlags(
		flagText{"--since", t.since, func(text string) (err error) { q.From, _, err = typed.Day(text, now.Location()); return err }},
		flagText{"--until", t.until, func(text string) (err error) { _, q.To, err = typed.Day(text, now.Location()); return err }},
		flagText{"--over", t.over, weight(&q.OverKg)},
		flagText{"--under", t.under, weight(&q.UnderKg)},
	)
}

func (a *program) find(words []string, q app.Search, t searchText) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	sys := j.Settings().Units
	if err := t.read(&q, now, sys); err != nil {
		return err
	}
	if q.Score < 0 || q.Score > 9 {
		return usage("--score %v: expected 1 to 9", q.Score)
	}
	q.Words = words
	found, problems, err := j.Find(a.ctx, q, now)
	if err != nil {
		return err
	}
	return a.show(jsonout.FindsOf(found, problems), foundPage(found, words, len(problems), sys))
}

// foundPage is the list of cooks that were looked for.
func foundPage(found []app.Found, words []string, problems int, sys measure.System) page.Page {
	p := page.Page{Title: measure.Count(len(found), "cook")}
	table := page.Table{Columns: []page.Column{
		{Title: "date"}, {Title: "cook"}, {Title: "cut"}, {Title: "weight", Right: true}, {Title: "pit", Gives: 2}, {Title: "wrap", Gives: 4},
		{Title: "took", Right: true, Gives: 1}, {Title: "liked", Right: true, Gives: 3}, {},
	}}
	for _, f := range found {
		table.Rows = append(table.Rows, page.Row{Cells: foundCells(f, sys)})
		if h := f.Hit; h.Line > 0 && !app.Named(f.Summary, words) {
			table.Rows = append(table.Rows, page.Row{Heading: fmt.Sprintf("    line %d: %s", h.Line, strings.TrimSpace(h.Text))})
		}
	}
	p.Add(page.Section{Table: table})
	if problems > 0 {
		p.Notes = append(p.Notes, measure.Count(problems, "line")+" in these files could not be read as meant: ashbook check lists them.")
	}
	return p
}

func foundCells(f app.Found, sys measure.System) []string {
	weight, hours, score := "", "", ""
	if f.Weight > 0 {
		weight = measure.FormatMass(f.Weight, sys)
	}
	if d, ok := app.Took(f.Summary); ok {
		hours = measure.FormatHours(d.Hours())
	}
	if f.Score > 0 {
		score = fmt.Sprintf("%.1f", f.Score)
	}
	var wraps []string
	for _, w := range f.Wraps {
		wraps = append(wraps, string(w))
	}
	state := string(f.State)
	if f.State == app.Finished {
		state = ""
	}
	return []string{f.Date.Format("2 Jan 2006"), f.Name(), f.Cut, weight, f.Pit, strings.Join(wraps, ", "), hours, score, state}
}

func (a *program) showCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "show [COOK]",
		Short: "Show one cook: set-up, course, timeline, scores",
		Long:  "Show one cook. A cook is named by its file, by words of its title, cut, pit or\nday, or as \"last\". Without a name it is the one that is running.",
		RunE: func(_ *cobra.Command, args []string) error {
			j, now, f, err := a.openCook(args)
			if err != nil {
				return err
			}
			var others []journal.Cook
			if _, done := f.Cook.Finish(); !done || len(f.Cook.Tasting) > 0 {
				if others, err = j.Past(a.ctx); err != nil {
					return err
				}
			}
			if a.json {
				return a.printJSON(jsonout.Show{Cook: jsonout.CookOf(&f.Cook, now), Judged: jsonout.JudgementOf(drivers.Judge(&f.Cook, others)), Problems: jsonout.ProblemsOf(f.Problems)})
			}
			p := report.Cook(&f.Cook, others, j.Settings(), now, f.Problems)
			a.printPage(p)
			return a.printComesOff(j, &f.Cook, now, true)
		},
	}
}
