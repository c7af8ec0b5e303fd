package series

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/journal"
)

var one = time.FixedZone("", 3600)

func at(minute int) time.Time { return time.Date(2026, 9, 18, 20, minute, 0, 0, one) }

var nan = math.NaN()

func TestMerge(t *testing.T) {
	pit := func(values ...float64) journal.Series {
		s := journal.Series{Pit: values}
		for i := range values {
			s.Times = append(s.Times, at(10+i))
		}
		return s
	}
	tests := []struct {
		name, old string
		rows      journal.Series
		want      string
		done      Merged
	}{
		{"nothing there", "", pit(112, 113.456),
			"time,pit_c\n2026-09-18T20:10:00+01:00,112\n2026-09-18T20:11:00+01:00,113.46\n", Merged{Added: 2}},
		{"between, before and behind", "time,pit_c\n2026-09-18T19:11Z,5\n", pit(1, nan, 3),
			"time,pit_c\n2026-09-18T20:10:00+01:00,1\n2026-09-18T19:11Z,5\n2026-09-18T20:12:00+01:00,3\n", Merged{Added: 2, Same: 1}},
		{"another value at the time takes its place, other cells stay", "time,note,pit_c\n2026-09-18T20:10+01:00, \"a, b\" ,5\n", pit(6),
			"time,note,pit_c\n2026-09-18T20:10+01:00, \"a, b\" ,6\n", Merged{Changed: 1}},
		{"the same value however written stays as written", "time,pit_f\n2026-09-18T20:10+01:00,212.0\n", pit(100),
			"time,pit_f\n2026-09-18T20:10+01:00,212.0\n", Merged{Same: 1}},
		{"°F stays °F", "time,pit_f\n", pit(100), "time,pit_f\n2026-09-18T20:10:00+01:00,212\n", Merged{Added: 1}},
		{"a new column, lines that cannot be read stay", "\ufefftime,core_c\r\nrubbish\r\n2026-09-18T20:09+01:00,5\r\nx,y,z\r\n", pit(112),
			"\ufefftime,core_c,pit_c\r\nrubbish\r\n2026-09-18T20:09+01:00,5,\r\nx,y,z\r\n2026-09-18T20:10:00+01:00,,112\r\n", Merged{Added: 1}},
		{"out of order and twice", "time,pit_c,core_c\n2026-09-18T20:12+01:00,3,\n2026-09-18T20:09+01:00,1,\n2026-09-18T20:12+01:00,,50\n", pit(),
			"time,pit_c,core_c\n2026-09-18T20:09+01:00,1,\n2026-09-18T20:12+01:00,3,50\n", Merged{}},
		{"a last line not ended: whole, or cut short", "time,pit_c\n2026-09-18T20:09+01:00,1", pit(2),
			"time,pit_c\n2026-09-18T20:09+01:00,1\n2026-09-18T20:10:00+01:00,2\n", Merged{Added: 1}},
		{"cut short", "time,pit_c\n2026-09-18T20:09+01:00", pit(2),
			"time,pit_c\n2026-09-18T20:10:00+01:00,2\n", Merged{Added: 1}},
	}
	for _, tt := range tests {
		got, done, err := Merge("c.csv", []byte(tt.old), tt.rows)
		if err != nil || string(got) != tt.want || done != tt.done {
			t.Errorf("%s: %v %+v\n%s\nwant %+v\n%s", tt.name, err, done, got, tt.done, tt.want)
			continue
		}
		again, done, err := Merge("c.csv", got, tt.rows)
		if err != nil || string(again) != tt.want || done.Added+done.Changed > 0 {
			t.Errorf("%s: merged again %v %+v\n%s", tt.name, err, done, again)
		}
	}
	if _, _, err := Merge("c.csv", []byte("pit_c,core_c\n5,6\n"), pit(1)); err == nil || !strings.Contains(err.Error(), "c.csv:1: ") {
		t.Errorf("a file without times: %v", err)
	}
	if _, _, err := Merge("c.csv", []byte("time,pit_c\n\xff\n"), pit(1)); err == nil {
		t.Error("merged into what is not text")
	}
}

// Appended rows and merged rows read the same, whatever the file had before, and
// nothing in the file is lost.
func TestMergeKeepsAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySeries.Draw(t, "a"), anySeries.Draw(t, "b")
		header := func(text []byte) string { h, _, _ := strings.Cut(string(text), "\n"); return h }
		text := format(a)
		if _, _, err := parseLayout(header(text)); err != nil {
			t.Skip("names equal once trimmed")
		}
		merged, done, err := Merge("c.csv", text, b)
		if err != nil {
			if strings.Contains(err.Error(), "twice") {
				t.Skip("names equal once trimmed")
			}
			t.Fatal(err)
		}
		if n := done.Added + done.Changed + done.Same; n != len(b.Times) {
			t.Fatalf("%d rows accounted for of %d", n, len(b.Times))
		}
		s, problems, err := Parse("c.csv", merged)
		if err != nil || len(problems) > 0 {
			t.Fatalf("%v %v\n%s", err, problems, merged)
		}
		if rows, ok := Rows(header(merged), b); !ok {
			t.Fatalf("no columns in %s", header(merged))
		} else if long, _, _ := Merge("c.csv", append([]byte(nil), merged...), journal.Series{}); string(long) != string(merged) {
			t.Fatalf("merging nothing changed\n%s to\n%s", merged, long)
		} else if long, _, _ = Merge("c.csv", append(long, rows...), journal.Series{}); string(long) != string(merged) {
			t.Fatalf("rows at the end:\n%s\nwant\n%s", long, merged)
		}
		both := a
		Add(&both, b)
		Tidy(&both)
		if len(s.Times) != len(both.Times) {
			t.Fatalf("%d rows, want %d", len(s.Times), len(both.Times))
		}
		for i := range s.Times {
			for k := range s.Cores {
				if x, y := s.Cores[k].C[i], both.Cores[k].C[i]; !(math.IsNaN(x) && math.IsNaN(y)) && math.Abs(x-y) > 0.0051 {
					t.Fatalf("row %d core %d: %v, want %v", i, k, x, y)
				}
			}
		}
	})
}

func TestHeader(t *testing.T) {
	head, last := Header([]byte("\ufeff\r\ntime,pit_c \r\n2026-09-18T20:12+01:00,3\n2026-09-18T20:10+01:00,1\n2026-09-18T20:50+01:00"))
	if head != "time,pit_c" || !last.Equal(at(12)) {
		t.Errorf("%q %v", head, last)
	}
}

func BenchmarkMerge(b *testing.B) {
	data := night(100_000)
	s, _, err := Parse("c.csv", data)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, done, err := Merge("c.csv", data, s); err != nil || done.Same != 100_000 {
			b.Fatal(err, done)
		}
	}
}
