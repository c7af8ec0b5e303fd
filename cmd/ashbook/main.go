// Ashbook is a cook journal for the terminal.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"
	_ "time/tzdata" // zones, where the machine brings none
)

// heapGrowth lets the heap grow to five times what is live, a few megabytes,
// before it is collected: listing ten thousand cooks then takes a quarter less
// processor time.
const heapGrowth = 400

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	context.AfterFunc(ctx, stop) // the first signal ends the work, a second one the program
	debug.SetGCPercent(heapGrowth)
	dir, _ := os.Getwd()
	os.Exit(run(ctx, os.Args[1:], environment{
		in: os.Stdin, out: os.Stdout, err: os.Stderr,
		getenv: os.Getenv, now: time.Now, dir: dir,
	}))
}
