package machine

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
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

// Width is how wide text is set on w, in cells; 0 where no person reads it.
func Width(w io.Writer) int {
	if f, ok := w.(*os.File); ok && IsTerminal(f) {
		if width, _, err := term.GetSize(f.Fd()); err == nil {
			return width
		}
	}
	return 0
}

// Look says what the terminal can do, from the environment alone: asking the terminal
// would print junk over slow lines.
func Look(getenv func(string) string) style.Options {
	o := style.Options{Colour: style.Sixteen, Dark: true}
	term := getenv("TERM")
	switch {
	case getenv("NO_COLOR") != "" || term == "dumb" || term == "":
		o.Colour = style.None
	case strings.Contains(term, "256") || getenv("COLORTERM") != "":
		o.Colour = style.Many
	}
	// COLORFGBG is "foreground;background"; 7 and 15 are the light grounds.
	if _, ground, ok := strings.Cut(getenv("COLORFGBG"), ";"); ok && (strings.HasSuffix(ground, "7") || strings.HasSuffix(ground, "15")) {
		o.Dark = false
	}
	return o
}

// ErrScreens is a fault of ours in a screen. What was noted is kept all the
// same.
var ErrScreens = errors.New("the screens failed, which is a fault in ashbook; your notes are saved")

// endTime is how long the screens have to end by themselves when they are sent away.
const endTime = 5 * time.Second

// RunScreens runs the screens until they are left, ctx is done, or the window is
// closed, and leaves the terminal as it was. To be sent away is no failure. Where mouse
// is set, the screens hear the mouse, and the terminal no longer marks text with it.
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
	// Not tea.WithContext: that closes the input while it is still being read. Kill
	// does too, and is for screens that do not end.
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

// keyboard is the terminal's input. When it ends, because the window was closed, nobody
// can leave the program any more, so it calls gone.
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

// EraseLine goes back to the beginning of a terminal's line and empties it (ECMA-48, EL).
const EraseLine = "\r\x1b[K"

// Progress returns what shows on w, in one line, how far some work is. It is nil where w
// is no terminal.
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
