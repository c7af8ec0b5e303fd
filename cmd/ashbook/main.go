// Ashbook is a cook journal for the terminal.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"
	_ "time/tzdata" // zones, where the machine brings none
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	dir, _ := os.Getwd()
	code := run(ctx, os.Args[1:], environment{
		in: os.Stdin, out: os.Stdout, err: os.Stderr,
		getenv: os.Getenv, now: time.Now, dir: dir,
	})
	stop()
	os.Exit(code)
}
