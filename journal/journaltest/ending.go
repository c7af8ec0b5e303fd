package journaltest

import (
	"context"
	"sync/atomic"
)

// Ending returns a context that counts as ended once its Err was called n times. So a
// test can stop a computation midway without a clock. Its Done channel never closes.
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
