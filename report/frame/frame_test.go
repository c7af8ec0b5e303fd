package frame

import (
	"math"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

func at(t *testing.T, s string) time.Time {
	t.Helper()
	v, err := journal.ParseTime(s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// supper returns an invented cook of two pieces with notes by hand.
func supper(t *testing.T) *journal.Cook {
	t.Helper()
	c := &journal.Cook{
		ID: "2026-09-18-harvest-supper", Title: "Harvest supper", Cut: "pork shoulder", Pit: "brick", Serve: at(t, "2026-09-19T13:00+01:00"),
		Pieces: []journal.Piece{
			{Name: "large", Raw: measure.Kilograms(5.2), Trimmed: measure.Kilograms(4.7), Core: measure.Degrees(5, measure.Metric)},
			{Name: "small", Raw: measure.Kilograms(3.9), Core: measure.Degrees(9, measure.Metric)},
		},
	}
	for _, l := range []struct{ at, body string }{
		{"2026-09-18T19:05+01:00", "lit"},
		{"2026-09-18T20:00+01:00", "on, pit 110 °C"},
		{"2026-09-18T22:30+01:00", "pit 110 °C, core large 50 °C, core small 55 °C, lid"},
		{"2026-09-19T01:30+01:00", "pit 120 °C, core large 68 °C, core small 70 °C, spritz"},
		{"2026-09-19T02:30+01:00", "core large 69 °C, core small 71 °C"},
		{"2026-09-19T04:30+01:00", "pit 120 °C, core large 71 °C, core small 74 °C, wrap paper"},
		{"2026-09-19T08:00+01:00", "pit 120 °C, feel large 3, core large 93 °C, core small 95 °C, off"},
		{"2026-09-19T08:30+01:00", "boxed"},
		{"2026-09-19T12:30+01:00", "unboxed"},
	} {
		items, words, notes := journal.ParseBody(l.body, journal.Grammar{Pieces: c.PieceNames()})
		if len(notes) > 0 || words != "" {
			t.Fatalf("%q: %q %q", l.body, words, notes)
		}
		c.Entries = append(c.Entries, journal.Entry{Time: at(t, l.at), Items: items})
	}
	return c
}

func value(t *testing.T, c *journal.Cook, name string) (Column, Value) {
	t.Helper()
	for _, col := range Columns {
		if col.Name == name {
			return col, col.Of(c)
		}
	}
	t.Fatalf("no column %q", name)
	return Column{}, Value{}
}

func TestColumnsOfACook(t *testing.T) {
	c := supper(t)
	for name, want := range map[string]float64{
		"pieces": 2, "weight on": 8.6, "heaviest piece": 4.7, "core when it went on": 7,
		"lit to on": 55.0 / 60, "on to off": 12, "off before the meal": 5, "held": 4,
		"wrapped after": 8.5, "wrapped at core": 71, "core when it came off": 93,
		"lid opened": 1, "spritzed": 1, "time for its weight": 12 / 4.7,
		"pit, highest": 120, "pit, lowest": 110,
	} {
		if _, v := value(t, c, name); !v.Known || math.Abs(v.Number-want) > 1e-9 {
			t.Errorf("%s: %v, want %v", name, v, want)
		}
	}
	for name, want := range map[string]string{"wrap": "paper", "pit": "brick", "went on at": "20:00", "feel when it came off": "slides in"} {
		if _, v := value(t, c, name); v.Word != want {
			t.Errorf("%s: %q, want %q", name, v.Word, want)
		}
	}
	for _, name := range []string{"thickest piece", "salt rate", "vents moved", "weight off / weight on", "tenderness", "outdoor air"} {
		if _, v := value(t, c, name); v.Known {
			t.Errorf("%s: %v, want it not recorded", name, v)
		}
	}
}

// The mean is that of straight lines through the readings: level at 110 °C for two of the
// 11.5 hours, a ramp for three, level at 120 °C for the rest.
func TestMeanPitIsWeightedByTime(t *testing.T) {
	c := supper(t)
	got, ok := MeanPit(c, time.Time{}, time.Time{})
	want := (2*110 + 3*115 + 6.5*120) / 11.5
	if !ok || math.Abs(got-want) > 1e-9 {
		t.Errorf("mean %v, want %v", got, want)
	}
}

func TestMeanPitFallsBackOnSettings(t *testing.T) {
	c := &journal.Cook{Pieces: []journal.Piece{{}}, Aim: journal.Aim{Pit: measure.Degrees(100, measure.Metric)}}
	c.Entries = []journal.Entry{
		{Time: at(t, "2026-01-01T00:00+00:00"), Items: []journal.Item{{Act: journal.On}}},
		{Time: at(t, "2026-01-01T02:30+00:00"), Items: []journal.Item{{Act: journal.SetPit, Temp: measure.Degrees(120, measure.Metric)}}},
		{Time: at(t, "2026-01-01T08:30+00:00"), Items: []journal.Item{{Act: journal.Off}}},
	}
	got, ok := MeanPit(c, time.Time{}, time.Time{})
	if want := (2*100 + 6*120) / 8.0; !ok || math.Abs(got-want) > 1e-9 {
		t.Errorf("mean %v, want %v", got, want)
	}
	if !PitIsSetting(c) {
		t.Error("not told as a setting")
	}
}

func TestAnEmptyCookHasNoNumbers(t *testing.T) {
	c := &journal.Cook{Pieces: []journal.Piece{{}}}
	for _, col := range Columns {
		if v := col.Of(c); v.Known && col.Name != "pieces" {
			t.Errorf("%s: %v", col.Name, v)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		name   string
		number float64
		sys    measure.System
		want   string
	}{
		{"pit, mean", 107.2, measure.Metric, "107 °C"},
		{"pit, mean", 107.2, measure.US, "225 °F"},
		{"weight on", 4.7, measure.Metric, "4.7 kg"},
		{"weight on", 4.7, measure.US, "10.4 lb"},
		{"wood, mass", .25, measure.Metric, "250 g"},
		{"thickest piece", .13, measure.Metric, "13.0 cm"},
		{"thickest piece", .13, measure.US, "5.1 in"},
		{"on to off", 12.51, measure.Metric, "12 h 31"},
		{"on to off", .5, measure.Metric, "30 min"},
		{"off before the meal", -1.25, measure.Metric, "−1 h 15"},
		{"weight off / weight on", .623, measure.Metric, "62 %"},
		{"overall", 7.25, measure.Metric, "7.2"},
		{"time for its weight", 3, measure.US, "1.4 h/lb"},
	} {
		col, _ := value(t, &journal.Cook{Pieces: []journal.Piece{{}}}, c.name)
		if got := col.Format(Value{Number: c.number, Known: true}, c.sys); got != c.want {
			t.Errorf("%s %v: %q, want %q", c.name, c.number, got, c.want)
		}
	}
	pit, _ := value(t, &journal.Cook{Pieces: []journal.Piece{{}}}, "pit, mean")
	if got := pit.FormatDifference(-10, measure.US); got != "−18 °F" {
		t.Errorf("difference of 10 K: %q", got)
	}
	if got := pit.Format(Value{}, measure.Metric); got != "–" {
		t.Errorf("not recorded: %q", got)
	}
}
