package main

import (
	"errors"
	"fmt"
	"os"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/manual"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/samples"

	"github.com/spf13/cobra"
)

func (a *program) tryCommand() *cobra.Command {
	var keep string
	cmd := &cobra.Command{
		Use:   "try",
		Short: "Look around in a temporary copy of an invented journal",
		Long: `Open the Shelf of an invented journal: a village hall that cooks for harvest and
feast-day suppers. Type, note and taste as you like: it is a copy, and it is deleted
when you leave. Its clock starts in the middle of a night's cook.`,
		Args: flags.None,
		RunE: func(*cobra.Command, []string) error { return a.try(keep) },
	}
	a.plainFlag(cmd)
	cmd.Flags().StringVar(&keep, "keep", "", "put the copy into this new `DIR` and keep it")
	return cmd
}

func (a *program) try(keep string) error {
	now, err := a.nowTime()
	if err != nil {
		return err
	}
	dir := a.path(keep)
	if keep != "" {
		if err = machine.NewFolder(dir); errors.As(err, new(machine.NotEmpty)) {
			err = usage("%v", err)
		}
	} else if dir, err = os.MkdirTemp("", "ashbook-try-"); err == nil {
		a.cleanup = append(a.cleanup, func() error { return os.RemoveAll(dir) })
	}
	if err != nil {
		return err
	}
	if err := os.CopyFS(dir, samples.FS()); err != nil {
		return err
	}
	started, sample := now, samples.Now()
	if a.clock == "" {
		clock := a.now
		a.now = func() time.Time { return sample.Add(clock().Sub(started)) }
	}
	if _, err := folder.Init(dir, measure.Metric, a.now()); err != nil {
		return err
	}
	a.journal = dir
	if keep != "" {
		a.printf("the sample journal is in %s\n", dir)
	}
	return a.shelf()
}

func (a *program) initCommand() *cobra.Command {
	units := "metric"
	var driver bool
	cmd := &cobra.Command{
		Use:   "init [DIR]",
		Short: "Begin a journal, or put a folder of cooks under git",
		Long: `Begin a journal in DIR (else in your data folder): journal.md, a folder for
cooks, and git to keep every version. In a folder that has cooks already, only
what is missing is added; no cook is changed.

With --driver git merges two people's versions of a cook with "ashbook merge", at
every git pull and git merge in this copy of the journal.`,
		Args: flags.AtMost(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := a.journal
			if len(args) == 1 {
				dir = args[0]
			}
			if dir == "" {
				if found, err := folder.Find(a.dir, a.getenv("ASHBOOK_JOURNAL"), machine.DataFolder(a.getenv)); err == nil {
					dir = found
				} else if dir = machine.DataFolder(a.getenv); dir == "" {
					return usage("there is no data folder: name a folder for the journal")
				}
			}
			dir = a.path(dir)
			sys, err := measure.ParseSystem(units)
			if err != nil {
				return usage("--units: %v", err)
			}
			now, err := a.nowTime()
			if err != nil {
				return err
			}
			made, err := folder.Init(dir, sys, now)
			if err != nil {
				return err
			}
			if driver {
				if err := app.UseDriver(dir, now); err != nil {
					return err
				}
				made = append(made, "git merges cooks with ashbook merge")
			}
			return a.say(jsonout.BegunOf(dir, made), textout.Begun(dir, made))
		},
	}
	flags.Choice(cmd, &units, "units", []string{"metric", "us"}, ", for numbers without a unit")
	cmd.Flags().BoolVar(&driver, "driver", false, "let git merge cooks with ashbook")
	return cmd
}

func (a *program) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "man DIR",
		Short: "Write the manual pages into a folder",
		Args:  flags.Exactly(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := a.path(args[0])
			if err := os.MkdirAll(dir, 0o755); err != nil {
				return err
			}
			now, err := a.nowTime()
			if err != nil {
				return err
			}
			if err := manual.Write(dir, cmd.Root(), now); err != nil {
				return fmt.Errorf("manual pages: %w", err)
			}
			a.printf("manual pages are in %s\n", dir)
			return nil
		},
	}
}
