package measure

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Layouts of times for time.Time.Format, used on every screen and page and in every
// message.
const (
	Clock        = "15:04"
	DayClock     = "Mon 15:04"
	DateClock    = "2 Jan 15:04"
	DayDateClock = "Mon 2 Jan 15:04"
	FullClock    = "2 Jan 2006 15:04"
	ClockDay     = "15:04 Monday"     // inside a sentence
	Stamp        = "2006-01-02 15:04" // as typed
)

// clock12 is Clock on a 12-hour clock: "5:30am".
const clock12 = "3:04pm"

// FormatTime formats t in one of the layouts above. For US it uses the 12-hour clock.
func FormatTime(t time.Time, layout string, sys System) string {
	if sys == US {
		layout = strings.Replace(layout, Clock, clock12, 1)
	}
	return t.Format(layout)
}

// FormatHours formats hours to the minute: "15 h 10", "3 h 00", and under an hour "40
// min". A negative value begins with "−".
func FormatHours(h float64) string {
	min := int(math.Round(math.Abs(h) * 60))
	sign := ""
	if h < 0 && min > 0 {
		sign = "−"
	}
	if min < 60 {
		return fmt.Sprintf("%s%d min", sign, min)
	}
	return fmt.Sprintf("%s%d h %02d", sign, min/60, min%60)
}

// FormatDuration formats a duration as FormatHours does.
func FormatDuration(d time.Duration) string { return FormatHours(d.Hours()) }

// FormatSigned formats a difference in hours with its sign: "+1 h 10", "−40 min". No
// difference is "0 min".
func FormatSigned(h float64) string {
	text := FormatHours(h)
	if h > 0 && text != "0 min" {
		return "+" + text
	}
	return text
}

// FormatSpan formats a duration that a user sets, which is often whole hours: "1 h 15",
// "45 min", "3 h".
func FormatSpan(d time.Duration) string { return strings.TrimSuffix(FormatDuration(d), " 00") }

// FormatHalf formats hours to the half hour: "9 h 30", "3 h".
func FormatHalf(h float64) string {
	return FormatSpan(time.Duration(math.Round(h*2)) * time.Hour / 2)
}

// FormatLarge formats a duration for large letters: "1h20", or "40" with the unit "min"
// to be shown small after it. It cuts off seconds, so that a countdown ends at 0.
func FormatLarge(d time.Duration) (figure, unit string) {
	m := int(d / time.Minute)
	if m < 60 {
		return fmt.Sprint(m), "min"
	}
	return fmt.Sprintf("%dh%02d", m/60, m%60), ""
}

// FormatRange formats a range of hours to the half hour: "2 – 4 h", or "about 3½ h" if
// both ends round to the same.
func FormatRange(low, high float64) string {
	a, b := halves(low), halves(high)
	if a == b {
		return "about " + a + " h"
	}
	return a + " – " + b + " h"
}

func halves(h float64) string {
	n := int(math.Round(max(0, h) * 2))
	switch {
	case n == 1:
		return "½"
	case n%2 == 1:
		return fmt.Sprint(n/2) + "½"
	}
	return fmt.Sprint(n / 2)
}

// Count formats a number of things whose plural ends in s: "1 cook", "3 cooks".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
