package front

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ashbook/journal/cookfile/blocks"

	"go.yaml.in/yaml/v4"
)

// Splice replaces the bytes from … to by text and parses the result. It fails inside a
// conflict: whoever resolves that may drop the version with the change.
func (d *Document) Splice(from, to int, text string) (*Document, error) {
	for _, c := range d.conflicts {
		if c.Touches(from, to) {
			return nil, d.undecided(c, "not changed: ")
		}
	}
	return Read(d.path, d.text[:from]+text+d.text[to:])
}

// index parses a key as the index of a list item.
func index(key string) (int, bool) {
	n, err := strconv.Atoi(key)
	return n, err == nil && n >= 0 && strconv.Itoa(n) == key
}

// value is a value to write: its text inside braces, its text outside, and the node
// that must be read back.
type value struct {
	text func(flow bool) string
	node *yaml.Node
}

func words(s string) value {
	return value{
		text: func(flow bool) string { return Quote(s, flow) },
		node: &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s},
	}
}

// Set writes words at a path and returns the document parsed again. Missing keys are
// added: at the top level as a line before the closing fence, below it inside braces. A
// document without front matter gets some. The words are quoted only if YAML needs it.
// It fails for a list or mapping.
func (d *Document) Set(s string, path []string) (*Document, error) {
	return d.put(words(s), path)
}

// SetFlow does what Set does, for YAML in flow style, such as {kind: oak}.
func (d *Document) SetFlow(flow string, path []string) (*Document, error) {
	var want yaml.Node
	if err := yaml.Load([]byte(flow), &want); err != nil {
		return nil, d.Fail(d.yaml, "value %q: %v", flow, err)
	}
	return d.put(value{func(bool) string { return flow }, want.Content[0]}, path)
}

func (d *Document) put(v value, path []string) (*Document, error) {
	if len(path) == 0 || slices.Contains(path, "") {
		return nil, fmt.Errorf("%s: name the key to set", d.path)
	}
	if !d.fenced {
		var err error
		if d, err = d.fence(); err != nil {
			return nil, err
		}
	}
	if err := d.decided(); err != nil {
		return nil, err
	}
	edited, err := d.putText(v, path)
	if err != nil {
		return nil, err
	}
	return d.confirmed(edited, with(d.root, path, v.node))
}

// decided returns an error if the front matter has a conflict.
func (d *Document) decided() error {
	if len(d.conflicts) > 0 && d.conflicts[0].From < d.body {
		return d.undecided(d.conflicts[0], "not changed: ")
	}
	return nil
}

// fence adds front matter above a text that has none.
func (d *Document) fence() (*Document, error) {
	nl := d.Newline(len(d.text))
	front := []string{"---", VersionKey + ": " + strconv.Itoa(Version), "---", ""}
	if line, _ := blocks.LineAt(d.text, d.body); line != "" {
		front = append(front, "")
	}
	return d.Splice(d.body, d.body, strings.Join(front, nl))
}

// confirmed returns the edited document if it has the wanted front matter and the same
// body, and an error if not.
func (d *Document) confirmed(edited *Document, want *yaml.Node) (*Document, error) {
	if edited.text[edited.body:] != d.text[d.body:] || !sameNode(edited.root, want) {
		return nil, d.Fail(d.yaml, "the edit would change more than the one value; make it by hand")
	}
	return edited, nil
}

func (d *Document) putText(v value, path []string) (*Document, error) {
	if d.root == nil {
		return d.Splice(d.close, d.close, d.entry(v, path, 0, d.Newline(d.close)))
	}
	n, flow := d.root, false
	for depth, key := range path {
		flow = flow || n.Style&yaml.FlowStyle != 0
		var next *yaml.Node
		switch n.Kind {
		case yaml.MappingNode:
			i := keyIndex(n, key)
			if i < 0 {
				return d.addKey(n, v, path[depth:])
			}
			next = n.Content[i+1]
			if isEmpty(next) {
				return d.fill(n.Content[i], v, path[depth+1:], flow)
			}
		case yaml.SequenceNode:
			i, ok := index(key)
			if !ok || i > len(n.Content) {
				return nil, d.Fail(d.At(n), "%q is not an item of this list of %d", key, len(n.Content))
			}
			if i == len(n.Content) {
				return d.addItem(n, v, path[depth+1:])
			}
			if next = n.Content[i]; isEmpty(next) {
				off := d.At(next)
				return d.Splice(off, off, " "+nested(v, path[depth+1:], flow))
			}
		}
		if depth < len(path)-1 && next.Kind == yaml.ScalarNode && !IsNull(next) {
			return nil, d.Fail(d.At(next), "%s is %q and has no keys; write {%s: …} in its place first", key, next.Value, path[depth+1])
		}
		if next.Kind == yaml.ScalarNode {
			return d.replace(next, nested(v, path[depth+1:], flow))
		}
		n = next
	}
	return nil, d.Fail(d.At(n), "%s has values of its own; name one of them", path[len(path)-1])
}

// replace replaces a scalar by text. A comment on the first line of a block scalar
// stays.
func (d *Document) replace(n *yaml.Node, text string) (*Document, error) {
	at := d.At(n)
	end, err := d.end(n)
	if err != nil {
		return nil, err
	}
	if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		head, _ := blocks.LineAt(d.text, at)
		if i := strings.Index(head, " #"); i >= 0 {
			text += head[i:]
		}
	}
	return d.Splice(at, end, text)
}

// fill adds a value after the colon of a key that has none.
func (d *Document) fill(key *yaml.Node, v value, rest []string, flow bool) (*Document, error) {
	off, found, err := d.colon(key)
	if err != nil {
		return nil, err
	}
	if !found && !flow {
		return nil, d.Fail(off, "key %q without a colon: edit it by hand", key.Value)
	}
	if len(rest) > 0 && rest[0] == "0" && !flow {
		_, next := blocks.LineAt(d.text, off)
		nl := d.Newline(next)
		return d.Splice(next, next, d.item(v, rest[1:], key.Column+1, nl))
	}
	text := " " + nested(v, rest, flow)
	if !found {
		text = ":" + text
	}
	return d.Splice(off, off, text)
}

// addKey adds a key to a mapping: as a line, or inside the braces.
func (d *Document) addKey(n *yaml.Node, v value, path []string) (*Document, error) {
	if _, ok := index(path[0]); ok {
		return nil, d.Fail(d.At(n), "expected a list here, to edit item %s of it", path[0])
	}
	if n.Style&yaml.FlowStyle != 0 {
		return d.addInside(n, Quote(path[0], true)+": "+nested(v, path[1:], true))
	}
	if n == d.root {
		return d.Splice(d.close, d.close, d.entry(v, path, n.Column-1, d.Newline(d.close)))
	}
	off, err := d.lineAfter(n)
	if err != nil {
		return nil, err
	}
	return d.Splice(off, off, d.entry(v, path, n.Column-1, d.Newline(off)))
}

// addItem adds an item to a list: as a line, or inside the brackets.
func (d *Document) addItem(n *yaml.Node, v value, rest []string) (*Document, error) {
	if n.Style&yaml.FlowStyle != 0 {
		return d.addInside(n, nested(v, rest, true))
	}
	off, err := d.lineAfter(n)
	if err != nil {
		return nil, err
	}
	return d.Splice(off, off, d.item(v, rest, n.Column-1, d.Newline(off)))
}

// addInside adds text inside braces or brackets.
func (d *Document) addInside(n *yaml.Node, text string) (*Document, error) {
	if len(n.Content) == 0 {
		off := d.At(n) + 1
		return d.Splice(off, off, text)
	}
	off, err := d.endWithin(n, n.Content)
	if err != nil {
		return nil, err
	}
	return d.Splice(off, off, ", "+text)
}

// entry returns the lines of a new key.
func (d *Document) entry(v value, path []string, indent int, nl string) string {
	head := strings.Repeat(" ", indent) + Quote(path[0], false) + ":"
	if len(path) > 1 && path[1] == "0" {
		return head + nl + d.item(v, path[2:], indent+2, nl)
	}
	return head + " " + nested(v, path[1:], false) + nl
}

// item returns the line of a new list item.
func (d *Document) item(v value, rest []string, indent int, nl string) string {
	return strings.Repeat(" ", indent) + "- " + nested(v, rest, false) + nl
}

// nested returns a value inside the braces and brackets of its path.
func nested(v value, path []string, flow bool) string {
	switch {
	case len(path) == 0:
		return v.text(flow)
	case path[0] == "0":
		return "[" + nested(v, path[1:], true) + "]"
	}
	return "{" + Quote(path[0], true) + ": " + nested(v, path[1:], true) + "}"
}

// with returns the tree with v at a path; nil removes the path. Unchanged parts are
// shared with n.
func with(n *yaml.Node, path []string, v *yaml.Node) *yaml.Node {
	if len(path) == 0 {
		return v
	}
	out := yaml.Node{Kind: yaml.MappingNode}
	if !IsNull(n) {
		out = *n
		out.Content = slices.Clone(n.Content)
	} else if _, ok := index(path[0]); ok {
		out.Kind = yaml.SequenceNode
	}
	i, width, ok := step(&out, path[0])
	switch {
	case ok:
	case out.Kind == yaml.MappingNode:
		i, width = len(out.Content), 2
		out.Content = append(out.Content, words(path[0]).node, nil)
	default:
		i, width = len(out.Content), 1
		out.Content = append(out.Content, nil)
	}
	if child := with(out.Content[i+width-1], path[1:], v); child != nil {
		out.Content[i+width-1] = child
	} else {
		out.Content = slices.Delete(out.Content, i, i+width)
	}
	return &out
}

// sameNode reports whether two trees mean the same, however written. Nil and an empty
// mapping or list are the same.
func sameNode(a, b *yaml.Node) bool {
	none := func(n *yaml.Node) bool {
		return IsNull(n) || n.Kind != yaml.ScalarNode && len(n.Content) == 0
	}
	if none(a) || none(b) {
		return none(a) && none(b)
	}
	return a.Kind == b.Kind && a.Value == b.Value && slices.EqualFunc(a.Content, b.Content, sameNode)
}

// step returns the index in Content of the child for a key, and its number of nodes:
// two for a key and its value, one for an item. ok is false if there is none.
func step(n *yaml.Node, key string) (i, width int, ok bool) {
	switch {
	case n == nil:
		return 0, 0, false
	case n.Kind == yaml.MappingNode:
		i, width = keyIndex(n, key), 2
		return i, width, i >= 0
	case n.Kind == yaml.SequenceNode:
		i, ok = index(key)
		return i, 1, ok && i < len(n.Content)
	}
	return 0, 0, false
}

// Holds reports whether the value at a path is exactly words.
func (d *Document) Holds(path []string, words string) bool {
	n := d.root
	for _, key := range path {
		i, width, ok := step(n, key)
		if !ok {
			return false
		}
		n = n.Content[i+width-1]
	}
	return n.Kind == yaml.ScalarNode && !IsNull(n) && n.Value == words
}

// Unset removes the value at a path and returns the document parsed again. If there is
// none, the document is unchanged.
func (d *Document) Unset(path []string) (*Document, error) {
	if len(path) == 0 {
		return nil, fmt.Errorf("%s: name the key to delete", d.path)
	}
	parent, n := d.root, d.root
	var i, width int
	for _, key := range path {
		var ok bool
		if i, width, ok = step(n, key); !ok {
			return d, nil
		}
		parent, n = n, n.Content[i+width-1]
	}
	if err := d.decided(); err != nil {
		return nil, err
	}
	from, to, text, err := d.without(parent, i, width)
	if err != nil {
		return nil, err
	}
	edited, err := d.Splice(from, to, text)
	if err != nil {
		return nil, err
	}
	return d.confirmed(edited, with(d.root, path, nil))
}

// without returns the range of bytes to replace in order to remove child i of a node,
// and the text to replace them by.
func (d *Document) without(parent *yaml.Node, i, width int) (from, to int, text string, err error) {
	from = d.At(parent.Content[i])
	if to, err = d.endWithin(parent, parent.Content[i:i+width]); err != nil {
		return 0, 0, "", err
	}
	flow, last := parent.Style&yaml.FlowStyle != 0, i+width == len(parent.Content)
	lineStart := strings.LastIndexByte(d.text[:from], '\n') + 1
	lead := strings.TrimLeft(d.text[lineStart:from], " ")
	switch {
	case flow && !last || !flow && width == 2 && lead != "" && !last:
		return from, d.At(parent.Content[i+width]), "", nil
	case flow && i > 0:
		from, err = d.endWithin(parent, parent.Content[:i])
		return from, to, "", err
	case flow:
		return from, to, "", nil
	case width == 2 && lead != "":
		return from, to, "{}", nil
	case width == 1 && strings.TrimRight(lead, " ") != "-":
		return 0, 0, "", d.Fail(from, "item of a list: delete it by hand")
	}
	_, to = blocks.LineAt(d.text, to)
	return lineStart, to, "", nil
}
