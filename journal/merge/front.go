package merge

import (
	"slices"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/cookfile/front"

	"go.yaml.in/yaml/v4"
)

// fields merges front matter by applying the second version's changes to the first.
type fields struct {
	*merger
	doc *front.Document // the first version with the changes applied so far
	err error
}

// front merges the front matter of three documents. base may be nil.
func (m *merger) front(base, first, second *front.Document) (*front.Document, error) {
	f := fields{merger: m, doc: first}
	var was *yaml.Node
	if base != nil {
		was = base.Root()
	}
	conflicts := len(m.conflicts)
	f.mapping(nil, was, first.Root(), second.Root())
	f.keep(m.conflicts[conflicts:], nil)
	if f.err != nil {
		return nil, f.err
	}
	// Merging by lines keeps comments and layout, so its result is used if it means the
	// same.
	if base != nil && len(m.conflicts) == conflicts {
		lines, clashes := mergeLines(cut(frontOf(base)), cut(frontOf(first)), cut(frontOf(second)))
		text := join(lines) + first.Text()[first.Body():]
		if doc, err := front.Read(first.Path(), text); err == nil && len(clashes) == 0 && doc.Body() == len(join(lines)) && same(doc.Root(), f.doc.Root()) {
			f.doc = doc
			f.keep(nil, nil)
		}
	}
	return f.doc, f.err
}

func frontOf(d *front.Document) string { return d.Text()[:d.Body()] }

// mapping merges the keys of a mapping. Each of the three versions may lack it.
func (f *fields) mapping(path []string, base, first, second *yaml.Node) {
	for _, key := range keysOf(first, second, base) {
		f.value(append(slices.Clone(path), key), front.Value(orNone(base), key), front.Value(orNone(first), key), front.Value(orNone(second), key))
	}
}

var none = &yaml.Node{Kind: yaml.MappingNode}

func orNone(n *yaml.Node) *yaml.Node {
	if n == nil || n.Kind != yaml.MappingNode {
		return none
	}
	return n
}

// orEmpty returns n. If n was removed and base is a list or a mapping, it returns an
// empty one.
func orEmpty(n, base *yaml.Node) *yaml.Node {
	if n == nil && base != nil && base.Kind != yaml.ScalarNode {
		return &yaml.Node{Kind: base.Kind}
	}
	return n
}

// dropEmpty removes a list or mapping that has become empty.
func (f *fields) dropEmpty(path []string) {
	if is := front.At(f.doc.Root(), path); is != nil && (front.IsNull(is) || is.Kind != yaml.ScalarNode && len(is.Content) == 0) {
		f.put(path, nil)
	}
}

// keysOf returns the keys of the mappings in order, each once.
func keysOf(nodes ...*yaml.Node) (keys []string) {
	for _, n := range nodes {
		for i := 0; i+1 < len(orNone(n).Content); i += 2 {
			if k := n.Content[i].Value; !slices.Contains(keys, k) {
				keys = append(keys, k)
			}
		}
	}
	return keys
}

// value merges one value. Each of the three versions may lack it.
func (f *fields) value(path []string, base, first, second *yaml.Node) {
	base, first, second = present(base), present(first), present(second)
	switch {
	case same(first, second):
	case isKind(orEmpty(first, base), orEmpty(second, base), yaml.MappingNode):
		f.mapping(path, base, orEmpty(first, base), orEmpty(second, base))
		f.dropEmpty(path)
	case isKind(orEmpty(first, base), orEmpty(second, base), yaml.SequenceNode):
		f.list(path, base, orEmpty(first, base), orEmpty(second, base))
		f.dropEmpty(path)
	case same(second, base):
	case same(first, base):
		f.put(path, second)
	case first == nil || second == nil:
		f.removed(path, first, second)
		if first == nil {
			f.put(path, second)
		}
	default:
		f.contest(path, first, second)
	}
}

// removed records a conflict: one version changed a value, which stays, and the other
// removed it.
func (f *fields) removed(path []string, first, second *yaml.Node) {
	by := f.second
	if first == nil {
		by, first = f.first, second
	}
	f.report(Conflict{Key: path, Kept: front.Words(first), Other: removedWord, By: by.By, At: by.At})
}

// contest keeps the later of two values. If their times are equal or unknown, it keeps
// the one that is greater as bytes.
func (f *fields) contest(path []string, first, second *yaml.Node) {
	key := f.called(path)
	byFirst, atFirst := f.first.setter(key)
	bySecond, atSecond := f.second.setter(key)
	t := Conflict{Key: key, Kept: front.Words(first), Other: front.Words(second), By: bySecond, At: atSecond, flow: front.Flow(second)}
	if atSecond.After(atFirst) || atSecond.Equal(atFirst) && front.Flow(second) > front.Flow(first) {
		f.put(path, second)
		t = Conflict{Key: key, Kept: front.Words(second), Other: front.Words(first), By: byFirst, At: atFirst, flow: front.Flow(first)}
	}
	t.list, t.name = f.listName(path)
	f.report(t)
}

// listName returns, for a path inside a row of a list, the index in path of the row's
// number, and the row's name as YAML.
func (f *fields) listName(path []string) (place int, name string) {
	for i := 1; i < len(path); i++ {
		if _, err := strconv.Atoi(path[i]); err == nil {
			if key := cookfile.RowNames[path[i-1]]; key != "" {
				if row := front.At(f.doc.Root(), path[:i+1]); row != nil {
					if v := front.Value(orNone(row), key); v != nil {
						return i, key + ": " + front.Flow(v)
					}
				}
			}
			return i, ""
		}
	}
	return 0, ""
}

// row returns the row for the also list as YAML: the value that lost, nested in its
// keys. In a list, the row is given by its name, not its number.
func (t Conflict) row() string {
	row := t.flow
	for i := len(t.Key) - 1; i >= 0; i-- {
		if t.list > 0 && i == t.list {
			if t.name != "" {
				row = "{" + t.name + ", " + strings.TrimPrefix(row, "{")
			}
			continue
		}
		row = "{" + front.Quote(t.Key[i], true) + ": " + row + "}"
	}
	return row
}

// keep adds the conflicts to the also list, removes rows that are settled, and sorts
// the list so that the order of the versions does not matter.
func (f *fields) keep(conflicts []Conflict, entries []journal.Entry) {
	for _, t := range conflicts {
		if t.flow != "" {
			f.also(t)
		}
	}
	root := f.doc.Root()
	list := front.At(root, []string{cookfile.AlsoKey})
	if list == nil || list.Kind != yaml.SequenceNode {
		return
	}
	tidy := *list
	tidy.Content = slices.Clone(list.Content)
	slices.SortFunc(tidy.Content, func(a, b *yaml.Node) int { return strings.Compare(front.Flow(a), front.Flow(b)) })
	// For three corrections of one entry, two rows are enough, both with the same first
	// line.
	beside := map[[2]string]bool{}
	for _, row := range tidy.Content {
		if one, other, ok := cookfile.EntryLines(row); ok {
			beside[[2]string{one, other}] = true
		}
	}
	third := func(row *yaml.Node) bool {
		one, other, ok := cookfile.EntryLines(row)
		for pair := range beside {
			if ok && pair[1] == one && beside[[2]string{pair[0], other}] {
				return true
			}
		}
		return false
	}
	var last string
	tidy.Content = slices.DeleteFunc(tidy.Content, func(row *yaml.Node) bool {
		what := said(row)
		again := what == last
		last = what
		return again || third(row) || cookfile.ValueSettled(row, root) || entries != nil && cookfile.EntrySettled(row, entries)
	})
	if slices.EqualFunc(tidy.Content, list.Content, func(a, b *yaml.Node) bool { return a == b }) {
		return
	}
	f.put([]string{cookfile.AlsoKey}, nil)
	if len(tidy.Content) > 0 {
		f.put([]string{cookfile.AlsoKey}, &tidy)
	}
}

// said returns a row of the also list as YAML, without its keys by and at.
func said(row *yaml.Node) string {
	dup := *row
	dup.Content = nil
	for i := 0; row.Kind == yaml.MappingNode && i+1 < len(row.Content); i += 2 {
		if k := row.Content[i].Value; i == 0 || k != "by" && k != "at" {
			dup.Content = append(dup.Content, row.Content[i:i+2]...)
		}
	}
	return front.Flow(&dup)
}

// also adds the row of a conflict to the also list unless the list has it.
func (f *fields) also(t Conflict) {
	row := strings.TrimSuffix(t.row(), "}")
	rows := front.Value(orNone(f.doc.Root()), cookfile.AlsoKey)
	n := 0
	if rows != nil && rows.Kind == yaml.SequenceNode {
		n = len(rows.Content)
		if slices.ContainsFunc(rows.Content, func(old *yaml.Node) bool { return said(old) == row+"}" }) {
			return
		}
	}
	if t.By != "" {
		row += ", by: " + front.Quote(t.By, true)
	}
	if !t.At.IsZero() {
		row += ", at: " + t.At.Format(timeLayout)
	}
	f.edit(func(d *front.Document) (*front.Document, error) {
		return d.SetFlow(row+"}", []string{cookfile.AlsoKey, strconv.Itoa(n)})
	})
}

// list merges two lists: rows by their name, other items as a set. An item that either
// version removed is left out; an item that either added is included.
func (f *fields) list(path []string, base, first, second *yaml.Node) {
	if base != nil && base.Kind != yaml.SequenceNode {
		base = nil
	}
	key := path[len(path)-1]
	was, one, two := rowsOf(key, base), rowsOf(key, first), rowsOf(key, second)
	var out []int // indexes of rows of the first version to remove
	for i, id := range one.ids {
		b, s := was.of(id), two.of(id)
		here := append(slices.Clone(path), strconv.Itoa(i))
		switch row := first.Content[i]; {
		case s != nil:
			f.value(here, b, row, s)
		case b != nil && same(b, row):
			out = append(out, i)
		case b != nil:
			f.removed(append(slices.Clone(path), id), row, nil)
		}
	}
	n := len(first.Content)
	for i, id := range two.ids {
		if one.of(id) != nil {
			continue
		}
		row, b := second.Content[i], was.of(id)
		if b != nil && same(b, row) {
			continue // the first version removed it
		}
		if b != nil {
			f.removed(append(slices.Clone(path), id), nil, row)
		}
		f.put(append(slices.Clone(path), strconv.Itoa(n)), row)
		n++
	}
	for _, i := range slices.Backward(out) {
		f.edit(func(d *front.Document) (*front.Document, error) {
			return d.Unset(append(slices.Clone(path), strconv.Itoa(i)))
		})
	}
}

// rows are the items of a list by the name or text that identifies each.
type rows struct {
	ids   []string
	nodes map[string]*yaml.Node
}

func (r rows) of(id string) *yaml.Node { return r.nodes[id] }

func rowsOf(key string, list *yaml.Node) rows {
	r := rows{nodes: map[string]*yaml.Node{}}
	if list == nil {
		return r
	}
	for _, n := range list.Content {
		id := front.Flow(n)
		if name := cookfile.RowNames[key]; name != "" && n.Kind == yaml.MappingNode {
			if v := present(front.Value(n, name)); v != nil {
				id = strings.ToLower(v.Value)
			} else {
				id = ""
			}
		}
		for again := 2; r.nodes[id] != nil; again++ {
			id = strings.TrimRight(id, "\x00") + strings.Repeat("\x00", again-1)
		}
		r.ids, r.nodes[id] = append(r.ids, id), n
	}
	return r
}

// put sets a value of the document to that of the second version; nil removes it.
func (f *fields) put(path []string, second *yaml.Node) {
	f.edit(func(d *front.Document) (*front.Document, error) { return d.Replace(second, path) })
}

func (f *fields) edit(change func(*front.Document) (*front.Document, error)) {
	if f.err != nil {
		return
	}
	if d, err := change(f.doc); err != nil {
		f.err = err
	} else {
		f.doc = d
	}
}

// present returns n, or nil if it is null or empty.
func present(n *yaml.Node) *yaml.Node {
	if n == nil || front.IsNull(n) {
		return nil
	}
	return n
}

func isKind(a, b *yaml.Node, kind yaml.Kind) bool {
	return a != nil && b != nil && a.Kind == kind && b.Kind == kind
}

// same reports whether two values mean the same, whatever their style and the order of
// their keys and items.
func same(a, b *yaml.Node) bool {
	if a, b = present(a), present(b); a == nil || b == nil {
		return a == b
	}
	if a.Kind != b.Kind || len(a.Content) != len(b.Content) {
		return false
	}
	switch a.Kind {
	case yaml.MappingNode:
		for _, key := range keysOf(a, b) {
			if !same(front.Value(a, key), front.Value(b, key)) {
				return false
			}
		}
		return true
	case yaml.SequenceNode:
		return slices.Equal(sortedFlow(a), sortedFlow(b))
	}
	return a.Value == b.Value
}

// sortedFlow returns the items of a list as YAML, sorted as bytes, each with its keys
// sorted.
func sortedFlow(list *yaml.Node) (items []string) {
	for _, n := range list.Content {
		if n.Kind == yaml.MappingNode {
			var pairs []string
			for _, key := range keysOf(n) {
				pairs = append(pairs, front.Quote(key, true)+": "+front.Flow(front.Value(n, key)))
			}
			slices.Sort(pairs)
			items = append(items, "{"+strings.Join(pairs, ", ")+"}")
			continue
		}
		items = append(items, front.Flow(n))
	}
	slices.Sort(items)
	return items
}
