package probefile

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

var london = func() *time.Location {
	l, err := time.LoadLocation("Europe/London")
	if err != nil {
		panic(err)
	}
	return l
}()

var now = time.Date(2026, 9, 19, 1, 8, 0, 0, london)

// read reads a whole text.
func read(t testing.TB, text string, opt Options) (*Reader, journal.Series, error) {
	t.Helper()
	if opt.Zone == nil {
		opt.Zone = london
	}
	r := NewReader("in.csv", opt)
	var l Lines
	clock := now
	if !opt.Live {
		clock = now.AddDate(0, 2, 0) // long after the cook
	}
	line := func(b []byte) error { return r.Line(b, clock) }
	err := l.Feed([]byte(text), line)
	if err == nil {
		err = l.End(line)
	}
	return r, r.Take(), err
}

func show(s journal.Series) string {
	var b strings.Builder
	for i, t := range s.Times {
		b.WriteString(t.Format("02T15:04:05Z07"))
		values := [][]float64{s.Pit}
		for _, c := range s.Cores {
			values = append(values, c.C)
		}
		for _, v := range values {
			switch {
			case v == nil:
			case math.IsNaN(v[i]):
				b.WriteString(" -")
			default:
				fmt.Fprintf(&b, " %.4g", v[i])
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}

func said(r *Reader) string {
	var out []string
	for _, c := range r.Columns() {
		as := strings.TrimSpace(c.As + " " + c.Unit)
		if c.Guessed {
			as += "?"
		}
		if c.Assumed {
			as += "!"
		}
		out = append(out, c.Name+"="+as)
	}
	return strings.Join(out, ", ")
}

// These tables are invented.
func TestTables(t *testing.T) {
	on := time.Date(2026, 9, 18, 20, 10, 0, 0, london)
	west := time.FixedZone("", -8*3600)
	two := []string{"large", "small lean"}
	tests := []struct {
		name, in string
		opt      Options
		want     string
		columns  string
	}{
		{"our own form", "time,pit_c,core_c\n2026-09-19T01:04:30+01:00,112,71\n2026-09-19T00:05Z,113,71.5", Options{},
			"19T01:04:30+01 112 71\n19T01:05:00+01 113 71.5\n", "time=time?, pit_c=pit °C?, core_c=core °C?"},
		{"a person's zone, °F in brackets", "Timestamp;Grate [°F];Meat (F)\n2026-09-19 01:04:30;212;32\n", Options{},
			"19T01:04:30+01 100 0\n", "Timestamp=time?, Grate [°F]=pit °F?, Meat (F)=core °F?"},
		{"semicolons and decimal commas", "Zeit;Rost;Kern\n19.09.2026 01:04:30;112,5;71,25\n", Options{Time: "zeit", Pit: "2", Cores: []Core{{Column: "Kern"}}},
			"19T01:04:30+01 112.5 71.25\n", "Zeit=time, Rost=pit °C!, Kern=core °C!"},
		{"tabs, quotes, day and time apart", "date\ttime\tpit\n2026-09-19\t01:04:30\t\"112,5\"\n", Options{},
			"19T01:04:30+01 112.5\n", "date=time?, time=time?, pit=pit °C?!"},
		{"seconds since 1970, and milliseconds", "epoch,pit_c\n1789776270,112\n1789776271500,113\n", Options{},
			"19T01:04:30+01 112\n19T01:04:31+01 113\n", "epoch=time?, pit_c=pit °C?"},
		{"counted from a start", "elapsed,core\n0,5\n0:10:00,6\n5400.5,7\n30:00:01,8\n", Options{From: on},
			"18T20:10:00+01 5\n18T20:20:00+01 6\n18T21:40:00+01 7\n20T02:10:01+01 8\n", "elapsed=time?, core=core °C?!"},
		{"pieces by name", "time,core_large_c,Small Lean (F),battery\n2026-09-19T01:04Z,70,212,9\n", Options{Pieces: two},
			"19T02:04:00+01 70 100\n", "time=time?, core_large_c=core large °C?, Small Lean (F)=core small lean °F?, battery="},
		{"pieces as asked", "time,a,b\n2026-09-19T01:04Z,70,80\n", Options{Pieces: two, Cores: []Core{{"Large", "b"}}},
			"19T02:04:00+01 80\n", "time=time?, a=, b=core large °C!"},
		{"the journal's units, and cells that say theirs", "time,pit,core\n2026-09-19T01:04Z,212,100 °C\n", Options{Units: measure.US},
			"19T02:04:00+01 100 100\n", "time=time?, pit=pit °F?!, core=core °F?!"},
		{"a unit asked for beats the header", "time,pit_c\n2026-09-19T01:04Z,212\n", Options{Unit: Fahrenheit},
			"19T02:04:00+01 100\n", "time=time?, pit_c=pit °F?"},
		{"no names", "2026-09-19T01:04Z,112,70,71,9\n", Options{Pieces: two},
			"19T02:04:00+01 112 70 71\n", "column 1=time?, column 2=pit °C?!, column 3=core large °C?!, column 4=core small lean °C?!, column 5="},
		{"no names and no times", "112,70\n113,71\n", Options{Live: true},
			"19T01:08:00+01 112 70\n19T01:08:00+01 113 71\n", "column 1=pit °C?!, column 2=core °C?!"},
		{"a mark and blank lines", "\ufeff\r\ntime,pit_c\r\n\r\n2026-09-19T01:04Z,1\r\n", Options{}, "19T02:04:00+01 1\n", "time=time?, pit_c=pit °C?"},
		// One time west of Greenwich, written in three ways: RFC 3339, section 5.8,
		// second example.
		{"west, with its offset", "time,pit_c\n1996-12-19T16:39:57-08:00,112\n", Options{Zone: west}, "19T16:39:57-08 112\n", "time=time?, pit_c=pit °C?"},
		{"west, without an offset", "time,pit_c\n1996-12-19 16:39:57,112\n", Options{Zone: west}, "19T16:39:57-08 112\n", "time=time?, pit_c=pit °C?"},
		{"west, in UTC", "time,pit_c\n1996-12-20T00:39:57Z,112\n", Options{Zone: west}, "19T16:39:57-08 112\n", "time=time?, pit_c=pit °C?"},
		{"from the west, read in London", "time,pit_c\n1996-12-19T16:39:57-08:00,112\n", Options{}, "20T00:39:57Z 112\n", "time=time?, pit_c=pit °C?"},
		// In the United Kingdom clocks go back on the last Sunday of October at 01:00
		// GMT (Summer Time Act 1972, section 1, as amended by the Summer Time Order
		// 2002).
		{"the hour that comes twice", "time,pit_c\n2026-10-25 01:30:00,1\n2026-10-25 01:59:00,2\n2026-10-25 01:00:00,3\n2026-10-25 01:30:00,4\n2026-10-25 02:00:00,5\n", Options{},
			"25T01:30:00+01 1\n25T01:59:00+01 2\n25T01:00:00Z 3\n25T01:30:00Z 4\n25T02:00:00Z 5\n", "time=time?, pit_c=pit °C?"},
	}
	for _, tt := range tests {
		r, s, err := read(t, tt.in, tt.opt)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if got := show(s); got != tt.want {
			t.Errorf("%s: got\n%swant\n%s", tt.name, got, tt.want)
		}
		if got := said(r); got != tt.columns {
			t.Errorf("%s: columns %s\nwant %s", tt.name, got, tt.columns)
		}
	}
}

func TestWhatIsLeftOut(t *testing.T) {
	in := "time,pit_c,core_c\n" +
		"2026-09-19T01:00Z,112,---\n" +
		"2026-09-19T01:01Z,N/A,\n" +
		"2026-09-19T01:02Z,-200,999\n" +
		"2026-09-19T01:03Z,6553.5,70\n" +
		"2026-09-19T01:04Z,hot,70\n" +
		"soon,112,70\n" +
		"2026-09-19T01:05Z,112\n" +
		"2026-01-01T01:05Z,112,70\n" +
		"2026-09-19T01:06Z," + strings.Repeat("9", MaxLine) + ",70\n" +
		"2026-09-19T01:07Z,nan,Null\n" +
		"3/4/2026 01:00,1,2\n" +
		"2026-09-19T01:08Z,0x10,1e1\n"
	r, s, err := read(t, in, Options{Earliest: now.AddDate(0, 0, -3), Latest: now.AddDate(0, 0, 3)})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := show(s), "19T02:00:00+01 112 -\n19T02:03:00+01 - 70\n19T02:04:00+01 - 70\n19T02:08:00+01 - 10\n"; got != want {
		t.Errorf("got\n%s", got)
	}
	if n, kept := r.Counts(); n != 12 || kept != 4 {
		t.Errorf("%d rows read, %d kept", n, kept)
	}
	var got strings.Builder
	for _, l := range r.Left() {
		what, why := l.Kind.Words()
		fmt.Fprintf(&got, "%d %s %s\n", l.Count, what, why)
		for _, p := range l.Places {
			got.WriteString("  " + p.Error() + "\n")
		}
	}
	want := `5 cell without a reading (empty, ---, n/a)
  in.csv:2:23: core_c: no reading
  in.csv:3:19: pit_c: no reading
  in.csv:3:23: core_c: no reading
3 row without any reading, left out
  in.csv:3: row without a reading
  in.csv:4: row without a reading
  in.csv:11: row without a reading
3 cell out of range (-50 to 450 °C), counted as no reading
  in.csv:4:19: pit_c "-200": no probe reads that
  in.csv:4:24: core_c "999": no probe reads that
  in.csv:5:19: pit_c "6553.5": no probe reads that
2 cell not a temperature, left out
  in.csv:6:19: pit_c "hot": expected a temperature
  in.csv:13:19: pit_c "0x10": expected a temperature
2 row without a time that can be read, left out
  in.csv:7:1: time "soon": expected one such as 2026-09-19T01:04:30+01:00, 2026-09-19 01:04:30, seconds since 1970, or h:mm:ss from a start
  in.csv:12:1: time "3/4/2026 01:00": expected one such as 2026-09-19T01:04:30+01:00, 2026-09-19 01:04:30, seconds since 1970, or h:mm:ss from a start
1 row with too few or too many cells, left out
  in.csv:8: row has 2 cells; expected 3
1 row not of the cook's days, left out
  in.csv:9: time 2026-01-01 01:05:00; expected from 2026-09-16 01:08 to 2026-09-22 01:08
1 row too long, left out
  in.csv:10: line of over 16384 bytes
`
	if got.String() != want {
		t.Errorf("got\n%s\nwant\n%s", got.String(), want)
	}
	if !r.Warned() {
		t.Error("no warning")
	}
}

func TestNotATable(t *testing.T) {
	two := []string{"large", "small"}
	for _, tt := range []struct {
		in   string
		opt  Options
		want string
	}{
		{"\x00\x01\x02\n", Options{}, "in.csv:1: not a table of readings; expected a line of names such as time,pit_c,core_c"},
		{"\xff\xfet\x00i\x00\n", Options{}, "in.csv:1: text in UTF-16; expected UTF-8: save it again as CSV UTF-8"},
		{"dear diary\n", Options{}, `in.csv:1: no column of times in "dear diary"`},
		{"time,battery\n", Options{}, `in.csv:1: no column of a pit or a core in "time", "battery"`},
		{"time,date_made,pit\n", Options{}, `in.csv:1: "time" and "date_made" could each be the time`},
		{"time,pit 1,pit 2\n", Options{}, `in.csv:1: "pit 1" and "pit 2" could each be the pit`},
		{"time,core a,core b\n", Options{}, `in.csv:1: "core a" and "core b" could each be the core`},
		{"time,core\n", Options{Pieces: two}, `in.csv:1: "core" is the core of one of the pieces large, small; it does not say which`},
		{"time,core\n", Options{Pit: "grate"}, `in.csv:1: pit "grate": no such column; there are "time", "core"`},
		{"time,core\n", Options{Pit: "time"}, `in.csv:1: pit "time": that column is the time already`},
		{"time,core\n", Options{Pieces: two, Cores: []Core{{"huge", "core"}}}, `in.csv:1: core "huge=core": expected with one of the pieces large, small`},
		{"time,pit\n0:00:05,1\n", Options{}, `in.csv:2: time "0:00:05": times are counted from a start that is not known`},
	} {
		_, s, err := read(t, tt.in, tt.opt)
		if err == nil || err.Error() != tt.want || len(s.Times) > 0 {
			t.Errorf("%q: %v\nwant %s", tt.in, err, tt.want)
		}
	}
	if _, _, err := read(t, "time,pit\n5,1\n", Options{}); !errors.Is(err, ErrElapsed) {
		t.Errorf("got %v", err)
	}
}

func TestTail(t *testing.T) {
	name := filepath.Join(t.TempDir(), "log.csv")
	write := func(flag int, text string) {
		t.Helper()
		f, err := os.OpenFile(name, flag|os.O_CREATE|os.O_WRONLY, 0o666)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.WriteString(text); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	write(0, "a\nb")
	tail, err := OpenTail(name)
	if err != nil {
		t.Fatal(err)
	}
	defer tail.Close()
	read := func(want string) {
		t.Helper()
		var got []string
		err := tail.Read(func(b []byte) error { got = append(got, string(b)); return nil }, func() { got = append(got, "anew") })
		if err != nil || strings.Join(got, " ") != want {
			t.Errorf("got %q %v, want %q", got, err, want)
		}
	}
	read("a")
	read("")
	write(os.O_APPEND, "b\nc\n")
	read("bb c")
	write(os.O_TRUNC, "d\n")
	read("anew d")
	write(os.O_TRUNC, "longer than it was\nbefore\n")
	read("anew longer than it was before")
	write(os.O_APPEND, "rest\nhalf")
	if err := os.Rename(name, name+".1"); err != nil {
		t.Fatal(err)
	}
	read("rest")
	write(0, "new\n")
	read("anew new")
	write(os.O_APPEND, strings.Repeat("x", 3*MaxLine)+"\ny\n")
	var lengths []int
	if err := tail.Read(func(b []byte) error { lengths = append(lengths, len(b)); return nil }, func() {}); err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(lengths) != fmt.Sprint([]int{MaxLine + 1, 1}) {
		t.Errorf("lengths %v", lengths)
	}
}

func FuzzReader(f *testing.F) {
	for _, s := range []string{
		"time,pit_c,core_c\n2026-09-19T01:04:30+01:00,112,71\n",
		"Zeit;Rost;Kern\n19.09.2026 01:04:30;112,5;71,25\n",
		"\ufeffdate\ttime\tpit\n2026-09-19\t01:04:30\t\"112,5\"\n", "112,70\n", "elapsed,core\n0:10:00,6\n\"",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, s, err := func() (*Reader, journal.Series, error) {
			return read(t, string(data), Options{From: now, Live: true, Pieces: []string{"large", "small"}})
		}()
		if err != nil {
			return
		}
		if _, kept := r.Counts(); kept != len(s.Times) {
			t.Fatalf("%d kept, %d there", kept, len(s.Times))
		}
		values := [][]float64{s.Pit}
		for _, c := range s.Cores {
			values = append(values, c.C)
		}
		for _, v := range values {
			if v != nil && len(v) != len(s.Times) {
				t.Fatalf("%d values, %d times", len(v), len(s.Times))
			}
			for _, c := range v {
				if !math.IsNaN(c) && !InRange(c) {
					t.Fatalf("value %v", c)
				}
			}
		}
	})
}

func BenchmarkReader(b *testing.B) {
	var text bytes.Buffer
	text.WriteString("time,pit_c,core_large_c,core_small_c\n")
	for i := range 100_000 {
		fmt.Fprintf(&text, "%s,%.1f,%.1f,%.1f\n", now.Add(time.Duration(i)*time.Second).Format(time.DateTime), 110.0, 5+float64(i)/1300, 6+float64(i)/1250)
	}
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, s, err := read(b, text.String(), Options{Pieces: []string{"large", "small"}}); err != nil || len(s.Times) != 100_000 {
			b.Fatal(err, len(s.Times))
		}
	}
}

// A row whose time is far ahead of the clock is left out and counted. A few minutes
// ahead is accepted, since clocks differ.
func TestRowsAheadOfTheClock(t *testing.T) {
	r := NewReader("in.csv", Options{Zone: london})
	for _, text := range []string{"time,pit_c", "2026-09-19T01:08+01:00,1", "2026-09-19T01:23+01:00,2", "2026-09-19T01:24+01:00,3", "2026-09-19T03:08+01:00,4"} {
		if err := r.Line([]byte(text), now); err != nil {
			t.Fatal(err)
		}
	}
	if got := show(r.Take()); strings.Count(got, "\n") != 2 {
		t.Errorf("kept\n%s", got)
	}
	left := r.Left()
	if len(left) != 1 || left[0].Kind != Ahead || left[0].Count != 2 || left[0].Kind.Harmless() || left[0].Places[0].Line != 4 {
		t.Errorf("left out %+v", left)
	}
}
