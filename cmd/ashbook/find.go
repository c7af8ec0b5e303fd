package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/drivers"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

type search struct {
	cut, pit, wrap, state, season string
	since, until                  string
	over, under                   string
	score                         float64
	early, late, aside            bool
	from, to                      time.Time
	overKg, underKg               float64
}

// earlyBy is how far off the usual time for the cut counts as early or late
// unless it is a small part of it (chosen).
const earlyBy = time.Hour

func (a *program) findCommand() *cobra.Command {
	var q search
	cmd := &cobra.Command{
		Use:   "find [WORDS]",
		Short: "Find cooks by words and by what they were",
		Long: `Find cooks. Every word must stand somewhere in a cook's file: title, cut, pit,
wood, notes. Flags narrow by what the cook was.

Early and late are against your own usual time for the cut, by an hour or more.`,
		Example: `  ashbook find cherry bark
  ashbook find --cut shoulder --over 4kg --late`,
		RunE: func(_ *cobra.Command, args []string) error { return a.find(args, q) },
	}
	f := cmd.Flags()
	f.StringVar(&q.cut, "cut", "", "cut, or a part of its name")
	f.StringVar(&q.pit, "pit", "", "pit, or a part of its name")
	f.StringVar(&q.wrap, "wrap", "", "foil, paper, boat, pan or none")
	f.StringVar(&q.state, "state", "", "planned, running, finished or open (left open)")
	f.StringVar(&q.season, "season", "", "spring, summer, autumn or winter, of the north")
	f.StringVar(&q.since, "since", "", "`DAY`, month or year and later")
	f.StringVar(&q.until, "until", "", "`DAY`, month or year and earlier")
	f.StringVar(&q.over, "over", "", "heaviest piece of this `WEIGHT` or more")
	f.StringVar(&q.under, "under", "", "heaviest piece lighter than this `WEIGHT`")
	f.Float64Var(&q.score, "score", 0, "mean overall score of this or more, 1 to 9")
	f.BoolVar(&q.early, "early", false, "off an hour or more before your usual time for the cut")
	f.BoolVar(&q.late, "late", false, "off an hour or more after it")
	f.BoolVar(&q.aside, "aside", false, "only cooks that were put aside")
	cmd.RegisterFlagCompletionFunc("wrap", fixed("foil", "paper", "boat", "pan", "none"))
	cmd.RegisterFlagCompletionFunc("state", fixed("planned", "running", "finished", "open"))
	cmd.RegisterFlagCompletionFunc("season", fixed("spring", "summer", "autumn", "winter"))
	return cmd
}

func fixed(words ...string) func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)
}

// months of the meteorological seasons of the northern half.
var seasons = map[string][]time.Month{
	"spring": {3, 4, 5}, "summer": {6, 7, 8}, "autumn": {9, 10, 11}, "winter": {12, 1, 2},
}

func (q *search) read(now time.Time, sys measure.System) error {
	var err error
	if q.since != "" {
		if q.from, _, err = app.ParseDay(q.since, now.Location()); err != nil {
			return usage("--since: %v", err)
		}
	}
	if q.until != "" {
		if _, q.to, err = app.ParseDay(q.until, now.Location()); err != nil {
			return usage("--until: %v", err)
		}
	}
	q.underKg = math.Inf(1)
	for _, w := range []struct {
		flag, text string
		kg         *float64
	}{{"--over", q.over, &q.overKg}, {"--under", q.under, &q.underKg}} {
		if w.text != "" {
			m, err := measure.ParseMass(w.text, sys)
			if err != nil {
				return usage("%s: %v", w.flag, err)
			}
			*w.kg = m.Base
		}
	}
	if _, ok := seasons[q.season]; q.season != "" && !ok {
		return usage("--season %q: expected spring, summer, autumn or winter", q.season)
	}
	if _, ok := journal.ParseWrap(q.wrap); q.wrap != "" && q.wrap != "none" && !ok {
		return usage("--wrap %q: expected foil, paper, boat, pan or none", q.wrap)
	}
	if q.state != "" && !slices.Contains([]string{"planned", "running", "finished", "open"}, q.state) {
		return usage("--state %q: expected planned, running, finished or open", q.state)
	}
	if q.score < 0 || q.score > 9 {
		return usage("--score %v: expected 1 to 9", q.score)
	}
	return nil
}

// wants reports whether a cook is one of those asked for; usual holds the
// median hours of each cut.
func (q *search) wants(s folder.Summary, now time.Time, usual map[string]time.Duration) bool {
	contains := func(text, part string) bool {
		return part == "" || strings.Contains(strings.ToLower(text), strings.ToLower(part))
	}
	day := s.Date
	switch {
	case !contains(s.Cut, q.cut), !contains(s.Pit, q.pit):
		return false
	case q.wrap == "none" && (len(s.Wraps) > 0 || s.Finish.IsZero()):
		return false
	case q.wrap != "" && q.wrap != "none" && !slices.ContainsFunc(s.Wraps, func(w journal.Wrap) bool { return strings.EqualFold(string(w), q.wrap) }):
		return false
	case q.season != "" && !slices.Contains(seasons[q.season], day.Month()):
		return false
	case !q.from.IsZero() && day.Before(q.from), !q.to.IsZero() && !day.Before(q.to):
		return false
	case q.over != "" && s.Heaviest < q.overKg-1e-9, q.under != "" && (s.Heaviest == 0 || s.Heaviest >= q.underKg-1e-9):
		return false
	case q.score > 0 && s.Score < q.score-1e-9:
		return false
	case q.state != "" && string(app.StateOf(s, now)) != q.state:
		return false
	}
	if q.early || q.late {
		took, ok := app.Took(s)
		mid, known := usual[strings.ToLower(s.Cut)]
		early, late := took <= mid-earlyBy, took >= mid+earlyBy
		return ok && known && (q.early && early || q.late && late)
	}
	return true
}

// usualTimes is the median time of each cut.
func usualTimes(all []folder.Summary) map[string]time.Duration {
	byCut := map[string][]time.Duration{}
	for _, s := range all {
		if d, ok := app.Took(s); ok {
			cut := strings.ToLower(s.Cut)
			byCut[cut] = append(byCut[cut], d)
		}
	}
	mid := map[string]time.Duration{}
	for cut, ds := range byCut {
		slices.Sort(ds)
		mid[cut] = (ds[(len(ds)-1)/2] + ds[len(ds)/2]) / 2
	}
	return mid
}

func (a *program) find(words []string, q search) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	settings := j.Settings()
	if err := q.read(now, settings.Units); err != nil {
		return err
	}
	all, problems, err := j.Folder().List(a.ctx)
	if err == nil && q.aside {
		all, err = j.Folder().Aside(a.ctx)
	}
	if err != nil {
		return err
	}
	hits := map[string]folder.Hit{}
	if len(words) > 0 {
		found, _, err := j.Folder().Search(a.ctx, words)
		if err != nil {
			return err
		}
		for _, h := range found {
			hits[h.ID] = h
		}
	}
	usual := usualTimes(all)
	var found []folder.Summary
	for _, s := range all {
		if _, hit := hits[s.ID]; (hit || len(words) == 0) && q.wants(s, now, usual) {
			found = append(found, s)
		}
	}
	slices.SortStableFunc(found, func(x, y folder.Summary) int { return cmp.Compare(rank(x, now), rank(y, now)) })
	if a.json {
		out := jsonout.Finds{Cooks: []jsonout.Found{}, Problems: jsonout.ProblemsOf(problems)}
		for _, s := range found {
			out.Cooks = append(out.Cooks, jsonout.FoundOf(s, now, hits[s.ID]))
		}
		return a.printJSON(out)
	}
	p := page.Page{Title: measure.Count(len(found), "cook")}
	table := page.Table{Columns: []page.Column{
		{Title: "date"}, {Title: "cook"}, {Title: "cut"}, {Title: "weight", Right: true}, {Title: "pit", Gives: 2}, {Title: "wrap", Gives: 4},
		{Title: "took", Right: true, Gives: 1}, {Title: "liked", Right: true, Gives: 3}, {},
	}}
	for _, s := range found {
		table.Rows = append(table.Rows, page.Row{Cells: foundCells(s, now, settings.Units)})
		if h := hits[s.ID]; h.Line > 0 && !app.Named(s, words) {
			table.Rows = append(table.Rows, page.Row{Heading: fmt.Sprintf("    line %d: %s", h.Line, strings.TrimSpace(h.Text))})
		}
	}
	p.Add(page.Section{Table: table})
	if n := len(problems); n > 0 {
		p.Notes = append(p.Notes, measure.Count(n, "line")+" in these files could not be read as meant: ashbook check lists them.")
	}
	a.printPage(p)
	return nil
}

// rank puts what runs first, then what is planned, then the rest as listed.
func rank(s folder.Summary, now time.Time) int {
	switch string(app.StateOf(s, now)) {
	case "running":
		return 0
	case "planned":
		return 1
	}
	return 2
}

func foundCells(s folder.Summary, now time.Time, sys measure.System) []string {
	weight, hours, score := "", "", ""
	if s.Weight > 0 {
		weight = measure.FormatMass(s.Weight, sys)
	}
	if d, ok := app.Took(s); ok {
		hours = measure.FormatHours(d.Hours())
	}
	if s.Score > 0 {
		score = fmt.Sprintf("%.1f", s.Score)
	}
	var wraps []string
	for _, w := range s.Wraps {
		wraps = append(wraps, string(w))
	}
	state := string(app.StateOf(s, now))
	if state == "finished" {
		state = ""
	}
	return []string{s.Date.Format("2 Jan 2006"), s.Name(), s.Cut, weight, s.Pit, strings.Join(wraps, ", "), hours, score, state}
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
