package merge

import (
	"slices"
	"strconv"
	"strings"

	"ashbook/journal/cookfile"
	"ashbook/journal/cookfile/front"

	"go.yaml.in/yaml/v4"
)

// names are the keys by which the rows of a list are known; a list without one
// is a set.
var names = map[string]string{"pieces": "name", "tasting": "eater", "wood": "kind"}

// fields merges front matter: what the second version made of the base is
// written into the first, by splicing.
type fields struct {
	*merger
	doc *front.Document // the first version, as far as it is merged
	err error
}

// front merges the front matter of three documents; base may be nil.
func (m *merger) front(base, first, second *front.Document) (*front.Document, error) {
	f := fields{merger: m, doc: first}
	var was *yaml.Node
	if base != nil {
		was = base.Root()
	}
	told := len(m.told)
	f.mapping(nil, was, first.Root(), second.Root())
	for _, t := range m.told[told:] {
		if t.row != "" && f.err == nil {
			f.also(t)
		}
	}
	if f.err != nil {
		return nil, f.err
	}
	// The same by lines keeps comments and layout too, where it says the same.
	if base != nil && len(m.told) == told {
		lines, clashes := mergeLines(cut(frontOf(base)), cut(frontOf(first)), cut(frontOf(second)))
		text := join(lines) + first.Text()[first.Body():]
		if doc, err := front.Read(first.Path(), text); err == nil && len(clashes) == 0 && doc.Body() == len(join(lines)) && same(doc.Root(), f.doc.Root()) {
			return doc, nil
		}
	}
	return f.doc, nil
}

func frontOf(d *front.Document) string { return d.Text()[:d.Body()] }

// mapping merges the keys of a mapping; each version may lack it.
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

// keysOf lists the keys of mappings, each once, in their order.
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

// value merges one value, which each version may lack.
func (f *fields) value(path []string, base, first, second *yaml.Node) {
	base, first, second = present(base), present(first), present(second)
	switch {
	case same(first, second):
	case isKind(first, second, yaml.MappingNode):
		f.mapping(path, base, first, second)
	case isKind(first, second, yaml.SequenceNode):
		f.list(path, base, first, second)
	case same(second, base):
	case same(first, base):
		f.put(path, first, second)
	case first == nil || second == nil:
		f.removed(path, first, second)
		if first == nil {
			f.put(path, nil, second)
		}
	default:
		f.contest(path, first, second)
	}
}

// removed tells of a value that one version changed, which stays, and the other
// took out.
func (f *fields) removed(path []string, first, second *yaml.Node) {
	by := f.second
	if first == nil {
		by, first = f.first, second
	}
	f.tell(Told{Key: path, Stands: words(first), Other: takenOut, By: by.By, At: by.At})
}

// contest lets the later of two values stand; of two of the same time, or of no
// known time, the one that is greater by its bytes.
func (f *fields) contest(path []string, first, second *yaml.Node) {
	key := f.called(path)
	byFirst, atFirst := f.first.setter(key)
	bySecond, atSecond := f.second.setter(key)
	t := Told{Key: path, Stands: words(first), Other: words(second), By: bySecond, At: atSecond, row: flow(second)}
	if atSecond.After(atFirst) || atSecond.Equal(atFirst) && flow(second) > flow(first) {
		f.put(path, first, second)
		t = Told{Key: path, Stands: words(second), Other: words(first), By: byFirst, At: atFirst, row: flow(first)}
	}
	t.list, t.name = f.listName(path)
	f.tell(t)
}

// listName returns, for a path within a row of a list, the place of its row's
// number and the row's name.
func (f *fields) listName(path []string) (place int, name string) {
	for i := 1; i < len(path); i++ {
		if _, err := strconv.Atoi(path[i]); err == nil {
			if key := names[path[i-1]]; key != "" {
				if row := at(f.doc.Root(), path[:i+1]); row != nil {
					if v := front.Value(orNone(row), key); v != nil {
						return i, key + ": " + flow(v)
					}
				}
			}
			return i, ""
		}
	}
	return 0, ""
}

// at returns the node at a path; nil for none.
func at(n *yaml.Node, path []string) *yaml.Node {
	for _, key := range path {
		switch {
		case n == nil:
			return nil
		case n.Kind == yaml.SequenceNode:
			i, err := strconv.Atoi(key)
			if err != nil || i >= len(n.Content) {
				return nil
			}
			n = n.Content[i]
		default:
			n = front.Value(orNone(n), key)
		}
	}
	return n
}

// also writes the value that does not stand beside the one that does.
func (f *fields) also(t Told) {
	row := t.row
	for i := len(t.Key) - 1; i >= 0; i-- {
		if t.list > 0 && i == t.list { // a row is known by its name
			if t.name != "" {
				row = "{" + t.name + ", " + strings.TrimPrefix(row, "{")
			}
			continue
		}
		row = "{" + front.Quote(t.Key[i], true) + ": " + row + "}"
	}
	rows := front.Value(orNone(f.doc.Root()), cookfile.AlsoKey)
	n := 0
	if rows != nil && rows.Kind == yaml.SequenceNode {
		n = len(rows.Content)
		for _, old := range rows.Content {
			if o := flow(old); o == row || strings.HasPrefix(o, strings.TrimSuffix(row, "}")+", by: ") || strings.HasPrefix(o, strings.TrimSuffix(row, "}")+", at: ") {
				return
			}
		}
	}
	if row = strings.TrimSuffix(row, "}"); t.By != "" {
		row += ", by: " + front.Quote(t.By, true)
	}
	if !t.At.IsZero() {
		row += ", at: " + t.At.Format(timeLayout)
	}
	f.edit(func(d *front.Document) (*front.Document, error) {
		return d.SetFlow(row+"}", []string{cookfile.AlsoKey, strconv.Itoa(n)})
	})
}

// list merges two lists: rows by their name, other items as a set. What either
// took out is out, what either put in is in.
func (f *fields) list(path []string, base, first, second *yaml.Node) {
	if base != nil && base.Kind != yaml.SequenceNode {
		base = nil
	}
	key := path[len(path)-1]
	was, one, two := rowsOf(key, base), rowsOf(key, first), rowsOf(key, second)
	var out []int // rows of the first that go, by their place
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
			continue // the first took it out
		}
		if b != nil {
			f.removed(append(slices.Clone(path), id), nil, row)
		}
		f.put(append(slices.Clone(path), strconv.Itoa(n)), nil, row)
		n++
	}
	for _, i := range slices.Backward(out) {
		f.edit(func(d *front.Document) (*front.Document, error) {
			return d.Unset(append(slices.Clone(path), strconv.Itoa(i)))
		})
	}
}

// rows are the items of a list under what each is known by.
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
		id := flow(n)
		if name := names[key]; name != "" && n.Kind == yaml.MappingNode {
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

// put writes a value of the second version in place of that of the first; nil
// takes it out.
func (f *fields) put(path []string, first, second *yaml.Node) {
	f.edit(func(d *front.Document) (_ *front.Document, err error) {
		if first != nil && (second == nil || first.Kind != yaml.ScalarNode || second.Kind != yaml.ScalarNode) {
			if d, err = d.Unset(path); err != nil {
				return nil, err
			}
		}
		switch {
		case second == nil:
			return d, nil
		case second.Kind == yaml.ScalarNode:
			return d.Set(second.Value, path)
		case second.Kind == yaml.SequenceNode && len(second.Content) > 0 && first == nil:
			for i, row := range second.Content {
				if d, err = d.SetFlow(flow(row), append(slices.Clone(path), strconv.Itoa(i))); err != nil {
					return nil, err
				}
			}
			return d, nil
		}
		return d.SetFlow(flow(second), path)
	})
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

// present is a value that says something; nil for none.
func present(n *yaml.Node) *yaml.Node {
	if n == nil || front.IsNull(n) {
		return nil
	}
	return n
}

func isKind(a, b *yaml.Node, kind yaml.Kind) bool {
	return a != nil && b != nil && a.Kind == kind && b.Kind == kind
}

// same reports that two values say the same, whatever their style and whatever
// the order of keys and items.
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

// sortedFlow prints the items of a list in order of their bytes.
func sortedFlow(list *yaml.Node) (items []string) {
	for _, n := range list.Content {
		items = append(items, flow(n))
	}
	slices.Sort(items)
	return items
}

// flow prints a value on one line, without its comments.
func flow(n *yaml.Node) string {
	if n == nil {
		return ""
	}
	switch n.Kind {
	case yaml.ScalarNode:
		return front.Quote(n.Value, true)
	case yaml.SequenceNode:
		parts := make([]string, len(n.Content))
		for i, c := range n.Content {
			parts[i] = flow(c)
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case yaml.MappingNode:
		var parts []string
		for i := 0; i+1 < len(n.Content); i += 2 {
			parts = append(parts, front.Quote(n.Content[i].Value, true)+": "+flow(n.Content[i+1]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return ""
}

// words prints a value for a person.
func words(n *yaml.Node) string {
	if n != nil && n.Kind == yaml.ScalarNode {
		return n.Value
	}
	return flow(n)
}
