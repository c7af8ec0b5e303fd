package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"

	"ashbook/journal"
	"ashbook/report"
	"ashbook/report/drivers"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

const tasteHelp = `Keep what the eaters say, 1 to 9 for how well each is liked: tenderness,
moisture, bark, smoke, salt, overall. A + after a score says too much of it, a -
too little; a lone . leaves one out. Name each eater by initials before the
scores; the six may be run together. An eater who scored before is scored anew.
Scores may come days later.

What all eaters came to is told beside what it would be had average eaters judged
it: who is severe shows in the other cooks they scored.

With or without scores, --keep and --change say what to do again and what to do
differently; the next such cook shows them. --off, --discard and --left are
weights: as it came off, bone and fat, left over; workback learns from them. Each
takes the place of what stood there, which is told; "" takes it out.`

func (a *program) tasteCommand() *cobra.Command {
	var texts [len(journal.Afters)]string
	cmd := &cobra.Command{
		Use:   "taste [COOK] [EATER SCORES …]",
		Short: "Keep the eaters' scores of a cook, what to keep and to change",
		Long:  tasteHelp,
		Example: `  ashbook taste harvest RT 8 7 7 6 6+ 8 MB 787658
  ashbook taste harvest --keep "cherry only in the first two hours" --change "start an hour later"
  ashbook taste harvest --off 5.2kg --discard 0.7kg --left 0.8kg`,
	}
	for i, does := range [...]string{
		journal.ToKeep: "what to do again, in `WORDS`", journal.ToChange: "what to do differently, in `WORDS`",
		journal.CameOff: "`WEIGHT` as it came off, such as 5.2kg", journal.Discarded: "`WEIGHT` of bone and fat", journal.LeftOver: "`WEIGHT` left over",
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
			if err := atLeast(2)(cmd, args); err != nil {
				return err
			}
		}
		return a.taste(args, after)
	}
	return cmd
}

func (a *program) taste(args []string, after []app.Written) error {
	ref := args
	var tastes []journal.Taste
	var err error
	if len(after) == 0 || slices.ContainsFunc(args, isScores) {
		if ref, tastes, err = parseTastes(args); err != nil {
			return err
		}
	}
	j, now, err := a.openNow()
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
	past, err := j.Past(a.ctx)
	if err != nil {
		return err
	}
	judged := drivers.Judge(&got.Cook, past)
	if a.json {
		r := jsonout.CookOf(&got.Cook, now)
		return a.printJSON(jsonout.Tasted{Cook: s.ID, Tasting: r.Tasting, Judgement: jsonout.JudgementOf(judged), Written: jsonout.WrittenOf(got.Written)})
	}
	a.printf("kept for %s:\n", got.Cook.Name())
	for _, t := range tastes {
		a.printf("  %s\n", app.ScoreLine(t))
	}
	a.tellWritten(got.Written, s.ID)
	if len(tastes) == 0 {
		return nil
	}
	all := page.Page{Title: "all eaters"}
	all.Add(report.Tasted(judged))
	a.printf("\n")
	a.printPage(all)
	return nil
}

// parseTastes splits the arguments into the words that name the cook and the
// eaters' rows: an eater is the argument just before a score.
func parseTastes(args []string) (ref []string, tastes []journal.Taste, err error) {
	first := slices.IndexFunc(args, isScores)
	if first < 1 {
		return nil, nil, hint(usage("no eater with scores in %q: expected initials, then six scores", strings.Join(args, " ")), "ashbook taste RT 8 7 7 6 6+ 8")
	}
	ref = args[:first-1]
	for i := first - 1; i < len(args); {
		t := journal.Taste{Eater: args[i]}
		i++
		n := 0
		for ; i < len(args) && isScores(args[i]); i++ {
			for _, s := range splitScores(args[i]) {
				if n == len(t.Scores) {
					return nil, nil, usage("%s has more than six scores", t.Eater)
				}
				if s != "." {
					if t.Scores[n], err = journal.ParseScore(s); err != nil {
						return nil, nil, usage("%s, %s: %v", t.Eater, journal.Traits[n], err)
					}
				}
				n++
			}
		}
		if n != len(t.Scores) {
			return nil, nil, usage("%s has %d of six scores; a lone . leaves one out", t.Eater, n)
		}
		if slices.ContainsFunc(tastes, func(o journal.Taste) bool { return strings.EqualFold(o.Eater, t.Eater) }) {
			return nil, nil, usage("%s is there twice", t.Eater)
		}
		tastes = append(tastes, t)
	}
	return ref, tastes, nil
}

// isScores reports whether an argument is one score, or about six run together;
// a year or a day that names a cook is not.
func isScores(s string) bool {
	if s == "" || strings.Trim(s, "0123456789+-.") != "" || !unicode.IsDigit(rune(s[0])) && s[0] != '.' {
		return false
	}
	_, day := journal.DateOfID(s)
	n := len(splitScores(s))
	return !day && (n == 1 || n >= 5)
}

// splitScores parts scores that are run together: "8776+58".
func splitScores(s string) []string {
	var out []string
	for _, r := range s {
		if (r == '+' || r == '-') && len(out) > 0 {
			out[len(out)-1] += string(r)
			continue
		}
		out = append(out, fmt.Sprintf("%c", r))
	}
	return out
}
