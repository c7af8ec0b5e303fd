// Ashbook is a cook journal for the terminal.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"slices"
	"syscall"
	"time"
	_ "time/tzdata" // zones, where the machine brings none
)

// heapGrowth lets the heap grow to five times what is live, a few megabytes,
// before it is collected: listing ten thousand cooks then takes a quarter less
// processor time.
const heapGrowth = 400

func main() {
	// What is ignored from the start, as after nohup, stays so.
	ends := append(slices.DeleteFunc([]os.Signal{os.Interrupt, syscall.SIGHUP}, signal.Ignored), syscall.SIGTERM)
	ctx, stop := signal.NotifyContext(context.Background(), ends...)
	context.AfterFunc(ctx, stop) // the first signal ends the work, a second one the program
	debug.SetGCPercent(heapGrowth)
	dir, _ := os.Getwd()
	os.Exit(run(ctx, os.Args[1:], environment{
		in: os.Stdin, out: os.Stdout, err: os.Stderr,
		getenv: os.Getenv, now: time.Now, dir: dir,
	}))
}
