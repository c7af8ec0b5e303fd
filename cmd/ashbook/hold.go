package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report/hold"
	"ashbook/report/safety"

	"github.com/spf13/cobra"
)

const holdHelp = `Say until when the box keeps the meat hot enough, give or take, what that means
for the meal, and what to do if it will not last; then the clock of the
leftovers, and every caution the notes give reason for.

Two core readings after "boxed" suffice; before that it goes by how your box
kept before. The limit is the one of journal.md, never below 57 °C (135 °F, FDA
Food Code 2022, 3-501.16). Nothing here says that food is safe: follow your
local food code.`

func (a *program) holdCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "hold [COOK]",
		Short: "Until when the box keeps it hot, and the leftovers",
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
