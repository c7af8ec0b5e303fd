package main

import (
	"strings"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/report"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

const tasteHelp = `Save the eaters' scores, 1 to 9 for how well each is liked: tenderness, moisture, bark,
smoke, salt, overall. A + after a score means too much of it, a - too little; a lone .
skips one. Put each eater's initials before the scores; the six may be written together.
New scores of an eater replace the old ones. Scores may come days later.

Beside the mean of all eaters it shows what average eaters would have given. How strict
an eater is shows in the other cooks they scored.

With or without scores, --keep and --change say what to do again and what to do
differently; your next cook of that cut shows them. --off, --discard and --left are
weights: as it came off, bone and fat, left over. workback learns from them. Each
replaces the old value, which is shown; "" deletes it.`

func (a *program) tasteCommand() *cobra.Command {
	var texts [len(journal.Afters)]string
	cmd := &cobra.Command{
		Use:   "taste [COOK] [EATER SCORES …]",
		Short: "Save the eaters' scores of a cook, what to keep and to change",
		Long:  tasteHelp,
		Example: `  ashbook taste harvest RT 8 7 7 6 6+ 8 MB 787658
  ashbook taste harvest --keep "cherry only in the first two hours" --change "start an hour later"
  ashbook taste harvest --off 5.2kg --discard 0.7kg --left 0.8kg`,
	}
	for i, does := range [...]string{
		journal.ToKeep: "what to do again, in `WORDS`", journal.ToChange: "what to do differently, in `WORDS`",
		journal.CameOff: "the `WEIGHT` as it came off, such as 5.2kg", journal.Discarded: "the `WEIGHT` of bone and fat", journal.LeftOver: "the `WEIGHT` left over",
	} {
		cmd.Flags().StringVar(&texts[i], journal.After(i).String(), "", does)
	}
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		var after []app.Written
		for _, w := range journal.Afters {
			if cmd.Flags().Changed(w.String()) {
				after = append(after, app.Written{What: w, Is: texts[w]})
			}
		}
		if len(after) == 0 {
			if err := flags.AtLeast(2)(cmd, args); err != nil {
				return err
			}
		}
		return a.taste(args, after)
	}
	return cmd
}

func (a *program) taste(args []string, after []app.Written) error {
	ref, tastes, err := typed.Tastes(args)
	if err != nil {
		return usage("%v", err)
	}
	if len(after) == 0 && len(tastes) == 0 {
		return advice.With(usage("no eater with scores in %q: expected initials, then six scores", strings.Join(args, " ")), "ashbook taste RT 8 7 7 6 6+ 8")
	}
	j, err := a.open()
	if err != nil {
		return err
	}
	if len(ref) == 0 {
		ref = []string{"last"}
	}
	s, err := j.Resolve(a.ctx, ref)
	if err != nil {
		return err
	}
	got, err := j.Taste(s.ID, tastes, after)
	if err != nil {
		return err
	}
	known, err := j.Known(a.ctx)
	if err != nil {
		return err
	}
	judged := known.Judge(&got.Cook)
	if a.json {
		return a.printJSON(jsonout.TastedOf(got, judged))
	}
	a.printLines(textout.Tasted(got, tastes))
	if len(tastes) == 0 {
		return nil
	}
	all := page.Page{Title: "all eaters"}
	all.Add(report.Tasted(judged))
	a.printf("\n")
	a.printPage(all)
	return nil
}
