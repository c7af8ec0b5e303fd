package journaltest

import (
	"context"
	"sync/atomic"
)

// Ending is a context that has ended once it has been asked n times whether it
// has: what computes is stopped midway without a clock. Its Done never closes.
func Ending(n int) context.Context {
	e := &ending{Context: context.Background()}
	e.left.Store(int64(n))
	return e
}

type ending struct {
	context.Context
	left atomic.Int64
}

func (e *ending) Err() error {
	if e.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}
