package main

import (
	"path/filepath"
	"strings"

	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/screens"
	"ashbook/journal/measure"
	"ashbook/tui"
)

// firstRun asks a user at a terminal how to begin the journal, and opens it. Without an
// answer it returns the error missing.
func (a *program) firstRun(missing error) error {
	b := &screens.Beginner{Clock: a.now, Done: a.ctx.Done(), Usual: a.getenv("ASHBOOK_JOURNAL")}
	if b.Usual == "" {
		b.Usual = machine.DataFolder(a.getenv)
	}
	if b.Usual == "" {
		return missing
	}
	if machine.American(a.getenv) {
		b.Units = measure.US
	}
	b.Folder = func(where string) (string, error) {
		if rest, ok := strings.CutPrefix(where, "~/"); ok {
			where = filepath.Join(a.getenv("HOME"), rest)
		}
		dir := a.path(where)
		return dir, machine.JournalFolder(dir)
	}
	if err := a.screens(tui.NewFirst(b, a.options())); err != nil {
		return err
	}
	switch {
	case b.Sample:
		return a.try("")
	case b.Made == "":
		return missing
	}
	a.journal = b.Made
	return a.shelf()
}
