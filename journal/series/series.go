// Package series reads and writes the probe series of a cook: a CSV file with one row
// for each time.
//
// The header names the columns: time, pit_c, core_c for undivided meat, core_NAME_c for
// each piece; _f instead of _c for °F. Times are RFC 3339 with or without seconds.
// Commas separate the cells; an empty cell is a gap.
package series

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
)

// MaxBytes is the largest file read: ten days of a row a second (chosen).
const MaxBytes = 32 << 20

// problemsShown is how many bad rows and cells are reported one by one (chosen).
const problemsShown = 20

// The range of a probe, °C (chosen): from the coldest freezer to glowing charcoal.
// Broken probes give values far outside.
const (
	lowest  = -60.0
	highest = 900.0
)

// reader has what was read so far.
type reader struct {
	path string
	layout
	times    []time.Time
	problems []journal.Problem
	more     int // number of problems beyond problemsShown
	zones    zones
}

// Parse reads a series. path names the file in problems and errors. Rows are sorted by
// time; of several rows with one time, each column keeps its last value. A row or cell
// that cannot be read is a problem and a gap. A last row without a line end is still
// being written, or was cut short, and is ignored. It fails with a zero series if no
// series can be read.
func Parse(path string, data []byte) (journal.Series, []journal.Problem, error) {
	r := &reader{path: path}
	fail := func(line int, format string, args ...any) (journal.Series, []journal.Problem, error) {
		return journal.Series{}, nil, journal.Problem{File: path, Line: line, Text: fmt.Sprintf(format, args...)}
	}
	if len(data) > MaxBytes {
		return fail(0, "file has %d bytes; expected at most %d", len(data), MaxBytes)
	}
	data = whole(data)
	if at := invalidUTF8(data); at >= 0 {
		return fail(1+bytes.Count(data[:at], []byte("\n")), "byte %d is not valid UTF-8", at)
	}
	if found := conflicts(data); len(found) > 0 {
		for _, c := range found[:min(len(found), problemsShown)] {
			r.problems = append(r.problems, undecided(path, data, c))
		}
		data = []byte(blocks.BothVersions(string(data), found))
	}
	data = bytes.TrimPrefix(data, []byte(mark))
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
			r.grow(data)
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

// mark is the byte order mark that some programs write before a text.
const mark = "\ufeff"

// whole cuts off a last row without a line end; a header may be without one.
func whole(data []byte) []byte {
	at := bytes.LastIndexByte(data, '\n') + 1
	if len(bytes.TrimSpace(bytes.TrimPrefix(data[:at], []byte(mark)))) == 0 {
		return data
	}
	return data[:at]
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

// header parses the names of the columns.
func (r *reader) header(line int, text string) error {
	l, unknown, err := parseLayout(text)
	if err != nil {
		return journal.Problem{File: r.path, Line: line, Text: err.Error()}
	}
	r.layout = l
	if len(unknown) > 0 {
		r.problems = append(r.problems, journal.Problem{File: r.path, Line: line, Warning: true,
			Text: "left out, not known: " + strings.Join(unknown, ", ")})
	}
	return nil
}

// grow reserves memory for the rows of a file.
func (r *reader) grow(data []byte) {
	rows := bytes.Count(data, []byte("\n")) + 1
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
				r.bad(line, place(row, rest), "time %q: expected one such as 2026-09-19T01:04:30+01:00", cell)
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

// bad records a row or cell that could not be read.
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

// series sorts the rows, joins those of one time, and returns the columns.
func (r *reader) series() journal.Series {
	s := journal.Series{Times: r.times}
	var columns []*column
	for _, c := range r.columns {
		if c != nil {
			columns = append(columns, c)
		}
	}
	late, repeated := tidy(&s.Times, columns)
	if late > 0 {
		r.warn("%d rows were out of order, sorted here", late)
	}
	if repeated > 0 {
		r.warn("%d rows repeat the time of another; the last value is kept", repeated)
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

// tidy sorts rows by time and joins those of one time. It returns how many were out of
// order, and how many were joined to another.
func tidy(times *[]time.Time, columns []*column) (late, repeated int) {
	ts := *times
	for i := 1; i < len(ts); i++ {
		switch d := ts[i].Compare(ts[i-1]); {
		case d < 0:
			late++
		case d == 0:
			repeated++
		}
	}
	if late > 0 {
		order := make([]int, len(ts))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return ts[a].Compare(ts[b]) })
		*times = picked(ts, order)
		for _, c := range columns {
			c.values = picked(c.values, order)
		}
	}
	if late+repeated == 0 {
		return 0, 0
	}
	return late, join(times, columns)
}

// Tidy sorts rows by time and joins those of one time: each column keeps its last value
// that is no gap. It returns how many were out of order, and how many were joined to
// another.
func Tidy(s *journal.Series) (late, repeated int) {
	var columns []*column
	if s.Pit != nil {
		columns = append(columns, &column{pit: true, values: s.Pit})
	}
	for _, c := range s.Cores {
		columns = append(columns, &column{piece: c.Piece, values: c.C})
	}
	late, repeated = tidy(&s.Times, columns)
	for _, c := range columns {
		if c.pit {
			s.Pit = c.values
		}
	}
	for i := range s.Cores {
		s.Cores[i].C = columns[len(columns)-len(s.Cores)+i].values
	}
	return late, repeated
}

// Add appends the rows of more to s. A column that only one of them has gets gaps for
// the other's rows.
func Add(s *journal.Series, more journal.Series) {
	n := len(s.Times)
	s.Times = append(s.Times, more.Times...)
	extend := func(to, with []float64) []float64 {
		for len(to) < n {
			to = append(to, math.NaN())
		}
		to = append(to, with[:min(len(with), len(more.Times))]...)
		for len(to) < len(s.Times) {
			to = append(to, math.NaN())
		}
		return to
	}
	if s.Pit != nil || more.Pit != nil {
		s.Pit = extend(s.Pit, more.Pit)
	}
	for _, c := range more.Cores {
		if !slices.ContainsFunc(s.Cores, func(o journal.CoreSeries) bool { return strings.EqualFold(o.Piece, c.Piece) }) {
			s.Cores = append(s.Cores, journal.CoreSeries{Piece: c.Piece})
		}
	}
	for i := range s.Cores {
		var with []float64
		for _, c := range more.Cores {
			if strings.EqualFold(s.Cores[i].Piece, c.Piece) {
				with = c.C
			}
		}
		s.Cores[i].C = extend(s.Cores[i].C, with)
	}
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

// join joins neighbouring rows of one time: each column keeps its last value that is no
// gap. It returns how many rows this removed.
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
