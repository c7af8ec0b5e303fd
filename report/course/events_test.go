package course

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/chart"

	"pgregory.net/rapid"
)

// watched returns an invented cook whose cores are read every half hour.
func watched(cores ...[]float64) *journal.Cook {
	on := time.Date(2026, 5, 1, 18, 0, 0, 0, time.UTC)
	c := &journal.Cook{}
	c.Aim.Core = measure.Degrees(94, measure.Metric)
	for i := range cores {
		c.Pieces = append(c.Pieces, journal.Piece{Name: []string{"left", "right"}[i]})
	}
	c.Entries = []journal.Entry{{Time: on, Items: []journal.Item{{Act: journal.On}}}}
	for k := range cores[0] {
		e := journal.Entry{Time: on.Add(time.Duration(k+1) * 30 * time.Minute)}
		for i := range cores {
			piece := ""
			if len(cores) > 1 {
				piece = c.Pieces[i].Name
			}
			e.Items = append(e.Items, journal.Item{Act: journal.ReadCore, Piece: piece, Temp: measure.Degrees(cores[i][k], measure.Metric)})
		}
		c.Entries = append(c.Entries, e)
	}
	return c
}

func TestEvents(t *testing.T) {
	for _, c := range []struct {
		name  string
		cores [][]float64
		want  []string // name and what is said, in order
	}{
		{"as usual", [][]float64{{20, 40, 55, 65, 67, 68, 69, 72, 78}}, nil},
		{"one low reading is no fall", [][]float64{{20, 40, 55, 65, 58, 66, 68}}, nil},
		{"fell", [][]float64{{20, 40, 55, 66, 61, 60, 62, 65}}, []string{"core fell: from 66 °C to 61 °C"}},
		{"second stall", [][]float64{{60, 68, 70, 76, 81, 83, 83.5, 84}}, []string{"core, a second stall: hardly rising at 84 °C between 21:00 and 22:00", "time above 80 °C: 1 h 36"}},
		{"second stall in the band", [][]float64{{60, 66, 66, 66.5, 67, 71, 75, 78, 78, 78.5, 78.5, 79}}, []string{"core, a second stall: hardly rising at 79 °C between 22:30 and 00:00"}},
		{"past its aim", [][]float64{{70, 79, 88, 98}}, []string{"core above its aim: 98 °C, aim 94 °C"}},
		{"apart", [][]float64{{40, 58, 66, 68}, {38, 50, 57, 61}}, []string{"two pieces differ: by 9 °C"}},
	} {
		cook := watched(c.cores...)
		last, _ := cook.LastEntry()
		got := Events(cook, measure.Metric, last)
		if len(got) != len(c.want) {
			t.Errorf("%s: %+v", c.name, got)
			continue
		}
		for i, e := range got {
			if said := e.Name + ": " + e.Says; said != c.want[i] {
				t.Errorf("%s: %q, want %q", c.name, said, c.want[i])
			}
			if !strings.Contains(e.Usual, "ost") && !strings.Contains(e.Usual, "tender") {
				t.Errorf("%s: no cause and cost: %q", c.name, e.Usual)
			}
		}
		// Before the first reading there are no events.
		if early := Events(cook, measure.Metric, cook.Entries[0].Time); len(early) > 0 {
			t.Errorf("%s: before it: %+v", c.name, early)
		}
	}
}

// levelAbove finds the same stall in one pass as a search of every pair of readings.
func TestSecondStallIsTheFirstPair(t *testing.T) {
	on := time.Date(2026, 5, 1, 18, 0, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		var readings []journal.Reading
		at := on
		for _, half := range rapid.SliceOfN(rapid.IntRange(2*76, 2*96), 0, 20).Draw(t, "half degrees") {
			at = at.Add(time.Duration(rapid.IntRange(1, 4).Draw(t, "quarters")) * 15 * time.Minute)
			readings = append(readings, journal.Reading{Time: at, C: float64(half) / 2})
		}
		var want [2]time.Time
		for k := 0; k < len(readings) && want[0].IsZero(); k++ {
			r := readings[k]
			for _, a := range readings[:k] {
				d := r.Time.Sub(a.Time)
				if r.C > journal.StallTo && r.C <= journal.StallTo+12 && a.C > journal.StallTo && d >= time.Hour && (r.C-a.C)/d.Hours() < journal.StallRate {
					want = [2]time.Time{a.Time, r.Time}
					break
				}
			}
		}
		from, to, ok := levelAbove(readings)
		if got := [2]time.Time{from, to.Time}; got != want || ok == want[0].IsZero() {
			t.Fatalf("%v: got %v, want %v", readings, got, want)
		}
	})
}

// A forecast made on the full hour has that hour in its name, despite rounding on the
// axis.
func TestForecastLanes(t *testing.T) {
	zero := time.Date(2026, 5, 2, 19, 20, 0, 0, time.UTC)
	ch := chart.Chart{X: chart.Axis{Zero: zero}}
	var said []Said
	for h := 21; h < 33; h += 2 {
		at := time.Date(2026, 5, 2, h, 0, 0, 0, time.UTC)
		said = append(said, Said{At: at, Early: at, Likely: at, Late: at})
	}
	var names []string
	for _, l := range forecasts(ch, said)[1:] {
		names = append(names, l.Name)
	}
	if got := strings.Join(names, " "); got != "at 23 at 01 at 03 at 05 at 07" {
		t.Errorf("%s", got)
	}
}
