// Package listen answers HTTP within limits: how long a client may take, and how many
// there are at a time.
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

// HeaderTime and ReadTime are how long a client may take to send the head, and all
// (chosen: a slow radio link has seconds, nobody has more); MostOpen is how many
// connections there may be.
const (
	HeaderTime = 5 * time.Second
	ReadTime   = 10 * time.Second
	MostOpen   = 64
)

const (
	writeTime = 30 * time.Second // with the drawing of the page
	idleTime  = time.Minute
	endTime   = 5 * time.Second // for requests that are running when the service ends
	maxHeader = 8 << 10         // bytes
)

// Serve answers on l until ctx is done, then finishes the running requests and returns.
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
