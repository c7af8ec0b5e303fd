// Package probefile reads probe readings from tables that other programs wrote: any
// columns, any usual separator, several formats of time. It reads line by line, so the
// table may still be growing. It leaves out what it cannot read, counts it, and reports
// the first places of each kind.
package probefile

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// MaxLine is the longest line accepted, in bytes (chosen: a row of hundreds of
// columns).
const MaxLine = 16 << 10

// Coldest and Hottest are the range of a probe in meat or above a grate, °C (chosen: a
// deep freezer, and a fire too hot to cook over). Probes without a reading give values
// outside it, such as −200, 999 or 6553.5.
const (
	Coldest = -50.0
	Hottest = 450.0
)

// ErrElapsed means that times are counted from a start that is not known.
var ErrElapsed = errors.New("times are counted from a start that is not known")

// ColumnsError means that it is not clear which column is which.
type ColumnsError struct{ journal.Problem }

// Unit is the temperature scale of a column.
type Unit uint8

// The scales.
const (
	Unsaid Unit = iota
	Celsius
	Fahrenheit
)

func (u Unit) String() string { return [...]string{"", "°C", "°F"}[u] }

// base converts a reading to °C.
func (u Unit) base(v float64) float64 {
	if u == Fahrenheit {
		return measure.Degrees(0, measure.US).Unit.Base(v)
	}
	return v
}

// Core is a column that the user named as the core of a piece.
type Core struct {
	Piece  string // "" for the only piece
	Column string // its name, or its number from 1; "" to guess
}

// Options are what is known about a table. Columns not named are guessed if only one
// can be meant.
type Options struct {
	Time, Pit string // names of columns, or their numbers from 1; Time may be two, joined by "+"
	Cores     []Core
	Unit      Unit           // scale of all columns; Unsaid to go by the headings
	Units     measure.System // scale if neither says
	Zone      *time.Location // zone of times without one
	From      time.Time      // start of times that are counted; zero if not known
	Pieces    []string       // names of the cook's pieces
	Live      bool           // a row without a time gets the time it arrives
	// Earliest and Latest are the limits of the cook. Rows outside are left out.
	Earliest, Latest time.Time
}

// MostAhead is how far a reading's time may be ahead of this machine's clock (chosen).
// Further ahead, the time is misread or one clock is wrong.
const MostAhead = 15 * time.Minute

// Kind is a reason for leaving out a row or a cell.
type Kind uint8

// The reasons. The first two need no action by the user.
const (
	Silent     Kind = iota // a cell that says that there was no reading
	Empty                  // a row without any reading
	OutOfRange             // a value outside Coldest to Hottest
	NotANumber
	NotATime
	WrongCells
	OtherDays
	Ahead
	TooLong
	kinds
)

// Words says what was left out and why: "3 cells", "out of range …".
func (k Kind) Words() (what, why string) {
	const cell, row = "cell", "row"
	switch k {
	case Silent:
		return cell, "without a reading (empty, ---, n/a)"
	case Empty:
		return row, "without any reading, left out"
	case OutOfRange:
		return cell, fmt.Sprintf("out of range (%.0f to %.0f °C), counted as no reading", Coldest, Hottest)
	case NotANumber:
		return cell, "not a temperature, left out"
	case NotATime:
		return row, "without a time that can be read, left out"
	case WrongCells:
		return row, "with too few or too many cells, left out"
	case OtherDays:
		return row, "not of the cook's days, left out"
	case Ahead:
		return row, fmt.Sprintf("more than %d min ahead of the clock, left out", int(MostAhead.Minutes()))
	}
	return row, "too long, left out"
}

// Harmless reports whether the user need not act.
func (k Kind) Harmless() bool { return k <= Empty }

// Left is what was left out for one reason.
type Left struct {
	Kind   Kind
	Count  int
	Places []journal.Problem // the first few places
}

// placesShown is the number of places shown of each kind (chosen).
const placesShown = 3

// Reader reads one table. It must be used by one goroutine only.
type Reader struct {
	name   string
	opt    Options
	line   int
	table  *table    // nil until the header was read
	last   time.Time // last time read that had no zone
	layout int       // index in layouts of that time's format
	read   int
	kept   int
	left   [kinds]Left
	rows   journal.Series
	values [][]float64 // for each of table's columns, values as many as rows.Times
}

// NewReader returns a reader. name is the table's name in problems.
func NewReader(name string, opt Options) *Reader {
	if opt.Zone == nil {
		opt.Zone = time.UTC
	}
	return &Reader{name: name, opt: opt}
}

// Restart expects a header again and goes on counting.
func (r *Reader) Restart() {
	r.flush()
	r.table, r.line, r.last = nil, 0, time.Time{}
}

// Counts returns how many rows were read, and how many of them were kept.
func (r *Reader) Counts() (read, kept int) { return r.read, r.kept }

// Left returns what was left out, by reason.
func (r *Reader) Left() []Left {
	var out []Left
	for k, l := range r.left {
		if l.Kind = Kind(k); l.Count > 0 {
			out = append(out, l)
		}
	}
	return out
}

// Warned reports whether something was left out on which the user should act.
func (r *Reader) Warned() bool {
	for k, l := range r.left {
		if l.Count > 0 && !Kind(k).Harmless() {
			return true
		}
	}
	return false
}

// Columns returns how the columns are read; nil before the header was read.
func (r *Reader) Columns() []Column {
	if r.table == nil {
		return nil
	}
	return r.table.said
}

// Take returns the rows read since the last call, in order.
func (r *Reader) Take() journal.Series {
	r.flush()
	out := r.rows
	r.rows = journal.Series{}
	return out
}

// Line reads one line without its line end. now is when it arrived. An error means that
// the table cannot be used.
func (r *Reader) Line(text []byte, now time.Time) error {
	r.line++
	if r.line == 1 {
		if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
			return r.fail("text in UTF-16; expected UTF-8: save it again as CSV UTF-8")
		}
		text = bytes.TrimPrefix(text, []byte("\ufeff"))
	}
	text = bytes.TrimRight(text, "\r\n")
	if len(bytes.TrimSpace(text)) == 0 {
		return nil
	}
	if r.table == nil {
		if len(text) > MaxLine || !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
			return r.fail("not a table of readings; expected a line of names such as time,pit_c,core_c")
		}
		t, err := newTable(string(text), r.opt)
		if err != nil {
			return ColumnsError{journal.Problem{File: r.name, Line: r.line, Text: err.Error()}}
		}
		r.table, r.values = t, make([][]float64, len(t.columns))
		if t.named {
			return nil
		}
	}
	r.read++
	if len(text) > MaxLine {
		r.leave(TooLong, 0, "line of over %d bytes", MaxLine)
		return nil
	}
	return r.row(text, now)
}

func (r *Reader) fail(format string, args ...any) error {
	return journal.Problem{File: r.name, Line: r.line, Text: fmt.Sprintf(format, args...)}
}

func (r *Reader) leave(k Kind, col int, format string, args ...any) {
	l := &r.left[k]
	if l.Count++; len(l.Places) < placesShown {
		l.Places = append(l.Places, journal.Problem{File: r.name, Line: r.line, Col: col, Warning: true, Text: fmt.Sprintf(format, args...)})
	}
}

// cut shortens a cell for a message.
func cut(cell []byte) []byte {
	const most = 40
	if len(cell) > most {
		return append(append([]byte{}, cell[:most]...), "…"...)
	}
	return cell
}

func (r *Reader) row(text []byte, now time.Time) error {
	t := r.table
	cells := t.split(text)
	if len(cells) != t.cells {
		r.leave(WrongCells, 0, "row has %d cells; expected %d", len(cells), t.cells)
		return nil
	}
	at := now.In(r.opt.Zone)
	if len(t.clock) > 0 {
		var err error
		cell := cells[t.clock[0]]
		whole := cell.text
		for _, i := range t.clock[1:] {
			whole = append(append(append([]byte{}, whole...), ' '), cells[i].text...)
		}
		if at, err = r.when(whole); errors.Is(err, ErrElapsed) {
			return fmt.Errorf("%w: %w", r.fail("time %q", cut(whole)), err)
		}
		if err != nil {
			r.leave(NotATime, cell.col(text), "time %q: %v", cut(whole), err)
			return nil
		}
	}
	if !r.opt.Earliest.IsZero() && at.Before(r.opt.Earliest) || !r.opt.Latest.IsZero() && at.After(r.opt.Latest) {
		r.leave(OtherDays, 0, "time %s; expected from %s to %s", at.Format(time.DateTime), r.opt.Earliest.Format(measure.Stamp), r.opt.Latest.Format(measure.Stamp))
		return nil
	}
	if at.After(now.Add(MostAhead)) {
		r.leave(Ahead, 0, "time %s; the clock says %s", at.Format(time.DateTime), now.In(r.opt.Zone).Format(time.DateTime))
		return nil
	}
	got := make([]float64, len(t.columns))
	any := false
	for i, c := range t.columns {
		got[i] = r.value(text, cells[c.at], c)
		any = any || !math.IsNaN(got[i])
	}
	if !any {
		r.leave(Empty, 0, "row without a reading")
		return nil
	}
	r.kept++
	r.rows.Times = append(r.rows.Times, at)
	for i, v := range got {
		r.values[i] = append(r.values[i], v)
	}
	return nil
}

// value parses a cell as °C; NaN for no reading.
func (r *Reader) value(row []byte, c cell, col column) float64 {
	if silent(c.text) {
		r.leave(Silent, c.col(row), "%s: no reading", col.name)
		return math.NaN()
	}
	v, unit, ok := number(c.text, r.table.comma)
	if !ok {
		r.leave(NotANumber, c.col(row), "%s %q: expected a temperature", col.name, cut(c.text))
		return math.NaN()
	}
	if unit == Unsaid {
		unit = col.unit
	}
	base := unit.base(v)
	if !InRange(base) || code(v) {
		r.leave(OutOfRange, c.col(row), "%s %q: no probe reads that", col.name, cut(c.text))
		return math.NaN()
	}
	return base
}

// InRange reports whether c, in °C, is in the range of a probe.
func InRange(c float64) bool { return c >= Coldest && c <= Hottest }

// flush moves the values read to the rows.
func (r *Reader) flush() {
	if r.table == nil {
		return
	}
	for i, c := range r.table.columns {
		if c.pit {
			r.rows.Pit = r.values[i]
		} else {
			r.rows.Cores = append(r.rows.Cores, journal.CoreSeries{Piece: c.piece, C: r.values[i]})
		}
		r.values[i] = nil
	}
	if len(r.rows.Times) == 0 {
		r.rows = journal.Series{}
	}
}
