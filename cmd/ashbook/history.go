package main

import (
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/journal/folder"
	"ashbook/report"

	"github.com/spf13/cobra"
)

const historyHelp = `List the versions of a cook's file: who changed what and when, the oldest being
number 1. --at N tells what that version changed, entry by entry, and what
bringing it back would change now; --bring N brings it back, as a new version:
nothing vanishes.`

func (a *program) historyCommand() *cobra.Command {
	at, bring := 0, 0
	cmd := &cobra.Command{
		Use:     "history COOK",
		Short:   "Who changed a cook, what and when; bring a version back",
		Long:    historyHelp,
		Example: "  ashbook history harvest\n  ashbook history harvest --at 12\n  ashbook history harvest --bring 12",
		Args:    atLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			j, now, err := a.openNow()
			if err != nil {
				return err
			}
			s, err := j.Resolve(a.ctx, args)
			if err != nil {
				return err
			}
			found, err := j.Versions(s.ID, now.Location())
			if err != nil {
				return err
			}
			switch {
			case cmd.Flags().Changed("at") && cmd.Flags().Changed("bring"):
				return usage("--at and --bring do not go together")
			case cmd.Flags().Changed("bring"):
				return a.bring(j, s, found, bring)
			case cmd.Flags().Changed("at"):
				return a.oneVersion(j, s, found, at)
			}
			return a.show(jsonout.HistoryOf(s.ID, found.Told), report.Versions(s.Name(), found.Told))
		},
	}
	cmd.Flags().IntVar(&at, "at", 0, "tell what version `N` changed")
	cmd.Flags().IntVar(&bring, "bring", 0, "bring version `N` back")
	return cmd
}

func (a *program) oneVersion(j *app.App, s folder.Summary, p app.Versions, n int) error {
	i, err := p.Number(n)
	if err != nil {
		return hint(err, "ashbook history "+s.ID)
	}
	changed, back, err := j.VersionChanges(s.ID, p, i)
	if err != nil {
		return err
	}
	return a.show(jsonout.VersionDetailOf(s.ID, p.Told[i], changed, back), report.OneVersion(s.Name(), p.Told[i], changed, back))
}

func (a *program) bring(j *app.App, s folder.Summary, p app.Versions, n int) error {
	i, err := p.Number(n)
	if err != nil {
		return hint(err, "ashbook history "+s.ID)
	}
	if err := j.Bring(s.ID, p.All[i].Hash, p.Told[i].When); err != nil {
		return err
	}
	return a.say(jsonout.BroughtOf(s.ID, p.Told[i]), textout.Brought(s, p.Told[i], len(p.All)))
}
