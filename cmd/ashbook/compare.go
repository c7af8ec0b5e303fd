package main

import (
	"slices"
	"strings"

	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/journal/folder"
	"ashbook/report"
	"ashbook/report/attribution"

	"github.com/spf13/cobra"
)

func (a *program) besideCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "beside COOK COOK …",
		Short: "Show two or more cooks side by side",
		Long: `Show cooks side by side: set-up, times, readings and scores. Differences are marked.
Below that it says what made each of the others shorter or longer than the first cook,
in minutes that add up. Put a name of several words in quotes.`,
		Example: "  ashbook beside 2026-09-18 \"harvest 2025\"",
		Args:    flags.AtLeast(2),
		RunE: func(_ *cobra.Command, args []string) error {
			j, known, err := a.openKnown()
			if err != nil {
				return err
			}
			cooks, err := j.Cooks(a.ctx, args)
			if err != nil {
				return err
			}
			accounts, err := known.FromFirst(a.ctx, cooks)
			if err != nil {
				return err
			}
			return a.show(jsonout.BesideOf(cooks, accounts), report.Beside(cooks, accounts, j.Settings()))
		},
	}
}

func (a *program) whyCommand() *cobra.Command {
	var against string
	var plan, usual bool
	cmd := &cobra.Command{
		Use:   "why COOK",
		Short: "Why a cook was early or late, in minutes that add up",
		Long: `Compare a cook with its plan or, where it has none, with your usual cook of that cut.
Each difference gets its minutes and how sure they are. The minutes that nothing
explains have a line of their own, so that all lines add up. A comparison with your
usual cook also lists every difference in its own unit. Your own guess in the notes is
quoted, but not used.`,
		Example: `  ashbook why 2026-07-17
  ashbook why 2026-07-17 --usual
  ashbook why 2026-07-17 --against 2025-07-18`,
		Args: flags.AtLeast(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.why(args, against, plan, usual) },
	}
	cmd.Flags().StringVar(&against, "against", "", "compare it with this `COOK`")
	cmd.Flags().BoolVar(&plan, "plan", false, "compare it with its plan")
	cmd.Flags().BoolVar(&usual, "usual", false, "compare it with your usual cook, even where there is a plan")
	flags.Exclusive(cmd, "against", "plan", "usual")
	return cmd
}

func (a *program) why(args []string, against string, plan, usual bool) error {
	j, _, f, err := a.openCompared(args)
	if err != nil {
		return err
	}
	known, err := j.Known(a.ctx)
	if err != nil {
		return err
	}
	opt := attribution.Options{Plan: plan, Usual: usual}
	if against != "" {
		_, _, other, err := a.openCook(strings.Fields(against))
		if err != nil {
			return err
		}
		opt.Against = &other.Cook
	}
	e, err := known.Explain(a.ctx, &f.Cook, opt)
	if err != nil {
		return err
	}
	return a.show(jsonout.WhyOf(e.Comparison, e.Account), report.Why(e.Comparison, e.Account, e.Over, j.Settings()))
}

func (a *program) checkCommand() *cobra.Command {
	fold := false
	cmd := &cobra.Command{
		Use:   "check [DIR]",
		Short: "Read every file and list what is wrong",
		Long:  checkHelp,
		Args:  flags.AtMost(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				a.journal = args[0]
			}
			if fold {
				return a.fold()
			}
			a.checks = true
			j, now, err := a.openNow()
			if err != nil {
				return err
			}
			n, problems, notices, err := j.Check(a.ctx, now)
			if err != nil {
				return err
			}
			return a.sayWarned(jsonout.CheckOf(n, problems, notices), textout.Checked(n, problems, notices), len(problems) > 0)
		},
	}
	cmd.Flags().BoolVar(&fold, "fold", false, "merge the copies that a synced folder left")
	return cmd
}

const checkHelp = `Read every file of the journal and list what could not be read as meant, each
with its file, line and column. Nothing is changed. The exit code is 3 when there
is anything to look at.

A folder that another program keeps the same on several machines gets copies such
as "NAME (1).md" when two machines change a file at once. --fold merges each copy
into its original, just as sync merges two people's versions, and deletes the copy
once history has it. Where both set the same thing, it names both values. A copy of
another cook is left alone.`

// fold merges the copies left by a synced folder into their files.
func (a *program) fold() error {
	j, err := a.open()
	if err != nil {
		return err
	}
	done, err := j.Folder().Fold(a.ctx)
	if err != nil {
		return err
	}
	warned := slices.ContainsFunc(done, func(d folder.Folded) bool { return d.Left != "" || len(d.Conflicts) > 0 })
	return a.sayWarned(jsonout.FoldedOf(done), textout.Folded(done), warned)
}
