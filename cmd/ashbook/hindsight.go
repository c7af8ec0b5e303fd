package main

import (
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/report"
	"ashbook/report/forecast"
	"ashbook/report/hindsight"

	"github.com/spf13/cobra"
)

func (a *program) hindsightCommand() *cobra.Command {
	var known struct{ others, alone, moments bool }
	cmd := &cobra.Command{
		Use:   "hindsight [DIR]",
		Short: "Replay finished cooks: how far off the forecasts would have been",
		Long: `Replay every finished cook at several moments, with only what was written down by
then and only the cooks that were over before it began. Compare the forecast with
simple rules: the average of the cut, hours per kg, a straight line, cooks that looked
alike, and what others took from that core. This shows how far you can trust READY TO
TAKE OFF. The moments are equal parts of every cook and the times at which somebody
read a core (for a probe, every hour).`,
		Args: flags.AtMost(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				a.journal = args[0]
			}
			j, err := a.openOnce()
			if err != nil {
				return err
			}
			opt := hindsight.Options{Known: knownTo(known.others, known.alone), Progress: a.progress("replaying")}
			r, err := j.Hindsight(a.ctx, opt, a.progress("reading past cooks"))
			if err != nil {
				return err
			}
			return a.show(jsonout.HindsightOf(r, known.moments), report.Hindsight(r))
		},
	}
	cmd.Flags().BoolVar(&known.others, "leave-one-out", false, "each forecast may use all other cooks, later ones too")
	cmd.Flags().BoolVar(&known.alone, "alone", false, "each forecast may use no other cook, as on somebody's first")
	cmd.Flags().BoolVar(&known.moments, "moments", false, "with --json: include every replayed moment")
	flags.Exclusive(cmd, "leave-one-out", "alone")
	return cmd
}

// knownTo returns, from the flags, which cooks a replayed cook may know.
func knownTo(others, alone bool) forecast.Known {
	switch {
	case others:
		return forecast.Others
	case alone:
		return forecast.Nobody
	}
	return forecast.Earlier
}

// progress returns a function that shows how far long work is, if there is a terminal.
func (a *program) progress(what string) func(done, of int) { return machine.Progress(a.err, what) }
