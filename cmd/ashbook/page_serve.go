package main

import (
	"context"
	"net"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/pages"
	"ashbook/cmd/ashbook/internal/serve"
	"ashbook/journal/listen"
	"ashbook/report/page"
)

// serveAddress is where the running cook is shown unless another address is named.
const serveAddress = "127.0.0.1:8788"

// overEvery is how often it is looked whether the cook is over.
const overEvery = 20 * time.Second

// serve shows the running cook to a phone until it is over or the person ends it.
func (a *program) serve(args []string, w wanted) error {
	// Of an address that stands for all, none of the names a browser may send could be
	// told from a foreign one.
	switch reach, err := listen.ReachOf(w.serve); {
	case err != nil:
		return usage("--serve %q: %v", w.serve, err)
	case reach == listen.Every:
		return hint(usage("--serve %q: that is every address of this machine", w.serve), "name one, "+nearAddresses())
	}
	j, now, err := a.openNow()
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
	cook, err := pages.Follow(a.ctx, j, found.ID, w.private, a.progress("reading the past"))
	if err != nil {
		return err
	}
	switch over, err := cook.Over(now); {
	case err != nil:
		return err
	case over:
		return hint(usage("%s is not running: only a running cook can be served", found.ID), "ashbook page "+found.ID)
	}
	l, err := net.Listen("tcp", w.serve)
	if err != nil {
		return err
	}
	h := serve.New(service(j, found.ID, cook, w.notes, clock), l.Addr().String())
	a.printf("%s is at %s\n", found.Name(), h.URL())
	if listen.Alone(l.Addr()) {
		a.printf("Only this machine can open it. For a phone name this machine's address, %s\n", nearAddresses())
	} else {
		a.printf("Plain http: anyone on your network can read along, and learn the address.\n")
	}
	if w.notes {
		a.printf("Whoever has the address can note, and every note carries their name.\n")
	}
	a.printf("It ends with the cook, or with Ctrl-C.\n")
	ticks, stop := a.ticker(overEvery)
	defer stop()
	over, err := h.Until(a.ctx, l, ticks, func() (bool, error) { return cook.Over(clock()) })
	if over {
		a.printf("the cook is over\n")
	}
	return err
}

// service is what the page shows and takes.
func service(j *app.App, id string, cook *pages.Following, notes bool, clock func() time.Time) serve.Service {
	s := serve.Service{Now: clock, View: func(ctx context.Context) (page.Page, bool, error) { return cook.Page(ctx, clock()) }}
	if !notes {
		return s
	}
	s.Read = func(line string) (serve.Heard, error) {
		said, l, err := j.HearHelper(id, line, clock())
		if err != nil {
			return serve.Heard{}, err
		}
		return serve.Heard{Says: said, Look: slices.Concat(l.Asks, l.Flags), Save: func(through string) error {
			_, err := j.SaveHelper(id, l, through, clock())
			return err
		}}, nil
	}
	return s
}

// nearAddresses names the addresses of this machine that a phone on the same network
// can reach.
func nearAddresses() string {
	near := listen.Near()
	if len(near) == 0 {
		return "such as --serve=192.168.1.20:8788"
	}
	var flags []string
	for _, ip := range near {
		flags = append(flags, "--serve="+net.JoinHostPort(ip.String(), "8788"))
	}
	return strings.Join(flags, " or ")
}
