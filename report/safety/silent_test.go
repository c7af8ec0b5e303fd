package safety

import (
	"slices"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
)

// What silence leads to, by what was known before it. USDA-FSIS asks for a smoker at
// 107 °C (225 °F) or more, watched by a thermometer; whole muscle has its bacteria on
// the surface (Food Code 2022, 3-401.11 on intact beef, from memory); four hours are
// those of 3-501.19, six those of revised Appendix A and 3-501.14.
func TestSilence(t *testing.T) {
	cut := func(name string) func(*journal.Cook) { return func(c *journal.Cook) { c.Cut = name } }
	weighs := func(kg float64, more func(*journal.Cook)) func(*journal.Cook) {
		return func(c *journal.Cook) {
			c.Pieces[0].Raw = measure.Kilograms(kg)
			if more != nil {
				more(c)
			}
		}
	}
	injected := func(c *journal.Cook) { c.Prose = "Injected." }
	hot := []string{"18 08:00 lit, on, pit 115 °C", "18 10:45 pit 112 °C, core 40 °C"}
	boxed := func(second string) []string {
		return []string{"18 08:00 lit, on, pit 115 °C", "18 20:00 core 94 °C, off", "18 20:10 boxed, core 90 °C", second}
	}
	for _, tt := range []struct {
		name  string
		head  func(*journal.Cook)
		lines []string
		now   string
		kind  Kind
		want  Weight // Standing: not said, or a note
	}{
		{"whole muscle, silent for 5 h after hours in a hot pit", nil, hot, "18 15:45", Unread, Ask},
		{"the same for 5 h 50", nil, hot, "18 16:35", Unread, Ask},
		{"the same for 6 h 10", nil, hot, "18 16:55", Unread, DoNow},
		{"the same for 3 h 55", nil, hot, "18 14:40", Unread, Standing},
		{"a bird, silent for 5 h", cut("turkey"), hot, "18 15:45", Unread, DoNow},
		{"injected, silent for 5 h", injected, hot, "18 15:45", Unread, DoNow},
		{"whole muscle, last read two hours after it went on", nil, []string{hot[0], "18 10:00 pit 112 °C, core 30 °C"}, "18 15:00", Unread, DoNow},
		{"whole muscle in a pit of 100", nil, []string{"18 08:00 lit, on, pit 100 °C", "18 10:45 pit 100 °C, core 40 °C"}, "18 15:45", Unread, DoNow},
		{"whole muscle, the pit last at 95 where 115 is wanted", func(c *journal.Cook) { c.Aim.Pit = measure.Degrees(115, measure.Metric) }, []string{hot[0], "18 10:45 pit 95 °C, core 40 °C"}, "18 15:45", Unread, Ask},
		{"who sets the pit is at it", nil, []string{hot[0], "18 10:00 aim pit 120 °C"}, "18 13:30", Unread, Standing},

		{"3 kg, on for ten hours, never read", weighs(3, nil), []string{"18 08:00 lit, on, pit 115 °C", "18 18:00 off"}, "18 18:05", NoCore, Ask},
		{"3 kg, on for seven hours, never read", weighs(3, nil), []string{"18 08:00 lit, on, pit 115 °C", "18 15:00 off"}, "18 15:05", NoCore, Ask},
		{"1 kg, on for 5 h 10, never read", weighs(1, nil), []string{"18 08:00 lit, on, pit 115 °C", "18 13:10 off"}, "18 13:15", NoCore, Ask},
		{"1 kg, on for 4 h 50, never read", weighs(1, nil), []string{"18 08:00 lit, on, pit 115 °C", "18 12:50 off"}, "18 12:55", NoCore, DoNow},
		{"3 kg, on for six hours, never read", weighs(3, nil), []string{"18 08:00 lit, on, pit 115 °C", "18 14:00 off"}, "18 14:05", NoCore, DoNow},
		{"not weighed, on for ten hours", nil, []string{"18 08:00 lit, on, pit 115 °C", "18 18:00 off"}, "18 18:05", NoCore, DoNow},
		{"no pit known", weighs(3, nil), []string{"18 08:00 lit, on", "18 18:00 off"}, "18 18:05", NoCore, DoNow},
		{"a pit that was at 60 for a while", weighs(3, nil), []string{"18 08:00 lit, on, pit 115 °C", "18 12:00 pit 60 °C", "18 13:00 pit 115 °C", "18 18:00 off"}, "18 18:05", NoCore, DoNow},
		{"boned", weighs(3, func(c *journal.Cook) { c.Pieces[0].Bone = "out" }), []string{"18 08:00 lit, on, pit 115 °C", "18 18:00 off"}, "18 18:05", NoCore, DoNow},
		{"a bird of 3 kg", weighs(3, cut("turkey")), []string{"18 08:00 lit, on, pit 115 °C", "18 18:00 off"}, "18 18:05", NoCore, DoNow},
		{"part-frozen", weighs(3, func(c *journal.Cook) { c.Prose = "Still icy in the middle." }), []string{"18 08:00 lit, on, pit 115 °C", "18 18:00 off"}, "18 18:05", NoCore, DoNow},
		{"a loin", weighs(3, cut("pork loin")), []string{"18 08:00 lit, on, pit 115 °C", "18 18:00 off"}, "18 18:05", NoCore, DoNow},

		// Newton's law of cooling: 90 to 73 °C in 4 h 30 over a room of 20 is .062 an hour;
		// at a quarter more it is at 57 °C 4 h 38 later, in the fastest known box 3 h 07.
		{"a box that was read twice, 4 h 30 later", nil, boxed("19 00:40 core 73 °C"), "19 05:10", Unfollowed, Standing},
		{"a box that was read twice, 5 h later", nil, boxed("19 00:40 core 73 °C"), "19 05:40", Unfollowed, DoNow},
		{"a box that was read once, at 73, 4 h later", nil, []string{"18 08:00 lit, on, pit 115 °C", "18 20:00 core 94 °C, off", "18 20:10 boxed", "19 00:40 core 73 °C"}, "19 04:40", Unfollowed, DoNow},
		{"two readings an hour apart say too little", nil, boxed("18 21:10 core 73 °C"), "19 01:10", Unfollowed, DoNow},
		{"what it did in another box says nothing", nil, append(boxed("19 00:40 core 73 °C, unboxed"), "19 00:50 boxed"), "19 04:40", Unfollowed, DoNow},
	} {
		got := Standing
		for _, f := range Look(cook(t, tt.head, tt.lines...), journal.Settings{}, day(t, tt.now)).Findings {
			if f.Kind == tt.kind && f.Weight >= Ask {
				got = max(got, f.Weight)
			}
		}
		if got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
	}
}

// A running sample cook is reviewed at each of its lines and just before the next one.
// At the lines at most one cook in twenty is pressed. Cooks of real people are only
// counted: most wrote nothing for hours.
func TestFewRunningCooksGetUrgentFindings(t *testing.T) {
	for name, dir := range journals(t) {
		cooks, s := readCooks(t, dir)
		past := frame.Cooks(cooks)
		all, last, lines, between := 0, 0, 0, 0
		for i := range cooks {
			c := cooks[i]
			if _, ok := c.Finish(); !ok {
				continue
			}
			all++
			var at, later bool
			for k, e := range c.Entries {
				cut := c
				cut.Entries = slices.Clone(c.Entries[:k+1])
				if k+1 < len(c.Entries) {
					cut.Tasting, cut.Yield = nil, journal.Yield{}
				}
				known := past
				if _, off := cut.Finish(); !off || name == "strangers" { // each another person's
					known = nil
				}
				presses := func(now time.Time) bool {
					f := LookKnowing(&cut, known, s, now).Findings[0]
					if f.Weight == DoNow {
						t.Logf("%s %s: %s: %s", c.ID, now.Format(measure.DayClock), f.Kind, f.Text)
					}
					return f.Weight == DoNow
				}
				now := presses(e.Time)
				at = at || now
				if k+1 == len(c.Entries) {
					if now {
						last++
					}
				} else if next := c.Entries[k+1].Time.Add(-time.Minute); next.After(e.Time) {
					later = presses(next) || later
				}
			}
			if at {
				lines++
			}
			if later {
				between++
			}
		}
		t.Logf("%s: %d finished cooks; pressed at the last line %d, at any line %d, before the next line %d", name, all, last, lines, between)
		if name == "samples" && 20*lines > all {
			t.Errorf("%s: %d of %d are pressed at a line", name, lines, all)
		}
	}
}
