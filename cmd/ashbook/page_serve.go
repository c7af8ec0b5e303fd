package main

import (
	"context"
	"net"
	"net/netip"
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
	if err := servable(w.serve); err != nil {
		return err
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
	return a.serveUntilOver(l, h, cook, clock)
}

// serveUntilOver answers until the cook is over or the person ends it, and returns when
// what was under way is answered.
func (a *program) serveUntilOver(l net.Listener, h *serve.Handler, cook *pages.Following, clock func() time.Time) error {
	ctx, end := context.WithCancel(a.ctx)
	defer end()
	ended := make(chan error, 1)
	go func() { ended <- listen.Serve(ctx, l, h) }()
	ticks, stop := a.ticker(overEvery)
	defer stop()
	for {
		select {
		case err := <-ended:
			return err
		case <-ticks:
		}
		if over, err := cook.Over(clock()); over && err == nil {
			end()
			err := <-ended
			a.printf("the cook is over\n")
			return err
		}
	}
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

// servable checks an address. One that stands for all addresses is refused: a browser
// may send any of their names, and none could be told from a foreign one.
func servable(address string) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return usage("--serve %q: expected an address and a port such as %s", address, serveAddress)
	}
	if ip, err := netip.ParseAddr(host); host == "" || err == nil && ip.IsUnspecified() {
		return hint(usage("--serve %q: that is every address of this machine", address), "name one, "+nearAddresses())
	}
	return nil
}

// nearAddresses names the addresses of this machine that a phone on the same network
// can reach.
func nearAddresses() string {
	all, _ := net.InterfaceAddrs()
	var near []string
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsPrivate() && n.IP.To4() != nil {
			near = append(near, "--serve="+net.JoinHostPort(n.IP.String(), "8788"))
		}
	}
	if len(near) == 0 {
		return "such as --serve=192.168.1.20:8788"
	}
	return strings.Join(near, " or ")
}
