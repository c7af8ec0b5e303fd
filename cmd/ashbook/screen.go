package main

import (
	"errors"
	"os/exec"
	"strings"

	"ashbook/cmd/ashbook/internal/screens"
	"ashbook/journal/folder"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/style"
)

// shelf opens the screens, or prints the cooks where there is no terminal.
func (a *program) shelf() error {
	if a.plain || a.terminal() && a.getenv("TERM") == "dumb" {
		return a.talk()
	}
	if !a.terminal() {
		return a.find(nil, search{})
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
	return screens.New(a.ctx, j, screens.Machine{
		Now: clock, Done: a.ctx.Done(), Alert: a.alert,
		Editor: func(id string) (*exec.Cmd, func(error) (backend.Edited, error), error) {
			run, err := openEditor(a.getenv, j, id)
			if err != nil {
				return nil, nil, err
			}
			run.cmd.Stdin = a.in // the terminal itself, not what the screens read it through
			return run.cmd, func(ended error) (backend.Edited, error) {
				got, err := run.takeIn(j, ended)
				out := backend.Edited{Changed: got.changed, Broken: got.broken}
				for _, p := range got.problems { // the person knows which file
					out.Problems = append(out.Problems, p.Within())
				}
				return out, err
			}, nil
		},
	}), nil
}

// options say what the terminal can do, from the environment alone: asking it
// would print junk over slow lines.
func (a *program) options() tui.Options {
	o := style.Options{Colour: style.Sixteen, Dark: true}
	term := a.getenv("TERM")
	switch {
	case a.getenv("NO_COLOR") != "" || term == "dumb" || term == "":
		o.Colour = style.None
	case strings.Contains(term, "256") || a.getenv("COLORTERM") != "":
		o.Colour = style.Many
	}
	// COLORFGBG is "foreground;background"; 7 and 15 are the light grounds.
	if _, ground, ok := strings.Cut(a.getenv("COLORFGBG"), ";"); ok && (strings.HasSuffix(ground, "7") || strings.HasSuffix(ground, "15")) {
		o.Dark = false
	}
	return tui.Options{Look: o}
}
