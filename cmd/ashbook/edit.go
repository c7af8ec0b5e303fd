package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/textout"

	"github.com/spf13/cobra"
)

const editHelp = `Open a cook's file in your own editor: $VISUAL, or $EDITOR, or vi. When you leave the
editor, ashbook reads the file again, names the line and column of anything it cannot
read, and saves the version in history. It changes nothing in the file.

Without a name it opens the cook that is running.`

func (a *program) editCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "edit [COOK]",
		Short: "Open a cook's file in your editor, then read it again",
		Long:  editHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			j, now, err := a.openNow()
			if err != nil {
				return err
			}
			s, err := j.ResolveOrRunning(a.ctx, args, now)
			if err != nil {
				return err
			}
			e, err := j.Edit(s.ID)
			if err != nil {
				return err
			}
			run, err := machine.Editor(a.getenv, e.File)
			if err != nil {
				return err
			}
			run.Stdin, run.Stdout, run.Stderr = a.in, a.out, a.err
			got, err := e.Done(run.Args[0], run.Run())
			if err != nil {
				return err
			}
			return a.sayWarned(jsonout.EditedOf(s.ID, got), textout.Edited(s, got), len(got.Problems) > 0 && !a.json)
		},
	}
}
