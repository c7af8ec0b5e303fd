package journal

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal/measure"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Skipf("no zone data: %v", err)
	}
	return z
}

func at(t testing.TB, s string) time.Time {
	t.Helper()
	got, err := ParseTime(s)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestParseTime(t *testing.T) {
	tests := []struct{ in, want string }{
		{"2026-09-19T13:00+01:00", "2026-09-19T13:00+01:00"},
		{" 2026-09-19T13:00:00+01:00 ", "2026-09-19T13:00+01:00"},
		{"2026-09-19T13:00:07+01:00", "2026-09-19T13:00:07+01:00"},
		{"2026-09-19 13:00-06:00", "2026-09-19T13:00-06:00"},
		{"2026-09-19T13:00Z", "2026-09-19T13:00+00:00"},
		{"2026-09-19 13:00:30Z", "2026-09-19T13:00:30+00:00"},
		{"2024-02-29T00:00+10:30", "2024-02-29T00:00+10:30"},
	}
	for _, tt := range tests {
		got, err := ParseTime(tt.in)
		if err != nil || FormatTime(got) != tt.want {
			t.Errorf("%q: %v, %v", tt.in, got, err)
		}
	}
	for _, bad := range []string{"", "13:00", "2026-09-19", "2026-09-19T13:00", "2026-02-29T13:00Z", "2026-09-19T24:00Z", "0000-01-01T00:00Z"} {
		got, err := ParseTime(bad)
		if want := `time "` + bad + `": expected one such as 2026-09-19T13:00+01:00`; err == nil || err.Error() != want || !got.IsZero() {
			t.Errorf("%q: %v, %v", bad, got, err)
		}
	}
}

// A parsed time must not take on the zone of this machine, which may have another
// offset months later.
func TestParsedTimeKeepsItsOffset(t *testing.T) {
	local := time.Local
	t.Cleanup(func() { time.Local = local })
	time.Local = zone(t, "Europe/London")
	if got := FormatTime(at(t, "2026-09-19T13:00+01:00").AddDate(0, 3, 0)); got != "2026-12-19T13:00+01:00" {
		t.Errorf("three months on: %s", got)
	}
}

func TestParseClock(t *testing.T) {
	for in, want := range map[string][2]int{"01:04": {1, 4}, "1:04": {1, 4}, "23:59": {23, 59}, "0:00": {0, 0}} {
		if h, m, ok := ParseClock(in); !ok || h != want[0] || m != want[1] {
			t.Errorf("%q: %d:%d %v", in, h, m, ok)
		}
	}
	for _, bad := range []string{"", "1", "24:00", "12:60", "1:4", "001:04", ":04", "1:", "-1:04", "１:04", "01:04:00"} {
		if h, m, ok := ParseClock(bad); ok {
			t.Errorf("%q is read as %d:%d", bad, h, m)
		}
	}
}

// Changes of the clock from the IANA time zone database: London 29 March 2026
// 01:00→02:00 and 25 October 2026 02:00→01:00; Denver 8 March 02:00→03:00 and 1
// November 2026 02:00→01:00; Lord Howe by half an hour, 4 October 02:00→02:30 and 5
// April 2026 02:00→01:30.
func TestClockAfter(t *testing.T) {
	tests := []struct {
		name, zone, after, clock, want string
	}{
		{"later the same day", "Europe/London", "2026-09-18T20:10+01:00", "21:00", "2026-09-18T21:00+01:00"},
		{"the same minute", "Europe/London", "2026-09-18T20:10+01:00", "20:10", "2026-09-18T20:10+01:00"},
		{"past midnight", "Europe/London", "2026-09-18T20:10+01:00", "01:00", "2026-09-19T01:00+01:00"},
		{"just within 18 h", "Europe/London", "2026-09-18T20:10+01:00", "14:10", "2026-09-19T14:10+01:00"},
		{"over 18 h: noted late, the same day", "Europe/London", "2026-09-18T20:10+01:00", "14:11", "2026-09-18T14:11+01:00"},
		{"a slip back of minutes", "Europe/London", "2026-09-18T20:10+01:00", "20:05", "2026-09-18T20:05+01:00"},
		{"past the end of the year", "Europe/London", "2026-12-31T22:00+00:00", "03:00", "2027-01-01T03:00+00:00"},
		{"spring, after the gap", "Europe/London", "2026-03-28T23:00+00:00", "06:00", "2026-03-29T06:00+01:00"},
		{"spring, in the gap", "Europe/London", "2026-03-28T23:00+00:00", "01:30", "2026-03-29T02:30+01:00"},
		{"autumn, first of the two", "Europe/London", "2026-10-25T00:30+01:00", "01:30", "2026-10-25T01:30+01:00"},
		{"autumn, second of the two", "Europe/London", "2026-10-25T01:45+01:00", "01:30", "2026-10-25T01:30+00:00"},
		{"autumn, from the night before", "Europe/London", "2026-10-24T22:00+01:00", "07:00", "2026-10-25T07:00+00:00"},
		{"Denver spring gap", "America/Denver", "2026-03-07T20:00-07:00", "02:30", "2026-03-08T03:30-06:00"},
		{"Denver autumn, second", "America/Denver", "2026-11-01T01:50-06:00", "01:10", "2026-11-01T01:10-07:00"},
		{"Denver autumn 18 h", "America/Denver", "2026-10-31T20:00-06:00", "13:00", "2026-11-01T13:00-07:00"},
		{"Lord Howe half-hour gap", "Australia/Lord_Howe", "2026-10-03T22:00+10:30", "02:15", "2026-10-04T02:45+11:00"},
		{"Lord Howe, first of the two", "Australia/Lord_Howe", "2026-04-05T01:00+11:00", "01:45", "2026-04-05T01:45+11:00"},
		{"Lord Howe, second of the two", "Australia/Lord_Howe", "2026-04-05T01:50+11:00", "01:45", "2026-04-05T01:45+10:30"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			h, m, ok := ParseClock(tt.clock)
			got := ClockAfter(at(t, tt.after), h, m, zone(t, tt.zone))
			if !ok || FormatTime(got) != tt.want {
				t.Errorf("%s after %s: %s, want %s", tt.clock, tt.after, FormatTime(got), tt.want)
			}
		})
	}
}

func TestClockBefore(t *testing.T) {
	tests := []struct {
		name, zone, now, clock, want string
	}{
		{"earlier today", "Europe/London", "2026-09-19T03:00+01:00", "01:10", "2026-09-19T01:10+01:00"},
		{"now", "Europe/London", "2026-09-19T03:00+01:00", "03:00", "2026-09-19T03:00+01:00"},
		{"yesterday", "Europe/London", "2026-09-19T03:00+01:00", "23:10", "2026-09-18T23:10+01:00"},
		{"a minute ahead is yesterday", "Europe/London", "2026-09-19T03:00+01:00", "03:01", "2026-09-18T03:01+01:00"},
		{"past the start of the year", "Europe/London", "2027-01-01T00:10+00:00", "23:50", "2026-12-31T23:50+00:00"},
		{"autumn, second of the two", "Europe/London", "2026-10-25T03:00+00:00", "01:30", "2026-10-25T01:30+00:00"},
		{"autumn, first: the second is to come", "Europe/London", "2026-10-25T01:10+00:00", "01:30", "2026-10-25T01:30+01:00"},
		{"spring, in the gap", "Europe/London", "2026-03-29T04:00+01:00", "01:30", "2026-03-29T02:30+01:00"},
		{"Denver autumn, first", "America/Denver", "2026-11-01T01:05-07:00", "01:10", "2026-11-01T01:10-06:00"},
		{"Lord Howe, second", "Australia/Lord_Howe", "2026-04-05T03:00+10:30", "01:45", "2026-04-05T01:45+10:30"},
		{"Lord Howe, first", "Australia/Lord_Howe", "2026-04-05T01:40+10:30", "01:45", "2026-04-05T01:45+11:00"},
		{"now given in another zone", "America/Denver", "2026-09-19T08:00+01:00", "00:30", "2026-09-19T00:30-06:00"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			h, m, ok := ParseClock(tt.clock)
			got := ClockBefore(at(t, tt.now), h, m, zone(t, tt.zone))
			if !ok || FormatTime(got) != tt.want {
				t.Errorf("%s before %s: %s, want %s", tt.clock, tt.now, FormatTime(got), tt.want)
			}
		})
	}
}

// The last time when the clock showed something is never in the future, and at most 25
// hours ago, even if the clocks changed.
func TestClockBeforeStaysNear(t *testing.T) {
	for _, name := range []string{"Europe/London", "America/Denver", "Australia/Lord_Howe", "Asia/Kathmandu"} {
		z := zone(t, name)
		for _, day := range []string{"2026-03-08", "2026-03-29", "2026-04-05", "2026-10-04", "2026-10-25", "2026-11-01"} {
			midnight := at(t, day+"T00:00Z").Add(-18 * time.Hour)
			for now := midnight; now.Before(midnight.Add(48 * time.Hour)); now = now.Add(30 * time.Minute) {
				for minutes := 0; minutes < 24*60; minutes += 30 {
					before := ClockBefore(now, minutes/60, minutes%60, z)
					if before.After(now) || now.Sub(before) > 25*time.Hour {
						t.Fatalf("%s: %d:%02d before %v is %v", name, minutes/60, minutes%60, now.In(z), before)
					}
					after := ClockAfter(now, minutes/60, minutes%60, z)
					if d := after.Sub(now); d > 18*time.Hour && after.In(z).Day() != now.In(z).Day() || d < -25*time.Hour {
						t.Fatalf("%s: %d:%02d after %v is %v", name, minutes/60, minutes%60, now.In(z), after)
					}
				}
			}
		}
	}
}

func TestParseBody(t *testing.T) {
	tests := []struct {
		in, items, words string
		notes            int
	}{
		{"pit 104 °C, core large 68 °C, bark 1, vent — pale on the left", "pit 104 °C|core large 68 °C|bark 1|vent", "pale on the left", 0},
		{"lit -- two starters, left side", "lit", "two starters, left side", 0},
		{"off to bed", "", "off to bed", 0},
		{"bark still pale", "", "bark still pale", 0},
		{"bark 7", "", "bark 7", 1},
		{"off largest", "", "off largest", 1},
		{"on, pit about 112", "on", "pit about 112", 1},
		{"on, windy, pit 112 °C", "on|pit 112 °C", "windy", 0},
		{"vent, off to bed — cold", "vent", "off to bed — cold", 0},
		{"— off, boxed", "", "off, boxed", 0},
		{"lit — dark — very", "lit", "dark — very", 0},
		{"lit -- dark — very", "lit", "dark — very", 0},
		{"", "", "", 0},
		{" , ,vent,, ", "vent", "", 0},
		{"pit 104,5 °C, fuel 1,5 kg,bark 1,vent", "pit 104,5 °C|fuel 1,5 kg|bark 1|vent", "", 0},
		{"off —", "off", "", 0},
		{"off—later", "", "off—later", 0},
		{"recheck 60 min — ", "recheck 60 min", "", 0},
	}
	for _, tt := range tests {
		items, words, notes := ParseBody(tt.in, twoPieces)
		var got []string
		for _, it := range items {
			got = append(got, it.String())
		}
		if s := strings.Join(got, "|"); s != tt.items || words != tt.words || len(notes) != tt.notes {
			t.Errorf("%q: %q, %q, %q", tt.in, s, words, notes)
		}
	}
}

func TestSortEntriesKeepsEqualTimes(t *testing.T) {
	one, two := at(t, "2026-09-18T20:10+01:00"), at(t, "2026-09-18T19:00Z")
	entries := []Entry{{Time: one, Words: "b"}, {Time: two, Words: "a"}, {Time: one.UTC(), Words: "c"}}
	SortEntries(entries)
	if got := entries[0].Words + entries[1].Words + entries[2].Words; got != "abc" {
		t.Errorf("order %s", got)
	}
}

func FuzzParseBody(f *testing.F) {
	for _, s := range []string{"pit 104 °C, core large 68 °C, bark 1, vent — pale", "off to bed", "fuel 1,5 kg", "— x", "lit -- —", "aim pit 120", "core 2", "wood 5 6 g", ", ,"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if strings.ContainsAny(s, "\r\n") {
			t.Skip("not one line")
		}
		g := Grammar{Pieces: []string{"large", "2"}}
		items, words, _ := ParseBody(s, g)
		e := Entry{Items: items, Words: words}
		again, words2, _ := ParseBody(e.Body(), g)
		second := Entry{Items: again, Words: words2}
		if second.Body() != e.Body() || len(again) != len(items) || words2 != words {
			t.Fatalf("%q prints %q, which prints %q", s, e.Body(), second.Body())
		}
		for i := range items {
			a, b := items[i], again[i]
			a.Temp.Assumed, b.Temp.Assumed, a.After.Assumed, b.After.Assumed = false, false, false, false
			if a != b {
				t.Fatalf("%q: %+v became %+v", s, a, b)
			}
		}
	})
}

func TestProblem(t *testing.T) {
	for want, p := range map[string]Problem{
		"a.md: gone":     {File: "a.md", Text: "gone"},
		"a.md:3: odd":    {File: "a.md", Line: 3, Text: "odd"},
		"a.md:3:14: odd": {File: "a.md", Line: 3, Col: 14, Text: "odd"},
	} {
		if p.Error() != want {
			t.Errorf("%q, want %q", p.Error(), want)
		}
	}
	if ByPlace(Problem{File: "a", Line: 10}, Problem{File: "a", Line: 9}) <= 0 || ByPlace(Problem{File: "a"}, Problem{File: "b"}) >= 0 {
		t.Error("problems are not ordered by place")
	}
}

func TestSettings(t *testing.T) {
	limit := func(s string) float64 {
		q, err := measure.ParseTemperature(s, measure.Metric)
		if err != nil {
			t.Fatal(err)
		}
		return Settings{HotHold: q}.HoldLimit()
	}
	if got := (Settings{}).HoldLimit(); got != UsualHold {
		t.Errorf("limit without one set: %v", got)
	}
	if got := limit("65 °C"); got != 65 {
		t.Errorf("limit 65: %v", got)
	}
	// Never below the Food Code's 57 °C (2022, 3-501.16).
	if got := limit("50 °C"); got != 57 {
		t.Errorf("limit 50: %v", got)
	}
}

func TestOffset(t *testing.T) {
	at := func(s string) Entry {
		when, err := time.Parse(time.RFC3339, s)
		if err != nil {
			t.Fatal(err)
		}
		return Entry{Time: when}
	}
	c := Cook{Entries: []Entry{at("2026-05-01T19:00:00+01:00"), at("2026-05-01T21:00:00+01:00"), at("2026-05-01T21:00:00+02:00"), at("2026-05-01T21:00:00-05:30"), at("2026-05-01T21:00:00Z")}}
	for i, want := range []string{"", "", " +02:00", " -05:30", " +00:00"} {
		if got := c.Offset(c.Entries[i]); got != want {
			t.Errorf("%v: %q, want %q", c.Entries[i].Time, got, want)
		}
	}
}
