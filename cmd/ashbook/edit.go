package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/textout"

	"github.com/spf13/cobra"
)

const editHelp = `Open a cook's file in your own editor: $VISUAL, else $EDITOR, else vi. When you
leave it the file is read again, what cannot be read as meant is told with its
line and column, and the version goes into history. Nothing is rewritten.

Without a name it is the cook that is running.`

func (a *program) editCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "edit [COOK]",
		Short: "Open a cook's file in your editor, and read it again",
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
			if err := a.say(jsonout.EditedOf(s.ID, got), textout.Edited(s, got)); err != nil || len(got.Problems) == 0 || a.json {
				return err
			}
			return errWarnings
		},
	}
}
