package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/intake"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/pages"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/folder"
	"ashbook/journal/history"
	"ashbook/report/provision"

	"github.com/spf13/cobra"
)

// environment is everything that the program takes from the machine.
type environment struct {
	in       io.Reader
	out, err io.Writer
	getenv   func(string) string
	now      func() time.Time
	dir      string           // folder in which it was started
	ticks    <-chan time.Time // clock ticks for tests; nil for those of the machine
	wait     time.Duration    // how long to wait for another ashbook or git; 0 for lockWait
}

// Exit codes.
const (
	exitFine     = 0
	exitFailed   = 1
	exitUsage    = 2
	exitWarnings = 3
	exitNoFolder = 4
	exitLocked   = 5
	exitStopped  = 130
)

const exitHelp = `Exit codes:
  0  fine
  1  failed
  2  wrong usage
  3  done, with warnings: something needs a look, or a note is not in history yet
  4  not a journal
  5  locked by another ashbook
130  stopped by Ctrl-C`

var (
	errWarnings = errors.New("done, with warnings")
	errUsage    = errors.New("wrong usage")
)

// usageError is an error in what was typed.
type usageError string

func (e usageError) Error() string        { return string(e) }
func (e usageError) Is(target error) bool { return target == errUsage }

func usage(format string, args ...any) error {
	return usageError(fmt.Sprintf(format, args...))
}

// run runs the program with args and returns its exit code.
func run(ctx context.Context, args []string, env environment) int {
	a := &program{environment: env, ctx: ctx}
	root := a.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	switch closing := a.close(); {
	case errors.Is(err, context.Canceled) && closing != nil:
		err = closing // report this error, not that the program was stopped
	default:
		err = errors.Join(err, closing)
	}
	if err == nil && a.waits {
		err = errWarnings
	}
	return a.exit(err)
}

// exit prints an error and returns its exit code. Nothing else chooses exit codes.
func (a *program) exit(err error) int {
	err = flags.Named(err)
	if err != nil && !errors.Is(err, errWarnings) && !errors.Is(err, context.Canceled) {
		a.warnf("ashbook: %s\n", err)
		if next := advice.Next(err); next != "" {
			a.warnf("next: %s\n", next)
		}
	}
	switch {
	case err == nil:
		return exitFine
	case errors.Is(err, context.Canceled):
		if machine.IsTerminal(a.err) {
			fmt.Fprint(a.err, machine.EraseLine) // there may be a progress line
		}
		return exitStopped
	case isUsage(err):
		return exitUsage
	case errors.Is(err, folder.ErrNotAJournal):
		return exitNoFolder
	case errors.Is(err, history.ErrLocked):
		return exitLocked
	case errors.Is(err, errWarnings):
		return exitWarnings
	}
	return exitFailed
}

// isUsage reports whether an error is about the command line.
func isUsage(err error) bool {
	return errors.Is(err, errUsage) || errors.Is(err, intake.ErrFolder) || errors.As(err, new(typed.Mistake)) || errors.As(err, new(provision.Refusal)) ||
		errors.As(err, new(machine.BadEditor)) || errors.As(err, new(pages.NotOurs))
}

// program is one run of the program.
type program struct {
	environment
	ctx     context.Context // of this run; done at the first Ctrl-C
	journal string          // --journal
	clock   string          // --now
	json    bool            // --json
	plain   bool            // --plain
	waits   bool            // a save is not committed yet
	checks  bool            // the command itself lists what is wrong in files
	opened  *app.App
	cleanup []func() error
}

func (a *program) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "ashbook",
		Short:         "A cook journal for big tough cuts, low and slow",
		Long:          rootHelp + "\n\n" + exitHelp,
		Args:          flags.NoSuchCommand,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(*cobra.Command, []string) error { return a.shelf() },
	}
	root.SetIn(a.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return advice.With(usage("%v", err), cmd.CommandPath()+" --help")
	})
	f := root.PersistentFlags()
	f.StringVar(&a.journal, "journal", "", "the `DIR` of the journal (otherwise the current folder or one above it, $ASHBOOK_JOURNAL, or your data folder)")
	f.StringVar(&a.clock, "now", "", "the `TIME` to use as now, such as 2026-09-19T01:04+01:00")
	f.BoolVar(&a.json, "json", false, "print JSON")
	a.plainFlag(root)
	root.AddCommand(
		a.tryCommand(), a.initCommand(),
		a.workbackCommand(), a.readyCommand(), a.mixCommand(),
		a.lightCommand(), a.noteCommand(), a.probeCommand(), a.importCommand(),
		a.holdCommand(),
		a.tasteCommand(),
		a.findCommand(), a.showCommand(), a.besideCommand(), a.whyCommand(),
		a.mattersCommand(), a.pitCommand(), a.hindsightCommand(),
		a.fixCommand(), a.editCommand(), a.asideCommand(), a.historyCommand(),
		a.checkCommand(), a.pageCommand(), a.sheetCommand(), a.syncCommand(), a.mergeCommand(), a.manCommand(),
	)
	return root
}

const rootHelp = `ashbook keeps the notes of long cooks: what went on and when, what you did through the
night, when it came off, how people liked it, and how it differed from your usual cook.
Without a command it opens the Shelf, the list of all your cooks.

Cooks are plain Markdown files in a folder under git. The README says where they are
and how to leave.

While the Watch of a running cook is open, it calls you when something is due or wrong.
It uses the terminal's bell, the terminal's own notification where it has one, and your
own command if $ASHBOOK_ALERT names one. That command runs without a shell and gets the
text as its last argument. It is read from that variable alone, so a shared journal
cannot make this machine run anything.`

// nowTime returns the time taken as now, in the user's zone.
func (a *program) nowTime() (time.Time, error) {
	if a.clock == "" {
		return a.now(), nil
	}
	t, err := typed.Now(a.clock)
	if err != nil {
		return time.Time{}, usage("--now: %v", err)
	}
	return t, nil
}

// open opens the journal. A second call returns the same one.
func (a *program) open() (*app.App, error) {
	if a.opened != nil {
		return a.opened, nil
	}
	now, err := a.nowTime()
	if err != nil {
		return nil, err
	}
	dir := a.journal
	if dir == "" {
		if dir, err = folder.Find(a.dir, a.getenv("ASHBOOK_JOURNAL"), machine.DataFolder(a.getenv)); err != nil {
			return nil, err
		}
	} else {
		dir = a.path(dir)
	}
	clock := a.now
	if a.clock != "" {
		clock = func() time.Time { return now }
	}
	j, err := folder.Open(dir, folder.Options{
		Now: clock, Zone: now.Location(), Cache: machine.CacheFolder(a.getenv), Build: machine.Build(), Wait: cmp.Or(a.wait, lockWait), After: machine.After, Delay: batch,
	})
	if err != nil {
		return nil, err
	}
	a.opened = app.New(j)
	if _, wrong := j.Settings(); !a.checks {
		for _, p := range wrong {
			a.warnf("%s\n", p.Error())
		}
	}
	a.cleanup = append(a.cleanup, func() error {
		said, waits := a.opened.Close()
		for _, line := range said {
			a.warnf("%s\n", line)
		}
		a.waits = a.waits || waits
		return nil
	})
	return a.opened, nil
}

// How long to wait for another ashbook, and how long saves are collected for one
// commit: notes come in bursts, and each commit takes space on disk (chosen).
const (
	lockWait = 5 * time.Second
	batch    = 4 * time.Second
)

// path returns the path of a name that the user typed.
func (a *program) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(a.dir, name)
}

func (a *program) close() error {
	var errs []error
	for i := len(a.cleanup) - 1; i >= 0; i-- {
		errs = append(errs, a.cleanup[i]())
	}
	a.cleanup = nil
	return errors.Join(errs...)
}
