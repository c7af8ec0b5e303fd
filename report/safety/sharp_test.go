package safety

import (
	"fmt"
	"slices"
	"testing"

	"ashbook/journal"
)

// The limits of the fire as they are chosen, to a kelvin and a few minutes.
func TestFireLimitsAreSharp(t *testing.T) {
	has := func(k Kind, aim string, lines ...string) bool {
		c := cook(t, nil, append([]string{"18 20:00 lit, on, pit 130 °C" + aim}, lines...)...)
		return slices.ContainsFunc(Look(c, journal.Settings{}, day(t, "18 23:00")).Findings, func(f Finding) bool { return f.Kind == k })
	}
	for _, tt := range []struct {
		aim  string
		pit  float64
		dead bool
	}{{"", 89, true}, {"", 91, false}, {", aim pit 130 °C", 98, true}, {", aim pit 130 °C", 102, false}} {
		if got := has(DeadFire, tt.aim, "18 21:30 pit 128 °C", fmt.Sprintf("18 22:55 pit %.0f °C", tt.pit)); got != tt.dead {
			t.Errorf("pit %.0f °C%s: dead %v", tt.pit, tt.aim, got)
		}
	}
	for at, gap := range map[string]bool{"18 21:55": false, "18 22:05": true} {
		if got := has(Gap, "", "18 20:01 core 6 °C", at+" pit 130 °C, core 30 °C"); got != gap {
			t.Errorf("next reading at %s: gap %v", at, got)
		}
	}
}

// Each meat grows by its own measured law (Juneja et al. 2011); beef, the fastest,
// stands in for what was not measured.
func TestGrowthByTheCut(t *testing.T) {
	for cut, want := range map[string]Growth{"turkey breast": chickenGrowth, "chicken": chickenGrowth, "pork shoulder": porkGrowth, "brisket": beefGrowth, "lamb shoulder": beefGrowth, "": beefGrowth} {
		if got := GrowthIn(cut); got != want {
			t.Errorf("%q grows like %s", cut, got.name)
		}
	}
}
