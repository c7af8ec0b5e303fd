package merge

import (
	"slices"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile/front"

	"go.yaml.in/yaml/v4"
)

// Value returns what a version of a file says under a key of its front matter, or in a
// cell of a table, on one line; ok is false where it cannot be read or says nothing there.
// The key is as Version.Set gets it: a row of a list is called by what it is known by.
func Value(path string, text []byte, key []string) (value string, ok bool) {
	if strings.HasSuffix(path, tableEnd) {
		at, err := journal.ParseTime(key[0])
		t, ok := readTable(text)
		if err != nil || !ok || len(key) != 2 {
			return "", false
		}
		values := t.at[at.UTC()].values[key[1]]
		return strings.Join(values, ","), len(values) > 0
	}
	d, err := front.Read(path, string(text))
	if err != nil || d.Conflicted() {
		return "", false
	}
	n := d.Root()
	for i, k := range key {
		switch {
		case n == nil:
		case n.Kind == yaml.SequenceNode && i > 0:
			n = rowsOf(key[i-1], n).of(k)
		default:
			n = front.Value(orNone(n), k)
		}
	}
	if n = present(n); n == nil {
		return "", false
	}
	return front.Flow(n), true
}

// called is a path in which rows of lists have their names instead of numbers.
func (f *fields) called(path []string) []string {
	out := slices.Clone(path)
	for i := 1; i < len(path); i++ {
		list := front.At(f.doc.Root(), path[:i])
		if list == nil || list.Kind != yaml.SequenceNode {
			continue
		}
		if n, err := strconv.Atoi(path[i]); err == nil {
			if ids := rowsOf(path[i-1], list).ids; n < len(ids) {
				out[i] = ids[n]
			}
		}
	}
	return out
}
