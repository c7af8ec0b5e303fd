package merge

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal"
)

// Series merges two versions of a file of probe readings: rows by their moment,
// columns by their name, cells three-way. Of two values for one cell both rows
// stay, that of the later version below, which is the one that is read. A file
// that is no such table is merged by its lines.
func Series(base []byte, a, b Version) ([]byte, []Told) {
	m := inOrder(a, b)
	if same := m.trivial(base); same != nil {
		return same, nil
	}
	was, okWas := readTable(base)
	one, okOne := readTable(m.first.Text)
	two, okTwo := readTable(m.second.Text)
	if okWas && okOne && okTwo {
		return m.tables(was, one, two), m.told
	}
	return m.plain(base), m.told
}

// table is the rows of a CSV file by their moment.
type table struct {
	columns []string
	times   []time.Time
	rows    map[time.Time]row
	cut     string // a last line without its end: still being written
}

// row is the cells of a row by their column, and the line it was read from.
type row struct {
	cells map[string]string
	text  string
}

// readTable reads a table; ok is false where the first
// column is not the time, a row has none, is not in order,
// or has more cells than there are columns. No text at all is a table without
// columns.
func readTable(data []byte) (t table, ok bool) {
	t.rows = map[time.Time]row{}
	last := time.Time{}
	for l := range strings.Lines(string(data)) {
		text := strings.TrimRight(l, "\r\n")
		if t.columns == nil {
			t.columns = strings.Split(text, ",")
			continue
		}
		if text == l {
			t.cut = l
			break
		}
		cells := strings.Split(text, ",")
		at, err := journal.ParseTime(cells[0])
		if err != nil || !at.UTC().After(last) || len(cells) > len(t.columns) || strings.Contains(text, `"`) {
			return t, false
		}
		last = at.UTC()
		r := row{cells: map[string]string{}, text: text}
		for i, c := range cells {
			r.cells[t.columns[i]] = strings.TrimSpace(c)
		}
		t.times = append(t.times, last)
		t.rows[last] = r
	}
	return t, len(data) == 0 || len(t.columns) > 0 && t.columns[0] == "time"
}

func (m *merger) tables(was, one, two table) []byte {
	columns := slices.Clone(one.columns)
	for _, c := range two.columns {
		if !slices.Contains(columns, c) {
			columns = append(columns, c)
		}
	}
	times := slices.Concat(one.times, two.times)
	slices.SortFunc(times, time.Time.Compare)
	times = slices.CompactFunc(times, time.Time.Equal)
	var out strings.Builder
	put := func(text string) { out.WriteString(text + "\n") }
	put(strings.Join(columns, ","))
	for _, at := range times {
		for _, r := range m.row(at, columns, was, one, two) {
			cells := make([]string, len(columns))
			for i, c := range columns {
				cells[i] = r.cells[c]
			}
			if r.text == "" || len(columns) > len(one.columns) {
				r.text = strings.Join(cells, ",")
			}
			put(r.text)
		}
	}
	cut := one.cut
	if two.cut > cut {
		cut = two.cut
	}
	out.WriteString(cut)
	return []byte(out.String())
}

// row merges the rows of one moment: none, one, or two where a cell has two
// values. columns are those of both versions, each once.
func (m *merger) row(at time.Time, columns []string, was, one, two table) []row {
	b, inBase := was.rows[at]
	x, inOne := one.rows[at]
	y, inTwo := two.rows[at]
	switch {
	case !inTwo && inBase && sameCells(b, x), !inOne && inBase && sameCells(b, y):
		return nil // taken out by one, left as it was by the other
	case !inTwo:
		return []row{x}
	case !inOne:
		return []row{y}
	case sameCells(x, y):
		return []row{x}
	}
	first, second := row{cells: map[string]string{}}, row{cells: map[string]string{}}
	before := len(m.told)
	for _, c := range columns {
		u, v := x.cells[c], y.cells[c]
		switch {
		case c == one.columns[0]:
			v = u // the same moment, however it is written
		case u == v || v == b.cells[c]:
			v = u
		case u == b.cells[c]:
			u = v
		default:
			m.tell(Told{Key: []string{journal.FormatTime(at), c}, Stands: v, Other: u, By: m.first.By, At: m.first.At})
		}
		first.cells[c], second.cells[c] = u, v
	}
	told := m.told[before:]
	if len(told) == 0 {
		return []row{first}
	}
	if m.first.At.After(m.second.At) {
		for i := range told {
			t := &told[i]
			t.Stands, t.Other, t.By, t.At = t.Other, t.Stands, m.second.By, m.second.At
		}
		return []row{second, first}
	}
	return []row{first, second}
}

func sameCells(a, b row) bool {
	for _, r := range []row{a, b} {
		for c := range r.cells {
			if a.cells[c] != b.cells[c] {
				return false
			}
		}
	}
	return true
}
