package watch

import (
	"strings"
	"testing"
	"time"

	"ashbook/report/course"
	"ashbook/tui/backend"
	"ashbook/tui/tuitest"
)

func TestSay(t *testing.T) {
	hall := tuitest.Hall()
	say := func(id string, now time.Time) string {
		hall.Clock = now
		c, err := hall.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(Say(backend.Loaded{Cook: c, Now: now}, hall.Expect(c.Cook, now)), "\n")
	}
	want := `Harvest supper · pork shoulder 4.7 + 3.6 kg · brick; Sat 01:04; stalling
Pit 104 °C, falling, aim 115 °C
Core large 68 °C, +1 °C/h, stall 1 h 10, yours 2 – 4 h; small 70 °C
Ready to take off between 06:50 and 09:40, likely 08:10; meal 13:00: in time, hold 3½ – 6 h; your average of 9 shoulders
Next check in 41 min: vent, wood; at 01:45
Last done: vent, wood cherry 90 g; 4 min ago`
	if got := say(tuitest.Running, tuitest.Night); got != want {
		t.Errorf("got\n%s", got)
	}
	if got := say(tuitest.Running, tuitest.Night.Add(50*time.Minute)); !strings.Contains(got, "Check overdue by 9 min: vent, wood; due 01:45") {
		t.Errorf("got\n%s", got)
	}
	f := hall.Forecasts[tuitest.Running]
	for _, ago := range []time.Duration{3 * time.Hour, time.Hour} {
		at := tuitest.Night.Add(-ago)
		f.Said = append(f.Said, course.Said{At: at, Early: at.Add(6 * time.Hour), Late: at.Add(11 * time.Hour)})
	}
	hall.Forecasts[tuitest.Running] = f
	if got := say(tuitest.Running, tuitest.Night); !strings.Contains(got, "likely 08:10 · 3 h ago it was 04:04 – 09:04 · 1 h ago it was 06:04 – 11:04; meal") {
		t.Errorf("got\n%s", got)
	}
	got := say(tuitest.Planned, tuitest.Night)
	for _, want := range []string{"planned", "Pit not read yet", "Core not read yet", "Next check: none set", "Last done: nothing yet"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
}
