package main

import (
	"time"

	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/tui/plain"

	"github.com/spf13/cobra"
)

func (a *program) plainFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&a.plain, "plain", false, "lines and questions instead of screens, for screen readers and simple terminals")
}

// dueEvery is how often a due check is looked for, as on the screens (chosen).
const dueEvery = 15 * time.Second

// talk runs ashbook line by line.
func (a *program) talk() error {
	p, err := a.outside()
	if err != nil {
		return err
	}
	o := plain.Options{In: plain.Lines(a.in), Out: a.out, Done: a.ctx.Done(), Width: machine.Width(a.out, a.getenv), Light: p.LightNew}
	if machine.IsTerminal(a.in) {
		ticks, stop := a.ticker(dueEvery)
		defer stop()
		o.Tick = ticks
	} else {
		o.Echo = true
	}
	plain.New(p, o).Run()
	return nil
}
