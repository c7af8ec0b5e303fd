package cookfile

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"ashbook/journal"
	"ashbook/journal/cookfile/front"
)

// AlsoKey is the key of the also list: the values that were not kept when two versions
// of a file were merged. Each is a row such as {serve: 2026-09-19T12:30+01:00, by: Ann,
// at: …}. If both corrected an entry, both lines stay in the timeline, and the row is
// {entry: LINE, other: LINE, by: Ann}.
const AlsoKey = "also"

const otherKey = "other"

// RowNames are the keys that identify the rows of a list. The rows of any other list
// are identified by their whole content.
var RowNames = map[string]string{"pieces": "name", tastingKey: "eater", "wood": "kind"}

// Unsettled returns a warning for each row of the also list of a file that is not a
// cook, such as a pit, a mix or the settings.
func Unsettled(path string, data []byte) []journal.Problem {
	doc, err := front.Read(path, string(data))
	if err != nil {
		return nil
	}
	r := &reader{doc: doc}
	r.others(nil, "keep one of the two and delete this row")
	return r.problems
}

// others reads the pairs that nobody has decided yet and adds a warning for each. how
// says what to type to decide one.
func (r *reader) others(entries []journal.Entry, how string) (all []journal.Other) {
	for i, row := range alsoRows(r.doc) {
		if row.Kind != yaml.MappingNode || len(row.Content) < 2 {
			r.warn(row, "%s: expected a row such as {serve: 2026-09-19T12:30+01:00, by: Ann}", AlsoKey)
			continue
		}
		o := journal.Other{Row: i}
		o.Line, _ = r.doc.Place(r.doc.At(row))
		if by := front.Value(row, "by"); !front.IsNull(by) {
			o.By = by.Value
		}
		if row.Content[0].Value == journal.EntryKey {
			both, ok := corrections(row, entries)
			if !ok {
				continue // decided already
			}
			o.Key, o.Entries = []string{journal.EntryKey}, both
			o.Stands, o.Value = lineOf(entries[both[0]]), lineOf(entries[both[1]])
		} else {
			at := placeOf(row, r.doc.Root())
			if ValueSettled(row, r.doc.Root()) {
				continue
			}
			o.Key, o.Stands, o.Value = at.name, front.Words(front.At(r.doc.Root(), at.path)), front.Words(at.other)
		}
		all = append(all, o)
		r.warn(row, "%s: %s", o, how)
	}
	return all
}

// alsoRows returns the rows of the also list.
func alsoRows(d *front.Document) []*yaml.Node {
	if list := front.At(d.Root(), []string{AlsoKey}); list != nil && list.Kind == yaml.SequenceNode {
		return list.Content
	}
	return nil
}

// corrections returns the indexes of both corrections of an entry in the timeline. ok
// is false unless both are there.
func corrections(row *yaml.Node, entries []journal.Entry) (both [2]int, ok bool) {
	for i, n := range []*yaml.Node{row.Content[1], front.Value(row, otherKey)} {
		if front.IsNull(n) {
			return both, false
		}
		token, body, _ := strings.Cut(n.Value, " ")
		at, err := journal.ParseTime(token)
		both[i] = slices.IndexFunc(entries, func(e journal.Entry) bool { return err == nil && e.Time.Equal(at) && e.Body() == body })
		if both[i] < 0 {
			return both, false
		}
	}
	return both, both[0] != both[1]
}

// EntryLines returns the two lines of an also row about an entry; ok is false for
// another row.
func EntryLines(row *yaml.Node) (stands, other string, ok bool) {
	if row.Kind != yaml.MappingNode || len(row.Content) < 2 || row.Content[0].Value != journal.EntryKey {
		return "", "", false
	}
	return row.Content[1].Value, front.Words(front.Value(row, otherKey)), true
}

// EntrySettled reports whether an also row is about an entry and one of its lines is no
// longer among the entries.
func EntrySettled(row *yaml.Node, entries []journal.Entry) bool {
	if _, _, ok := EntryLines(row); !ok {
		return false
	}
	_, both := corrections(row, entries)
	return !both
}

// ValueSettled reports whether the front matter already has the value of an also row.
func ValueSettled(row, root *yaml.Node) bool {
	if row.Kind != yaml.MappingNode || len(row.Content) < 2 || row.Content[0].Value == journal.EntryKey {
		return false
	}
	p := placeOf(row, root)
	is := front.At(root, p.path)
	return !front.IsNull(is) && front.Flow(is) == front.Flow(p.other)
}

// lineOf returns an entry as an also row names it.
func lineOf(e journal.Entry) string { return journal.FormatTime(e.Time) + " " + e.Body() }

// EntryRow returns the also row of an entry that two people corrected: one's line and
// the other's.
func EntryRow(stands, other journal.Entry) string {
	return "{" + journal.EntryKey + ": " + front.Quote(lineOf(stands), true) + ", " + otherKey + ": " + front.Quote(lineOf(other), true) + "}"
}

// place is where the value of an also row belongs.
type place struct {
	name  []string // keys in words, with a row of a list given by its name
	path  []string // path in the front matter
	other *yaml.Node
}

// placeOf reads where the value of an also row belongs: nested keys, with a row of a
// list given by its name.
func placeOf(row, root *yaml.Node) place {
	key := row.Content[0].Value
	p := place{name: []string{key}, path: []string{key}, other: row.Content[1]}
	if named := RowNames[key]; named != "" && p.other.Kind == yaml.MappingNode {
		name := front.Value(p.other, named)
		list := front.At(root, p.path)
		at := 0
		if list != nil && list.Kind == yaml.SequenceNode {
			at = slices.IndexFunc(list.Content, func(n *yaml.Node) bool {
				return n.Kind == yaml.MappingNode && strings.EqualFold(front.Words(front.Value(n, named)), front.Words(name))
			})
			if at < 0 {
				at = len(list.Content)
			}
		}
		if p.path = append(p.path, strconv.Itoa(at)); name != nil {
			p.name = append(p.name, name.Value)
		}
		if list != nil && at < len(list.Content) {
			rest := *p.other
			rest.Content = nil
			for i := 0; i+1 < len(p.other.Content); i += 2 {
				if p.other.Content[i].Value != named {
					rest.Content = append(rest.Content, p.other.Content[i:i+2]...)
				}
			}
			p.other = &rest
		}
	}
	for p.other.Kind == yaml.MappingNode && len(p.other.Content) == 2 {
		if is := front.At(root, p.path); is != nil && is.Kind != yaml.MappingNode && !front.IsNull(is) {
			break // one version has a value here and the other has keys
		}
		key := p.other.Content[0].Value
		p.name, p.path, p.other = append(p.name, key), append(p.path, key), p.other.Content[1]
	}
	return p
}

// Settle decides Cook.Others[i] and removes its also row. The value in the file is
// right, or, if take is set, the other value replaces it. For an entry, the wrong line
// is removed.
func (f File) Settle(i int, take bool) (File, error) {
	if f.doc == nil {
		return File{}, errZero
	}
	o := f.Cook.Others[i]
	rows := alsoRows(f.doc)
	where := placeOf(rows[o.Row], f.doc.Root())
	settled, err := f.edit(func(d *front.Document) (*front.Document, error) {
		d, err := withoutRow(d, o.Row)
		if err != nil || !take || o.OfEntry() {
			return d, err
		}
		return d.Replace(where.other, where.path)
	})
	if err != nil || !o.OfEntry() {
		return settled, err
	}
	right, wrong := o.Entries[0], o.Entries[1]
	if take {
		right, wrong = wrong, right
	}
	// A line with only a clock time depends on the line above it, so the line that
	// stays gets its date.
	at := settled.lines.at[right]
	if settled, err = settled.spliceEntries(at.from, at.to, settled.EntryText(right, true), settled.Cook.Entries); err != nil {
		return File{}, err
	}
	return settled.RemoveEntry(wrong)
}

// withoutRow removes an also row, and the key with the last one.
func withoutRow(d *front.Document, row int) (*front.Document, error) {
	if len(alsoRows(d)) == 1 {
		return d.Unset([]string{AlsoKey})
	}
	return d.Unset([]string{AlsoKey, strconv.Itoa(row)})
}

// WithoutSettled removes the also rows that are decided.
func (f File) WithoutSettled() (File, error) {
	if f.doc == nil {
		return f, nil
	}
	for i, row := range slices.Backward(alsoRows(f.doc)) {
		if EntrySettled(row, f.Cook.Entries) || ValueSettled(row, f.doc.Root()) {
			var err error
			if f, err = f.edit(func(d *front.Document) (*front.Document, error) { return withoutRow(d, i) }); err != nil {
				return File{}, err
			}
		}
	}
	return f, nil
}
