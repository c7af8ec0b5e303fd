package main

import (
	"os"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/tui/plain"

	"github.com/charmbracelet/x/term"
	"github.com/spf13/cobra"
)

func (a *program) plainFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&a.plain, "plain", false, "lines and questions in place of screens, for screen readers and bare terminals")
}

// dueEvery is how often it is looked whether a check is due, as on the screens.
const dueEvery = 15 * time.Second

// talk is the screens line by line.
func (a *program) talk() error {
	p, err := a.outside()
	if err != nil {
		return err
	}
	o := plain.Options{In: plain.Lines(a.in), Out: a.out, Done: a.ctx.Done(), Width: a.width(), Light: func(cut string) (string, error) {
		return a.lightNow(p, cut)
	}}
	if f, ok := a.in.(*os.File); ok && term.IsTerminal(f.Fd()) {
		ticks, stop := a.ticker(dueEvery)
		defer stop()
		o.Tick = ticks
	} else {
		o.Echo = true
	}
	plain.New(p, o).Run()
	return nil
}

// lightNow begins a cook of a cut.
func (a *program) lightNow(p *outside, cut string) (string, error) {
	defer p.writing()()
	at := p.clock().Truncate(time.Minute)
	if err := p.use.Unread(a.ctx, at); err != nil {
		return "", err
	}
	c, err := p.use.Begin(app.NewCook{Cut: cut}, at)
	return c.ID, err
}
