package main

import (
	"context"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/journal/measure"
	"ashbook/journal/syncer"

	"github.com/spf13/cobra"
)

const syncHelp = `Keep this journal the same as other people's. What is saved here goes into
history, what the others noted is taken in, and what they lack is sent. REMOTE is
a place that all of you reach, and is remembered the first time it works:

  a folder                   on a stick or a share; an empty one will do, or a
                             new one whose name ends in .git. No git is needed
  anna@example.org:hall.git  a repository on a server, over ssh or https, with
                             your own git, keys and password helpers. Without
                             git installed ashbook goes there by itself

A journal just begun with "ashbook init" becomes a copy of the others'.

Nothing is overwritten. The entries of both sides stay. If two people set the same thing,
the later value counts, and the other one stays in the file until somebody chooses
between them ("ashbook fix"). What comes from a remote is checked first. If it contains
links, programs, or names that lead out of the journal, nothing of it is taken in.`

// leastEvery is the shortest time between syncs that may be asked for (chosen).
const leastEvery = 5 * time.Second

func (a *program) syncCommand() *cobra.Command {
	var every, limit time.Duration
	var dry, resend bool
	cmd := &cobra.Command{
		Use:     "sync [REMOTE]",
		Short:   "Keep the journal the same as other people's",
		Long:    syncHelp,
		Example: "  ashbook sync /media/stick/hall.git\n  ashbook sync anna@example.org:hall.git --every 1m\n  ashbook sync --dry-run",
		Args:    flags.AtMost(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("every") && every < leastEvery {
				return usage("--every %s: expected %s or more", every, leastEvery)
			}
			j, err := a.open()
			if err != nil {
				return err
			}
			now, err := a.moving()
			if err != nil {
				return err
			}
			req := app.SyncRequest{Remote: strings.Join(args, ""), Dir: a.dir, Now: now, Limit: limit, Dry: dry, All: every == 0, Resend: resend}
			if every == 0 {
				return a.sync(j, req)
			}
			return a.syncEvery(j, req, every)
		},
	}
	cmd.Flags().DurationVar(&every, "every", 0, "sync again and again, with this `TIME` between, such as 1m; Ctrl-C ends it")
	cmd.Flags().BoolVar(&dry, "dry-run", false, "show what would be received and sent; save and send nothing")
	cmd.Flags().BoolVar(&resend, "resend", false, "send everything again, although the remote has lost what it had")
	cmd.Flags().DurationVar(&limit, "limit", 0, "how long one fetch or one push may take (2m)")
	return cmd
}

func (a *program) sync(j *app.App, req app.SyncRequest) error {
	done, err := j.Sync(a.ctx, req)
	if err == nil || a.json && done.Remote != "" && a.ctx.Err() == nil {
		if err2 := a.tellSync(j, done, req.Dry, true); err2 != nil {
			return err2
		}
	}
	if err == nil && len(done.Conflicts) > 0 {
		err = errWarnings
	}
	return err
}

// syncEvery syncs again and again until Ctrl-C.
func (a *program) syncEvery(j *app.App, req app.SyncRequest, every time.Duration) error {
	at := func() string { return a.now().Format(measure.Clock) }
	return j.SyncEvery(a.ctx, req, app.SyncEvents{
		Done:    func(done app.Synced, first bool) error { return a.tellSync(j, done, req.Dry, first) },
		Trouble: func(problem string) { a.warnf("%s %s (will try again)\n", at(), problem) },
		Works:   func() { a.printf("%s works again\n", at()) },
		Pause:   func() error { return a.pause(every) },
	})
}

// pause waits for d or until the program is stopped.
func (a *program) pause(d time.Duration) error {
	ticks, stop := a.ticker(d)
	defer stop()
	select {
	case <-a.ctx.Done():
		return context.Cause(a.ctx)
	case <-ticks:
		return nil
	}
}

// tellSync prints what a sync did; if it did nothing, only if all is set.
func (a *program) tellSync(j *app.App, s app.Synced, dry, all bool) error {
	if a.json {
		return a.printJSON(jsonout.SyncOf(s, syncer.ReadState(j.Folder().History().State()), dry))
	}
	for _, t := range s.Conflicts {
		a.warnf("both changed %s: %s\n", t.Path, t.Conflict)
	}
	a.printLines(textout.Synced(s, dry, all, a.now().Location()))
	return nil
}
