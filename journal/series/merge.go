package series

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
)

// Merged counts what became of the merged rows.
type Merged struct {
	Added   int // rows at a time that had none
	Changed int // rows that filled a gap or replaced a value
	Same    int // rows that were there already
}

// Merge merges the rows of s into a file, which may be empty, by time. Lines of the
// file stay as written, even those that cannot be read, with three exceptions: lines
// out of order are sorted, lines of the same time become one, and every line gets a
// cell for a new column. A value of s replaces another value of its time; a gap in s
// deletes nothing. Merging the same rows again changes nothing. If the file has a merge
// conflict, the rows are appended and nothing moves. It fails if the file's header
// cannot be read.
func Merge(path string, old []byte, s journal.Series) ([]byte, Merged, error) {
	if found := conflicts(old); len(found) > 0 {
		return beside(path, old, s, found)
	}
	f, err := parseFile(path, old, s)
	if err != nil {
		return nil, Merged{}, err
	}
	var done Merged
	out := make([]byte, 0, len(old)+40*len(s.Times))
	out = append(append(out, f.head...), f.end...)
	at := 0
	for i := 0; i < len(f.lines); i++ {
		l := f.lines[i]
		for ; at < len(s.Times) && l.ok && s.Times[at].Before(l.time); at++ {
			out = append(f.row(out, s.Times[at], at), f.end...)
			done.Added++
		}
		for l.ok && i+1 < len(f.lines) && f.lines[i+1].ok && f.lines[i+1].time.Equal(l.time) {
			i++
			l.raw = overlay(l.raw, f.lines[i].raw)
		}
		if l.ok && at < len(s.Times) && s.Times[at].Equal(l.time) {
			now := f.put(l.raw, at)
			if bytes.Equal(now, l.raw) {
				done.Same++
			} else {
				done.Changed++
			}
			l.raw = now
			at++
		}
		out = append(append(out, l.raw...), f.end...)
	}
	for ; at < len(s.Times); at++ {
		out = append(f.row(out, s.Times[at], at), f.end...)
		done.Added++
	}
	if len(out) > MaxBytes {
		return nil, Merged{}, journal.Problem{File: path, Text: fmt.Sprintf("file would have %d bytes; expected at most %d", len(out), MaxBytes)}
	}
	return out, done, nil
}

// Rows is s as lines to be put at the end of a file with that header; ok is false when
// the header lacks a column.
func Rows(header string, s journal.Series) (rows []byte, ok bool) {
	f, missing, err := shape(header, s)
	if err != nil || len(missing) > 0 {
		return nil, false
	}
	for i, t := range s.Times {
		rows = append(f.row(rows, t, i), '\n')
	}
	return rows, true
}

// Header returns the header of a file, and the time of its last row; zero if none.
func Header(data []byte) (header string, last time.Time) {
	text := bytes.TrimLeft(bytes.TrimPrefix(data, []byte(mark)), "\r\n\t ")
	head, _, _ := bytes.Cut(text, []byte("\n"))
	header = string(bytes.TrimSpace(head))
	l, _, err := parseLayout(header)
	if err != nil {
		return header, last
	}
	var z zones
	for line := range bytes.Lines(whole(text)) {
		if t, ok := l.timeOf(bytes.TrimSpace(line), &z); ok && t.After(last) {
			last = t
		}
	}
	return header, last
}

// file is a file into which rows are merged.
type file struct {
	layout
	from  [][]float64 // of each column the values to be merged, or nil
	head  []byte      // up to the end of the header's line
	end   string      // of lines
	lines []fileLine
}

type fileLine struct {
	raw  []byte
	time time.Time
	ok   bool // can be read; else it stays behind the line before
}

// shape reads a header and finds the columns of s in it. missing are the names of
// those it lacks.
func shape(header string, s journal.Series) (f file, missing []string, err error) {
	if f.layout, _, err = parseLayout(header); err != nil {
		return file{}, nil, err
	}
	f.from = make([][]float64, len(f.columns))
	find := func(key, name string, values []float64) {
		at := slices.IndexFunc(f.columns, func(c *column) bool { return c != nil && c.key() == key })
		if at < 0 {
			missing = append(missing, name)
			return
		}
		f.from[at] = values
	}
	if s.Pit != nil {
		find("pit", "pit_c", s.Pit)
	}
	for _, c := range s.Cores {
		find((&column{piece: c.Piece}).key(), coreName(c.Piece), c.C)
	}
	return f, missing, nil
}

// headerOf is the header of a file for s.
func headerOf(s journal.Series) string {
	names := []string{"time"}
	if s.Pit != nil {
		names = append(names, "pit_c")
	}
	for _, c := range s.Cores {
		names = append(names, coreName(c.Piece))
	}
	return strings.Join(names, ",")
}

// coreName is the name of a core's column, quoted where it must be.
func coreName(piece string) string {
	name := "core_c"
	if piece != "" {
		name = "core_" + piece + "_c"
	}
	if strings.ContainsAny(name, `,"`) {
		name = `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
	}
	return name
}

func parseFile(path string, old []byte, s journal.Series) (file, error) {
	if at := invalidUTF8(old); at >= 0 {
		return file{}, journal.Problem{File: path, Line: 1 + bytes.Count(old[:at], []byte("\n")), Text: fmt.Sprintf("byte %d is not valid UTF-8", at)}
	}
	start := len(old) - len(bytes.TrimLeft(bytes.TrimPrefix(old, []byte(mark)), "\r\n\t "))
	head, body, _ := bytes.Cut(old[start:], []byte("\n"))
	end := "\n"
	if bytes.HasSuffix(head, []byte("\r")) {
		end = "\r\n"
	}
	names := string(bytes.TrimSpace(head))
	if names == "" {
		names = headerOf(s)
	}
	f, missing, err := shape(names, s)
	if err == nil && len(missing) > 0 {
		names = strings.Join(append([]string{names}, missing...), ",")
		f, _, err = shape(names, s)
	}
	if err != nil {
		return file{}, journal.Problem{File: path, Line: 1, Text: err.Error()}
	}
	f.head, f.end = append(slices.Clone(old[:start]), names...), end
	f.read(body, len(f.columns)-len(missing))
	return f, nil
}

// read takes the lines of the file, which have n cells, and puts them in order.
func (f *file) read(body []byte, n int) {
	var z zones
	old := layout{f.clock, f.columns[:n]}
	var last time.Time
	sorted := true
	for line := range bytes.Lines(body) {
		ended := bytes.HasSuffix(line, []byte("\n"))
		raw := bytes.TrimSpace(line)
		if len(raw) == 0 || !ended && !old.readable(raw, &z) {
			continue
		}
		l := fileLine{raw: raw, time: last}
		if t, ok := old.timeOf(raw, &z); ok {
			l.time, l.ok = t, true
			sorted = sorted && !t.Before(last)
			if pad := len(f.columns) - n; pad > 0 {
				l.raw = append(slices.Clone(raw), strings.Repeat(",", pad)...)
			}
		}
		last = l.time
		f.lines = append(f.lines, l)
	}
	if !sorted {
		slices.SortStableFunc(f.lines, func(a, b fileLine) int { return a.time.Compare(b.time) })
	}
}

// timeOf reads the time of a row with the right number of cells.
func (l layout) timeOf(row []byte, z *zones) (time.Time, bool) {
	if countCells(row) != len(l.columns) {
		return time.Time{}, false
	}
	for range l.clock {
		_, row, _ = cutCell(row)
	}
	cell, _, _ := cutCell(row)
	return z.parse(cell)
}

// readable reports whether every cell of a row that is ours can be read.
func (l layout) readable(row []byte, z *zones) bool {
	if _, ok := l.timeOf(row, z); !ok {
		return false
	}
	for _, c := range l.columns {
		var cell []byte
		cell, row, _ = cutCell(row)
		if c != nil {
			if _, ok := c.celsius(cell); !ok {
				return false
			}
		}
	}
	return true
}

// row writes row i of s.
func (f *file) row(out []byte, t time.Time, i int) []byte {
	for k, c := range f.columns {
		if k > 0 {
			out = append(out, ',')
		}
		switch from := f.from[k]; {
		case k == f.clock:
			out = t.AppendFormat(out, time.RFC3339Nano)
		case c != nil && i < len(from) && !math.IsNaN(from[i]):
			out = c.write(out, from[i])
		}
	}
	return out
}

// write prints a temperature in °C in the column's scale, to a hundredth: ten times
// finer than probes read (chosen).
func (c *column) write(out []byte, v float64) []byte {
	if c.inF {
		v = fahrenheit.From(v)
	}
	return strconv.AppendFloat(out, math.Round(v*100)/100, 'f', -1, 64)
}

// put sets the values of row i of s in a line of the file.
func (f *file) put(raw []byte, i int) []byte {
	cells := rawCells(raw)
	changed := false
	for k, c := range f.columns {
		from := f.from[k]
		if c == nil || i >= len(from) || math.IsNaN(from[i]) {
			continue
		}
		cell, _, _ := cutCell(cells[k])
		text := c.write(nil, from[i])
		now, _ := c.celsius(text)
		if was, ok := c.celsius(cell); !ok || was != now {
			cells[k], changed = text, true
		}
	}
	if !changed {
		return raw
	}
	return bytes.Join(cells, []byte(","))
}

// overlay is a line with the cells of a later one that are not empty.
func overlay(raw, later []byte) []byte {
	cells := rawCells(raw)
	for k, c := range rawCells(later) {
		if len(bytes.TrimSpace(c)) > 0 {
			cells[k] = c
		}
	}
	return bytes.Join(cells, []byte(","))
}

// rawCells are the cells of a line as they are written.
func rawCells(row []byte) (cells [][]byte) {
	for more := true; more; {
		before := row
		_, row, more = cutCell(row)
		cell := before[:len(before)-len(row)]
		if more {
			cell = cell[:len(cell)-1]
		}
		cells = append(cells, cell)
	}
	return cells
}
