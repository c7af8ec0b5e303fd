// Package interrupt handles the signals that end the program. Go initialises packages
// in the order of their paths, after their imports. This package imports almost
// nothing, so it is ready before the libraries, some milliseconds before main begins.
package interrupt

import (
	"context"
	"os"
	"os/signal"
	"slices"
	"syscall"
)

var heard, stop = signal.NotifyContext(context.Background(), ends()...)

func init() { context.AfterFunc(heard, stop) }

// ends returns the signals that end the program, without those ignored from the start,
// as after nohup.
func ends() []os.Signal {
	return append(slices.DeleteFunc([]os.Signal{os.Interrupt, syscall.SIGHUP}, signal.Ignored), syscall.SIGTERM)
}

// Context returns a context that is done at the first such signal. The second ends the
// program at once.
func Context() context.Context { return heard }
