package forecast

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Whatever the past cooks were like, they can be learned from: the covariance of
// their moments can be factored.
func TestEveryPastTeaches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lessons []lesson
		words := rapid.SampledFrom([]string{"", "a", "b", "c"})
		cooks := rapid.IntRange(1, 25).Draw(t, "cooks")
		for cook := range cooks {
			cut, pit := words.Draw(t, "cut"), words.Draw(t, "pit")
			kg := rapid.Float64Range(-2, 2).Draw(t, "weight")
			for range rapid.IntRange(1, 8).Draw(t, "moments") {
				s := situation{cut: cut, pit: pit, wrap: words.Draw(t, "wrap"), weight: kg,
					pieces: rapid.Float64Range(0, 3).Draw(t, "pieces"), heat: rapid.Float64Range(-2, 2).Draw(t, "heat"),
					progress: rapid.Float64Range(0, 1).Draw(t, "progress"), engine: rapid.Float64Range(.2, 40).Draw(t, "engine"),
					elapsed: rapid.Float64Range(0, 40).Draw(t, "elapsed"), feel: rapid.Float64Range(-2, 2).Draw(t, "feel"),
					left: math.NaN(), fired: true}
				if rapid.Bool().Draw(t, "read") {
					s.left = rapid.Float64Range(-5, 95).Draw(t, "left")
				}
				lessons = append(lessons, lesson{cook: cook, situation: s, took: 5, y: rapid.Float64Range(-1.5, 1.5).Draw(t, "y")})
			}
		}
		c := newCorrection(lessons, 0)
		if c.alpha == nil {
			t.Fatalf("%d moments of %d cooks teach nothing", len(lessons), cooks)
		}
		for i := range lessons {
			if m, sd := c.at(lessons[i].situation); math.IsNaN(m) || !(sd > 0) {
				t.Fatalf("mean %g, spread %g", m, sd)
			}
		}
	})
}
