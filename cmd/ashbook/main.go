// Ashbook is a cook journal for the terminal.
package main

import (
	"os"
	"runtime/debug"
	"time"
	_ "time/tzdata" // time zones, for machines without them

	"ashbook/cmd/ashbook/internal/interrupt"
)

// heapGrowth lets the heap grow to five times its live size, a few megabytes, before
// garbage collection. Listing ten thousand cooks then takes a quarter less processor
// time.
const heapGrowth = 400

// heapGrowthOfScreens is the growth in per cent while a screen is open. A screen may be
// open all night and read a day's probe series again every few seconds.
const heapGrowthOfScreens = 50

func main() { os.Exit(start(lockWait)) }

// start runs the program in the machine's environment. wait is environment.wait.
func start(wait time.Duration) int {
	debug.SetGCPercent(heapGrowth)
	dir, _ := os.Getwd()
	return run(interrupt.Context(), os.Args[1:], environment{
		in: os.Stdin, out: os.Stdout, err: os.Stderr,
		getenv: os.Getenv, now: time.Now, dir: dir, wait: wait,
	})
}
