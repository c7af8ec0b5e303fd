package report

import (
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page/text"
)

// The page lists the settings in the person's units with what follows from them: 140
// and 135 °F are 60 and 57 °C (FDA Food Code 2022, 3-501.16); water boils at 203 °F at
// 5,000 ft (standard atmosphere: 202.9).
func TestSettings(t *testing.T) {
	vent := map[journal.Act]measure.Span{journal.Vent: measure.Minutes(15)}
	for _, tt := range []struct {
		s    journal.Settings
		want []string
	}{
		{journal.Settings{}, []string{"units: metric: a number without a unit is in °C, kg and cm", "hot hold: 60 °C, the default", "never below 57 °C", "altitude: not set, so sea level. Water boils at 100 °C", "vent: 20 min, the default", "Known pits: brick, drum"}},
		{journal.Settings{Units: measure.US, HotHold: measure.Degrees(150, measure.US), Pit: "drum", Altitude: measure.Length{Base: 1524, Known: true}, Recheck: vent},
			[]string{"units: us: a number without a unit is in °F, lb and in", "hot hold: 150 °F, yours", "never below 135 °F", "pit: drum.", "Water boils at 203 °F", "vent: 15 min, yours"}},
	} {
		all := strings.Join(text.Linear(Settings(tt.s, []string{"brick", "drum"}, "/j/journal.md")), "\n")
		for _, w := range append(tt.want, "Each line is a key in /j/journal.md.") {
			if !strings.Contains(all, w) {
				t.Errorf("the page lacks %q:\n%s", w, all)
			}
		}
		if strings.Contains(all, ": 0 min") {
			t.Errorf("an act without a next look is listed:\n%s", all)
		}
	}
}
