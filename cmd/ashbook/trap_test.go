package main

import (
	"os"
	"time"

	"ashbook/cmd/ashbook/internal/interrupt"
)

// trapped is a program that panics once a trap is set: its clock panics.
const (
	trapped = "ashbook-trapped"
	trapEnv = "ASHBOOK_TEST_TRAP" // the trap is set once this file exists
)

// mainTrapped is main with such a clock.
func mainTrapped() {
	dir, _ := os.Getwd()
	os.Exit(run(interrupt.Context(), os.Args[1:], environment{in: os.Stdin, out: os.Stdout, err: os.Stderr, getenv: os.Getenv, dir: dir, now: func() time.Time {
		if _, err := os.Stat(os.Getenv(trapEnv)); err == nil {
			panic("the trap is set")
		}
		return time.Now()
	}}))
}
