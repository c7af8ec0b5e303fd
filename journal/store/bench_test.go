package store

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

func BenchmarkSave(b *testing.B) {
	dir := hall(b)
	c := &clock{night}
	k := open(b, dir, c)
	i := 0
	line := func(old []byte) ([]byte, error) {
		at := strings.LastIndex(strings.TrimSuffix(string(old), "\n"), "\n")
		return fmt.Appendf(old[:at+1:at+1], "- 2026-09-19T05:00+01:00 pit %d °C\n", i), nil
	}
	b.ReportAllocs()
	for ; b.Loop(); i++ {
		c.Time = c.Add(time.Minute)
		if _, err := k.Edit(supper, line, "harvest-supper: 05:00 pit"); err != nil {
			b.Fatal(err)
		}
		if i%50 == 49 {
			b.StopTimer()
			flush(b, k)
			b.StartTimer()
		}
	}
}
