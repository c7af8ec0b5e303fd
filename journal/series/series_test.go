package series

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/journal"
)

// format formats a series in °C so that Parse reads it back. It writes as many rows as
// Times has; a shorter column gets gaps.
func format(s journal.Series) []byte {
	var columns [][]float64
	if s.Pit != nil {
		columns = append(columns, s.Pit)
	}
	for _, c := range s.Cores {
		columns = append(columns, c.C)
	}
	out := []byte(headerOf(s))
	out = append(out, '\n')
	for i, t := range s.Times {
		out = t.AppendFormat(out, time.RFC3339Nano)
		for _, c := range columns {
			out = append(out, ',')
			if i < len(c) && !math.IsNaN(c[i]) {
				out = strconv.AppendFloat(out, c[i], 'f', -1, 64)
			}
		}
		out = append(out, '\n')
	}
	return out
}

// show formats a series as lines "HH:MM:SS pit core…", with a dash for a gap.
func show(s journal.Series) string {
	var b strings.Builder
	cell := func(v float64) string {
		if math.IsNaN(v) {
			return " -"
		}
		return fmt.Sprintf(" %.4g", v)
	}
	for i, t := range s.Times {
		b.WriteString(t.UTC().Format("15:04:05"))
		if s.Pit != nil {
			b.WriteString(cell(s.Pit[i]))
		}
		for _, c := range s.Cores {
			b.WriteString(cell(c.C[i]))
		}
		b.WriteString("\n")
	}
	return b.String()
}

func texts(problems []journal.Problem) string {
	var b strings.Builder
	for _, p := range problems {
		b.WriteString(p.Error() + "\n")
	}
	return b.String()
}

func TestParse(t *testing.T) {
	tests := []struct {
		name, in, want, problems string
	}{
		{name: "undivided cook",
			in:   "time,pit_c,core_c\n2026-09-18T20:10+01:00,112,5\n2026-09-18T20:10:30+01:00,113.5,5.25\n",
			want: "19:10:00 112 5\n19:10:30 113.5 5.25\n"},
		{name: "gaps and other spellings of nothing",
			in:   "time,pit_c,core_c\n2026-09-18T20:10Z,,5\n2026-09-18T20:11Z,112,\n2026-09-18T20:12Z,nan,NaN\n",
			want: "20:10:00 - 5\n20:11:00 112 -\n20:12:00 - -\n"},
		{name: "fahrenheit: 212 °F boils, 32 °F freezes",
			in:   "time,pit_f,core_f\n2026-09-18T20:10Z,212,32\n",
			want: "20:10:00 100 0\n"},
		{name: "mark, CRLF, blank lines, spaces, a row being written",
			in:   "\ufefftime, pit_c\r\n\r\n2026-09-18T20:10Z , 112 \r\n\r\n2026-09-18 20:11Z,113\r\n2026-09-18T20:12Z,1",
			want: "20:10:00 112\n20:11:00 113\n"},
		{name: "out of order and repeated",
			in:   "time,pit_c,core_c\n2026-09-18T20:12Z,3,\n2026-09-18T20:10Z,1,10\n2026-09-18T21:12+01:00,4,12\n2026-09-18T20:12Z,,13\n",
			want: "20:10:00 1 10\n20:12:00 4 13\n",
			problems: "c.csv: 1 rows were out of order, sorted here\n" +
				"c.csv: 2 rows repeat the time of another; the last value is kept\n"},
		{name: "repeated but in order",
			in:       "time,pit_c\n2026-09-18T20:12Z,3\n2026-09-18T20:12Z,4\n",
			want:     "20:12:00 4\n",
			problems: "c.csv: 1 rows repeat the time of another; the last value is kept\n"},
		{name: "bad cells are gaps, bad rows are left out",
			in:   "time,pit_c,core_c\nyesterday,1,2\n2026-02-30T20:10Z,1,2\n2026-09-18T20:10Z,hot,2\n2026-09-18T20:11Z,1\n2026-09-18T20:12Z,1,2,3\n2026-09-18T20:13Z,6553.5,0x10\n",
			want: "20:10:00 - 2\n20:13:00 - -\n",
			problems: `c.csv:2:1: time "yesterday": expected one such as 2026-09-19T01:04:30+01:00
c.csv:3:1: time "2026-02-30T20:10Z": expected one such as 2026-09-19T01:04:30+01:00
c.csv:4:19: pit "hot": expected a temperature between -60 and 900 °C, or nothing
c.csv:5: row has 2 cells; expected 3 as in the header
c.csv:6: row has 4 cells; expected 3 as in the header
c.csv:7:19: pit "6553.5": expected a temperature between -60 and 900 °C, or nothing
c.csv:7:26: core "0x10": expected a temperature between -60 and 900 °C, or nothing
`},
		{name: "columns count runes",
			in:       "time,core_größe_c,pit_c\n2026-09-18T20:10Z,\"größe\",x\n",
			want:     "20:10:00 - -\n",
			problems: "c.csv:2:19: core größe \"größe\": expected a temperature between -60 and 900 °C, or nothing\nc.csv:2:27: pit \"x\": expected a temperature between -60 and 900 °C, or nothing\n"},
		{name: "unknown columns",
			in:       "time,battery,pit_c,core_c,air_c,pit\n2026-09-18T20:10Z,x,112,5,9,1\n",
			want:     "20:10:00 112 5\n",
			problems: "c.csv:1: left out, not known: \"battery\", \"air_c\", \"pit\"\n"},
		{name: "time need not come first",
			in: "core_c,time\n5,2026-09-18T20:10Z\n", want: "20:10:00 5\n"},
		{name: "a row cut short in the middle of a character, and alone",
			in: "time,pit_c\n2026-09-18T20:10Z,1\n2026-09\xc3", want: "20:10:00 1\n"},
		{name: "header alone and not ended", in: "time,pit_c", want: ""},
		{name: "header alone", in: "time,pit_c\n", want: ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, problems, err := Parse("c.csv", []byte(tt.in))
			if err != nil {
				t.Fatal(err)
			}
			if got := show(s); got != tt.want {
				t.Errorf("series:\n%swant:\n%s", got, tt.want)
			}
			if got := texts(problems); got != tt.problems {
				t.Errorf("problems:\n%swant:\n%s", got, tt.problems)
			}
		})
	}
}

func TestPieces(t *testing.T) {
	s, problems, err := Parse("c.csv", []byte("TIME,Core_large_C,core_left_half_f,\"core_small, lean_c\",core_hüfte_c\n2026-09-18T20:10Z,1,50,3,4\n"))
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	if s.Pit != nil {
		t.Errorf("pit %v without a column", s.Pit)
	}
	var names []string
	for _, c := range s.Cores {
		names = append(names, fmt.Sprintf("%s=%.4g", c.Piece, c.C[0]))
	}
	if got, want := strings.Join(names, "|"), "large=1|left_half=10|small, lean=3|hüfte=4"; got != want {
		t.Errorf("pieces %s, want %s", got, want)
	}
}

func TestParseErrors(t *testing.T) {
	tests := []struct{ in, want string }{
		{"", "c.csv: nothing there; expected a header such as time,pit_c,core_c"},
		{"\n\r\n", "c.csv: nothing there; expected a header such as time,pit_c,core_c"},
		{"time;pit_c;core_c\n", `c.csv:1: header "time;pit_c;core_c": expected commas between the columns, found ";"`},
		{"time\tpit_c\n", `c.csv:1: header "time\tpit_c": expected commas between the columns, found "\t"`},
		{"pit_c,core_c\n", `c.csv:1: header "pit_c,core_c": expected a column time`},
		{"time,pit\n", `c.csv:1: header "time,pit": expected a column pit_c, core_c or core_NAME_c, or the same with _f`},
		{"time,pit_c,PIT_F\n", `c.csv:1: column "PIT_F": pit is there twice`},
		{"time,core_A_c,core_a_f\n", `c.csv:1: column "core_a_f": core a is there twice`},
		{"time,pit_c\n2026\xff\n", `c.csv:2: byte 15 is not valid UTF-8`},
		{strings.Repeat(" ", MaxBytes+1), "c.csv: file has 33554433 bytes; expected at most 33554432"},
	}
	for _, tt := range tests {
		s, problems, err := Parse("c.csv", []byte(tt.in))
		if err == nil || err.Error() != tt.want {
			t.Errorf("%.40q: error %v, want %s", tt.in, err, tt.want)
		}
		if s.Times != nil || s.Pit != nil || s.Cores != nil || problems != nil {
			t.Errorf("%.40q: something beside the error: %v %v", tt.in, s, problems)
		}
	}
}

func TestProblemsAreBounded(t *testing.T) {
	_, problems, err := Parse("c.csv", []byte("time,pit_c\n"+strings.Repeat("2026-09-18T20:10Z,x\n", 1000)))
	if err != nil {
		t.Fatal(err)
	}
	if n, want := len(problems), problemsShown+2; n != want {
		t.Fatalf("%d problems, want %d", n, want)
	}
	if got := problems[len(problems)-1].Text; got != "980 more rows or cells could not be read" {
		t.Errorf("last problem %q", got)
	}
}

// Every time that usual accepts, the standard library parses to the same.
func TestUsualTimeIsParseTime(t *testing.T) {
	digits := func(n int) *rapid.Generator[string] {
		return rapid.Custom(func(t *rapid.T) string {
			return fmt.Sprintf("%0*d", n, rapid.IntRange(0, []int{0, 0, 70, 0, 10100}[n]).Draw(t, "n"))
		})
	}
	rapid.Check(t, func(t *rapid.T) {
		var z zones
		s := digits(4).Draw(t, "y") + "-" + digits(2).Draw(t, "mo") + "-" + digits(2).Draw(t, "d") + "T" + digits(2).Draw(t, "h") + ":" + digits(2).Draw(t, "m")
		s += rapid.SampledFrom([]string{"", ":00", ":59", ":60", ":5", ".5", ":00.25"}).Draw(t, "s")
		s += rapid.SampledFrom([]string{"Z", "", "+01:00", "-07:00", "+10:30", "+00:00", "-00:00", "+24:00", "+1:00", "z"}).Draw(t, "zone")
		got, ok := z.parse([]byte(s))
		want, err := journal.ParseTime(s)
		if ok != (err == nil) || ok && (!got.Equal(want) || journal.FormatTime(got) != journal.FormatTime(want)) {
			t.Fatalf("%s: %v %v, library %v %v", s, got, ok, want, err)
		}
	})
}

var anySeries = rapid.Custom(func(t *rapid.T) journal.Series {
	n := rapid.IntRange(0, 20).Draw(t, "rows")
	value := rapid.Custom(func(t *rapid.T) float64 {
		if rapid.IntRange(0, 4).Draw(t, "gap") == 0 {
			return math.NaN()
		}
		return rapid.Float64Range(lowest, highest).Draw(t, "C")
	})
	column := rapid.SliceOfN(value, n, n)
	s := journal.Series{}
	at := time.Date(2026, 9, 18, 20, 10, 0, 0, time.FixedZone("", 3600))
	for range n {
		at = at.Add(time.Duration(rapid.Int64Range(1, 1e12).Draw(t, "step")))
		s.Times = append(s.Times, at)
	}
	if rapid.Bool().Draw(t, "pit") {
		s.Pit = column.Draw(t, "pit")
	}
	pieces := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-zäß,"_ ]{0,6}[a-z]`), 1, 3, strings.ToLower).Draw(t, "pieces")
	for _, p := range pieces {
		s.Cores = append(s.Cores, journal.CoreSeries{Piece: strings.Trim(p, " _"), C: column.Draw(t, p)})
	}
	return s
})

func TestFormatParses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySeries.Draw(t, "series")
		text := format(s)
		got, problems, err := Parse("c.csv", text)
		if err != nil && strings.Contains(err.Error(), "twice") {
			t.Skip("names equal once trimmed")
		}
		if err != nil || len(problems) > 0 {
			t.Fatalf("%v %v\n%s", err, problems, text)
		}
		if string(format(got)) != string(text) {
			t.Fatalf("got\n%swant\n%s", format(got), text)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"time,pit_c,core_c\n2026-09-18T20:10+01:00,112,5\n",
		"\ufefftime,core_large_f\r\n2026-09-18T20:10:30Z,\"41\"\r\n",
		"time,pit_c\n2026-09-18T20:12Z,3\n2026-09-18T20:10Z,\n2026-09-18T20:12Z,4\n",
		"time,\"core_a\"\"b_c\",x\n2026-09-18T20:10Z,\"1\",,\n\"",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, problems, err := Parse("c.csv", data)
		if err != nil {
			if s.Times != nil || s.Pit != nil || s.Cores != nil || problems != nil {
				t.Fatal("something beside the error")
			}
			return
		}
		if s.Pit == nil && len(s.Cores) == 0 {
			t.Fatal("no column and no error")
		}
		for i, at := range s.Times {
			if i > 0 && !at.After(s.Times[i-1]) {
				t.Fatalf("row %d is not after the one before", i)
			}
		}
		if s.Pit != nil && len(s.Pit) != len(s.Times) {
			t.Fatalf("%d pit values, %d times", len(s.Pit), len(s.Times))
		}
		for _, c := range s.Cores {
			if len(c.C) != len(s.Times) {
				t.Fatalf("%d core values, %d times", len(c.C), len(s.Times))
			}
			for _, v := range c.C {
				if !math.IsNaN(v) && (v < lowest || v > highest) {
					t.Fatalf("value %v", v)
				}
			}
		}
		text := format(s)
		again, problems, err := Parse("c.csv", text)
		if err != nil || len(problems) > 0 {
			t.Fatalf("%v %v in\n%s", err, problems, text)
		}
		if string(format(again)) != string(text) {
			t.Fatalf("not a fixed point:\n%s", text)
		}
	})
}

// night returns n rows, one a second, of a pit and two cores.
func night(n int) []byte {
	var b strings.Builder
	b.WriteString("time,pit_c,core_large_c,core_small_c\n")
	at := time.Date(2026, 9, 18, 20, 0, 0, 0, time.FixedZone("", 3600))
	for i := range n {
		fmt.Fprintf(&b, "%s,%.1f,%.1f,%.1f\n", at.Add(time.Duration(i)*time.Second).Format(time.RFC3339), 110+5*math.Sin(float64(i)/900), 5+float64(i)/1300, 6+float64(i)/1250)
	}
	return []byte(b.String())
}

func BenchmarkParse(b *testing.B) {
	data := night(100_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		s, problems, err := Parse("c.csv", data)
		if err != nil || len(problems) > 0 || len(s.Times) != 100_000 {
			b.Fatal(err, problems, len(s.Times))
		}
	}
}
