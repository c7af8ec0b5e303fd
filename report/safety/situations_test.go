package safety

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Sources of the expected findings.
const (
	byHold     = "FDA Food Code 2022, 3-501.16(A)"
	byTime     = "FDA Food Code 2022, 3-501.19(B)"
	byCool     = "FDA Food Code 2022, 3-501.14(A)"
	byReheat   = "FDA Food Code 2022, 3-403.11 [from memory]"
	byThaw     = "FDA Food Code 2022, 3-501.13 [from memory]; USDA-FSIS, The Big Thaw [from memory]"
	byChart    = "USDA-FSIS minimum internal temperature chart"
	byLethal   = "USDA-FSIS Appendix A (64 FR 732, 1999)"
	byComeUp   = "USDA-FSIS revised Appendix A (2021) [from memory]"
	byTwoHours = "USDA-FSIS: 2 h out of refrigeration, 1 h over 32 °C"
	byMarinade = "USDA-FSIS on grilling and marinades [from memory]: boil what touched raw meat"
	byPart     = "USDA-FSIS [from memory]: never part-cook meat and finish it later"
	byGame     = "USDA-FSIS on game from the wild [from memory]: 71 °C (160 °F)"
	byCO       = "US CPSC document 5012"
	byLeft     = "USDA-FSIS on leftovers [from memory]: 3 to 4 days in the cold"
	byTrade    = "common practice, no source"
)

// situation is one moment of one cook and the findings that its source asks for.
type situation struct {
	name, source string
	head         func(*journal.Cook)
	lines        []string
	now          string
	doNow        Kind     // the only finding that is pressed; "" if none
	says         []string // "weight kind"
	not          []string // kinds, or "ask the code" for any of that weight
}

// situations were written from the sources before the program was run on them.
func situations() []situation {
	cut := func(name string) func(*journal.Cook) { return func(c *journal.Cook) { eatenUp(c); c.Cut = name } }
	prose := func(words string) func(*journal.Cook) { return func(c *journal.Cook) { eatenUp(c); c.Prose = words } }
	left := func(c *journal.Cook) { c.Yield.Left = measure.Kilograms(.8) }
	start := func(core float64) func(*journal.Cook) {
		return func(c *journal.Cook) { eatenUp(c); c.Pieces[0].Core = measure.Degrees(core, measure.Metric) }
	}
	aims := func(name string, pit, core float64) func(*journal.Cook) {
		return func(c *journal.Cook) {
			c.Cut, c.Aim.Pit, c.Aim.Core = name, measure.Degrees(pit, measure.Metric), measure.Degrees(core, measure.Metric)
		}
	}
	two := func(c *journal.Cook) { c.Pieces = []journal.Piece{{Name: "large"}, {Name: "small"}} }
	leaveIn := []string{"18 19:00 lit", "18 20:00 on, pit 115 °C, core 5 °C", "18 21:00 pit 112 °C, core 9 °C", "18 22:00 pit 115 °C, core 18 °C", "18 23:00 pit 114 °C, core 29 °C",
		"19 00:00 pit 116 °C, core 39 °C", "19 01:00 pit 113 °C, core 47 °C", "19 02:00 pit 115 °C, core 55 °C", "19 03:00 pit 115 °C, core 61 °C", "19 04:00 pit 114 °C, core 66 °C",
		"19 05:00 pit 115 °C, core 69 °C", "19 06:00 pit 115 °C, core 71 °C", "19 07:00 pit 116 °C, core 75 °C", "19 08:00 pit 115 °C, core 83 °C", "19 09:00 pit 115 °C, core 90 °C", "19 10:00 pit 115 °C, core 94 °C"}
	eaten := with(leaveIn, "19 10:10 off, rest", "19 10:30 boxed, core 91 °C", "19 11:30 core 86 °C", "19 12:30 unboxed, core 81 °C", "19 12:50 pulled, served")
	dead := []string{"18 20:00 lit, on, pit 132 °C", "18 21:30 core 30 °C", "19 00:00 pit 132 °C, core 53 °C", "19 06:00 pit 68 °C, core 66 °C"}
	cooled := with(steady, "19 08:00 core 58 °C", "19 08:30 core 45 °C", "19 09:00 core 33 °C", "19 09:30 core 20 °C", "19 10:30 core 14 °C", "19 11:30 core 9 °C", "19 12:30 core 5 °C")
	chicken := []string{"18 17:00 lit, on, pit 150 °C, core 5 °C", "18 17:30 pit 150 °C, core 30 °C", "18 18:00 pit 150 °C, core 55 °C"}
	off := from("19 05:30") // off at 05:10, core 94 at 05:00, nothing since

	return []situation{
		// Handled right.
		{"read hourly, boxed, eaten up", byHold, eatenUp, steady, "19 08:40", "", nil, []string{"ask the code", "hot hold", "log reduction", "four-hour line"}},
		{"the probe left in from the start", byTime, eatenUp, eaten, "19 13:30", "", nil, []string{"ask the code", "four-hour line", "slow rise", "log reduction"}},
		{"the probe left in, still on", byTime, nil, leaveIn[:9], "19 03:10", "", nil, []string{"ask the code", "four-hour line"}},
		{"both cooling steps met by readings", byCool, left, cooled, "19 13:00", "", nil, []string{"ask the code", "cooling", "growth while cooling"}},
		{"chilled and reheated as the code says", byReheat, left, with(from("19 05:30", "19 05:40 chilled, core 75 °C", "19 06:10 core 57 °C", "19 06:40 core 45 °C", "19 07:10 core 33 °C", "19 08:00 core 20 °C", "19 09:00 core 13 °C", "19 10:00 core 8 °C", "19 11:30 core 5 °C"), "19 12:00 core 5 °C", "19 12:40 core 40 °C", "19 13:30 core 75 °C", "19 13:40 served"), "19 14:00", "", nil, []string{"ask the code", "hot hold", "reheating", "cooling", "growth while cooling"}},
		{"a core past 94 after a silent night, the pit read", byLethal, eatenUp, from("18 23:00", "18 23:30 pit 118 °C", "19 01:00 pit 120 °C", "19 02:30 pit 117 °C", "19 04:00 pit 119 °C", "19 05:00 core 94 °C", "19 05:10 off", "19 06:00 served"), "19 06:30", "", nil, []string{"log reduction", "four-hour line", "core when it came off"}},
		{"chicken off at 75", byChart, cut("chicken"), with(chicken, "18 18:30 pit 150 °C, core 75 °C, off", "18 18:50 served"), "18 19:30", "", []string{"note bird"}, []string{"ask the code", "core when it came off", "log reduction"}},
		{"ribs in four hours", byChart, cut("pork ribs"), []string{"18 12:00 lit, on, pit 120 °C", "18 13:00 pit 120 °C, core 45 °C", "18 14:00 pit 118 °C, core 66 °C", "18 15:00 pit 121 °C, core 80 °C", "18 16:00 pit 119 °C, core 93 °C, off", "18 16:20 served"}, "18 17:00", "", nil, []string{"ask the code"}},
		{"a roast of beef at 55 for two hours", byLethal, cut("beef roast"), []string{"18 12:00 lit, on, pit 95 °C", "18 13:00 pit 95 °C, core 25 °C", "18 14:00 pit 95 °C, core 42 °C", "18 15:00 pit 95 °C, core 52 °C", "18 15:30 pit 95 °C, core 55 °C", "18 16:30 pit 96 °C, core 57 °C", "18 17:30 pit 95 °C, core 58 °C", "18 17:40 off", "18 18:00 served"}, "18 18:20", "", nil, []string{"log reduction"}},
		{"a lid open for half an hour", byTrade, nil, []string{"18 20:00 lit, on, pit 115 °C", "18 21:00 pit 115 °C, core 12 °C", "18 22:00 lid, pit 75 °C", "18 22:25 pit 112 °C", "18 23:00 pit 115 °C, core 35 °C"}, "18 23:10", "", nil, []string{"ask the code", "fire down or out"}},
		{"a month old and never chilled on paper", byLeft, nil, steady, "46", "", nil, []string{"ask the code"}},
		{"a dead fire a month ago", byLeft, nil, dead, "46", "", nil, []string{"ask the code"}},
		{"off at a core of 94 and nothing noted after, the next day", byTrade, nil, off, "20 12:00", "", nil, []string{"ask the code"}},
		{"cured pork smoked cold", byTrade, prose("Cold smoked after eight days in the cure."), []string{"18 20:00 lit, on, pit 22 °C, core 4 °C", "18 22:00 pit 20 °C, core 12 °C", "19 00:00 pit 24 °C, core 17 °C", "19 02:00 pit 21 °C, core 18 °C"}, "19 02:10", "", []string{"ask the code cold smoking"}, []string{"fire down or out", "four-hour line"}},
		{"rested on the board for 25 minutes", byHold, nil, off, "19 05:35", "", nil, []string{"ask the code", "not followed to the table"}},
		{"held at 62 on the way to the table", byHold, eatenUp, from("19 06:30", "19 06:30 core 75 °C", "19 07:30 core 68 °C", "19 08:30 core 62 °C", "19 08:40 served"), "19 09:00", "", nil, []string{"ask the code", "hot hold"}},
		{"one slip corrected by the next reading", byTrade, eatenUp, from("19 02:00", "19 02:00 pit 119 °C, core 47 °C", "19 02:20 core 74 °C", "19 03:00 pit 121 °C, core 82 °C", "19 04:00 pit 118 °C, core 90 °C", "19 05:00 core 94 °C, off", "19 05:40 served"), "19 06:00", "", nil, []string{"ask the code", "log reduction"}},
		{"left out is said of the paprika", byTrade, prose("Left out the paprika this time."), steady, "19 08:00", "", nil, []string{"ask the code", "warm before it went on"}},

		// Off and not boxed.
		{"off, two and a half hours, not read", byTwoHours, nil, off, "19 07:40", Unfollowed, nil, nil},
		{"off and silent, scored in the evening", byTrade, func(c *journal.Cook) { c.Tasting = []journal.Taste{{Eater: "Ann"}} }, off, "19 20:00", "", nil, []string{"ask the code"}},
		{"off, four and a half hours, not read", byTime, nil, off, "19 09:40", Unfollowed, nil, nil},
		{"one of two boxed, the other forgotten for five hours", byTime, two, []string{"18 20:00 lit, on, pit 115 °C", "18 23:00 pit 115 °C, core large 40 °C, core small 45 °C", "19 01:00 pit 115 °C, core large 60 °C, core small 65 °C", "19 03:00 pit 115 °C, core large 80 °C, core small 85 °C", "19 04:00 core large 93 °C, core small 94 °C", "19 04:10 off", "19 04:20 boxed large, core large 90 °C", "19 05:30 core large 85 °C", "19 06:30 core large 81 °C", "19 07:30 core large 77 °C", "19 08:30 core large 74 °C"}, "19 09:10", Unfollowed, nil, nil},
		{"in hot air for 80 minutes", byTwoHours, func(c *journal.Cook) { c.Weather.Air = measure.Degrees(35, measure.Metric) }, off, "19 06:31", Unfollowed, nil, nil},

		// Warm before it went on.
		{"a core of 14 when it went on", byTwoHours, start(14), leaveIn[:5], "19 00:10", "", []string{"ask the code warm before it went on"}, nil},
		{"a core of 8 when it went on", byTwoHours, start(8), leaveIn[:5], "19 00:10", "", nil, []string{"warm before it went on"}},
		{"left on the counter", byTwoHours, prose("Stood on the counter to take the chill off."), leaveIn[:5], "19 00:10", "", []string{"ask the code warm before it went on"}, nil},
		{"left out overnight", byTwoHours, prose("Forgot it: left out overnight."), leaveIn[:5], "19 00:10", Warmed, nil, nil},
		{"thawed at room temperature", byThaw, prose("Thawed at room temperature since the morning."), leaveIn[:5], "19 00:10", "", []string{"ask the code warm before it went on"}, []string{"part-frozen"}},
		{"thawed in the fridge", byThaw, prose("Thawed in the fridge for three days."), leaveIn[:5], "19 00:10", "", nil, []string{"warm before it went on", "ask the code"}},
		{"from a water bath", byTime, prose("Two days in the water bath first."), leaveIn[:5], "19 00:10", "", []string{"ask the code warm before it went on"}, nil},
		{"still icy by the bone", byThaw, prose("Still icy by the bone."), leaveIn[:5], "19 00:10", "", []string{"note part-frozen"}, nil},

		// Aims.
		{"a bird aimed at 70", byChart, aims("chicken", 150, 70), nil, "18 12:00", LowAim, nil, nil},
		{"a bird aimed at 74", byChart, aims("chicken", 150, 74), nil, "18 12:00", "", nil, []string{"aim", "ask the code"}},
		{"minced meat aimed at 66", byChart, aims("beef sausages", 110, 66), nil, "18 12:00", LowAim, nil, nil},
		{"injected pork aimed at 66", byLethal, func(c *journal.Cook) { aims("pork loin", 110, 66)(c); c.Prose = "Injected." }, nil, "18 12:00", "", []string{"note aim"}, nil},
		{"injected pork aimed at 60", byChart, func(c *journal.Cook) { aims("pork loin", 110, 60)(c); c.Prose = "Injected." }, nil, "18 12:00", LowAim, nil, nil},
		{"venison aimed at 60", byGame, aims("venison haunch", 110, 60), nil, "18 12:00", LowAim, nil, nil},
		{"beef aimed at 55", byLethal, aims("rib roast", 110, 55), nil, "18 12:00", "", []string{"note aim"}, nil},
		{"pork aimed at 58", byChart, aims("pork loin", 110, 58), nil, "18 12:00", "", []string{"note aim"}, nil},
		{"a core aim the pit cannot reach", byTrade, aims("pork shoulder", 90, 94), nil, "18 12:00", "", []string{"note aim out of reach"}, nil},
		{"a bird's aim lowered while it is on", byChart, aims("turkey", 150, 76), with(chicken[:2], "18 17:40 aim core 68 °C"), "18 17:45", LowAim, nil, nil},
		{"an aim over the boiling point", byTrade, aims("pork shoulder", 120, 100), nil, "18 12:00", "", []string{"note aim out of reach"}, nil},

		// Not hot right through.
		{"chicken off at 71", byChart, cut("chicken"), with(chicken, "18 18:25 core 71 °C, off"), "18 18:30", EndCore, nil, nil},
		{"chicken off at 71, eaten", byChart, cut("chicken"), with(chicken, "18 18:25 core 71 °C, off", "18 18:40 served"), "18 19:00", "", []string{"ask the code core when it came off"}, nil},
		{"sausages off at 66", byChart, cut("pork sausages"), []string{"18 12:00 lit, on, pit 110 °C", "18 12:40 pit 110 °C, core 45 °C", "18 13:10 core 66 °C, off"}, "18 13:15", EndCore, nil, nil},
		{"venison off at 64", byGame, cut("venison"), []string{"18 12:00 lit, on, pit 110 °C", "18 13:00 pit 110 °C, core 35 °C", "18 14:00 pit 110 °C, core 55 °C", "18 14:40 core 64 °C, off"}, "18 14:45", EndCore, nil, nil},
		{"shoulder off at 58", byChart, nil, from("19 00:00", "19 00:00 core 58 °C, off"), "19 00:05", EndCore, nil, nil},
		{"off and never read", byChart, nil, []string{"18 20:00 lit, on, pit 110 °C", "18 22:00 pit 111 °C", "19 00:00 pit 110 °C", "19 02:00 pit 112 °C", "19 04:00 pit 110 °C", "19 06:00 off"}, "19 06:10", NoCore, nil, nil},
		{"part-cooked, to be finished tomorrow", byPart, nil, from("19 00:00", "19 00:00 core 55 °C, off", "19 00:20 chilled"), "19 00:30", PartCooked, nil, nil},
		{"part-cooked, in the words", byPart, prose("Par-cooked yesterday, finished today."), leaveIn[:5], "19 00:10", "", []string{"ask the code part-cooked"}, nil},

		// The fire.
		{"the fire died in the night", byTime, nil, dead, "19 06:05", DeadFire, nil, nil},
		{"the fire died, injected", byTime, func(c *journal.Cook) { c.Prose = "Injected with stock." }, dead, "19 06:05", DeadFire, nil, nil},
		{"the pit never came up", byTime, nil, []string{"18 20:00 lit, on, pit 70 °C, core 5 °C", "18 22:00 pit 72 °C, core 25 °C", "19 00:00 pit 70 °C, core 38 °C", "19 01:00 pit 71 °C, core 44 °C"}, "19 01:10", DeadFire, nil, nil},
		{"on since seven hours, last read at 41 five hours ago", byTime, nil, []string{"18 20:00 lit, on, pit 110 °C", "18 22:00 pit 110 °C, core 41 °C"}, "19 03:00", Unread, []string{"ask the code four-hour line"}, nil},
		{"asleep for five hours with a core of 66", byTrade, nil, leaveIn[:10], "19 09:00", "", nil, []string{"ask the code"}},
		{"the pit down by 35 K now", byTrade, aims("pork shoulder", 115, 94), []string{"18 20:00 lit, on, pit 115 °C", "18 21:00 pit 114 °C, core 12 °C", "18 22:00 pit 80 °C, core 22 °C"}, "18 22:05", DeadFire, nil, nil},
		{"the pit down by 27 K now", byTrade, aims("pork shoulder", 120, 94), []string{"18 20:00 lit, on, pit 120 °C", "18 21:00 pit 119 °C, core 12 °C", "18 22:00 pit 93 °C, core 22 °C"}, "18 22:05", "", nil, []string{"fire down or out"}},
		{"injected, six hours and a half on the way up", byComeUp, prose("Injected."), []string{"18 19:10 lit, on, pit 100 °C, core 5 °C", "18 20:00 pit 100 °C, core 9.9 °C", "18 21:00 pit 100 °C, core 15 °C", "18 22:00 pit 100 °C, core 22 °C", "18 23:00 pit 100 °C, core 29 °C", "19 00:00 pit 100 °C, core 36 °C", "19 01:00 pit 100 °C, core 43 °C", "19 02:00 pit 100 °C, core 51 °C", "19 02:20 pit 100 °C, core 54.5 °C"}, "19 02:30", "", []string{"ask the code slow rise"}, nil},
		{"injected, five and a half hours on the way up", byComeUp, prose("Injected."), []string{"18 19:10 lit, on, pit 110 °C, core 5 °C", "18 20:00 pit 110 °C, core 9.9 °C", "18 21:00 pit 110 °C, core 16 °C", "18 22:00 pit 110 °C, core 24 °C", "18 23:00 pit 110 °C, core 32 °C", "19 00:00 pit 110 °C, core 41 °C", "19 01:00 pit 110 °C, core 51 °C", "19 01:30 pit 110 °C, core 54.5 °C"}, "19 01:40", "", nil, []string{"slow rise", "ask the code", "four-hour line"}},
		{"under a roof, lit", byCO, prose("Moved it into the garage, rain."), leaveIn[:5], "19 00:10", Monoxide, nil, nil},
		{"under a roof, a week ago", byCO, prose("Moved it into the garage, rain."), steady, "26 08:00", "", nil, []string{"ask the code"}},

		// After it came off.
		{"fell below 57 in the box an hour ago", byHold, nil, from("19 06:30", "19 07:30 core 65 °C", "19 08:30 core 58 °C", "19 09:30 core 52 °C"), "19 09:35", Hold, nil, nil},
		{"below 57 for five hours before it is served", byTime, nil, from("19 06:30", "19 07:30 core 58 °C", "19 08:00 core 54 °C", "19 09:00 core 47 °C", "19 10:00 core 41 °C", "19 11:00 core 36 °C", "19 12:00 core 32 °C", "19 13:00 core 29 °C"), "19 13:05", Hold, nil, nil},
		{"below 57 for five hours, then served", byTime, eatenUp, from("19 06:30", "19 07:30 core 58 °C", "19 08:00 core 54 °C", "19 09:00 core 47 °C", "19 10:00 core 41 °C", "19 11:00 core 36 °C", "19 12:00 core 32 °C", "19 13:00 served"), "19 13:30", "", []string{"ask the code hot hold"}, nil},
		{"cooled too slowly", byCool, left, with(steady, "19 08:00 core 60 °C", "19 09:00 core 50 °C", "19 10:00 core 40 °C", "19 11:00 core 30 °C", "19 12:00 core 20 °C"), "19 12:30", SlowCooling, nil, nil},
		{"cooled in two and a half hours, or in two", byCool, left, with(steady, "19 08:00 core 70 °C", "19 10:15 core 24 °C", "19 10:30 core 20 °C", "19 11:30 core 9 °C", "19 12:30 core 5 °C"), "19 13:00", "", []string{"ask the code cooling"}, nil},
		{"chilled five hours after the meal, not read", byCool, left, with(steady, "19 12:40 chilled"), "19 13:00", Leftovers, nil, nil},
		{"chilled half an hour after the meal, not read", byCool, left, with(steady, "19 08:00 chilled"), "19 08:30", "", []string{"note leftovers"}, []string{"ask the code"}},
		{"warmed again to 65 only", byReheat, left, with(cooled, "19 16:00 core 5 °C", "19 17:00 core 65 °C"), "19 17:10", Reheated, nil, nil},

		// Said in the notes.
		{"glazed with the marinade", byMarinade, prose("Brushed with the marinade it lay in."), leaveIn[:9], "19 03:10", "", []string{"ask the code raw juice"}, nil},
		{"the bottle that touched raw meat", byMarinade, nil, with(leaveIn[:9], "19 03:05 spritz vinegar — same bottle as on the raw chicken"), "19 03:10", "", []string{"ask the code raw juice"}, nil},
		{"a marinade thrown away", byMarinade, prose("Dry rub. Marinade for the peppers only."), leaveIn[:9], "19 03:10", "", nil, []string{"raw juice"}},
		{"wild boar", byGame, cut("wild boar shoulder"), leaveIn[:9], "19 03:10", "", []string{"note game"}, []string{"ask the code"}},
		{"a doubted core is the last", byTrade, nil, with(leaveIn[:9], "19 03:30 core 26 °C"), "19 03:31", "", []string{"note doubtful readings"}, nil},
	}
}

func TestSituations(t *testing.T) {
	all := append(situations(), furtherSituations()...)
	if len(all) < 60 {
		t.Fatalf("%d situations", len(all))
	}
	for _, s := range all {
		t.Run(s.name, func(t *testing.T) {
			c := cook(t, s.head, s.lines...)
			now := day(t, "18 12:00").AddDate(0, 1, 0)
			if s.now != "46" {
				now = day(t, s.now)
			}
			var pressed []Kind
			var got []string
			for _, f := range Look(c, journal.Settings{}, now).Findings {
				got = append(got, fmt.Sprintf("%s %s", f.Weight, f.Kind))
				if f.Weight == DoNow {
					pressed = append(pressed, f.Kind)
				}
			}
			if want := []Kind{s.doNow}; s.doNow == "" && len(pressed) > 0 || s.doNow != "" && !slices.Equal(pressed, want) {
				t.Errorf("pressed %q, the source asks for %q (%s); all: %q", pressed, s.doNow, s.source, got)
			}
			for _, w := range s.says {
				if !slices.Contains(got, w) {
					t.Errorf("does not say %q (%s): %q", w, s.source, got)
				}
			}
			for _, w := range s.not {
				if slices.ContainsFunc(got, func(g string) bool { return strings.HasSuffix(g, " "+w) || strings.HasPrefix(g, w+" ") }) {
					t.Errorf("says %q (%s): %q", w, s.source, got)
				}
			}
		})
	}
}
