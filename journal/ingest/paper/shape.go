package paper

import (
	"slices"
	"strings"

	"ashbook/journal/pattern"
)

// leastHeads is the smallest number of field names in a first column that counts as a
// column of headings (chosen).
const leastHeads = 3

// known reports whether a cell is the name of a field.
func known(cell string) bool {
	name, _ := headUnit(strings.Trim(cell, `" `))
	return name != "" && byHead(name) != nil
}

// turned reports whether lines are a table with a column for each cook.
func turned(lines []string, sep rune) bool {
	names, others := 0, 0
	for _, l := range lines {
		cells := strings.Split(l, string(sep))
		if len(cells) < 2 {
			return false
		}
		if known(cells[0]) {
			names++
		}
		for _, c := range cells[1:] {
			if known(c) {
				others++
			}
		}
	}
	return names >= leastHeads && names*3 >= len(lines)*2 && others < names
}

// upright turns a table with a column for each cook into one with a row for each.
func upright(rows []row) []row {
	var lines []string
	for _, r := range rows {
		lines = append(lines, strings.Join(r.cells, "\x00"))
	}
	if !turned(lines, 0) || isHead(rows[0]) && !known(rows[0].cells[0]) {
		return rows
	}
	width := 0
	for _, r := range rows {
		width = max(width, len(r.cells))
	}
	out := make([]row, width)
	for c := range out {
		out[c].line = rows[0].line
		for _, r := range rows {
			cell := ""
			if c < len(r.cells) {
				cell = r.cells[c]
			}
			out[c].cells = append(out[c].cells, cell)
		}
	}
	return out
}

// dayParts are headings of the year, the month and the day in columns of their own.
var dayParts = [3][]string{
	{"year", "jahr", "año", "année", "yr"},
	{"month", "monat", "mes", "mois"},
	{"day", "tag", "día", "jour"},
}

// oneDay joins the columns of the year, the month and the day into one column.
func oneDay(rows []row) []row {
	var at [3]int
	for k, names := range dayParts {
		at[k] = slices.IndexFunc(rows[0].cells, func(c string) bool { return slices.Contains(names, strings.ToLower(c)) })
		if at[k] < 0 {
			return rows
		}
	}
	out := slices.Clone(rows)
	for i, r := range rows {
		cells := slices.Clone(r.cells)
		if len(cells) <= slices.Max(at[:]) {
			continue
		}
		day := "date"
		if i > 0 {
			y, m, d := cells[at[0]], cells[at[1]], cells[at[2]]
			if day = strings.Join([]string{y, m, d}, "-"); strings.Trim(m, "0123456789") != "" {
				day = d + " " + m + " " + y
			}
			if y == "" || m == "" || d == "" {
				day = ""
			}
		}
		cells[at[0]], cells[at[1]], cells[at[2]] = day, "", ""
		out[i].cells = cells
	}
	return out
}

// oneWeight makes one column of pounds and ounces that have a column each.
func oneWeight(rows []row) []row {
	at := func(names ...string) int {
		return slices.IndexFunc(rows[0].cells, func(c string) bool { return slices.Contains(names, strings.ToLower(c)) })
	}
	pounds, ounces := at("lb", "lbs", "pounds"), at("oz", "ounces")
	if pounds < 0 || ounces < 0 {
		return rows
	}
	out := slices.Clone(rows)
	for i, r := range rows[1:] {
		if len(r.cells) <= max(pounds, ounces) || r.cells[pounds] == "" || r.cells[ounces] == "" {
			continue
		}
		out[i+1].cells = slices.Clone(r.cells)
		out[i+1].cells[pounds], out[i+1].cells[ounces] = r.cells[pounds]+" lb "+r.cells[ounces]+" oz", ""
	}
	return out
}

// namedInCells makes a row of headings for a table whose cells begin with the names of
// their columns, such as "on 20:00 | off 08:15". It removes the names from the cells.
func namedInCells(rows []row) (head row, ok bool) {
	head.line = rows[0].line
	for c := range rows[0].cells {
		name, _, _ := strings.Cut(rows[0].cells[c], " ")
		all := name != "" && known(name) && !startsWithDigit.MatchString(name)
		for _, r := range rows {
			all = all && c < len(r.cells) && strings.HasPrefix(strings.ToLower(r.cells[c]), strings.ToLower(name)+" ")
		}
		if !all {
			head.cells = append(head.cells, "")
			continue
		}
		head.cells, ok = append(head.cells, name), true
		for _, r := range rows {
			r.cells[c] = strings.TrimSpace(r.cells[c][len(name):])
		}
	}
	return head, ok
}

var keyLine = pattern.New(`^\s*(\pL[\pL _]{0,24}?)\s*[:=]\s*(\S.*)$`)

// readRecords reads cooks that are written as a name and a value on each line, "off:
// 11:20"; a blank line or a name that comes again begins the next. ok is false where the
// text is none of these.
func readRecords(text string, opt Options) (s Sheet, ok bool, err error) {
	type record struct {
		line  int
		cells map[string]string
		words []string
	}
	var all []record
	var names []string
	keys, full := 0, 0
	fresh := true
	for i, l := range strings.Split(text, "\n") {
		if strings.TrimSpace(l) == "" {
			fresh = true
			continue
		}
		full++
		m := keyLine.FindStringSubmatch(l)
		isKey := m != nil && known(m[1])
		if isKey && len(all) > 0 {
			_, again := all[len(all)-1].cells[strings.ToLower(m[1])]
			fresh = fresh || again
		}
		if fresh {
			all = append(all, record{line: i + 1, cells: map[string]string{}})
		}
		r := &all[len(all)-1]
		if fresh = false; !isKey {
			r.words = append(r.words, oneLine(l))
			continue
		}
		name := strings.ToLower(m[1])
		if keys++; !slices.Contains(names, name) {
			names = append(names, name)
		}
		r.cells[name] = oneLine(m[2])
	}
	if keys < leastHeads || keys*3 < full*2 {
		return Sheet{}, false, nil
	}
	rows := []row{{line: 1, cells: append(slices.Clone(names), "besides")}}
	for _, r := range all {
		var cells []string
		for _, n := range names {
			cells = append(cells, r.cells[n])
		}
		rows = append(rows, row{line: r.line, cells: append(cells, strings.Join(r.words, " "))})
	}
	s, err = readRows(rows, opt)
	return s, true, err
}
