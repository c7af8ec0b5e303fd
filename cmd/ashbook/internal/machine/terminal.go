package machine

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"time"

	"ashbook/tui/style"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/term"
)

// IsTerminal reports whether w is a terminal, for reading or writing.
func IsTerminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(f.Fd())
}

// Width returns the width for text on w, in cells: that of the terminal, else what
// COLUMNS says, else 0 for any width. A shell may export a COLUMNS that is out of date
// once the window has changed, so the terminal comes first.
func Width(w io.Writer, getenv func(string) string) int {
	if f, ok := w.(*os.File); ok && IsTerminal(f) {
		if width, _, err := term.GetSize(f.Fd()); err == nil && width > 0 {
			return width
		}
	}
	// POSIX.1-2017, XBD 8.3: the preferred width in column positions, a positive whole number.
	if width, err := strconv.Atoi(getenv("COLUMNS")); err == nil && width >= narrowest {
		return width
	}
	return 0
}

// narrowest is the least width that COLUMNS may ask for, in cells (chosen): below it a
// page would be broken in mid-word.
const narrowest = 40

// Look says what the terminal can do. It uses only the environment, since asking the
// terminal could print rubbish over a slow connection.
func Look(getenv func(string) string) style.Options {
	o := style.Options{Colour: style.Sixteen, Dark: true}
	term := getenv("TERM")
	switch {
	case getenv("NO_COLOR") != "" || term == "dumb" || term == "":
		o.Colour = style.None
	case strings.Contains(term, "256") || getenv("COLORTERM") != "":
		o.Colour = style.Many
	}
	// COLORFGBG is "foreground;background"; 7 and 15 are light backgrounds.
	if _, ground, ok := strings.Cut(getenv("COLORFGBG"), ";"); ok && (strings.HasSuffix(ground, "7") || strings.HasSuffix(ground, "15")) {
		o.Dark = false
	}
	return o
}

// ErrScreens means that a screen failed by a fault in ashbook. What was noted is saved
// all the same.
var ErrScreens = errors.New("the screens failed, which is a fault in ashbook; your notes are saved")

// endTime is how long the screens may take to end after a signal.
const endTime = 5 * time.Second

// RunScreens runs the screens until the user leaves, ctx is done, or the window is
// closed, and restores the terminal. Being ended by a signal is no error. If mouse is
// set, the screens get the mouse, and the terminal can no longer select text with it.
func RunScreens(ctx context.Context, model tea.Model, in io.Reader, out io.Writer, mouse bool) error {
	ctx, gone := context.WithCancel(ctx)
	defer gone()
	if f, ok := in.(*os.File); ok {
		in = keyboard{f, gone}
	}
	options := []tea.ProgramOption{tea.WithAltScreen(), tea.WithInput(in), tea.WithOutput(out), tea.WithoutSignalHandler()}
	if mouse {
		options = append(options, tea.WithMouseCellMotion())
	}
	program := tea.NewProgram(model, options...)
	// tea.WithContext would close the input while it is still being read. Kill does
	// that too, and is only for screens that do not end.
	defer context.AfterFunc(ctx, func() {
		time.AfterFunc(endTime, program.Kill)
		go program.Quit()
	})()
	_, err := program.Run()
	switch {
	case errors.Is(err, tea.ErrProgramPanic):
		return ErrScreens
	case ctx.Err() != nil:
		return nil
	}
	return err
}

// keyboard is the terminal's input. When it ends because the window was closed, nobody
// can leave the program by a key any more, so it calls gone.
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

// EraseLine moves to the start of a terminal's line and clears it (ECMA-48, EL).
const EraseLine = "\r\x1b[K"

// Progress returns a function that shows on one line of w how far some work is. It
// returns nil if w is no terminal.
func Progress(w io.Writer, what string) func(done, of int) {
	if !IsTerminal(w) {
		return nil
	}
	return func(done, of int) {
		fmt.Fprintf(w, "\r%s: %d of %d", what, done, of)
		if done == of {
			fmt.Fprint(w, EraseLine)
		}
	}
}
