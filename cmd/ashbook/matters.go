package main

import (
	"strings"

	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report"
	"ashbook/report/drivers"

	"github.com/spf13/cobra"
)

func (a *program) mattersCommand() *cobra.Command {
	targets := drivers.Targets()
	return &cobra.Command{
		Use:   "matters [TARGET]",
		Short: "What changes time and scores over your cooks, and what is not known yet",
		Long: `Weigh everything in the notes against one target: ` + strings.Join(targets, ", ") + `
(time, if you name none). For each cause it shows the effect of a stated change, its
80 % range, the cooks on each side, and whether they are enough to rule out chance.`,
		Args:      flags.AtMost(1),
		ValidArgs: targets,
		RunE: func(_ *cobra.Command, args []string) error {
			target := drivers.Time
			if len(args) == 1 {
				var err error
				if target, err = drivers.ParseTarget(args[0]); err != nil {
					return usage("%v", err)
				}
			}
			j, known, err := a.openKnown()
			if err != nil {
				return err
			}
			r, err := known.Matters(a.ctx, target)
			if err != nil {
				return err
			}
			return a.show(jsonout.MattersOf(r), report.Matters(r, j.Settings()))
		},
	}
}
