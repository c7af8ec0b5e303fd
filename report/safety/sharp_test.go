package safety

import (
	"fmt"
	"slices"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// The limits of a fire that is down are exact to a kelvin and a few minutes.
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

// Each meat has its own measured growth (Juneja et al. 2011); meat that was not
// measured has that of beef, the fastest.
func TestGrowthByTheCut(t *testing.T) {
	for cut, want := range map[string]Growth{"turkey breast": chickenGrowth, "chicken": chickenGrowth, "pork shoulder": porkGrowth, "brisket": beefGrowth, "lamb shoulder": beefGrowth, "": beefGrowth} {
		if got := GrowthIn(cut); got != want {
			t.Errorf("%q grows like %s", cut, got.name)
		}
	}
}

// The limits from which a question is asked, and of an open lid, are exact to a degree
// and a few minutes.
func TestBoundsAreSharp(t *testing.T) {
	start := func(core float64) func(*journal.Cook) {
		return func(c *journal.Cook) { c.Pieces[0].Core = measure.Degrees(core, measure.Metric) }
	}
	pair := func(c *journal.Cook) { c.Pieces = []journal.Piece{{Name: "large"}, {Name: "small"}} }
	boxed := func(core string) []string {
		return []string{"18 20:00 lit, on, pit 115 °C", "19 03:00 core large 88 °C, core small 88 °C", "19 04:00 core large 93 °C, core small 94 °C", "19 04:10 off, boxed", "19 12:30 core large " + core + " °C"}
	}
	chilled := with(from("19 05:30", "19 05:40 chilled, core 75 °C", "19 06:10 core 57 °C", "19 06:40 core 45 °C", "19 07:10 core 33 °C", "19 08:00 core 20 °C", "19 09:00 core 13 °C", "19 10:00 core 8 °C", "19 11:30 core 5 °C"), "19 12:00 core 5 °C", "19 13:00 core 40 °C")
	opened := []string{"18 20:00 lit, on, pit 130 °C", "18 21:00 pit 128 °C", "18 22:00 lid"}
	for _, tt := range []struct {
		name  string
		head  func(*journal.Cook)
		lines []string
		now   string
		kind  Kind
		said  bool
	}{
		{"8 °C when it went on", start(8), steady[:3], "18 21:05", Warmed, false},
		{"9 °C when it went on", start(9), steady[:3], "18 21:05", Warmed, true},
		{"another piece of the box at 64", pair, boxed("64"), "19 13:00", Unfollowed, false},
		{"another piece of the box at 60", pair, boxed("60"), "19 13:00", Unfollowed, true},
		{"warmed again in 1 h 55", nil, with(chilled, "19 13:55 core 75 °C"), "19 14:00", Reheated, false},
		{"warmed again in 2 h 10", nil, with(chilled, "19 14:10 core 75 °C"), "19 14:15", Reheated, true},
		{"the pit at 70 a quarter of an hour after the lid", nil, with(opened, "18 22:15 pit 70 °C"), "18 22:16", DeadFire, false},
		{"the pit at 70 half an hour after the lid", nil, with(opened, "18 22:30 pit 70 °C"), "18 22:31", DeadFire, true},
		{"the pit at 70 as the meat goes on", nil, []string{"18 20:00 lit, on", "18 20:15 pit 70 °C"}, "18 20:16", DeadFire, true},
		{"a cold pit is no sign of a fire", nil, []string{"18 20:00 lit, on, pit 115 °C", "18 21:00 pit 60 °C"}, "19 00:30", Unread, true},
		{"a wrap is", nil, []string{"18 20:00 lit, on, pit 115 °C", "18 21:00 wrap foil"}, "19 00:30", Unread, false},
		{"off and silent for 17 h 40", nil, from("19 05:30"), "19 22:50", Unfollowed, true},
		{"off and silent for 18 h 20", nil, from("19 05:30"), "19 23:30", Unfollowed, false},
		{"nothing for 4 h 30", nil, []string{"18 20:00 lit, on, pit 115 °C"}, "19 00:30", Unread, true},
	} {
		r := Look(cook(t, tt.head, tt.lines...), journal.Settings{}, day(t, tt.now))
		if got := slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Kind == tt.kind && f.Weight >= Ask }); got != tt.said {
			t.Errorf("%s: %s %v", tt.name, tt.kind, got)
		}
	}
}
