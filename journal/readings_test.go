package journal

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal/measure"
)

func reading(t testing.TB, stamp string, c float64) Reading {
	return Reading{Time: moment(t, stamp), C: c}
}

func TestPerHour(t *testing.T) {
	r := func(stamp string, c float64) Reading { return reading(t, stamp, c) }
	tests := []struct {
		name     string
		readings []Reading
		now      string
		want     float64
		ok       bool
	}{
		{"none", nil, "19-02:00", 0, false},
		{"one", []Reading{r("19-01:00", 70)}, "19-02:00", 0, false},
		{"two, an hour apart", []Reading{r("19-01:00", 70), r("19-02:00", 73)}, "19-02:00", 3, true},
		{"two, half an hour apart", []Reading{r("19-01:30", 70), r("19-02:00", 73)}, "19-02:00", 6, true},
		{"two, 19 minutes apart", []Reading{r("19-01:41", 70), r("19-02:00", 73)}, "19-02:00", 0, false},
		{"two, four hours apart", []Reading{r("18-22:00", 65), r("19-02:00", 73)}, "19-02:00", 2, true},
		{"two, over four hours apart", []Reading{r("18-21:59", 65), r("19-02:00", 73)}, "19-02:00", 0, false},
		{"the last is four hours old", []Reading{r("18-21:00", 65), r("18-22:00", 66)}, "19-02:00", 1, true},
		{"the last is older", []Reading{r("18-21:00", 65), r("18-22:00", 66)}, "19-02:01", 0, false},
		{"what comes after now", []Reading{r("19-01:00", 70), r("19-02:00", 73), r("19-03:00", 90)}, "19-02:30", 3, true},
		{"a line through three", []Reading{r("19-01:00", 70), r("19-01:30", 73), r("19-02:00", 72)}, "19-02:00", 2, true},
		{"three within minutes: the one long before counts", []Reading{r("18-23:00", 64), r("19-01:56", 70.4), r("19-01:58", 69.8), r("19-02:00", 70)}, "19-02:00", 2, true},
		{"three within minutes and nothing before", []Reading{r("19-01:50", 69), r("19-01:55", 70), r("19-02:00", 71)}, "19-02:00", 0, false},
		{"falling", []Reading{r("19-01:00", 80), r("19-02:00", 70)}, "19-02:00", -10, true},
		{"the same moment twice", []Reading{r("19-01:00", 70), r("19-02:00", 72), r("19-02:00", 74)}, "19-02:00", 3, true},
	}
	for _, tt := range tests {
		got, ok := PerHour(tt.readings, moment(t, tt.now))
		if ok != tt.ok || math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %v %v, want %v %v", tt.name, got, ok, tt.want, tt.ok)
		}
	}
}

func TestReadings(t *testing.T) {
	c := cook(t, []string{"large", "small"}, "18-20:00 core 5 °C, core small 6 °C, pit 112 °C", "18-20:30 core LARGE 9 °C, box 66 °C", "18-21:00 core large 12 °C")
	nan := math.NaN()
	c.Series = Series{
		Times: []time.Time{moment(t, "18-19:50"), moment(t, "18-20:30"), moment(t, "18-20:40"), moment(t, "18-20:50")},
		Pit:   []float64{nan, 111, 110, nan},
		Cores: []CoreSeries{{Piece: "small", C: []float64{5, nan, 8, nan}}, {Piece: "", C: []float64{4, nan, nan, 11}}},
	}
	show := func(rs []Reading) string {
		var parts []string
		for _, r := range rs {
			mark := ""
			if r.Probe {
				mark = "p"
			}
			parts = append(parts, fmt.Sprintf("%s=%v%s", r.Time.Format("15:04"), r.C, mark))
		}
		return strings.Join(parts, " ")
	}
	for _, tt := range []struct{ name, got, want string }{
		{"large", show(c.CoreReadings(0)), "19:50=4p 20:00=5 20:30=9 20:50=11p 21:00=12"},
		{"small", show(c.CoreReadings(1)), "19:50=5p 20:00=6 20:40=8p"},
		{"pit", show(c.PitReadings()), "20:00=112 20:30=111p 20:40=110p"},
		{"box", show(c.BoxReadings()), "20:30=66"},
	} {
		if tt.got != tt.want {
			t.Errorf("%s: %s\nwant %s", tt.name, tt.got, tt.want)
		}
	}
	for minute := -15; minute < 75; minute++ {
		now := moment(t, "18-20:00").Add(time.Duration(minute) * time.Minute)
		for i := range c.Pieces {
			want, ok := Last(c.CoreReadings(i), now)
			if got, found := c.LastCore(i, now); got != want || found != ok {
				t.Errorf("piece %d at %v: last %v %v, want %v %v", i, now, got, found, want, ok)
			}
		}
		want, ok := Last(c.PitReadings(), now)
		if got, found := c.LastPit(now); got != want || found != ok {
			t.Errorf("pit at %v: last %v %v, want %v %v", now, got, found, want, ok)
		}
	}
}

func TestInterpolate(t *testing.T) {
	rs := []Reading{reading(t, "19-01:00", 60), reading(t, "19-02:00", 66), reading(t, "19-02:00", 68), reading(t, "19-04:00", 70)}
	for stamp, want := range map[string]float64{"19-00:00": 60, "19-01:00": 60, "19-01:30": 63, "19-02:00": 68, "19-03:00": 69, "19-05:00": 70} {
		if got, ok := Interpolate(rs, moment(t, stamp)); !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v %v, want %v", stamp, got, ok, want)
		}
	}
	if _, ok := Interpolate(nil, moment(t, "19-01:00")); ok {
		t.Error("something from no readings")
	}
}

func TestAims(t *testing.T) {
	c := cook(t, nil, "18-20:00 on", "19-02:00 aim pit 121 °C, aim core 92 °C")
	c.Aim.Pit = measure.Degrees(110, measure.Metric)
	for stamp, want := range map[string]float64{"18-21:00": 110, "19-02:00": 121, "19-05:00": 121} {
		if got, ok := c.AimPit(moment(t, stamp)); !ok || got != want {
			t.Errorf("%s: pit %v %v, want %v", stamp, got, ok, want)
		}
	}
	if _, ok := c.AimCore(moment(t, "18-21:00")); ok {
		t.Error("a core aim before one was set")
	}
	if got, ok := c.AimCore(moment(t, "19-03:00")); !ok || got != 92 {
		t.Errorf("core %v %v, want 92", got, ok)
	}
}

// watched returns a cook with one day of a reading each second, of the pit and of two
// cores.
func watched(b *testing.B) (*Cook, time.Time) {
	c := cook(b, []string{"large", "small"}, "18-00:00 on", "18-06:00 core large 60 °C, pit 110 °C", "18-12:00 wrap paper")
	const n = 24 * 3600
	start := moment(b, "18-00:00")
	s := &c.Series
	s.Times, s.Pit = make([]time.Time, n), make([]float64, n)
	s.Cores = []CoreSeries{{"large", make([]float64, n)}, {"small", make([]float64, n)}}
	for i := range n {
		h := float64(i) / 3600
		s.Times[i] = start.Add(time.Duration(i) * time.Second)
		s.Pit[i] = 110 + math.Sin(h*5)
		s.Cores[0].C[i] = 95 - 90*math.Exp(-h/6)
		s.Cores[1].C[i] = 68 - 60*math.Exp(-h/2) + .1*math.Sin(float64(i))
	}
	return c, start.Add(n * time.Second)
}

func BenchmarkCoreReadings(b *testing.B) {
	c, _ := watched(b)
	b.ReportAllocs()
	for b.Loop() {
		if len(c.CoreReadings(0)) < 86_400 {
			b.Fatal("readings lost")
		}
	}
}

func BenchmarkLastCore(b *testing.B) {
	c, now := watched(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := c.LastCore(1, now); !ok {
			b.Fatal("none")
		}
	}
}

func BenchmarkPerHour(b *testing.B) {
	c, now := watched(b)
	rs := c.CoreReadings(1)
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := PerHour(rs, now); !ok {
			b.Fatal("no rate")
		}
	}
}

func BenchmarkStall(b *testing.B) {
	c, now := watched(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := c.Stall(1, now); !ok {
			b.Fatal("no stall")
		}
	}
}

func BenchmarkStatus(b *testing.B) {
	c, now := watched(b)
	b.ReportAllocs()
	for b.Loop() {
		if st := c.Status(now); st.Stage != Wrapped {
			b.Fatal(st)
		}
	}
}

// Once all meat is in the oven, a reading far below the oven's setting is of the empty
// pit (common practice, no source). If only one piece is in the oven, the others are
// still in the pit.
func TestOvenLeavesThePit(t *testing.T) {
	for _, tt := range []struct {
		pieces []string
		lines  []string
		want   []float64
	}{
		{nil, []string{"18-20:00 pit 112 °C", "18-21:00 oven 130 °C", "18-22:00 pit 101 °C", "18-23:00 pit 99 °C", "19-00:00 pit 45 °C"}, []float64{112, 130, 101}},
		{nil, []string{"18-20:00 pit 112 °C", "18-21:00 oven", "18-22:00 pit 91 °C", "18-23:00 pit 89 °C"}, []float64{112, 91}},
		{[]string{"large", "small"}, []string{"18-20:00 pit 112 °C", "18-21:00 oven small 130 °C", "18-23:00 pit 45 °C"}, []float64{112, 130, 45}},
	} {
		c := cook(t, tt.pieces, tt.lines...)
		var got []float64
		for _, r := range c.PitReadings() {
			got = append(got, math.Round(r.C))
		}
		if !slices.Equal(got, tt.want) {
			t.Errorf("%q: %g, want %g", tt.lines, got, tt.want)
		}
		if last, _ := c.LastPit(moment(t, "19-01:00")); math.Round(last.C) != tt.want[len(tt.want)-1] {
			t.Errorf("%q: last %g", tt.lines, last.C)
		}
	}
}
