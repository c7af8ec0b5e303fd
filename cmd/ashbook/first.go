package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/tui"
	"ashbook/tui/backend"
)

// firstRun asks how the journal is to begin, where there is a person to ask, and
// opens it. Left without an answer it is missing as it says.
func (a *program) firstRun(missing error) error {
	b := &beginner{app: a, done: a.ctx.Done()}
	if b.usual = a.getenv("ASHBOOK_JOURNAL"); b.usual == "" {
		b.usual = machine.DataFolder(a.getenv)
	}
	if b.usual == "" {
		return missing
	}
	if err := a.screens(tui.NewFirst(b, a.options())); err != nil {
		return err
	}
	switch {
	case b.sample:
		return a.try("")
	case b.made == "":
		return missing
	}
	a.journal = b.made
	return a.shelf()
}

// beginner is the outside while there is no journal.
type beginner struct {
	app    *program
	done   <-chan struct{}
	usual  string // where a journal is found without being named
	made   string // the folder that was made; empty: none
	sample bool   // the invented journal is wanted
}

func (b *beginner) Now() time.Time { return b.app.now() }

func (b *beginner) Wait(d time.Duration) (time.Time, bool) {
	select {
	case <-time.After(d):
		return b.app.now(), true
	case <-b.done:
		return time.Time{}, false
	}
}

func (b *beginner) Begin() backend.Beginning {
	out := backend.Beginning{Where: b.usual, Usual: b.usual, Because: "There is no journal yet. Enter begins one, as below."}
	if machine.American(b.app.getenv) {
		out.Units = measure.US
	}
	return out
}

func (b *beginner) Make(as backend.Beginning) error {
	if as.Sample {
		b.sample = true
		return nil
	}
	dir := as.Where
	if rest, ok := strings.CutPrefix(dir, "~/"); ok {
		dir = filepath.Join(b.app.getenv("HOME"), rest)
	}
	dir = b.app.path(dir)
	if info, err := os.Stat(filepath.Join(dir, "cooks")); err != nil || !info.IsDir() {
		if err := mustBeNew(dir); err != nil {
			return fmt.Errorf("%w; name a folder of its own", err)
		}
	}
	if _, err := folder.Init(dir, as.Units, b.app.now()); err != nil {
		return err
	}
	b.made = dir
	return nil
}
