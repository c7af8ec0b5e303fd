//go:build amd64 || arm64

package machine

import (
	"runtime"
	"runtime/debug"
	"sync"
	"syscall"
)

// heapRoom is what the largest page of 10,000 cooks needs.
const heapRoom = 128 << 20

// LargePages asks Linux for memory in large pages, for the next heapRoom bytes of the
// heap. Linux then stops the program once for every 2 MB that it first writes to, not
// once for every 4 KB. Memory that is never written to is never taken. Only the first
// call does anything.
//
// Note: Go has no setting for this, and it maps the heap a few megabytes at a time, which
// forgets earlier advice. So one large block makes it map all the room. The collection
// frees the block before anything else is allocated, however few cores there are.
var LargePages = sync.OnceFunc(func() {
	before := debug.SetGCPercent(-1) // a collection that began now would still see the block
	room := make([]byte, heapRoom)
	_ = syscall.Madvise(room, syscall.MADV_HUGEPAGE) // a wish: Linux may not grant it
	debug.SetGCPercent(before)
	runtime.GC()
})
