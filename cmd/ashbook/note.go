package main

import (
	"context"
	"maps"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/report"

	"github.com/spf13/cobra"
)

const noteHelp = `Note readings and acts at the pit, in one line. Numbers come first: pit, core, then the
core of the second piece. A lone number is the pit or the core, whichever was nearer.

  v vent   f fuel   w wood   l lid   s spritz   t turn
  b1 bark (0 pale … 4 too dark)   p2 feel (0 hard … 3 slides in)
  r30 look again in 30 min

For anything else type its word, or enough letters to tell it from the others: on, off,
wrap paper, rest, boxed, aim pit 120. -20 means twenty minutes ago, 01:10 the last ten
past one. Ordinary words work too: "spritzed and rotated 20 min ago", "added 2 chunks
of oak", "rain started". What ashbook does not understand is kept as words, and so is
everything after --. "ashbook note undo" undoes the last entry.

The line goes to the cook that is running; --cook names another.`

func (a *program) noteCommand() *cobra.Command {
	return &cobra.Command{
		Use:                "note [--cook COOK] READINGS AND ACTS [-- WORDS]",
		Short:              "Note readings, acts or words in the running cook",
		Long:               noteHelp,
		Example:            "  ashbook note 112 71 w cherry 90 v -20 -- pale on the left",
		DisableFlagParsing: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			var ref string
			l, err := a.lineArgs(args, map[string]*string{"--cook": &ref}, nil)
			switch line := l.From(0); {
			case err != nil:
				return err
			case l.Help || line == "":
				return cmd.Help()
			default:
				return a.note(ref, line)
			}
		},
	}
}

// lineArgs reads the arguments of a command that takes an entry line.
func (a *program) lineArgs(args []string, values map[string]*string, switches map[string]*bool) (l typed.LineArgs, err error) {
	all := map[string]*string{"--journal": &a.journal, "--now": &a.clock}
	maps.Copy(all, values)
	on := map[string]*bool{"--json": &a.json, "--help": &l.Help, "-h": &l.Help}
	maps.Copy(on, switches)
	return l, l.Read(args, all, on)
}

func (a *program) note(ref, line string) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	found, err := j.ResolveOrRunning(a.ctx, strings.Fields(ref), now)
	if err != nil {
		return err
	}
	got, err := j.NoteUnseen(found.ID, line, now)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(jsonout.NotedOf(found.ID, got))
	}
	a.printLines(append(textout.Noted(got), cautions(a.ctx, j, &got.Cook, now)...))
	if err := a.close(); err != nil { // committed before anything is computed
		return err
	}
	return a.printComesOff(j, &got.Cook, now, false)
}

// printComesOff prints when a running cook is ready to take off, and with reasons why.
func (a *program) printComesOff(j *app.App, c *journal.Cook, now time.Time, reasons bool) error {
	if !c.Running(now) {
		return nil
	}
	off, ok, err := j.ComesOff(a.ctx, c, now, a.progress("reading past cooks"))
	if err != nil || !ok {
		return err
	}
	why := []string{report.BasedOn(off.Forecast, c.Cut)}
	if reasons {
		why = append(off.Reasons, off.Notes...)
	}
	a.printLines(append(off.Lines(c, j.Settings().Units), why...))
	return nil
}

// cautions returns the urgent cautions of a cook.
func cautions(ctx context.Context, j *app.App, c *journal.Cook, now time.Time) []string {
	if f, ok := j.Care(ctx, c, now); ok {
		return []string{textout.Caution(f)}
	}
	return nil
}
