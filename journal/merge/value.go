package merge

import (
	"slices"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile/front"

	"go.yaml.in/yaml/v4"
)

// Value returns, as one line, the value that a version of a file has under a key of its
// front matter or in a cell of a table. key is as for Version.Set: a row of a list is
// given by its name. ok is false if the file cannot be read or has no value there.
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

// called returns path with each row of a list given by its name instead of its number.
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
