package main

import (
	"context"
	"errors"
	"os"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// errScreens is a fault of ours in a screen. What was noted is kept all the
// same.
var errScreens = errors.New("the screens broke down, a fault of ashbook; what was noted is kept")

// heed is how long the screens have to end by themselves when they are sent away.
const heed = 5 * time.Second

// screens runs the screens until they are left, a signal comes, or the window is
// closed, and leaves the terminal as it was. To be sent away is no failure.
func (a *program) screens(model tea.Model) error {
	ctx, gone := context.WithCancel(a.ctx)
	defer gone()
	in := a.in
	if f, ok := in.(*os.File); ok {
		in = keyboard{f, gone}
	}
	options := []tea.ProgramOption{tea.WithAltScreen(), tea.WithInput(in), tea.WithOutput(a.out), tea.WithoutSignalHandler()}
	if a.getenv("ASHBOOK_MOUSE") != "" { // asked for: the terminal then no longer marks text
		options = append(options, tea.WithMouseCellMotion())
	}
	program := tea.NewProgram(model, options...)
	// Not tea.WithContext: that closes the input while it is still being read. Kill
	// does too, and is for a program that does not heed.
	defer context.AfterFunc(ctx, func() {
		time.AfterFunc(heed, program.Kill)
		go program.Quit()
	})()
	_, err := program.Run()
	switch {
	case errors.Is(err, tea.ErrProgramPanic):
		return errScreens
	case ctx.Err() != nil:
		return nil
	}
	return err
}

// keyboard is the terminal's input; when it ends, as it does when a window is
// closed, nobody can leave the program any more, and gone is called.
type keyboard struct {
	*os.File
	gone func()
}

func (k keyboard) Read(b []byte) (int, error) {
	n, err := k.File.Read(b)
	if err != nil {
		k.gone()
	}
	return n, err
}
