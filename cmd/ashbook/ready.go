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
		Short: "The lists of what to prepare and to buy: print them, tick items off",
		Long: `Print the task lists of a cook, with a number for each item. Without a name it is the
next planned cook. Numbers after the name tick those items off; the same numbers again
untick them. Every "- [ ] …" that you write into a cook's file yourself is an item too.`,
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
