// Package interrupt listens for the signals that end the program. Go initialises packages
// in the order of their paths, after their imports. This package imports almost nothing,
// so it is ready before the libraries, some milliseconds before main begins.
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

// ends are the signals that end the program. What is ignored from the start, as after
// nohup, stays so.
func ends() []os.Signal {
	return append(slices.DeleteFunc([]os.Signal{os.Interrupt, syscall.SIGHUP}, signal.Ignored), syscall.SIGTERM)
}

// Context is done once the first of them came. A second one ends the program at once.
func Context() context.Context { return heard }
