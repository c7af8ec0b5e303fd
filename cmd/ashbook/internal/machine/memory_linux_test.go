//go:build amd64 || arm64

package machine

import (
	"os"
	"regexp"
	"runtime"
	"strconv"
	"testing"
)

// TestLargePages checks in the kernel's own list of the program's memory that the heap
// has the advice, and that the room is free. Source of the list's format and of the flag
// hg, "huge page advise flag": Linux, Documentation/filesystems/proc.rst, smaps.
func TestLargePages(t *testing.T) {
	if _, err := os.Stat("/sys/kernel/mm/transparent_hugepage"); err != nil {
		t.Skip("this Linux has no large pages:", err)
	}
	LargePages()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	if m.HeapAlloc > heapRoom/4 || m.HeapIdle < heapRoom {
		t.Errorf("%d bytes in use and %d free, want the room of %d bytes to be free", m.HeapAlloc, m.HeapIdle, heapRoom)
	}
	maps, err := os.ReadFile("/proc/self/smaps")
	if err != nil {
		t.Fatal(err)
	}
	var advised int
	for _, found := range regexp.MustCompile(`(?m)^Size: +(\d+) kB(?:\n\w+: .*)*?\nVmFlags:.* hg`).FindAllSubmatch(maps, -1) {
		kB, _ := strconv.Atoi(string(found[1]))
		advised += kB << 10
	}
	if advised < heapRoom-4<<20 {
		t.Errorf("%d bytes are advised, want nearly %d", advised, heapRoom)
	}
}
