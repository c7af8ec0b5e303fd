// Package listen serves HTTP with limits on the time a client may take and on the
// number of connections.
package listen

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

// HeaderTime and ReadTime are how long a client may take to send the header and the
// whole request (chosen: a slow radio link needs seconds). MostOpen is the largest
// number of connections.
const (
	HeaderTime = 5 * time.Second
	ReadTime   = 10 * time.Second
	MostOpen   = 64
)

const (
	writeTime = 30 * time.Second // includes making the page
	idleTime  = time.Minute
	endTime   = 5 * time.Second // time for running requests when the server stops
	maxHeader = 8 << 10         // bytes
)

// Serve answers requests on l until ctx is done, then finishes the running ones and
// returns.
func Serve(ctx context.Context, l net.Listener, h http.Handler) error {
	s := &http.Server{
		Handler: h, ReadHeaderTimeout: HeaderTime, ReadTimeout: ReadTime, WriteTimeout: writeTime, IdleTimeout: idleTime,
		MaxHeaderBytes: maxHeader, ErrorLog: log.New(io.Discard, "", 0),
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(&bounded{l, make(chan struct{}, MostOpen)}) }()
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

// bounded is a listener that closes a new connection at once if too many are open.
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
