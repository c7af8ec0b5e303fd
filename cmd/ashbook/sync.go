package main

import (
	"context"
	"errors"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/carrier"
	"ashbook/journal/history"
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

Nothing is overwritten: entries of both stay, and of two values for one thing the
later stands, the other is kept beside it in the file and told until somebody
settles it. What a remote holds is looked through first; links, programs and names
that lead out of the journal are refused, with all that came with them.`

// leastEvery is how often a sync may be asked for (chosen).
const leastEvery = 5 * time.Second

func (a *program) syncCommand() *cobra.Command {
	var every, limit time.Duration
	var dry, resend bool
	cmd := &cobra.Command{
		Use:     "sync [REMOTE]",
		Short:   "Keep the journal the same as other people's",
		Long:    syncHelp,
		Example: "  ashbook sync /media/stick/hall.git\n  ashbook sync anna@example.org:hall.git --every 1m\n  ashbook sync --dry-run",
		Args:    cobra.MaximumNArgs(1),
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
	cmd.Flags().DurationVar(&every, "every", 0, "go on syncing, with this `TIME` between, such as 1m; Ctrl-C ends it")
	cmd.Flags().BoolVar(&dry, "dry-run", false, "tell what would come in and go out; save and send nothing")
	cmd.Flags().BoolVar(&resend, "resend", false, "go on, though the remote lacks what it had: send everything again")
	cmd.Flags().DurationVar(&limit, "limit", 0, "how long one fetch may take, or one push, before it is given up (2m)")
	return cmd
}

func (a *program) sync(j *app.App, req app.SyncRequest) error {
	done, err := j.Sync(a.ctx, req)
	if a.json && done.Remote != "" && a.ctx.Err() == nil {
		state := syncer.ReadState(j.Folder().History().State())
		if err2 := a.printJSON(jsonout.SyncOf(done, state, req.Dry)); err2 != nil {
			return err2
		}
	} else if err == nil {
		a.tellSync(done, req.Dry, true)
	}
	if err != nil {
		return syncHint(err, done.Problem)
	}
	if len(done.Told) > 0 {
		return errWarnings
	}
	return nil
}

// worded is an error in words of its own.
type worded struct {
	error
	text string
}

func (w worded) Error() string { return w.text }
func (w worded) Unwrap() error { return w.error }

// syncHint says in plain words why a sync stopped, and what to type then.
func syncHint(err error, problem string) error {
	if problem != "" && !errors.Is(err, context.Canceled) {
		err = worded{err, problem}
	}
	var s syncer.Stopped
	var u syncer.Unfit
	var hub history.NoHub
	switch {
	case errors.As(err, &s) && s.Next != "":
		return hint(err, s.Next)
	case errors.As(err, &u):
		return hint(err, "ask whoever sent it; git fetch and git log show it without taking it in")
	case errors.As(err, &hub):
		return hint(err, "name an empty folder beside it, such as "+hub.Dir+"/../journal.git")
	case errors.Is(err, carrier.ErrNoAddress):
		return hint(err, "ashbook sync --help")
	}
	return err
}

// syncEvery syncs again and again until Ctrl-C. It reports a fault once, and tries again.
func (a *program) syncEvery(j *app.App, req app.SyncRequest, every time.Duration) error {
	last := ""
	for first := true; ; first = false {
		done, err := j.Sync(a.ctx, req)
		switch {
		case a.ctx.Err() != nil:
			return a.ctx.Err()
		case errors.Is(err, history.ErrLocked): // another sync of this journal is at work
		case err != nil && first && (errors.As(err, new(typed.Mistake)) || errors.As(err, new(history.NoHub)) || errors.Is(err, carrier.ErrNoAddress)):
			return syncHint(err, done.Problem)
		case err != nil:
			if done.Problem != last {
				a.warnf("%s %s (goes on trying)\n", a.now().Format(measure.Clock), done.Problem)
				last = done.Problem
			}
		default:
			if last != "" {
				a.printf("%s works again\n", a.now().Format(measure.Clock))
			}
			last = ""
			if a.json {
				state := syncer.ReadState(j.Folder().History().State())
				if err := a.printJSON(jsonout.SyncOf(done, state, req.Dry)); err != nil {
					return err
				}
			} else {
				a.tellSync(done, req.Dry, first)
			}
		}
		if err := a.pause(every); err != nil {
			return err
		}
	}
}

// pause waits, or for the next tick of a test.
func (a *program) pause(d time.Duration) error {
	ticks := a.ticks
	if ticks == nil {
		t := time.NewTimer(d)
		defer t.Stop()
		ticks = t.C
	}
	select {
	case <-a.ctx.Done():
		return context.Cause(a.ctx)
	case <-ticks:
		return nil
	}
}

// tellSync says what a sync did; where it did nothing only if all is set.
func (a *program) tellSync(s app.Synced, dry, all bool) {
	for _, t := range s.Told {
		a.warnf("both changed %s: %s\n", t.Path, t.Told)
	}
	a.printLines(textout.Synced(s, dry, all, a.now().Location()))
}
