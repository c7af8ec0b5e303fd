package main

import (
	"net"
	"time"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/pages"
	"ashbook/cmd/ashbook/internal/serve"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/journal/listen"
)

// serveAddress is the address that --serve uses without a value.
const serveAddress = "127.0.0.1:8788"

// overEvery is how often serve checks whether the cook is over (chosen).
const overEvery = 20 * time.Second

// serve shows the running cook to a phone until the cook is over or the user ends it.
func (a *program) serve(args []string, w wanted) error {
	// An address that stands for all addresses is refused, since a browser could then
	// send any host name, and serve could not tell which ones are this machine's.
	switch reach, err := listen.ReachOf(w.serve); {
	case err != nil:
		return usage("--serve %q: %v", w.serve, err)
	case reach == listen.Every:
		return advice.With(usage("--serve %q means every address of this machine", w.serve), "name one, "+textout.NearAddresses())
	}
	now, err := a.nowTime()
	if err != nil {
		return err
	}
	j, err := a.open()
	if err != nil {
		return err
	}
	clock, err := a.moving()
	if err != nil {
		return err
	}
	found, err := j.ResolveOrRunning(a.ctx, args, now)
	if err != nil {
		return err
	}
	cook, err := pages.Follow(a.ctx, j, found.ID, w.private, a.progress("reading past cooks"))
	if err != nil {
		return err
	}
	switch over, err := cook.Over(now); {
	case err != nil:
		return err
	case over:
		return advice.With(usage("%s is not running: only a running cook can be shown", found.ID), "ashbook page "+found.ID)
	}
	l, err := net.Listen("tcp", w.serve)
	if err != nil {
		return err
	}
	h := serve.New(cook.Service(w.notes, clock), l.Addr().String())
	a.printLines(textout.Serving(found.Name(), h.URL(), listen.Alone(l.Addr()), w.notes))
	ticks, stop := a.ticker(overEvery)
	defer stop()
	over, err := h.Until(a.ctx, l, ticks, func() (bool, error) { return cook.Over(clock()) })
	if over {
		a.printf("the cook is over\n")
	}
	return err
}
