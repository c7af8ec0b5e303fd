package main

import (
	"context"
	"crypto/rand"
	"net"
	"net/netip"
	"os"
	"strings"
	"sync"

	"ashbook/journal"
	"ashbook/journal/ingest"
	"ashbook/journal/measure"
)

// shortestToken is the least length of a token of the person's own (chosen: longer than
// can be tried through in a night).
const shortestToken = 16

// takePosts listens until the person ends it.
func (in *intake) takePosts(ctx context.Context) error {
	host, _, err := net.SplitHostPort(in.listen)
	if err != nil {
		return usage("--listen %q: expected an address and a port such as 127.0.0.1:8787", in.listen)
	}
	addr, err := netip.ParseAddr(host)
	if own := host == "localhost" || err == nil && addr.IsLoopback(); !own && !in.anywhere {
		return hint(usage("--listen %q: others than this machine could post", in.listen), "127.0.0.1, or --anywhere if that is meant")
	}
	token, made := in.getenv("ASHBOOK_TOKEN"), false
	if token == "" {
		token, made = rand.Text(), true
	}
	if len(token) < shortestToken {
		return usage("$ASHBOOK_TOKEN has %d characters; expected %d or more", len(token), shortestToken)
	}
	l, err := net.Listen("tcp", in.listen)
	if err != nil {
		return err
	}
	posts := in.posts(token)
	url := "http://" + l.Addr().String() + ingest.Path
	in.printf("listening for %s at %s until Ctrl-C\n", in.cook.Name(), url)
	if in.anywhere {
		in.printf("Anyone on your network can see the readings and the token: nothing is encrypted.\n")
	}
	if made {
		in.printf("token, for this time: %s\n", token)
	}
	in.printf("  curl -H 'Authorization: Bearer TOKEN' -H 'Content-Type: application/json' -d '{\"pit_c\": 112.5}' %s\n", url)
	ticks, stop := in.ticker(historyEvery)
	defer stop()
	ended := make(chan error, 1)
	go func() { ended <- ingest.Serve(ctx, l, ingest.New(posts)) }()
	for {
		select {
		case <-ticks:
			in.told(in.to.Commit())
			continue
		case err = <-ended:
		}
		if e := in.to.Commit(); err == nil {
			err = e
		}
		in.printf("%s kept\n", measure.Count(in.rows, "reading"))
		return err
	}
}

// posts is what the listener needs.
func (in *intake) posts(token string) ingest.Options {
	var mu sync.Mutex
	o := ingest.Options{
		Token: token, Anywhere: in.anywhere, Now: in.clock, Zone: in.clock().Location(), Pieces: in.cook.PieceNames(),
		Keep: func(s journal.Series) error {
			mu.Lock()
			defer mu.Unlock()
			if err := in.to.Add(s); err != nil {
				return err
			}
			if in.rows++; in.rows == 1 {
				in.printf("first reading %s\n", in.reading(s, 0))
			}
			return nil
		},
		Tell: func(err error) {
			mu.Lock()
			defer mu.Unlock()
			in.told(err)
		},
	}
	o.Earliest, o.Latest = in.days()
	if name, err := os.Hostname(); err == nil && in.anywhere {
		name = strings.ToLower(name)
		o.Names = []string{name, name + ".local"}
	}
	return o
}
