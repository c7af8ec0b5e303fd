package chart

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var start = time.Date(2026, 9, 18, 20, 10, 0, 0, time.FixedZone("", 3600))

func at(h float64) time.Time { return start.Add(time.Duration(h * float64(time.Hour))) }

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		most      int
		want      []float64
	}{
		{0, 120, 7, []float64{0, 20, 40, 60, 80, 100, 120}},
		{0, 100, 3, []float64{0, 50, 100}},
		{5, 94, 4, []float64{50}},
		{-10, 10, 5, []float64{-10, -5, 0, 5, 10}},
		{.1, .3, 3, []float64{.1, .2, .3}},
		{5, 5, 4, nil},
		{0, math.Inf(1), 4, nil},
		{math.NaN(), 1, 4, nil},
	} {
		got := Ticks(c.low, c.high, c.most)
		if !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
			t.Errorf("%g to %g, at most %d: %g, want %g", c.low, c.high, c.most, got, c.want)
		}
	}
}

func TestHours(t *testing.T) {
	clocks := func(all []time.Time) string {
		s := ""
		for _, t := range all {
			s += t.Format("15:04 ")
		}
		return s
	}
	for _, c := range []struct {
		to   float64
		most int
		want string
	}{
		{3, 5, "21:00 22:00 23:00 "},
		{14, 8, "22:00 00:00 02:00 04:00 06:00 08:00 10:00 "},
		{14, 3, "00:00 04:00 08:00 "},
		{.5, 5, ""},
		{3, 0, ""},
		{-1, 5, ""},
	} {
		if got := clocks(Hours(at(0), at(c.to), nil, c.most)); got != c.want {
			t.Errorf("%g h, at most %d: %q, want %q", c.to, c.most, got, c.want)
		}
	}
}

// Hours are right in the night the clock is put back, and in a zone that is not a whole
// number of hours from UTC.
func TestHoursOfOtherZones(t *testing.T) {
	paris, err := time.LoadLocation("Europe/Paris")
	if err != nil {
		t.Skip("no time zones here")
	}
	from := time.Date(2026, 10, 24, 23, 0, 0, 0, paris)
	var got []string
	for _, h := range Hours(from, from.Add(6*time.Hour), paris, 9) {
		got = append(got, h.Format("15"))
	}
	if want := []string{"23", "00", "01", "02", "02", "03", "04"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	kolkata := time.FixedZone("", 5*3600+1800)
	if all := Hours(from, from.Add(3*time.Hour), kolkata, 9); len(all) != 3 || all[0].Minute() != 0 {
		t.Errorf("%v", all)
	}
}

func TestLineAt(t *testing.T) {
	l := Line{Points: []Point{{0, 5}, {2, 45}, {2, 47}, {4, 67}}}
	for h, want := range map[float64]float64{0: 5, 1: 25, 3: 57, 4: 67} {
		if v, ok := l.At(h); !ok || math.Abs(v-want) > 1e-9 {
			t.Errorf("at %g h: %g %v, want %g", h, v, ok, want)
		}
	}
	for _, h := range []float64{-.1, 4.1} {
		if v, ok := l.At(h); ok {
			t.Errorf("at %g h: %g, want nothing", h, v)
		}
	}
}

func TestBandAt(t *testing.T) {
	c := Chart{Band: []Interval{{0, 5, 7}, {2, 45, 55}}}
	if low, high, ok := c.BandAt(1); !ok || low != 25 || high != 31 {
		t.Errorf("%g to %g, %v", low, high, ok)
	}
	if _, _, ok := c.BandAt(3); ok {
		t.Error("a band after its end")
	}
}

func TestRange(t *testing.T) {
	c := Chart{To: 4, Lines: []Line{{Points: []Point{{0, 5}, {3, 118}, {9, 500}}}}}
	if low, high, ok := c.Range(); !ok || low != 0 || high != 120 {
		t.Errorf("%g to %g, %v", low, high, ok)
	}
	c.Lines[0].Points = []Point{{1, 70}}
	if low, high, ok := c.Range(); !ok || low > 70 || high < 70 || low >= high {
		t.Errorf("one point: %g to %g, %v", low, high, ok)
	}
	if _, _, ok := (Chart{To: 4}).Range(); ok {
		t.Error("a range of nothing")
	}
}

// Thin keeps the least and greatest value and the order, and few points.
func TestThin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 3000).Draw(t, "n")
		most := rapid.IntRange(4, 200).Draw(t, "most")
		points := make([]Point, n)
		low, high := math.Inf(1), math.Inf(-1)
		for i := range points {
			v := rapid.Float64Range(-40, 300).Draw(t, "v")
			points[i] = Point{float64(i) / 3600, v}
			low, high = min(low, v), max(high, v)
		}
		got := Thin(points, most)
		if len(got) > max(most, 4)+2 {
			t.Fatalf("%d points left of %d, want at most %d", len(got), n, most)
		}
		seenLow, seenHigh := math.Inf(1), math.Inf(-1)
		for i, p := range got {
			seenLow, seenHigh = min(seenLow, p.Y), max(seenHigh, p.Y)
			if i > 0 && p.X < got[i-1].X {
				t.Fatal("out of order")
			}
		}
		if n > 0 && (seenLow != low || seenHigh != high) {
			t.Fatalf("range %g to %g, was %g to %g", seenLow, seenHigh, low, high)
		}
	})
}

func BenchmarkThinDay(b *testing.B) {
	points := make([]Point, 24*3600)
	for i := range points {
		points[i] = Point{float64(i) / 3600, float64(i % 97)}
	}
	b.ReportAllocs()
	for b.Loop() {
		Thin(points, 600)
	}
}
