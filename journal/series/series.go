// Package series reads and writes the probe series beside a cook: a CSV file
// with one row a moment.
//
// The header names the columns: time, pit_c, core_c for an undivided cook,
// core_NAME_c for each piece; _f instead of _c for °F. Times are RFC 3339, the
// seconds optional; cells are parted by commas, a blank one is a gap.
package series

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// MaxBytes is the longest file read: ten days of a row a second (chosen).
const MaxBytes = 32 << 20

// problemsShown is how many bad rows and cells are told one by one (chosen).
const problemsShown = 20

// What a probe can read, °C (chosen): from the coldest freezer to glowing
// charcoal. Broken probes report figures far outside.
const (
	lowest  = -60.0
	highest = 900.0
)

// fahrenheit is the unit of columns that end in _f.
var fahrenheit = measure.Degrees(0, measure.US).Unit

// column is one column of the file.
type column struct {
	inF    bool
	pit    bool
	piece  string
	values []float64
}

// reader holds what was read so far.
type reader struct {
	path     string
	clock    int       // index of the time column
	columns  []*column // nil for time and for columns not known
	times    []time.Time
	problems []journal.Problem
	more     int // problems beyond problemsShown
	zones    zones
}

// Parse reads a series. path names the file in problems and errors. Rows are
// sorted by time; of rows with one time the last value of each column stays.
// A row or cell that cannot be read is a problem and a gap. An error means
// that no series could be read at all; the series then is zero.
func Parse(path string, data []byte) (journal.Series, []journal.Problem, error) {
	r := &reader{path: path}
	fail := func(line int, format string, args ...any) (journal.Series, []journal.Problem, error) {
		return journal.Series{}, nil, journal.Problem{File: path, Line: line, Text: fmt.Sprintf(format, args...)}
	}
	if len(data) > MaxBytes {
		return fail(0, "file has %d bytes; expected at most %d", len(data), MaxBytes)
	}
	if at := invalidUTF8(data); at >= 0 {
		return fail(1+bytes.Count(data[:at], []byte("\n")), "byte %d is not valid UTF-8", at)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	line := 0
	for len(data) > 0 {
		var row []byte
		row, data, _ = bytes.Cut(data, []byte("\n"))
		row = bytes.TrimSpace(row)
		line++
		switch {
		case len(row) == 0:
		case r.columns == nil:
			if err := r.header(line, string(row)); err != nil {
				return journal.Series{}, nil, err
			}
			r.grow(len(data))
		default:
			r.row(line, row)
		}
	}
	if r.columns == nil {
		return fail(0, "nothing there; expected a header such as time,pit_c,core_c")
	}
	s := r.series()
	if r.more > 0 {
		r.problems = append(r.problems, journal.Problem{File: path, Text: fmt.Sprintf("%d more rows or cells could not be read", r.more)})
	}
	return s, r.problems, nil
}

func invalidUTF8(data []byte) int {
	if utf8.Valid(data) {
		return -1
	}
	for i := 0; ; {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
}

// header reads the names of the columns.
func (r *reader) header(line int, text string) error {
	fail := func(format string, args ...any) error {
		return journal.Problem{File: r.path, Line: line, Text: fmt.Sprintf(format, args...)}
	}
	if !strings.Contains(text, ",") {
		for _, sep := range []string{";", "\t", "|"} {
			if strings.Contains(text, sep) {
				return fail("header %q: expected commas between the columns, found %q", text, sep)
			}
		}
	}
	var unknown []string
	seen := map[string]bool{}
	r.clock = -1
	for rest, more := []byte(text), true; more; {
		var cell []byte
		cell, rest, more = cutCell(rest)
		name := string(cell)
		c := parseColumn(name)
		switch {
		case strings.EqualFold(name, "time") && r.clock < 0:
			r.clock = len(r.columns)
		case c == nil:
			unknown = append(unknown, strconv.Quote(name))
		case seen[c.key()]:
			return fail("column %q: %s is there twice", name, c.key())
		default:
			seen[c.key()] = true
		}
		r.columns = append(r.columns, c)
	}
	switch {
	case r.clock < 0:
		return fail("header %q: expected a column time", text)
	case len(seen) == 0:
		return fail("header %q: expected a column pit_c, core_c or core_NAME_c, or the same with _f", text)
	case len(unknown) > 0:
		r.problems = append(r.problems, journal.Problem{File: r.path, Line: line, Warning: true,
			Text: "left out, not known: " + strings.Join(unknown, ", ")})
	}
	return nil
}

// parseColumn reads the name of a column; nil where it is none of ours.
func parseColumn(name string) *column {
	var c column
	what, unit, ok := cutLast(name, "_")
	switch strings.ToLower(unit) {
	case "c":
	case "f":
		c.inF = true
	default:
		return nil
	}
	head, piece, named := strings.Cut(what, "_")
	c.piece = strings.TrimSpace(piece)
	switch {
	case !ok || named && c.piece == "":
		return nil
	case strings.EqualFold(what, "pit"):
		c.pit = true
	case !strings.EqualFold(head, "core"):
		return nil
	}
	return &c
}

func cutLast(s, sep string) (before, after string, found bool) {
	if i := strings.LastIndex(s, sep); i >= 0 {
		return s[:i], s[i+len(sep):], true
	}
	return s, "", false
}

// key tells columns apart whatever their scale.
func (c *column) key() string {
	switch {
	case c.pit:
		return "pit"
	case c.piece == "":
		return "core"
	}
	return "core " + strings.ToLower(c.piece)
}

// grow makes room for the rows that n bytes can hold.
func (r *reader) grow(n int) {
	rows := n/(len("2006-01-02T15:04Z,")+len(r.columns)-1) + 1
	r.times = make([]time.Time, 0, rows)
	for _, c := range r.columns {
		if c != nil {
			c.values = make([]float64, 0, rows)
		}
	}
}

// row reads one row.
func (r *reader) row(line int, row []byte) {
	if n := countCells(row); n != len(r.columns) {
		r.bad(line, 0, "row has %d cells; expected %d as in the header", n, len(r.columns))
		return
	}
	rest := row
	for i := range r.columns {
		cell, after, _ := cutCell(rest)
		if i == r.clock {
			t, ok := r.zones.parse(cell)
			if !ok {
				r.bad(line, place(row, rest), "time %q: expected such as 2026-09-19T01:04:30+01:00", cell)
				return
			}
			r.times = append(r.times, t)
		}
		rest = after
	}
	rest = row
	for _, c := range r.columns {
		cell, after, _ := cutCell(rest)
		if c != nil {
			v, ok := c.celsius(cell)
			if !ok {
				r.bad(line, place(row, rest), "%s %q: expected a temperature between %v and %v °C, or nothing", c.key(), cell, lowest, highest)
			}
			c.values = append(c.values, v)
		}
		rest = after
	}
}

// celsius reads a cell; NaN is a gap, ok false for what is neither.
func (c *column) celsius(cell []byte) (v float64, ok bool) {
	if len(cell) == 0 || bytes.EqualFold(cell, []byte("nan")) {
		return math.NaN(), true
	}
	for _, b := range cell {
		if (b < '0' || b > '9') && b != '.' && b != '-' && b != '+' {
			return math.NaN(), false
		}
	}
	v, err := strconv.ParseFloat(string(cell), 64)
	if c.inF {
		v = fahrenheit.Base(v)
	}
	if err != nil || v < lowest || v > highest {
		return math.NaN(), false
	}
	return v, true
}

// bad notes a row or cell that could not be read.
func (r *reader) bad(line, col int, format string, args ...any) {
	if len(r.problems) >= problemsShown {
		r.more++
		return
	}
	r.problems = append(r.problems, journal.Problem{File: r.path, Line: line, Col: col, Text: fmt.Sprintf(format, args...)})
}

// place returns the column, in runes from 1, at which rest begins in row.
func place(row, rest []byte) int {
	at := row[:len(row)-len(rest)]
	return 1 + utf8.RuneCount(at)
}

// cutCell splits off the first cell, its spaces and quotes removed; more is
// false where it was the last.
func cutCell(row []byte) (cell, rest []byte, more bool) {
	row = bytes.TrimLeft(row, " \t")
	if len(row) == 0 || row[0] != '"' {
		cell, rest, more = bytes.Cut(row, []byte(","))
		return bytes.TrimSpace(cell), rest, more
	}
	for i := 1; i < len(row); i++ {
		switch {
		case row[i] != '"':
		case i+1 < len(row) && row[i+1] == '"':
			i++
		default:
			_, rest, more = bytes.Cut(row[i+1:], []byte(","))
			return bytes.TrimSpace(bytes.ReplaceAll(row[1:i], []byte(`""`), []byte(`"`))), rest, more
		}
	}
	return bytes.TrimSpace(row), nil, false
}

func countCells(row []byte) int {
	if bytes.IndexByte(row, '"') < 0 {
		return bytes.Count(row, []byte(",")) + 1
	}
	n := 1
	for more := true; ; n++ {
		if _, row, more = cutCell(row); !more {
			return n
		}
	}
}

// series sorts what was read, makes one row of rows with one time, and hands
// the columns over.
func (r *reader) series() journal.Series {
	s := journal.Series{Times: r.times}
	var columns []*column
	for _, c := range r.columns {
		if c != nil {
			columns = append(columns, c)
		}
	}
	late, repeated := 0, 0
	for i := 1; i < len(s.Times); i++ {
		switch d := s.Times[i].Compare(s.Times[i-1]); {
		case d < 0:
			late++
		case d == 0:
			repeated++
		}
	}
	if late > 0 {
		order := make([]int, len(s.Times))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return s.Times[a].Compare(s.Times[b]) })
		s.Times = picked(s.Times, order)
		for _, c := range columns {
			c.values = picked(c.values, order)
		}
		r.warn("%d rows were out of order, sorted here", late)
	}
	if late+repeated > 0 {
		if n := join(&s.Times, columns); n > 0 {
			r.warn("%d rows repeat the time of another; the last value stands", n)
		}
	}
	for _, c := range columns {
		if c.pit {
			s.Pit = c.values
		} else {
			s.Cores = append(s.Cores, journal.CoreSeries{Piece: c.piece, C: c.values})
		}
	}
	return s
}

func (r *reader) warn(format string, args ...any) {
	r.problems = append(r.problems, journal.Problem{File: r.path, Warning: true, Text: fmt.Sprintf(format, args...)})
}

func picked[T any](from []T, order []int) []T {
	out := make([]T, len(order))
	for i, at := range order {
		out[i] = from[at]
	}
	return out
}

// join makes one row of neighbours with one time: of each column the last
// value that is no gap. It returns how many rows went.
func join(times *[]time.Time, columns []*column) int {
	ts := *times
	n := 0
	for i := range ts {
		if n > 0 && ts[i].Equal(ts[n-1]) {
			for _, c := range columns {
				if !math.IsNaN(c.values[i]) {
					c.values[n-1] = c.values[i]
				}
			}
			continue
		}
		ts[n] = ts[i]
		for _, c := range columns {
			c.values[n] = c.values[i]
		}
		n++
	}
	gone := len(ts) - n
	*times = ts[:n]
	for _, c := range columns {
		c.values = c.values[:n]
	}
	return gone
}

// Format writes a series as a file in °C that Parse reads back. Values of
// unequal length are written as far as Times goes, gaps where they end.
func Format(s journal.Series) []byte {
	var out []byte
	out = append(out, "time"...)
	var columns [][]float64
	if s.Pit != nil {
		out = append(out, ",pit_c"...)
		columns = append(columns, s.Pit)
	}
	for _, c := range s.Cores {
		name := "core_c"
		if c.Piece != "" {
			name = "core_" + c.Piece + "_c"
		}
		if strings.ContainsAny(name, `,"`) {
			name = `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
		}
		out = append(append(out, ','), name...)
		columns = append(columns, c.C)
	}
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
