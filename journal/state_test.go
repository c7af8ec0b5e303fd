package journal

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"ashbook/journal/measure"
)

// cook returns a cook with these timeline lines, "19-05:30 body": day of September 2026
// and clock time in UTC.
func cook(t testing.TB, pieces []string, lines ...string) *Cook {
	t.Helper()
	c := &Cook{Pieces: []Piece{{}}}
	if len(pieces) > 0 {
		c.Pieces = nil
		for _, p := range pieces {
			c.Pieces = append(c.Pieces, Piece{Name: p})
		}
	}
	for _, l := range lines {
		stamp, body, _ := strings.Cut(l, " ")
		items, words, notes := ParseBody(body, Grammar{Pieces: c.PieceNames()})
		if len(notes) > 0 {
			t.Fatalf("%q: %v", l, notes)
		}
		c.Entries = append(c.Entries, Entry{Time: moment(t, stamp), Items: items, Words: words})
	}
	SortEntries(c.Entries)
	return c
}

func moment(t testing.TB, stamp string) time.Time {
	t.Helper()
	day, clock, _ := strings.Cut(stamp, "-")
	return at(t, fmt.Sprintf("2026-09-%sT%sZ", day, clock))
}

// harvest returns an invented night with two pieces.
func harvest(t testing.TB) *Cook {
	return cook(t, []string{"large", "small"},
		"18-18:05 lit — two starters",
		"18-18:50 settled, pit 110 °C",
		"18-19:10 on, pit 112 °C, core large 5 °C, core small 6 °C",
		"18-22:00 core large 45 °C, core small 47 °C, vent",
		"19-00:00 core large 66 °C, core small 64 °C, wood cherry 90 g, bark 1",
		"19-01:00 core large 67 °C, core small 68 °C",
		"19-02:00 core large 68 °C, core small 74 °C",
		"19-03:20 wrap paper",
		"19-04:00 core large 69 °C, core small 86 °C",
		"19-06:00 feel small 3, core small 93 °C, core large 84 °C",
		"19-06:10 off small",
		"19-07:30 feel large 2",
		"19-07:50 feel large 3, core large 93 °C",
		"19-08:00 off",
		"19-08:15 boxed, core large 88 °C",
		"19-09:15 core large 79 °C",
		"19-11:00 core large 70 °C",
		"19-11:45 unboxed",
		"19-12:00 pulled, served",
		"19-14:00 chilled")
}

func TestStatusThroughTheNight(t *testing.T) {
	c := harvest(t)
	tests := []struct{ at, cook, large, small string }{
		{"18-18:00", "planned", "planned", "planned"},
		{"18-18:05", "settling", "settling", "settling"},
		{"18-19:09", "settling", "settling", "settling"},
		{"18-19:10", "on", "on", "on"},
		{"18-23:00", "on", "on", "on"},
		{"19-01:00", "stalling", "stalling", "on"}, // small gains 4 K an hour
		{"19-02:30", "stalling", "stalling", "on"},
		{"19-03:30", "wrapped, stalling", "wrapped, stalling", "wrapped"},
		{"19-04:00", "wrapped, stalling", "wrapped, stalling", "wrapped"},
		{"19-06:05", "wrapped", "wrapped", "tender"},
		{"19-06:10", "wrapped", "wrapped", "off"},
		{"19-07:55", "tender", "tender", "off"},
		{"19-08:00", "off", "off", "off"},
		{"19-08:15", "holding", "holding", "holding"},
		{"19-11:00", "holding", "holding", "holding"},
		{"19-11:45", "off", "off", "off"},
		{"19-12:00", "served", "served", "served"},
		{"19-15:00", "chilled", "chilled", "chilled"},
		{"25-15:00", "chilled", "chilled", "chilled"},
	}
	for _, tt := range tests {
		now := moment(t, tt.at)
		if got := c.Status(now).String(); got != tt.cook {
			t.Errorf("%s: cook is %s, want %s", tt.at, got, tt.cook)
		}
		for i, want := range []string{tt.large, tt.small} {
			st := c.PieceStatus(i, now)
			if st.String() != want {
				t.Errorf("%s: piece %d is %s, want %s", tt.at, i, st, want)
			}
			if c.PieceStage(i, now) != st.Stage {
				t.Errorf("%s: piece %d has two stages", tt.at, i)
			}
		}
		running := tt.at >= "18-18:05" && tt.at < "19-08:00"
		if c.Running(now) != running {
			t.Errorf("%s: running is %v", tt.at, !running)
		}
	}
}

func TestStages(t *testing.T) {
	tests := []struct {
		name  string
		lines []string
		want  string
	}{
		{"on without being lit", []string{"18-20:00 on"}, "on"},
		{"settled when already on stays on", []string{"18-20:00 on", "18-20:10 settled"}, "on"},
		{"unwrapped is on again", []string{"18-20:00 on", "18-22:00 wrap foil", "18-23:00 unwrap"}, "on"},
		{"unwrapped in the box stays there", []string{"18-20:00 on", "18-22:00 off", "18-22:10 boxed", "18-23:00 unwrap"}, "holding"},
		{"grabs is not tender", []string{"18-20:00 on", "18-22:00 feel 2"}, "on"},
		{"back on after a rest", []string{"18-20:00 on", "18-22:00 off", "18-22:30 on"}, "on"},
		{"wrapped for the box stays off", []string{"18-20:00 on", "18-22:00 off", "18-22:01 wrap foil"}, "off"},
		{"pulled in the box is not off again", []string{"18-20:00 on", "18-22:00 off, boxed", "18-23:00 pulled"}, "holding"},
		{"words alone", []string{"18-20:00 off to bed?"}, "planned"},
		{"nothing", nil, "planned"},
	}
	for _, tt := range tests {
		c := &Cook{Pieces: []Piece{{}}}
		if tt.name != "words alone" {
			c = cook(t, nil, tt.lines...)
		}
		if got := c.Status(moment(t, "19-06:00")).String(); got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
	}
}

// One piece goes on hours before the other. The cook counts as running.
func TestPiecesGoOnApart(t *testing.T) {
	c := cook(t, []string{"large", "small"}, "18-20:00 on large", "18-23:00 on small", "19-06:00 off small", "19-08:00 off large")
	for stamp, want := range map[string]string{"18-19:59": "planned", "18-20:00": "settling", "18-23:00": "on", "19-06:00": "on", "19-08:00": "off"} {
		if got := c.Status(moment(t, stamp)).String(); got != want {
			t.Errorf("%s: %s, want %s", stamp, got, want)
		}
	}
	if !c.Running(moment(t, "18-21:00")) || c.Running(moment(t, "19-08:00")) {
		t.Error("not running from the first on to the last off")
	}
	if took, ok := c.Took(); !ok || took != 12*time.Hour {
		t.Errorf("took %v %v, want 12 h", took, ok)
	}
	alone := cook(t, []string{"large", "small"}, "18-20:00 on large")
	if st := alone.Status(moment(t, "20-08:01")); st.String() != "left open" {
		t.Errorf("one piece on, silent for 36 h: %s", st)
	}
}

func TestLeftOpen(t *testing.T) {
	c := cook(t, nil, "18-19:00 lit", "18-20:00 on", "18-22:00 core 45 °C")
	for stamp, open := range map[string]bool{"18-22:00": false, "20-10:00": false, "20-10:01": true, "25-10:00": true} {
		now := moment(t, stamp)
		if st := c.Status(now); st.LeftOpen != open || open && st.String() != "left open" {
			t.Errorf("%s: %+v", stamp, st)
		}
		if c.Running(now) == open {
			t.Errorf("%s: running is %v", stamp, open)
		}
		if _, owed := c.NextCheck(now, Settings{}); owed == open {
			t.Errorf("%s: a look is owed: %v", stamp, owed)
		}
	}
	lit := cook(t, nil, "18-19:00 lit")
	if st := lit.Status(moment(t, "20-07:01")); !st.LeftOpen {
		t.Errorf("lit and left: %+v", st)
	}
	planned := &Cook{}
	if st := planned.Status(moment(t, "20-07:01")); st != (Status{}) || planned.Running(moment(t, "20-07:01")) {
		t.Errorf("a plan: %+v", st)
	}
}

// probed gives a cook a probe series of one core, with one value a minute.
func probed(c *Cook, from time.Time, values func(minute int) float64, minutes int) {
	s := &c.Series
	var core []float64
	for i := range minutes {
		s.Times = append(s.Times, from.Add(time.Duration(i)*time.Minute))
		core = append(core, values(i))
	}
	s.Cores = append(s.Cores, CoreSeries{C: core})
}

func TestStallingByProbe(t *testing.T) {
	c := cook(t, nil, "18-20:00 on")
	// 20 K an hour to 66 °C after 3 h 3 min, then constant apart from a ripple for 2 h,
	// then rising again.
	const into, out = 183, 303
	probed(c, moment(t, "18-20:00"), func(i int) float64 {
		switch {
		case i%37 == 5:
			return math.NaN()
		case i < into:
			return 5 + float64(i)/3
		case i < out:
			return 66 + .2*math.Sin(float64(i))
		}
		return 66 + float64(i-out)/10
	}, 480)
	start := moment(t, "18-20:00")
	stalled := func(minute int) bool { return c.Status(start.Add(time.Duration(minute) * time.Minute)).Stalling }
	// The rate is over the last hour, so a stall shows at most an hour after it began.
	for minute, want := range map[int]bool{into - 10: false, into + 65: true, out - 1: true, out + 60: false, 470: false} {
		if stalled(minute) != want {
			t.Errorf("minute %d: stalling is %v", minute, !want)
		}
	}
	s, ok := c.Stall(0, start.Add(8*time.Hour))
	if !ok {
		t.Fatal("no stall found")
	}
	if began := int(s.From.Sub(start).Minutes()); began < into || began > into+60 {
		t.Errorf("stall began at minute %d, the core was level from %d", began, into)
	}
	if ended := int(s.To.Sub(start).Minutes()); ended < out-10 || ended > out+30 {
		t.Errorf("stall ended at minute %d, the core rose again from %d", ended, out)
	}
	if sofar, ok := c.Stall(0, start.Add(280*time.Minute)); !ok || sofar.Lasted() >= s.Lasted() || !sofar.Standing || s.Standing || s.Between {
		t.Errorf("stall so far %+v, in the end %+v", sofar, s)
	}
}

func TestStallByNotes(t *testing.T) {
	c := harvest(t)
	now := moment(t, "19-15:00")
	large, ok := c.Stall(0, now)
	if !ok || !large.From.Equal(moment(t, "19-00:00")) || large.Lasted() != 4*time.Hour {
		t.Errorf("large: %+v, %v; want from 00:00 for 4 h", large, ok)
	}
	if s, ok := c.Stall(1, now); ok {
		t.Errorf("small never stalled, but %+v", s)
	}
	if s, ok := c.LongestStall(now); !ok || s != large {
		t.Errorf("the longest is %+v, not the large piece's", s)
	}
	// Cooling through 80 to 60 °C in the box is no stall.
	boxed := cook(t, nil, "18-20:00 on, core 5 °C", "18-22:00 core 40 °C", "19-00:00 core 85 °C", "19-02:00 off, boxed", "19-03:00 core 80 °C", "19-04:00 core 75 °C", "19-05:00 core 70 °C")
	if s, ok := boxed.Stall(0, now); ok {
		t.Errorf("in the box: a stall %+v", s)
	}
}

// A core that rises fast between two flat stretches stalls twice. The stall it is in
// counts, and afterwards the longer one.
func TestTwoStalls(t *testing.T) {
	c := cook(t, nil, "18-20:00 on, core 5 °C", "18-23:00 core 60 °C", "19-00:00 core 67 °C", "19-01:00 core 67 °C", "19-02:00 core 68 °C", "19-03:00 core 68 °C",
		"19-04:00 core 74 °C", "19-05:00 core 79 °C", "19-06:00 core 79 °C", "19-06:30 core 80 °C", "19-08:00 core 90 °C")
	all := c.Stalls(0, moment(t, "19-09:00"))
	if len(all) != 2 || all[0].Lasted() != 3*time.Hour || all[1].Core != 79 {
		t.Fatalf("stalls %+v, want from 00:00 to 03:00 and at 79 °C", all)
	}
	if s, ok := c.Stall(0, moment(t, "19-06:00")); !ok || !s.Standing || s.From != all[1].From {
		t.Errorf("in the second: %+v", s)
	}
	if s, ok := c.Stall(0, moment(t, "19-09:00")); !ok || s != all[0] {
		t.Errorf("after both: %+v, want the longer", s)
	}
}

// Two readings far apart show that there was a stall but not how long it was.
func TestStallBetweenReadings(t *testing.T) {
	c := cook(t, nil, "18-20:00 on, core 5 °C", "18-23:00 core 52 °C", "19-01:10 core 67 °C", "19-04:02 core 69 °C", "19-04:40 core 73 °C")
	for _, at := range []struct {
		now      string
		standing bool
	}{{"19-04:02", true}, {"19-04:50", false}} {
		s, ok := c.Stall(0, moment(t, at.now))
		if !ok || s.Words(measure.Metric) != "between 01:10 and 04:02" || s.Standing != at.standing || s.Lasted() != 172*time.Minute {
			t.Errorf("at %s: %q, %+v, %v", at.now, s.Words(measure.Metric), s.Words(measure.Metric), ok)
		}
	}
	if s, ok := c.Stall(0, moment(t, "19-02:00")); ok {
		t.Errorf("before the second reading: %q", s.Words(measure.Metric))
	}
	more := cook(t, nil, "18-20:00 on, core 5 °C", "19-01:10 core 67 °C", "19-02:40 core 68 °C", "19-04:02 core 69 °C")
	if s, ok := more.Stall(0, moment(t, "19-05:00")); !ok || s.Words(measure.Metric) != "2 h 52" {
		t.Errorf("by three readings: %q, %v", s.Words(measure.Metric), ok)
	}
}

// LongestStall returns the stall of a piece that is in one on the grate, or else the
// longest stall on the grate, and once all pieces are off the longest of all.
func TestLongestStall(t *testing.T) {
	c := cook(t, []string{"large", "small"}, "18-18:00 on",
		"18-23:00 core large 66 °C, core small 66 °C", "19-00:00 core large 67 °C, core small 67 °C", "19-01:00 core large 68 °C, core small 68 °C",
		"19-02:00 core large 69 °C, core small 69 °C", "19-03:00 core large 73 °C, core small 70 °C", "19-04:00 core large 79 °C, core small 82 °C",
		"19-05:00 core large 85 °C", "19-05:10 off large", "19-06:00 off small")
	for _, at := range []struct {
		now      string
		piece    int
		standing bool
		lasted   time.Duration
	}{
		{"19-00:10", 0, true, time.Hour},
		{"19-01:10", 0, true, 2 * time.Hour},
		{"19-03:10", 1, true, 4 * time.Hour}, // the large one has left its stall
		{"19-04:10", 1, false, 4 * time.Hour},
		{"19-05:20", 1, false, 4 * time.Hour}, // the large one is off
		{"19-07:00", 1, false, 4 * time.Hour},
	} {
		s, ok := c.LongestStall(moment(t, at.now))
		if !ok || s.Piece != at.piece || s.Standing != at.standing || s.Lasted() != at.lasted {
			t.Errorf("at %s: %+v for %v, %v; want piece %d for %v", at.now, s, s.Lasted(), ok, at.piece, at.lasted)
		}
	}
	if s, ok := c.LongestStall(moment(t, "18-22:00")); ok {
		t.Errorf("before any: %+v", s)
	}
	later := cook(t, []string{"large", "small"}, "18-18:00 on", "18-22:00 core large 65 °C, core small 45 °C", "18-23:00 core large 66 °C, core small 55 °C",
		"19-00:00 core large 67 °C, core small 62 °C", "19-01:00 core large 75 °C, core small 66 °C", "19-02:00 core large 82 °C, core small 67 °C")
	if s, ok := later.LongestStall(moment(t, "19-02:10")); !ok || s.Piece != 1 || s.Lasted() != time.Hour {
		t.Errorf("the small one stands still, the large one did for longer: %+v, %v", s, ok)
	}
}

func TestNextCheck(t *testing.T) {
	own := Settings{Recheck: map[Act]measure.Span{Vent: measure.Minutes(30), Turn: measure.Minutes(15), AddWood: measure.Minutes(0)}}
	tests := []struct {
		name     string
		lines    []string
		now      string
		settings Settings
		due, why string
	}{
		{"nothing done", []string{"18-20:00 on"}, "18-20:10", Settings{}, "18-21:00", "look"},
		{"planned", []string{"18-12:00 -- salted"}, "18-20:10", Settings{}, "", ""},
		{"a vent", []string{"18-20:00 on, vent"}, "18-20:10", Settings{}, "18-20:20", "vent"},
		{"the earliest", []string{"18-20:00 on, wood oak, vent, bark 1"}, "18-20:10", Settings{}, "18-20:20", "vent"},
		{"overdue and not looked", []string{"18-20:00 on, vent"}, "18-22:00", Settings{}, "18-20:20", "vent"},
		{"any entry at its time is the look", []string{"18-20:00 on, vent", "18-20:20 pit 112 °C"}, "18-20:21", Settings{}, "18-21:20", "look"},
		{"five minutes before counts", []string{"18-20:00 on, vent", "18-20:15 pit 112 °C"}, "18-20:16", Settings{}, "18-21:15", "look"},
		{"six do not", []string{"18-20:00 on, vent", "18-20:14 pit 112 °C"}, "18-20:16", Settings{}, "18-20:20", "vent"},
		{"the same act again sets it anew", []string{"18-20:00 on, vent", "18-20:10 vent"}, "18-20:16", Settings{}, "18-20:30", "vent"},
		{"the wood still counts after the vent is looked at", []string{"18-20:00 on, vent, wood oak", "18-20:20 pit 112 °C"}, "18-20:21", Settings{}, "18-21:00", "wood"},
		{"recheck instead", []string{"18-20:00 on, vent, wood oak, recheck 45 min"}, "18-20:21", Settings{}, "18-20:45", "vent, wood"},
		{"recheck alone", []string{"18-20:00 on", "18-21:00 recheck 2 h"}, "18-21:01", Settings{}, "18-23:00", "look"},
		{"recheck takes older ones away", []string{"18-20:00 on, wood oak", "18-20:10 recheck 2 h"}, "18-20:21", Settings{}, "18-22:10", "look"},
		{"an act after a recheck has its own", []string{"18-20:00 on", "18-20:10 recheck 2 h", "18-20:20 vent"}, "18-20:21", Settings{}, "18-20:40", "vent"},
		{"readings alone ask for the usual look", []string{"18-20:00 on, vent", "18-23:00 pit 112 °C, core 40 °C"}, "19-04:00", Settings{}, "19-00:00", "look"},
		{"the person's own", []string{"18-20:00 on, vent"}, "18-20:10", own, "18-20:30", "vent"},
		{"the person's own where none is usual", []string{"18-20:00 on, turn"}, "18-20:10", own, "18-20:15", "turn"},
		{"the person wants none for wood", []string{"18-20:00 on, wood oak"}, "18-20:10", own, "18-21:00", "look"},
		{"an entry to come is not looked at", []string{"18-20:00 on, vent", "18-23:00 vent"}, "18-20:10", Settings{}, "18-20:20", "vent"},
		{"nothing at the grate once off, but a look", []string{"18-20:00 on, wood oak", "18-20:10 off"}, "18-20:21", Settings{}, "18-20:40", "look"},
		{"the box is looked at", []string{"18-20:00 on", "18-20:10 off", "18-20:12 boxed"}, "18-20:21", Settings{}, "18-21:12", "boxed"},
		{"nothing once served", []string{"18-20:00 on", "18-20:10 off, boxed", "18-20:30 served"}, "18-20:31", Settings{}, "", ""},
	}
	for _, tt := range tests {
		got, ok := cook(t, nil, tt.lines...).NextCheck(moment(t, tt.now), tt.settings)
		if !ok {
			if tt.due != "" {
				t.Errorf("%s: none, want %s at %s", tt.name, tt.why, tt.due)
			}
			continue
		}
		if tt.due == "" || !got.Due.Equal(moment(t, tt.due)) || got.For != tt.why {
			t.Errorf("%s: %s at %v, want %s at %s", tt.name, got.For, got.Due, tt.why, tt.due)
		}
	}
}

func TestLastDone(t *testing.T) {
	c := cook(t, nil, "18-20:00 on, pit 112 °C", "18-21:00 vent, pit 108 °C, recheck 20 min — low", "18-22:00 core 45 °C", "18-23:00 aim pit 121 °C, core 50 °C")
	for stamp, want := range map[string]string{
		"18-20:30": "on",
		"18-22:30": "vent — low",
		"18-23:00": "aim pit 121 °C",
	} {
		e, ok := c.LastDone(moment(t, stamp))
		if !ok || e.Body() != want {
			t.Errorf("%s: %q %v, want %q", stamp, e.Body(), ok, want)
		}
	}
	if e, ok := c.LastDone(moment(t, "18-19:00")); ok {
		t.Errorf("before anything was done: %q", e.Body())
	}
	if got := c.Entries[1].Body(); got != "vent, pit 108 °C, recheck 20 min — low" {
		t.Errorf("the cook's own entry became %q", got)
	}
}

func TestFinish(t *testing.T) {
	both := []string{"large", "small"}
	tests := []struct {
		name   string
		pieces []string
		lines  []string
		finish string
		took   time.Duration
	}{
		{"one piece", nil, []string{"18-20:00 on", "19-08:40 off"}, "19-08:40", 12*time.Hour + 40*time.Minute},
		{"one off by name, then off", both, []string{"18-20:00 on", "19-06:00 off small", "19-08:00 off"}, "19-08:00", 12 * time.Hour},
		{"both by name", both, []string{"18-20:00 on", "19-08:00 off large", "19-06:00 off small"}, "19-08:00", 12 * time.Hour},
		{"one still on", both, []string{"18-20:00 on", "19-06:00 off small"}, "", 0},
		{"put on again", nil, []string{"18-20:00 on", "19-06:00 off", "19-06:30 on"}, "", 0},
		{"put on again and off", both, []string{"18-20:00 on", "19-06:00 off large", "19-06:30 on large", "19-08:00 off"}, "19-08:00", 12 * time.Hour},
		{"off twice without a name: the last", both, []string{"18-20:00 on", "19-06:00 off", "19-08:00 off"}, "19-08:00", 12 * time.Hour},
		{"off without having gone on", nil, []string{"19-08:00 off"}, "19-08:00", 0},
	}
	for _, tt := range tests {
		c := cook(t, tt.pieces, tt.lines...)
		got, ok := c.Finish()
		if ok != (tt.finish != "") || ok && !got.Equal(moment(t, tt.finish)) {
			t.Errorf("%s: finish %v %v, want %s", tt.name, got, ok, tt.finish)
		}
		took, ok := c.Took()
		if ok != (tt.took > 0) || ok && took != tt.took {
			t.Errorf("%s: took %v %v, want %v", tt.name, took, ok, tt.took)
		}
	}
}

func TestWrappings(t *testing.T) {
	c := cook(t, nil, "18-20:00 on", "19-01:00 wrap paper loose", "19-03:00 wrap foil", "19-04:00 unwrap", "19-05:00 unwrap", "19-06:00 wrap boat")
	var got []string
	for _, w := range c.Wrappings() {
		to := "…"
		if !w.To.IsZero() {
			to = w.To.Format("15:04")
		}
		got = append(got, fmt.Sprintf("%s %v %s–%s", w.Kind, w.Loose, w.From.Format("15:04"), to))
	}
	if s := strings.Join(got, ", "); s != "paper true 01:00–03:00, foil false 03:00–04:00, boat false 06:00–…" {
		t.Error(s)
	}
}

func TestCookNames(t *testing.T) {
	c := &Cook{ID: "2026-09-18-harvest-supper"}
	if c.Name() != c.ID || c.Date().Format(time.DateOnly) != "2026-09-18" {
		t.Errorf("%s on %v", c.Name(), c.Date())
	}
	c.Title, c.Serve = "Harvest supper", at(t, "2026-09-19T13:00+01:00")
	if c.Name() != "Harvest supper" || !c.Date().Equal(c.Serve) {
		t.Errorf("%s on %v", c.Name(), c.Date())
	}
	for _, bad := range []string{"", "harvest", "2026-13-01-x"} {
		if _, ok := DateOfID(bad); ok {
			t.Errorf("%q has a date", bad)
		}
	}
}

func TestWeights(t *testing.T) {
	c := &Cook{Pieces: []Piece{{Raw: measure.Kilograms(5.2), Trimmed: measure.Kilograms(4.7)}, {Raw: measure.Kilograms(3.9)}}}
	if kg, ok := c.RawWeight(); !ok || math.Abs(kg-9.1) > 1e-9 {
		t.Errorf("raw %v %v", kg, ok)
	}
	if kg, ok := c.OnWeight(); !ok || math.Abs(kg-8.6) > 1e-9 {
		t.Errorf("on the grate %v %v", kg, ok)
	}
	c.Pieces = append(c.Pieces, Piece{})
	if kg, ok := c.OnWeight(); ok || kg != 0 {
		t.Errorf("with a piece not weighed: %v", kg)
	}
	if _, ok := (&Cook{}).RawWeight(); ok {
		t.Error("a weight without pieces")
	}
}
