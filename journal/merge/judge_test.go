package merge

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"

	"ashbook/journal/cookfile"
	"ashbook/journal/series"
)

// judge compares a merge of several people's nights with what each of them did. It
// parses text with its own rules and shares no code with the merge.
type judge struct {
	base    *evening
	people  []*person
	faults  []string
	checked int // number of values and lines checked
	clashes int // number of values, lines and cells that several people set
}

func (j *judge) fault(format string, args ...any) {
	j.faults = append(j.faults, fmt.Sprintf(format, args...))
}

// found is front matter as the judge reads it.
type found struct {
	values map[string]string
	rows   map[string]bool
	also   []string // the rows of the also list, as written
	body   []string
}

var flowRow = regexp.MustCompile(`^\s+- \{(.*)\}$`)

// read reads a merged cook: lines of `key: value`, keys in braces, rows in braces.
func read(text string) found {
	f := found{map[string]string{}, map[string]bool{}, nil, nil}
	fences, list := 0, ""
	names := map[string]string{"pieces": "name", "wood": "kind", "tasting": "eater"}
	for _, l := range strings.Split(text, "\n") {
		switch {
		case l == "---":
			fences++
		case fences != 1:
			f.body = append(f.body, l)
		case flowRow.MatchString(l) && list == "also":
			f.also = append(f.also, strings.TrimSpace(l))
		case flowRow.MatchString(l):
			path := ""
			for _, pair := range strings.Split(flowRow.FindStringSubmatch(l)[1], ", ") {
				k, v, _ := strings.Cut(pair, ": ")
				if k == names[list] {
					path = list + "/" + v
					f.rows[path] = true
				} else {
					f.values[path+"/"+k] = v
				}
			}
		default:
			k, v, _ := strings.Cut(l, ":")
			list, v = k, strings.TrimSpace(v)
			switch {
			case v == "":
			case strings.HasPrefix(v, "{"):
				for _, pair := range strings.Split(strings.Trim(v, "{}"), ", ") {
					key, is, _ := strings.Cut(pair, ": ")
					f.values[k+"/"+key] = is
				}
			default:
				f.values[k] = v
			}
		}
	}
	return f
}

// rowOf returns the row of a list that path is in; "" for none.
func rowOf(path string) string {
	if parts := strings.Split(path, "/"); len(parts) == 3 {
		return parts[0] + "/" + parts[1]
	}
	return ""
}

// kept returns the people who still have the row; all people if row is "".
func (j *judge) kept(row string) (all []*person) {
	for _, p := range j.people {
		if row == "" || p.rows[row] {
			all = append(all, p)
		}
	}
	return all
}

// rowStays reports whether a row must be in the merge: somebody added it, everybody who
// had it kept it, or one who kept it changed it.
func (j *judge) rowStays(row string) bool {
	kept := j.kept(row)
	if !j.base.rows[row] {
		return len(kept) > 0
	}
	return len(kept) == len(j.people) || slices.ContainsFunc(kept, func(p *person) bool {
		for _, path := range slices.Concat(slices.Collect(maps.Keys(p.values)), slices.Collect(maps.Keys(j.base.values))) {
			if rowOf(path) == row && p.values[path] != j.base.values[path] {
				return true
			}
		}
		return false
	})
}

// front checks the front matter.
func (j *judge) front(f found) {
	paths, rows := maps.Clone(j.base.values), maps.Clone(j.base.rows)
	for _, p := range j.people {
		maps.Copy(paths, p.values)
		maps.Copy(rows, p.rows)
	}
	for row := range rows {
		j.checked++
		if f.rows[row] != j.rowStays(row) {
			j.fault("row %s: there %t, want %t", row, f.rows[row], !f.rows[row])
		}
	}
	for row := range f.rows {
		if !rows[row] {
			j.fault("row %s: nobody wrote it", row)
		}
	}
	for path := range paths {
		j.checked++
		row := rowOf(path)
		if row != "" && !f.rows[row] {
			continue
		}
		was, inBase := j.base.values[path]
		want, there := was, inBase
		var last time.Time
		set, out := map[string]bool{}, false
		for _, p := range j.kept(row) {
			is, has := p.values[path]
			switch {
			case !has && inBase:
				out = true
			case has && is != was:
				if set[is] = true; !p.at[path].Before(last) {
					want, last = is, p.at[path]
				}
				there = true
			}
		}
		if len(set) == 0 && out {
			there = false
		}
		got, has := f.values[path]
		if has != there || has && got != want {
			j.fault("%s: %q (there %t), want %q (there %t)", path, got, has, want, there)
		}
		if len(set) > 1 {
			j.clashes++
		}
		for v := range set { // every value that lost is in the also list, under its key
			parts := strings.Split(path, "/")
			if v != got && !slices.ContainsFunc(f.also, func(r string) bool {
				return strings.Contains(r, "{"+parts[0]+": ") && strings.Contains(r, parts[len(parts)-1]+": "+v)
			}) {
				j.fault("%s: %q is lost", path, v)
			}
		}
	}
}

// lines checks the timeline and the prose.
func (j *judge) lines(f found) {
	var entries []string
	for _, l := range f.body {
		if strings.HasPrefix(l, "- ") {
			entries = append(entries, l)
		}
	}
	if !slices.IsSortedFunc(entries, func(a, b string) int { return strings.Compare(a[:24], b[:24]) }) {
		j.fault("entries are out of order")
	}
	names := map[string]bool{}
	for _, n := range append([]*evening{j.base}, nights(j.people)...) {
		for k := range n.entries {
			names[k] = true
		}
	}
	for name := range names {
		j.checked++
		j.entry(name, entries)
	}
	for p := range j.base.prose {
		j.paragraph(f, p, !slices.ContainsFunc(j.people, func(x *person) bool { return !x.prose[p] }))
	}
	for _, x := range j.people {
		for p := range x.prose {
			if !j.base.prose[p] {
				j.paragraph(f, p, true)
			}
		}
	}
}

func nights(people []*person) (all []*evening) {
	for _, p := range people {
		all = append(all, p.evening)
	}
	return all
}

func (j *judge) paragraph(f found, token string, there bool) {
	j.checked++
	n := 0
	for _, l := range f.body {
		if l == "Said "+token+"." {
			n++
		}
	}
	if there && n != 1 || !there && n != 0 {
		j.fault("paragraph %s: there %d times, wanted %t", token, n, there)
	}
}

// entry checks the lines of one entry: those whose words begin with its name.
func (j *judge) entry(name string, all []string) {
	var lines []string
	for _, l := range all {
		_, words, _ := strings.Cut(l, "— ")
		if words == name || strings.HasPrefix(words, name+" ") {
			lines = append(lines, l)
		}
	}
	was := j.base.entries[name]
	if was == nil {
		for _, p := range j.people {
			if e := p.entries[name]; e != nil && (len(lines) != 1 || lines[0] != e.String()) {
				j.fault("entry %s: %q, want %q once", name, lines, e)
			}
		}
		return
	}
	things := func(w *written) [3]string {
		return [3]string{"pit " + w.pit + " ", "core large " + w.core + " ", "— " + w.words}
	}
	var said [3]map[string]bool
	gone, corrected, several := false, false, false
	for _, p := range j.people {
		e := p.entries[name]
		if e == nil {
			gone = true
			continue
		}
		for i, s := range things(e) {
			if said[i] == nil {
				said[i] = map[string]bool{}
			}
			if s != things(was)[i] {
				said[i][s], corrected = true, true
			}
		}
	}
	for i := range said {
		several = several || len(said[i]) > 1
	}
	switch {
	case !corrected && gone && len(lines) != 0:
		j.fault("entry %s: came back: %q", name, lines)
	case !corrected && !gone && (len(lines) != 1 || lines[0] != was.String()):
		j.fault("entry %s: %q, want %q", name, lines, was)
	case corrected && !several && len(lines) != 1:
		j.fault("entry %s: %q, want one line", name, lines)
	case corrected && several && len(lines) < 2:
		j.fault("entry %s: %q, want both", name, lines)
	}
	if !corrected {
		return
	}
	if several {
		j.clashes++
	}
	ends := func(l, s string) bool { return strings.Contains(l, s) && (s[0] != 0xe2 || strings.HasSuffix(l, s)) }
	for i := range said {
		for s := range said[i] {
			if !slices.ContainsFunc(lines, func(l string) bool { return ends(l, s) }) {
				j.fault("entry %s: %q is lost from %q", name, s, lines)
			}
		}
		old := things(was)[i]
		if len(said[i]) > 0 && slices.ContainsFunc(lines, func(l string) bool { return ends(l, old) }) {
			j.fault("entry %s: %q came back in %q", name, old, lines)
		}
		if len(said[i]) == 0 && slices.ContainsFunc(lines, func(l string) bool { return !ends(l, old) }) {
			j.fault("entry %s: %q is lost from %q", name, old, lines)
		}
	}
	for i, l := range lines {
		if slices.Contains(lines[:i], l) {
			j.fault("entry %s: twice", name)
		}
	}
}

// table checks that each cell of the table has every value that was set, with the
// latest one last.
func (j *judge) table(text string) {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	columns := strings.Split(lines[0], ",")
	got, times := map[string][]string{}, []string{}
	for _, l := range lines[1:] {
		cells := strings.Split(l, ",")
		at := cells[0][11:16]
		times = append(times, at)
		for i, c := range cells[1:] {
			k := at + "/" + columns[1+i]
			if vs := got[k]; c != "" && (len(vs) == 0 || vs[len(vs)-1] != c) {
				got[k] = append(vs, c)
			}
		}
	}
	if !slices.IsSorted(times) {
		j.fault("the table is out of order")
	}
	all := maps.Clone(j.base.cells)
	for _, p := range j.people {
		maps.Copy(all, p.cells)
	}
	row := func(n *evening, at string) string {
		var cells []string
		for k, v := range n.cells {
			if strings.HasPrefix(k, at+"/") {
				cells = append(cells, k+"="+v)
			}
		}
		slices.Sort(cells)
		return strings.Join(cells, " ")
	}
	for k := range all {
		j.checked++
		at, _, _ := strings.Cut(k, "/")
		was, want := row(j.base, at), map[string]bool{}
		latest, last, changed, gone := "", time.Time{}, false, false
		for _, p := range j.people {
			is := row(p.evening, at)
			if is == "" && was != "" {
				gone = true
			}
			changed = changed || is != "" && is != was
			if v := p.cells[k]; v != "" && v != j.base.cells[k] {
				want[v] = true
				if !p.at[k].Before(last) {
					latest, last = v, p.at[k]
				}
			}
		}
		switch {
		case gone && !changed:
		case len(want) == 0 && j.base.cells[k] != "":
			want[j.base.cells[k]], latest = true, j.base.cells[k]
		}
		if len(want) > 1 {
			j.clashes++
		}
		if !maps.Equal(want, set(got[k])) || len(got[k]) != len(want) || len(want) > 0 && got[k][len(got[k])-1] != latest {
			j.fault("cell %s: %q, want %v, %q below", k, got[k], want, latest)
		}
	}
}

func set(of []string) map[string]bool {
	m := map[string]bool{}
	for _, v := range of {
		m[v] = true
	}
	return m
}

// all checks a merge of all people's versions.
func (j *judge) all(v version) {
	f := read(string(v.cook))
	j.front(f)
	j.lines(f)
	j.table(string(v.table))
	if _, err := cookfile.Parse("cook.md", v.cook, cookfile.Options{}); err != nil {
		j.fault("unreadable: %v", err)
	}
	if _, _, err := series.Parse("cook.csv", v.table); err != nil {
		j.fault("the table is unreadable: %v", err)
	}
}
