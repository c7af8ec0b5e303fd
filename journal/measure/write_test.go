package measure

import (
	"testing"
	"time"
)

func TestWrittenDurations(t *testing.T) {
	for _, c := range []struct {
		hours                 float64
		exact, signed, halves string
	}{
		{0, "0 min", "0 min", "0 min"},
		{-.001, "0 min", "0 min", "0 min"},
		{29.4 / 60, "29 min", "+29 min", "30 min"},
		{59.4 / 60, "59 min", "+59 min", "1 h"},
		{59.6 / 60, "1 h 00", "+1 h 00", "1 h"},
		{-1.5, "−1 h 30", "−1 h 30", "−1 h 30"},
		{9 + 2./60, "9 h 02", "+9 h 02", "9 h"},
		{26.75, "26 h 45", "+26 h 45", "27 h"},
	} {
		if got := FormatHours(c.hours); got != c.exact {
			t.Errorf("%v h: %q, want %q", c.hours, got, c.exact)
		}
		if got := FormatSigned(c.hours); got != c.signed {
			t.Errorf("%v h with its sign: %q, want %q", c.hours, got, c.signed)
		}
		if got := FormatHalf(c.hours); got != c.halves {
			t.Errorf("%v h to the half hour: %q, want %q", c.hours, got, c.halves)
		}
	}
	for d, want := range map[time.Duration]string{45 * time.Minute: "45 min", 3 * time.Hour: "3 h", 75 * time.Minute: "1 h 15", 90 * time.Second: "2 min"} {
		if got := FormatSpan(d); got != want {
			t.Errorf("%s: %q, want %q", d, got, want)
		}
	}
	for d, want := range map[time.Duration][2]string{59 * time.Second: {"0", "min"}, 59*time.Minute + 59*time.Second: {"59", "min"}, time.Hour: {"1h00", ""}, 605 * time.Minute: {"10h05", ""}} {
		if figure, unit := FormatLarge(d); figure != want[0] || unit != want[1] {
			t.Errorf("%s: %q, %q, want %q", d, figure, unit, want)
		}
	}
}

func TestFormatRange(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{{1.9, 4.1, "2 – 4 h"}, {3.4, 3.6, "about 3½ h"}, {-2, .6, "0 – ½ h"}} {
		if got := FormatRange(c.low, c.high); got != c.want {
			t.Errorf("%v to %v: %q, want %q", c.low, c.high, got, c.want)
		}
	}
}

func TestCount(t *testing.T) {
	for n, want := range map[int]string{0: "0 cooks", 1: "1 cook", 2: "2 cooks"} {
		if got := Count(n, "cook"); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}
