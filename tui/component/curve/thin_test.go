package curve

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/journal"
)

var night = time.Date(2026, 9, 19, 1, 4, 0, 0, time.FixedZone("", 3600))

// Thinning step by step gives the same as thinning all at once, and does not change
// earlier results.
func TestThinGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := time.Duration(rapid.IntRange(1, 100).Draw(t, "seconds")) * time.Second
		n := rapid.IntRange(0, 300).Draw(t, "rows")
		s := journal.Series{Cores: []journal.CoreSeries{{Piece: "a"}}}
		if rapid.Bool().Draw(t, "pit") {
			s.Pit = []float64{}
		}
		for i := range n {
			s.Times = append(s.Times, night.Add(time.Duration(i)*step))
			v := float64(i)
			if rapid.IntRange(0, 9).Draw(t, "gap") == 0 {
				v = math.NaN()
			}
			s.Cores[0].C = append(s.Cores[0].C, v)
			if s.Pit != nil {
				s.Pit = append(s.Pit, -v)
			}
		}
		cut := func(k int) journal.Series {
			c := journal.Series{Times: s.Times[:k], Cores: []journal.CoreSeries{{Piece: "a", C: s.Cores[0].C[:k]}}}
			if s.Pit != nil {
				c.Pit = s.Pit[:k]
			}
			return c
		}
		k := rapid.IntRange(0, n).Draw(t, "first")
		early := Thinned{}.Grow(cut(k))
		was := fmt.Sprint(early.Series(cut(k)))
		if got, want := fmt.Sprint(early.Grow(s).Series(s)), fmt.Sprint(Thinned{}.Grow(s).Series(s)); got != want {
			t.Fatalf("grown %s\nwhole %s", got, want)
		}
		if got := fmt.Sprint(early.Series(cut(k))); got != was {
			t.Fatalf("changed from %s\nto %s", was, got)
		}
		if out := (Thinned{}).Grow(s).Series(s); n > 0 && !out.Times[len(out.Times)-1].Equal(s.Times[n-1]) {
			t.Fatal("the last row is not told")
		}
	})
}
