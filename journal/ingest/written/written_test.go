package written

import (
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

func TestDates(t *testing.T) {
	now := time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"2023-07-04": "2023-07-04", "2023/7/4 pork": "2023-07-04", "4.7.2023": "2023-07-04", "4 July 2023, butt": "2023-07-04", "July 4, 2023": "2023-07-04",
		"4th of July 2023": "2023-07-04", "Sat 4 Jul 2020": "2020-07-04", "4-Jul-23": "2023-07-04", "Jul 4 '23": "2023-07-04", "25/12/2024": "2024-12-25", "12/25/2024": "2024-12-25",
		"4 July": "2025-07-04", "1 Jan": "2026-01-01", "Mar 3 2024.": "2024-03-03",
		"2024-02-30": "", "31/4/2024": "", "butt": "", "8 lb": "", "225": "", "Marinated 4 h": "",
	} {
		d, _, ok := CutDate(text)
		day, real := d.Of(time.UTC, now)
		got := ""
		if ok && real {
			got = day.Format(time.DateOnly)
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for text, either := range map[string]bool{"4/7/2023": true, "4.7.2023": false, "5/5/2023": false, "14/7/2023": false, "7/14/2023": false} {
		if d, _, ok := CutDate(text); !ok || d.Either != either {
			t.Errorf("%q: day and month may change places: %v", text, d.Either)
		}
	}
	// ECMA-376, part 1, 18.17.4.1: in the 1900 date system day 45292 is 1 January 2024.
	if d, ok := CountedDay("45292"); !ok || d.Year != 2024 || d.Month != 1 || d.Day != 1 {
		t.Errorf("%+v", d)
	}
}

func TestClocks(t *testing.T) {
	for text, want := range map[string]Clock{
		"14h30": {14, 30, true}, "11:15 pm": {23, 15, true}, "2315": {23, 15, true}, "10pm": {22, 0, true}, "12am": {0, 0, true}, "12 pm": {12, 0, true},
		"noon": {12, 0, true}, "midnight": {0, 0, true}, "10:30": {10, 30, false}, "07:05": {7, 5, true}, "22:15:00": {22, 15, true}, "24:00": {0, 0, true},
	} {
		if got, ok := ParseClock(text, false); !ok || got != want {
			t.Errorf("%q: %+v %v", text, got, ok)
		}
	}
	for _, text := range []string{"8", "830", "25:00", "10:75", "13 pm", "8 lb", "", "225"} {
		if got, ok := ParseClock(text, false); ok {
			t.Errorf("%q: %+v", text, got)
		}
	}
	ten := time.Date(2024, 5, 1, 22, 0, 0, 0, time.UTC)
	if at := (Clock{4, 0, false}).After(ten); at.Format("2 15:04") != "2 04:00" {
		t.Error(at)
	}
	if at := (Clock{11, 0, true}).After(ten); at.Format("2 15:04") != "2 11:00" {
		t.Error(at)
	}
}

func TestSpansAndWeights(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"14h30": 870 * time.Minute, "14:30": 870 * time.Minute, "14.5": 870 * time.Minute, "14,5": 870 * time.Minute, "14 hrs": 14 * time.Hour, "870 min": 870 * time.Minute, "6½ h": 390 * time.Minute,
	} {
		if got, ok := ParseSpan(text); !ok || got != want {
			t.Errorf("%q: %v %v", text, got, ok)
		}
	}
	for _, text := range []string{"6-7 hrs", "long", "14:75", "0"} {
		if got, ok := ParseSpan(text); ok {
			t.Errorf("%q: %v", text, got)
		}
	}
	// NIST Handbook 44, appendix C: a pound is .45359237 kg.
	for text, want := range map[string][]float64{"8#": {3.62873896}, "8 lb 4 oz": {3.742137}, "2 x 8 lb": {3.62873896, 3.62873896}, "3,6 kg": {3.6}, "8 + 9 lb": {3.62873896, 4.08233133}} {
		got, ok := ParseMass(text, measure.US)
		if !ok || len(got) != len(want) {
			t.Errorf("%q: %v %v", text, got, ok)
			continue
		}
		for i := range want {
			if d := got[i].Base - want[i]; d > 1e-6 || d < -1e-6 {
				t.Errorf("%q: %v", text, got[i].Base)
			}
		}
	}
	if kind, bare, ok := WrapOf("no"); kind != journal.NoWrap || !bare || !ok {
		t.Error("no is no wrap")
	}
}

// A date with a year is found anywhere in a note, a date without one only at the start.
func TestFindDateAnywhere(t *testing.T) {
	for note, want := range map[string]Date{
		"2 racks spare ribs, 1.6 kg each. June 1st 2025, on at noon": {Year: 2025, Month: 6, Day: 1},
		"Beef cheeks x6 (2.4kg total) 2025-02-22 / on 09:00":         {Year: 2025, Month: 2, Day: 22},
		"two racks of spare ribs, foiled at 3, the 1st of the lot":   {},
	} {
		if d, _, ok := FindDate(note); d != want || ok != (want.Year != 0) {
			t.Errorf("%q: %+v, %v", note, d, ok)
		}
	}
}
