package series

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"ashbook/journal/measure"
)

// fahrenheit is the unit of columns that end in _f.
var fahrenheit = measure.Degrees(0, measure.US).Unit

// layout is the meaning of a file's columns.
type layout struct {
	clock   int       // index of the time column
	columns []*column // nil for the time and for unknown columns
}

// column is one column of the file.
type column struct {
	inF    bool
	pit    bool
	piece  string
	values []float64
}

// parseLayout parses a header. unknown has the names of unknown columns, quoted.
func parseLayout(text string) (l layout, unknown []string, err error) {
	if !strings.Contains(text, ",") {
		for _, sep := range []string{";", "\t", "|"} {
			if strings.Contains(text, sep) {
				return l, nil, fmt.Errorf("header %q: expected commas between the columns, found %q", text, sep)
			}
		}
	}
	seen := map[string]bool{}
	l.clock = -1
	for rest, more := []byte(text), true; more; {
		var cell []byte
		cell, rest, more = cutCell(rest)
		name := string(cell)
		c := parseColumn(name)
		switch {
		case strings.EqualFold(name, "time") && l.clock < 0:
			l.clock = len(l.columns)
		case c == nil:
			unknown = append(unknown, strconv.Quote(name))
		case seen[c.key()]:
			return layout{}, nil, fmt.Errorf("column %q: %s is there twice", name, c.key())
		default:
			seen[c.key()] = true
		}
		l.columns = append(l.columns, c)
	}
	switch {
	case l.clock < 0:
		return layout{}, nil, fmt.Errorf("header %q: expected a column time", text)
	case len(seen) == 0:
		return layout{}, nil, fmt.Errorf("header %q: expected a column pit_c, core_c or core_NAME_c, or the same with _f", text)
	}
	return l, unknown, nil
}

// Column is the meaning of a column's name.
type Column struct {
	Fahrenheit bool
	Pit        bool
	Piece      string // piece of a core; "" for the only piece
}

// ParseColumn parses the name of a column such as pit_c, core_f or core_large_c.
func ParseColumn(name string) (Column, bool) {
	c := parseColumn(name)
	if c == nil {
		return Column{}, false
	}
	return Column{c.inF, c.pit, c.piece}, true
}

// parseColumn parses the name of a column; it returns nil for an unknown one.
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

// key returns a text that is equal for two columns of the same thing in different
// scales.
func (c *column) key() string {
	switch {
	case c.pit:
		return "pit"
	case c.piece == "":
		return "core"
	}
	return "core " + strings.ToLower(c.piece)
}

// celsius parses a cell. v is NaN for an empty cell; ok is false for text that is no
// number.
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

// cutCell splits off the first cell, without its spaces and quotes. more is false for
// the last cell.
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
