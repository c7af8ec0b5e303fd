package journal

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"ashbook/journal/measure"
	"ashbook/samples/published"
)

// night returns a cook with entries of the form "20:00 body", in order past midnight.
func night(t *testing.T, units measure.System, lines ...string) *Cook {
	t.Helper()
	c := &Cook{Pieces: []Piece{{Name: "large"}, {Name: "small"}}}
	at := time.Date(2026, 9, 18, 12, 0, 0, 0, time.UTC)
	for _, l := range lines {
		h, m, ok := ParseClock(l[:5])
		if !ok {
			t.Fatal(l)
		}
		at = ClockAfter(at, h, m, time.UTC)
		items, _, notes := ParseBody(l[6:], Grammar{Pieces: c.PieceNames(), Units: units})
		if len(notes) > 0 {
			t.Fatal(notes)
		}
		c.Entries = append(c.Entries, Entry{Time: at, Items: items})
	}
	return c
}

// Slips that happen on a greasy keyboard, and cooks that only look like one: lids, dead
// fires, a hot start, a core that rises after the meat comes off, meat laid in trays.
// All are common practice, no source.
func TestDoubts(t *testing.T) {
	f := func(s ...string) []string { return s }
	for _, tt := range []struct {
		name  string
		units measure.System
		high  float64 // height above sea level, m
		lines []string
		want  []string // "entry.item and a part of why"
	}{
		{"a plain night", 0, 0, f("20:00 on, pit 112, core 5", "22:00 pit 115, core 38", "00:00 core 58", "02:00 core 68, pit 110", "06:00 core 92"), nil},
		{"digits swapped, core", 0, 0, f("01:00 core 71", "02:00 core 17"), f("1.0 swapped digits")},
		{"digits swapped upwards", 0, 0, f("01:00 core 48", "01:40 core 84"), f("1.0 swapped digits")},
		{"digits swapped, pit", 0, 0, f("01:00 pit 128", "01:40 pit 182"), f("1.0 swapped digits")},
		{"°F in a metric journal", 0, 0, f("20:00 on, pit 112", "01:00 pit 110, core 68", "01:30 pit 235, core 158"), f("2.0 °F (", "2.1 °F (")},
		{"°F, nothing before", 0, 0, f("20:00 pit 203, core 165"), f("0.0 °F (", "0.1 °F (")},
		{"°F for the pit, and the core beside it", 0, 0, f("20:00 pit 212, core 64"), f("0.0 °F (", "0.1 beside")},
		{"the core beside it agrees with the last", 0, 0, f("01:00 core 62", "02:00 pit 212, core 64"), f("1.0 °F (")},
		{"°F twice does not bear itself out", 0, 0, f("01:00 pit 110", "01:20 pit 195", "01:40 pit 198"), f("1.0 °F (", "2.0 °F (")},
		{"°C in a US journal", measure.US, 0, f("01:00 pit 230, core 155", "01:40 pit 110, core 69"), f("1.0 °C (", "1.1 °C (")},
		{"a leap", 0, 0, f("01:00 core 60", "01:20 core 93"), f("1.0 faster than meat")},
		{"a leap borne out", 0, 0, f("01:00 core 60", "01:20 core 93", "01:40 core 94"), nil},
		{"a leap not borne out", 0, 0, f("01:00 core 60", "01:20 core 93", "01:40 core 62"), f("1.0 faster than meat")},
		{"a slow fall on the grate is none", 0, 0, f("01:00 core 70", "03:00 core 61"), nil},
		{"swapped digits, near the core it went on with", 0, 0, f("20:00 on, core 5", "00:00 core 68", "01:00 core 17"), f("2.0 swapped")},
		{"a bird in a hot pit", 0, 0, f("17:00 on, pit 165, core 5", "17:30 core 44", "17:50 core 66", "18:00 core 75, off"), nil},
		{"feel 3, the last core hours ago", 0, 0, f("20:00 on", "01:00 core 64", "02:00 feel 3"), nil},
		{"salt, and a probe that reads high", 0, 0, f("01:00 core 103"), nil},
		{"alone between two that agree", 0, 0, f("01:00 core 60", "02:00 core 97", "02:40 core 63"), f("1.0 a slip?")},
		{"a decimal point too many", 0, 0, f("01:00 core 71", "02:00 pit 112, core 7.2"), f("1.1 faster than meat")},
		{"pit and core crosswise", 0, 0, f("01:00 pit 112, core 68", "01:40 pit 69, core 113"), f("1.0 swapped", "1.1 boiling")},
		{"a figure of the pit, for the core", 0, 0, f("01:00 pit 110, core 40", "01:40 core 112"), f("1.0 is it the pit")},
		{"a digit missing of the pit", 0, 0, f("01:00 pit 108", "01:40 pit 10"), f("1.0 a digit missing")},
		{"a lid, and back after a slip", 0, 0, f("00:40 pit 110", "01:00 pit 34", "01:20 pit 112"), nil},
		{"pit and core crosswise, hours later", 0, 0, f("01:00 pit 114, core 20", "02:30 pit 36, core 114"), f("1.0 swapped", "1.1 boiling")},
		{"digits swapped near by", 0, 0, f("01:00 core 66", "01:20 core 76", "01:40 core 68"), f("1.0 swapped")},
		{"digits swapped near by, downwards", 0, 0, f("01:00 core 64", "01:20 core 56"), f("1.0 swapped")},
		{"near by, and borne out", 0, 0, f("01:00 core 66", "01:20 core 76", "01:40 core 77"), nil},
		{"too high between two that go on", 0, 0, f("04:20 core 69", "04:50 core 84", "05:00 core 71"), f("1.0 a slip?")},
		{"a cold spot found later", 0, 0, f("04:20 core 69", "04:50 core 74", "05:10 core 72"), nil},
		{"a core that cools in a hot pit", 0, 0, f("00:20 pit 112, core 51", "03:30 pit 112, core 17"), f("1.1 does not cool")},
		{"cools in a hot pit, near an earlier core", 0, 0, f("22:00 pit 114, core 26", "00:20 pit 112, core 51", "03:30 pit 112, core 17"), f("2.1 does not cool")},
		{"too high, then back on the way", 0, 0, f("22:00 pit 114, core 26", "22:30 pit 112, core 51", "23:00 pit 112, core 33"), f("1.1 a slip?")},
		{"cooled while the fire was out", 0, 0, f("00:20 pit 112, core 51", "03:00 pit 35, core 34"), nil},
		{"cooled, and lit again", 0, 0, f("00:20 pit 112, core 51", "03:00 lit", "03:30 pit 112, core 30"), nil},
		{"cooled in a hot pit, borne out", 0, 0, f("00:20 pit 112, core 51", "03:30 pit 112, core 30", "04:00 core 31"), nil},
		{"over the boiling point", 0, 0, f("01:00 core 107"), f("0.0 boiling")},
		{"over the boiling point high up", 0, 2100, f("01:00 core 99"), f("0.0 boiling")},
		{"at the boiling point", 0, 0, f("01:00 core 99"), nil},
		{"a pit that cannot be", 0, 0, f("01:00 pit 225"), f("0.0 hotter")},
		{"a runaway borne out as it falls", 0, 0, f("01:00 pit 150", "01:20 pit 205", "01:40 pit 195"), nil},
		{"feel 3 at 64", 0, 0, f("20:00 on", "03:00 core 64", "03:05 feel 3"), f("2.0 too cold for a probe to slide in")},
		{"feel 3 at 93", 0, 0, f("20:00 on", "03:00 core 93", "03:05 feel 3"), nil},
		{"feel 3 twice", 0, 0, f("20:00 on", "03:00 core 64", "03:05 feel 3", "03:20 feel 3"), nil},
		{"confirmed on the line", 0, 0, f("01:00 core 71", "02:00 core 17, sure"), nil},
		{"confirmed on the next line", 0, 0, f("01:00 core 71", "02:00 core 17", "02:01 sure"), nil},
		{"feel confirmed", 0, 0, f("20:00 on", "03:00 core 64, feel 3", "03:01 sure"), nil},
		{"confirmed says nothing of older ones", 0, 0, f("01:00 core 71", "02:00 core 17", "02:30 pit 110", "02:31 sure"), f("1.0 swapped")},
		{"another piece is another thing", 0, 0, f("01:00 core large 71, core small 40", "02:00 core large 72, core small 43"), nil},
		{"a lid", 0, 0, f("01:00 pit 112", "01:05 lid, pit 85", "01:20 pit 108"), nil},
		{"a lid, then back to the setting", 0, 0, f("19:00 aim pit 110", "01:00 pit 58", "01:40 pit 111"), nil},
		{"a dead fire", 0, 0, f("01:00 pit 110", "05:00 pit 43", "05:30 pit 40"), nil},
		{"a hot start", 0, 0, f("19:00 lit", "19:30 pit 160", "20:00 pit 118"), nil},
		{"thin meat in a hot pit", 0, 0, f("18:00 on, core 6", "18:30 core 30", "19:00 core 52", "19:30 core 66"), nil},
		{"carried over, then boxed", 0, 0, f("06:00 core 91, off", "06:20 core 95", "06:40 boxed, core 90", "08:40 core 76"), nil},
		{"from 94 to 49 in a box overnight", 0, 0, f("22:00 core 94, off", "22:20 boxed", "05:00 core 49"), nil},
		{"from 94 to 49 in half an hour in a box", 0, 0, f("22:00 core 94, off", "22:20 boxed", "22:30 core 49"), f("2.0 swapped")},
		{"laid in trays", 0, 0, f("06:00 core 91, off", "07:00 pulled, served", "07:20 core 50", "07:50 core 20", "09:00 core 4"), nil},
		{"warmed again", 0, 0, f("06:00 core 91, off", "08:00 chilled", "12:00 core 5", "13:00 core 60", "13:20 core 75"), nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := night(t, tt.units, tt.lines...)
			c.Altitude = measure.Length{Base: tt.high, Known: true}
			got := c.Doubts()
			ok := len(got) == len(tt.want)
			for i := range min(len(got), len(tt.want)) {
				place, why, _ := strings.Cut(tt.want[i], " ")
				ok = ok && place == fmt.Sprintf("%d.%d", got[i].Entry, got[i].Item) && strings.Contains(got[i].Why, why)
			}
			if !ok {
				t.Errorf("%v\nwant %q", got, tt.want)
			}
		})
	}
}

// A doubted item is ignored by readings, last readings and stages.
func TestDoubtedIsLeftOut(t *testing.T) {
	c := night(t, measure.Metric, "20:00 on, pit 112", "01:20 core large 64, core small 60", "02:00 core large 46, feel large 3, pit 225")
	now := c.Entries[2].Time
	if r := c.CoreReadings(0); len(r) != 1 || r[0].C != 64 {
		t.Errorf("core %v", r)
	}
	if r, _ := c.LastCore(0, now); r.C != 64 {
		t.Errorf("last core %v", r)
	}
	if r, _ := c.LastPit(now); r.C != 112 || len(c.PitReadings()) != 1 {
		t.Errorf("last pit %v", r)
	}
	if s := c.PieceStage(0, now); s != Cooking {
		t.Errorf("%v", s)
	}
	c.Entries = append(c.Entries, Entry{Time: now.Add(time.Minute), Items: []Item{{Act: Sure}}})
	now = now.Add(time.Hour)
	if s := c.PieceStage(0, now); s != Tender || len(c.CoreReadings(0)) != 2 || len(c.PitReadings()) != 2 {
		t.Errorf("confirmed: %v, %v", s, c.CoreReadings(0))
	}
	if done, _ := c.LastDone(now); !done.Time.Equal(c.Entries[2].Time) {
		t.Errorf("a confirmation is taken for something done: %v", done)
	}
}

// A probe's values are believed unless no meat can have them. A noted reading that
// agrees with the probe is believed.
func TestDoubtsBesideAProbe(t *testing.T) {
	c := night(t, measure.Metric, "01:10 core large 90", "01:30 core large 26")
	start := c.Entries[0].Time.Add(-10 * time.Minute)
	core := make([]float64, 60)
	for i := range core {
		c.Series.Times = append(c.Series.Times, start.Add(time.Duration(i)*time.Minute))
		core[i] = 60 + float64(i)/20
	}
	core[5], core[6] = 140, math.NaN()
	c.Series.Cores = []CoreSeries{{Piece: "large", C: core}}
	if d := c.Doubts(); len(d) != 2 {
		t.Errorf("%v", d)
	}
	if n := len(c.CoreReadings(0)); n != 58 {
		t.Errorf("%d readings", n)
	}
	for i := 11; i < len(core); i++ {
		core[i] = 91
	}
	if d := c.Doubts(); len(d) != 1 || d[0].Entry != 1 {
		t.Errorf("borne out by the probe: %v", d)
	}
}

// Boiling points of the standard atmosphere by Hyland–Wexler, from sea level to 4,000
// m.
func TestBoilingPoint(t *testing.T) {
	n := 0
	for _, r := range published.Rows(t, "boiling_point_altitude.csv") {
		m, want := published.Number(t, r["altitude_m"]), published.Number(t, r["boiling_point_C_computed"])
		if m < 0 || m > 4000 {
			continue
		}
		n++
		if got := BoilingPoint(measure.Length{Base: m, Known: true}); math.Abs(got-want) > .1 {
			t.Errorf("%v m: %.2f °C, table %.2f", m, got, want)
		}
	}
	if n < 10 {
		t.Errorf("%d rows", n)
	}
}
