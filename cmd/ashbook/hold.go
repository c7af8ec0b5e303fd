package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report/hold"
	"ashbook/report/safety"

	"github.com/spf13/cobra"
)

const holdHelp = `Say how long the box keeps the meat hot enough, what that means for the meal, and what
to do if it will not last. Then it lists the times for the leftovers, and every caution
that the notes give reason for.

Two core readings after "boxed" are enough; before that it uses how your box did on
other cooks. The limit is the one in journal.md, never below 57 °C (135 °F, FDA Food
Code 2022, 3-501.16). Nothing here says that food is safe: follow your local food code.`

func (a *program) holdCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "hold [COOK]",
		Short: "How long the box keeps the meat hot, and the leftovers",
		Long:  holdHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			j, now, f, err := a.openCook(args)
			if err != nil {
				return err
			}
			past, err := j.Past(a.ctx)
			if err != nil {
				return err
			}
			settings := j.Settings()
			return a.show(jsonout.HoldOf(&f.Cook, hold.Look(&f.Cook, past, settings, now), safety.Look(&f.Cook, settings, now)), hold.Page(&f.Cook, past, settings, now))
		},
	}
}
