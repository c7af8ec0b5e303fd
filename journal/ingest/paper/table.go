package paper

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

// row is one record of the table.
type row struct {
	line  int
	cells []string
}

func readTable(text string, sep rune, opt Options) (Sheet, error) {
	rows, err := records(text, sep)
	if err != nil {
		return Sheet{}, err
	}
	return readRows(rows, opt)
}

func readRows(rows []row, opt Options) (Sheet, error) {
	var s Sheet
	for len(rows) > 0 && filled(rows[0]) < 2 {
		s.Asks = append(s.Asks, fmt.Sprintf("line %d is left out: %q", rows[0].line, oneLine(strings.Join(rows[0].cells, " "))))
		rows = rows[1:]
	}
	if len(rows) == 0 {
		return Sheet{}, &Error{1, 1, "no row with two cells or more"}
	}
	rows = upright(rows)
	width := 0
	for _, r := range rows {
		width = max(width, len(r.cells))
	}
	named := isHead(rows[0])
	if named {
		rows = oneWeight(oneDay(rows))
	} else if head, ok := namedInCells(rows); ok {
		rows, named = append([]row{head}, rows...), true
	}
	s.Columns = make([]Column, width)
	for i := range s.Columns {
		s.Columns[i].Name = "column " + strconv.Itoa(i+1)
		if named && i < len(rows[0].cells) && rows[0].cells[i] != "" {
			s.Columns[i].Name = rows[0].cells[i]
		}
	}
	if named {
		rows = rows[1:]
	}
	if err := s.assign(rows, named, opt); err != nil {
		return Sheet{}, err
	}
	opt.monthFirst = s.dayOrder(rows, opt)
	for _, r := range rows {
		if filled(r) > 0 {
			s.Cooks = append(s.Cooks, s.cook(r, opt))
		}
	}
	return s, nil
}

// records splits the table into rows. A quote inside a cell is kept as it is.
func records(text string, sep rune) ([]row, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = sep, -1, true, sep != '\t'
	var rows []row
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			var bad *csv.ParseError
			if errors.As(err, &bad) {
				return nil, &Error{bad.Line, bad.Column, bad.Err.Error()}
			}
			return nil, err
		}
		line, _ := r.FieldPos(0)
		for i := range cells {
			cells[i] = oneLine(cells[i])
		}
		if sep == '|' && len(cells) > 2 && cells[0] == "" && cells[len(cells)-1] == "" {
			cells = cells[1 : len(cells)-1]
		}
		if strings.Trim(strings.Join(cells, ""), "-: ") == "" {
			continue
		}
		rows = append(rows, row{line, cells})
	}
}

func filled(r row) int {
	n := 0
	for _, c := range r.cells {
		if c != "" {
			n++
		}
	}
	return n
}

var startsWithDigit = pattern.New(`^[~≈$€£]?\d`)

// isHead reports whether a row is the row of headings: almost no cell begins with a
// digit.
func isHead(r row) bool {
	figures, known := 0, 0
	for _, c := range r.cells {
		if startsWithDigit.MatchString(c) {
			figures++
		}
		if name, _ := headUnit(c); c != "" && byHead(name) != nil {
			known++
		}
	}
	return known >= 2 || figures == 0 || figures*4 < filled(r) && known > 0
}

// assign decides which field each column is: by opt.Columns, by its heading, or by its
// cells.
func (s *Sheet) assign(rows []row, named bool, opt Options) error {
	taken := map[string]bool{}
	for as, name := range opt.Columns {
		i := slices.IndexFunc(s.Columns, func(c Column) bool { return strings.EqualFold(c.Name, name) })
		if n, err := strconv.Atoi(name); i < 0 && err == nil && n >= 1 && n <= len(s.Columns) {
			i = n - 1
		}
		if i < 0 {
			return &Error{1, 1, fmt.Sprintf("no column %q; there are %s", name, s.names())}
		}
		if as != wordsField && byHead(as) == nil {
			return &Error{1, 1, fmt.Sprintf("%q is no field; expected one of %s", as, strings.Join(Fields(), ", "))}
		}
		if as != wordsField {
			as = byHead(as).name
		}
		s.Columns[i].As, taken[as] = as, true
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		name, unit := headUnit(c.Name)
		c.Unit = unit
		f := byHead(name)
		if f != nil {
			f = suited(f, rows, i, opt)
		}
		if named && c.As == "" && f != nil && !taken[f.name] {
			c.As, taken[f.name] = f.name, true
		}
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		if c.As != "" || named && byHead(first(headUnit(c.Name))) != nil {
			continue
		}
		for _, f := range fields {
			if f.fits == nil || taken[f.name] {
				continue
			}
			if mostFit(f.fits, rows, i, opt) {
				if named && (f.name == "on" || f.name == "off") && s.rivals(i, rows, opt) {
					break // several columns of times with unknown names
				}
				c.As, c.Guessed, taken[f.name] = f.name, true, true
				break
			}
		}
	}
	for i := range s.Columns {
		if s.Columns[i].As == wordsField {
			s.Columns[i].As = ""
		}
	}
	return nil
}

// mostFit reports whether four in five of the column's cells look like a field.
func mostFit(fits func(string, *draft) bool, rows []row, column int, opt Options) bool {
	fit, full := 0, 0
	for _, r := range rows {
		if column < len(r.cells) && r.cells[column] != "" {
			full++
			if fits(r.cells[column], newDraft(0, opt)) {
				fit++
			}
		}
	}
	return full > 0 && fit*5 >= full*4
}

// rivals reports whether another column with an unknown name has times of day too.
func (s *Sheet) rivals(column int, rows []row, opt Options) bool {
	for i := range s.Columns {
		if i != column && s.Columns[i].As == "" && byHead(first(headUnit(s.Columns[i].Name))) == nil && mostFit(isClock, rows, i, opt) {
			return true
		}
	}
	return false
}

// suited returns the field that a heading and its cells name together: "done at" over
// temperatures is the core, and "no" over numbers that count the rows names nothing.
func suited(f *field, rows []row, column int, opt Options) *field {
	switch f.name {
	case "off":
		if mostFit(func(s string, d *draft) bool { return !isClock(s, d) && takeCore(s, d) && d.core.Base >= leastEnd }, rows, column, opt) {
			return byHead("core")
		}
	case "pieces":
		last, counts := 0, len(rows) > 1
		for i, r := range rows {
			n := 0
			if column < len(r.cells) {
				n, _ = strconv.Atoi(r.cells[column])
			}
			counts = counts && (i == 0 || n == last+1)
			last = n
		}
		if counts {
			return nil
		}
	}
	return f
}

func first(name, _ string) string { return name }

func (s *Sheet) names() string {
	var all []string
	for _, c := range s.Columns {
		all = append(all, strconv.Quote(c.Name))
	}
	return strings.Join(all, ", ")
}

var slashDate = pattern.New(`(?:^|[^-/\d])((\d{1,2})[-/](\d{1,2})(?:[-/]\d{2,4})?)\b`)

// dayOrder reports whether the month comes first in dates such as 4/7/2023. It goes by
// opt.DayOrder, then by a date with a number over 12. If neither decides, it goes by
// the journal's units and adds a question.
func (s *Sheet) dayOrder(rows []row, opt Options) bool {
	if opt.DayOrder != "" {
		return opt.DayOrder == "mdy"
	}
	either := ""
	for _, r := range rows {
		for i, c := range r.cells {
			if s.Columns[i].As != "date" && s.Columns[i].As != "on" && s.Columns[i].As != "off" {
				continue
			}
			m := slashDate.FindStringSubmatch(c)
			if m == nil {
				continue
			}
			a, _ := strconv.Atoi(m[2])
			b, _ := strconv.Atoi(m[3])
			switch {
			case a > 12 && a <= 31:
				return false
			case b > 12 && b <= 31:
				return true
			case a != b && a > 0 && b > 0:
				either = m[1]
			}
		}
	}
	if either != "" {
		s.Asks = append(s.Asks, readEitherWay(either, opt.Units == measure.US))
	}
	return opt.Units == measure.US
}

// readEitherWay returns the question about a date whose day and month may be swapped.
func readEitherWay(date string, monthFirst bool) string {
	first, other := "day", "mdy"
	if monthFirst {
		first, other = "month", "dmy"
	}
	return fmt.Sprintf("%s is read with the %s first; --dates %s swaps day and month", date, first, other)
}
