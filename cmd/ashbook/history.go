package main

import (
	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/folder"
	"ashbook/report"
	"errors"

	"github.com/spf13/cobra"
)

const historyHelp = `List the versions of a cook's file: who changed what and when. Number 1 is the oldest.
--at N shows what version N changed, entry by entry, and what would change now if you
brought it back. --bring N brings it back as a new version, so nothing is lost.
--before N brings back the version before it. Where two people's versions were
merged, the versions of both are listed.`

func (a *program) historyCommand() *cobra.Command {
	at, bring, before := 0, 0, 0
	cmd := &cobra.Command{
		Use:     "history COOK",
		Short:   "Who changed a cook, what and when; bring a version back",
		Long:    historyHelp,
		Example: "  ashbook history harvest\n  ashbook history harvest --at 12\n  ashbook history harvest --bring 12",
		Args:    flags.AtLeast(1),
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
			changed := cmd.Flags().Changed
			switch {
			case changed("bring"):
				return a.bring(j, s, found, bring, false)
			case changed("before"):
				return a.bring(j, s, found, before, true)
			case changed("at"):
				return a.oneVersion(j, s, found, at)
			}
			return a.show(jsonout.HistoryOf(s.ID, found.Told), report.Versions(s.Name(), found.Told))
		},
	}
	cmd.Flags().IntVar(&at, "at", 0, "show what version `N` changed")
	cmd.Flags().IntVar(&bring, "bring", 0, "bring version `N` back")
	cmd.Flags().IntVar(&before, "before", 0, "bring back the version before `N`")
	flags.Exclusive(cmd, "at", "bring", "before")
	return cmd
}

func (a *program) oneVersion(j *app.App, s folder.Summary, p app.Versions, n int) error {
	i, err := p.Number(n)
	if err != nil {
		return historyHint(err, s.ID)
	}
	changed, back, err := j.VersionChanges(s.ID, p, i)
	if err != nil {
		return err
	}
	return a.show(jsonout.VersionDetailOf(s.ID, p.Told[i], changed, back), report.OneVersion(s.Name(), p.Told[i], changed, back))
}

func (a *program) bring(j *app.App, s folder.Summary, p app.Versions, n int, before bool) error {
	v, what, err := j.BringBack(s.ID, p, n, before)
	if err != nil {
		return historyHint(err, s.ID)
	}
	return a.say(jsonout.BroughtOf(s.ID, v), textout.Brought(s, what, v, len(p.All)))
}

// historyHint adds to the error of a missing version how to list the versions.
func historyHint(err error, id string) error {
	if errors.As(err, new(typed.Mistake)) {
		return advice.With(err, "ashbook history "+id)
	}
	return err
}
