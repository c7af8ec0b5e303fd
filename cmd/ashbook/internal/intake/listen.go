package intake

import (
	"context"
	"crypto/rand"
	"net"
	"os"
	"strings"
	"sync"

	"ashbook/journal"
	"ashbook/journal/ingest"
	"ashbook/journal/listen"
)

// Posts say who may post readings.
type Posts struct {
	Token    string
	Anywhere bool     // other machines may post too
	Names    []string // host names that this machine then has
}

// ShortestToken is the smallest length of a token set by the user, in characters
// (chosen: too long to guess in a night).
const ShortestToken = 16

// NewPosts returns the Posts for a token. If token is "", it makes one. If anywhere is
// set, other machines may post by this machine's host name.
func NewPosts(token string, anywhere bool) (p Posts, made bool) {
	p = Posts{Token: token, Anywhere: anywhere}
	if made = token == ""; made {
		p.Token = rand.Text()
	}
	if name, err := os.Hostname(); err == nil && anywhere {
		name = strings.ToLower(name)
		p.Names = []string{name, name + ".local"}
	}
	return p, made
}

// Listen saves readings that are posted until ctx is done, then closes l.
func (in *Intake) Listen(ctx context.Context, l net.Listener, p Posts) error {
	ticks, stop := in.Ticks(historyEvery)
	defer stop()
	ended := make(chan error, 1)
	go func() { ended <- listen.Serve(ctx, l, ingest.New(in.posts(p))) }()
	for {
		select {
		case <-ticks:
			in.trouble(in.To.Commit())
			continue
		case err := <-ended:
			if e := in.To.Commit(); err == nil {
				err = e
			}
			return err
		}
	}
}

// posts returns the options of the listener.
func (in *Intake) posts(p Posts) ingest.Options {
	var mu sync.Mutex
	return ingest.Options{
		Token: p.Token, Anywhere: p.Anywhere, Names: p.Names, Now: in.Clock, Zone: in.Clock().Location(), Pieces: in.Cook.PieceNames(),
		Earliest: in.Table.Earliest, Latest: in.Table.Latest,
		Keep: func(s journal.Series) error {
			mu.Lock()
			defer mu.Unlock()
			if err := in.To.Add(s); err != nil {
				return err
			}
			if in.taken.Kept++; in.taken.Kept == 1 {
				in.On.First(s)
			}
			return nil
		},
		Tell: func(err error) {
			mu.Lock()
			defer mu.Unlock()
			in.trouble(err)
		},
	}
}
