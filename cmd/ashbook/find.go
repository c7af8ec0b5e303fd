package main

import (
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/report"
	"ashbook/report/drivers"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

func (a *program) findCommand() *cobra.Command {
	var q lookup.Search
	var t lookup.Typed
	cmd := &cobra.Command{
		Use:   "find [WORDS]",
		Short: "Find cooks by words and by their details",
		Long: `Find cooks. Every word must occur somewhere in a cook's file: title, cut, pit,
wood or notes. Flags narrow the search.

Early and late mean an hour or more away from your own usual time for the cut.`,
		Example: `  ashbook find cherry bark
  ashbook find --cut shoulder --over 4kg --late`,
		RunE: func(_ *cobra.Command, args []string) error { return a.find(args, q, t) },
	}
	f := cmd.Flags()
	f.StringVar(&q.Cut, "cut", "", "cut, or a part of its name")
	f.StringVar(&q.Pit, "pit", "", "pit, or a part of its name")
	flags.Choice(cmd, &q.Wrap, "wrap", lookup.Wraps, "")
	flags.Choice(cmd, &q.State, "state", lookup.States, " (left open)")
	flags.Choice(cmd, &q.Season, "season", lookup.Seasons, ", in the northern half of the world")
	f.StringVar(&t.Since, "since", "", "cooks of this `DAY`, month or year and later")
	f.StringVar(&t.Until, "until", "", "cooks of this `DAY`, month or year and earlier")
	f.StringVar(&t.Over, "over", "", "the heaviest piece weighs this `WEIGHT` or more")
	f.StringVar(&t.Under, "under", "", "the heaviest piece weighs less than this `WEIGHT`")
	f.Float64Var(&q.Score, "score", 0, "the mean overall score is this or more, 1 to 9")
	f.BoolVar(&q.Early, "early", false, "off an hour or more before your usual time for the cut")
	f.BoolVar(&q.Late, "late", false, "off an hour or more after your usual time for the cut")
	f.BoolVar(&q.Aside, "aside", false, "only cooks that are left out of reports")
	return cmd
}

func (a *program) find(words []string, q lookup.Search, t lookup.Typed) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	sys := j.Settings().Units
	if err := q.Read(t, now, sys); err != nil {
		return err
	}
	q.Words = words
	found, problems, err := j.Find(a.ctx, q, now)
	if err != nil {
		return err
	}
	if a.json { // JSON needs no page of thousands of cooks
		return a.show(jsonout.FindsOf(found, problems), page.Page{})
	}
	return a.show(nil, textout.Found(found, words, len(problems), sys))
}

func (a *program) showCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "show [COOK]",
		Short: "Show one cook: set-up, readings, timeline, scores",
		Long:  "Show one cook. Name it by its file, by words of its title, cut, pit or day, or as\n\"last\". Without a name it shows the cook that is running.",
		RunE: func(_ *cobra.Command, args []string) error {
			j, now, f, err := a.openCompared(args)
			if err != nil {
				return err
			}
			others, err := j.Others(a.ctx, &f.Cook)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(jsonout.Show{Cook: jsonout.CookOf(&f.Cook, now), Judged: jsonout.JudgementOf(drivers.Judge(&f.Cook, others)), Problems: jsonout.ProblemsOf(f.Problems)})
			}
			a.printPage(report.Cook(&f.Cook, others, j.Settings(), now, f.Problems))
			return a.printComesOff(j, &f.Cook, now, true)
		},
	}
}
