package merge

import (
	"maps"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
)

// Series merges two versions of a file of probe readings: rows by time, columns by
// name, and each cell by comparing both versions with the base. If a cell gets two
// values, its row is written twice, with the value of the later version last; readers
// of the file use the last one. A file that is not such a table is merged by lines.
func Series(base []byte, a, b Version) ([]byte, []Conflict) {
	m := inOrder(a, b)
	if same := m.trivial(base); same != nil {
		return same, nil
	}
	was, okWas := readTable(base)
	one, okOne := readTable(m.first.Text)
	two, okTwo := readTable(m.second.Text)
	if okWas && okOne && okTwo {
		return m.tables(was, one, two), m.conflicts
	}
	return m.plain(base), m.conflicts
}

// table is a CSV file, indexed by time.
type table struct {
	columns []string
	times   []time.Time
	at      map[time.Time]moment
	cut     string // a last line without a line end, which is still being written
}

// moment holds the rows of one time: for each column its distinct values, of which the
// last one counts. The zero moment has no rows.
type moment struct {
	time   string
	values map[string][]string
	rows   []string // as written
}

// readTable reads a table. ok is false if the first column is not the time, a row has
// no time or is out of order, or a row has more cells than there are columns. An empty
// text is a table without columns.
func readTable(data []byte) (t table, ok bool) {
	t.at = map[time.Time]moment{}
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
		if at = at.UTC(); err != nil || at.Before(last) || len(cells) > len(t.columns) || strings.Contains(text, `"`) {
			return t, false
		}
		m, again := t.at[at]
		if !again {
			m = moment{time: cells[0], values: map[string][]string{}}
			t.times = append(t.times, at)
		}
		for i, c := range cells[1:] {
			if c = strings.TrimSpace(c); c != "" { // an empty cell does not delete a value
				m.values[t.columns[1+i]] = below(m.values[t.columns[1+i]], c)
			}
		}
		m.rows = append(m.rows, text)
		last, t.at[at] = at, m
	}
	return t, len(data) == 0 || len(t.columns) > 0 && t.columns[0] == "time"
}

// below appends more to values. If a value is there twice, only the last one stays.
func below(values []string, more ...string) []string {
	kept := slices.DeleteFunc(slices.Clone(values), func(v string) bool { return slices.Contains(more, v) })
	return append(kept, more...)
}

// lines returns the rows of a moment as lines with the given columns.
func (m moment) lines(columns []string) []string {
	if m.values == nil {
		return nil
	}
	n := 1
	for _, values := range m.values {
		n = max(n, len(values))
	}
	out := make([]string, n)
	for i := range out {
		cells := make([]string, len(columns))
		cells[0] = m.time
		for k, c := range columns[1:] {
			if values := m.values[c]; len(values) > 0 {
				cells[1+k] = values[max(0, len(values)-n+i)]
			}
		}
		out[i] = strings.Join(cells, ",")
	}
	return out
}

func (m *merger) tables(was, one, two table) []byte {
	columns := joinedColumns(was.columns, one.columns, two.columns)
	times := slices.Concat(one.times, two.times)
	slices.SortFunc(times, time.Time.Compare)
	times = slices.CompactFunc(times, time.Time.Equal)
	out := []string{strings.Join(columns, ",")}
	for _, at := range times {
		merged := m.moment(columns, was.at[at], one.at[at], two.at[at])
		rows := merged.lines(columns)
		for _, t := range []table{one, two} { // the row as its own version wrote it
			if given := t.at[at]; slices.Equal(t.columns, columns) && given.same(merged) {
				rows = given.rows
				break
			}
		}
		out = append(out, rows...)
	}
	return []byte(strings.Join(out, "\n") + "\n" + max(one.cut, two.cut))
}

// joinedColumns returns the columns of two versions, each once. It sorts the new
// columns as bytes, so that the order of the versions does not matter.
func joinedColumns(was, one, two []string) []string {
	fresh := func(columns, other []string) (all []string) {
		for _, c := range columns {
			if !slices.Contains(other, c) {
				all = append(all, c)
			}
		}
		return all
	}
	switch {
	case len(fresh(one, two)) == 0:
		return two
	case len(fresh(two, one)) == 0:
		return one
	}
	old := slices.DeleteFunc(slices.Clone(one), func(c string) bool { return !slices.Contains(was, c) })
	all := slices.Concat(fresh(one, was), fresh(two, slices.Concat(was, one)))
	slices.Sort(all)
	return append(append(old, fresh(fresh(two, all), old)...), all...)
}

// moment merges the rows of one time. columns are the columns of both versions.
func (m *merger) moment(columns []string, b, x, y moment) moment {
	switch {
	case x.same(y), b.same(y):
		return x
	case b.same(x):
		return y
	case x.values == nil: // one version removed it and the other changed it, so it stays
		return y
	case y.values == nil:
		return x
	}
	merged := moment{time: x.time, values: map[string][]string{}}
	for _, c := range columns[1:] {
		if values := m.cell([]string{x.time, c}, b.values[c], x.values[c], y.values[c]); len(values) > 0 {
			merged.values[c] = values
		}
	}
	return merged
}

// cell merges the values of one cell. key is its time and its column.
func (m *merger) cell(key, b, x, y []string) []string {
	holds := func(all, some []string) bool {
		return !slices.ContainsFunc(some, func(v string) bool { return !slices.Contains(all, v) })
	}
	switch {
	case slices.Equal(y, b), holds(x, y): // one version already contains the other's value
		return x
	case slices.Equal(x, b), holds(y, x):
		return y
	}
	under, over := x, y
	by, at := m.first.setter(key)
	if other, later := m.second.setter(key); at.After(later) {
		under, over, by, at = y, x, other, later
	}
	m.report(Conflict{Key: key, Kept: over[len(over)-1], Other: under[len(under)-1], By: by, At: at})
	return below(slices.DeleteFunc(slices.Clone(under), func(v string) bool { return slices.Contains(b, v) }), over...)
}

// same reports whether two moments have the same values, even if they are written
// differently.
func (m moment) same(o moment) bool {
	return (m.values == nil) == (o.values == nil) && maps.EqualFunc(m.values, o.values, slices.Equal[[]string])
}
