package probefile

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"
)

// cell is one cell of a row.
type cell struct {
	text []byte // without surrounding spaces and quotes
	from int    // byte offset in the row
}

// col returns the cell's column in its row, in runes from 1.
func (c cell) col(row []byte) int { return 1 + utf8.RuneCount(row[:c.from]) }

// split splits a row into its cells. A quoted cell may contain the separator.
func (t *table) split(row []byte) []cell {
	var out []cell
	at := 0
	for {
		c, end := t.cell(row, at)
		out = append(out, c)
		if end >= len(row) {
			return out
		}
		at = end + 1
	}
}

// cell reads the cell at offset from and returns the offset of its end.
func (t *table) cell(row []byte, from int) (c cell, end int) {
	for from < len(row) && row[from] == ' ' {
		from++
	}
	c.from = from
	if from < len(row) && row[from] == '"' {
		for i := from + 1; i < len(row); i++ {
			if row[i] != '"' {
				continue
			}
			if i+1 < len(row) && row[i+1] == '"' {
				i++
				continue
			}
			c.text = bytes.TrimSpace(bytes.ReplaceAll(row[from+1:i], []byte(`""`), []byte(`"`)))
			if at := bytes.IndexByte(row[i:], t.sep); at >= 0 {
				return c, i + at
			}
			return c, len(row)
		}
	}
	end = len(row)
	if at := bytes.IndexByte(row[from:], t.sep); at >= 0 {
		end = from + at
	}
	c.text = bytes.TrimSpace(row[from:end])
	return c, end
}

// nothing are ways to write that there was no reading. Common practice, no source.
var nothing = map[string]bool{
	"n/a": true, "na": true, "nan": true, "null": true, "none": true, "nil": true, "inf": true, "err": true, "error": true,
	"open": true, "off": true, "unplugged": true, "disconnected": true, "?": true, ".": true,
}

func silent(text []byte) bool {
	return len(bytes.Trim(text, "-–—_ ")) == 0 || nothing[strings.ToLower(string(text))]
}

// code reports whether a value is a code for "no probe", although it could be a reading
// in the other scale. Common practice, no source.
func code(v float64) bool {
	switch v {
	case 999, 999.9, -999, -127, 850:
		return true
	}
	return false
}

// number parses a number with or without a unit. If comma is set, a comma is a decimal
// point.
func number(text []byte, comma bool) (v float64, unit Unit, ok bool) {
	s := string(text)
	for _, u := range []struct {
		end  string
		unit Unit
	}{{"C", Celsius}, {"c", Celsius}, {"F", Fahrenheit}, {"f", Fahrenheit}} {
		if body, found := strings.CutSuffix(s, u.end); found {
			s, unit = strings.TrimRight(strings.TrimSpace(body), "°º "), u.unit
			break
		}
	}
	s = strings.TrimRight(s, "°º ")
	s = strings.Replace(s, "−", "-", 1)
	if comma && strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	if s == "" || strings.Trim(s, "0123456789.+-eE") != "" {
		return 0, Unsaid, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, unit, err == nil
}
