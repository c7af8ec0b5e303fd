package main

import (
	"errors"
	"os/exec"
	"runtime/debug"
	"time"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/screens"
	"ashbook/journal/folder"
	"ashbook/tui"

	tea "github.com/charmbracelet/bubbletea"
)

// shelf opens the screens, or prints the cooks if there is no terminal.
func (a *program) shelf() error {
	if a.plain || machine.IsTerminal(a.out) && a.getenv("TERM") == "dumb" {
		return a.talk()
	}
	if !machine.IsTerminal(a.out) {
		return a.find(nil, lookup.Search{}, lookup.Typed{})
	}
	p, err := a.outside()
	if errors.Is(err, folder.ErrNotAJournal) && a.journal == "" {
		return a.firstRun(err)
	}
	if err != nil {
		return err
	}
	err = a.screens(tui.New(p, a.options()))
	p.Close()
	return err
}

// outside opens the journal for the screens.
func (a *program) outside() (*screens.Backend, error) {
	j, err := a.open()
	if err != nil {
		return nil, err
	}
	clock, err := a.moving()
	if err != nil {
		return nil, err
	}
	p := screens.New(a.ctx, j, screens.Machine{
		Now: clock, Done: a.ctx.Done(), Alert: func(text string) error { return machine.Alert(a.out, a.getenv, text) },
		Editor: func(file string) (*exec.Cmd, error) {
			run, err := machine.Editor(a.getenv, file)
			if err == nil {
				run.Stdin = a.in // the terminal itself, not the reader that the screens use
			}
			return run, err
		},
	})
	p.SyncEvery(syncEvery, a.dir)
	return p, nil
}

// syncEvery is how often a journal with a remote is synced while the screens run
// (chosen).
const syncEvery = time.Minute

// screens runs the screens from a model.
func (a *program) screens(model tea.Model) error {
	defer debug.SetGCPercent(debug.SetGCPercent(heapGrowthOfScreens))
	return machine.RunScreens(a.ctx, model, a.in, a.out, a.getenv("ASHBOOK_MOUSE") != "")
}

// options returns what the terminal can do.
func (a *program) options() tui.Options { return tui.Options{Look: machine.Look(a.getenv)} }
