package serve

import (
	"context"
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"sync"
	"time"
)

// How long a client may take (chosen: a slow radio link has seconds, nobody has more).
const (
	headerTime = 5 * time.Second
	readTime   = 10 * time.Second
	writeTime  = 30 * time.Second // with the drawing of the page
	idleTime   = time.Minute
	endTime    = 5 * time.Second // for what is under way when the service ends
	maxHeader  = 8 << 10         // bytes
	mostOpen   = 64              // connections
)

// Serve answers on l until ctx is done; then it answers what is under way and returns.
func Serve(ctx context.Context, l net.Listener, h http.Handler) error {
	s := &http.Server{
		Handler: h, ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: writeTime, IdleTimeout: idleTime,
		MaxHeaderBytes: maxHeader, ErrorLog: log.New(io.Discard, "", 0),
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(&bounded{l, make(chan struct{}, mostOpen)}) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	late, cancel := context.WithTimeout(context.WithoutCancel(ctx), endTime)
	defer cancel()
	if err := s.Shutdown(late); err != nil {
		return errors.Join(err, s.Close())
	}
	return nil
}

// bounded is a listener that closes a new connection at once where too many are open.
type bounded struct {
	net.Listener
	open chan struct{}
}

func (b *bounded) Accept() (net.Conn, error) {
	for {
		c, err := b.Listener.Accept()
		if err != nil {
			return nil, err
		}
		select {
		case b.open <- struct{}{}:
			return &counted{Conn: c, done: func() { <-b.open }}, nil
		default:
			c.Close()
		}
	}
}

// counted is a connection that is counted until it is closed.
type counted struct {
	net.Conn
	once sync.Once
	done func()
}

func (c *counted) Close() error {
	defer c.once.Do(c.done)
	return c.Conn.Close()
}

// Alone reports whether only this machine can reach an address.
func Alone(a net.Addr) bool {
	t, ok := a.(*net.TCPAddr)
	return ok && t.IP.IsLoopback()
}
