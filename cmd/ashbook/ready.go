package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/report"

	"github.com/spf13/cobra"
)

func (a *program) readyCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "ready [COOK] [NUMBER …]",
		Short: "What to make ready and to buy: print the list, tick it off",
		Long: `Print the task lists of a cook, each item with its number: of the one named, else
of the next one planned. Numbers behind it tick these items off; once more unticks
them. Any "- [ ] …" you write into a cook's file yourself counts.`,
		Example: `  ashbook ready harvest supper
  ashbook ready harvest supper 3 5`,
		RunE: func(_ *cobra.Command, args []string) error { return a.ready(args) },
	}
}

func (a *program) ready(args []string) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	words, numbers := typed.TrailingNumbers(args)
	s, err := j.NextToReady(a.ctx, words, now)
	if err != nil {
		return err
	}
	tasks, err := j.TurnTasks(s.ID, numbers)
	if err != nil {
		return err
	}
	if len(tasks) == 0 && !a.json {
		a.printLines(textout.NoTasks(s))
		return nil
	}
	return a.show(jsonout.ReadyOf(s.ID, tasks), report.Ready(s.Name(), s.Serve.In(now.Location()), tasks, j.Settings().Units))
}
