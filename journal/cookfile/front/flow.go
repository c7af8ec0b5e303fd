package front

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// At returns the value at a path below n; nil for none. An item of a list is given by
// its number.
func At(n *yaml.Node, path []string) *yaml.Node {
	for _, key := range path {
		switch {
		case n == nil:
			return nil
		case n.Kind == yaml.SequenceNode:
			i, err := strconv.Atoi(key)
			if err != nil || i < 0 || i >= len(n.Content) {
				return nil
			}
			n = n.Content[i]
		case n.Kind == yaml.MappingNode:
			n = Value(n, key)
		default:
			return nil
		}
	}
	return n
}

// Flow formats a value on one line, without comments; "" for nil.
func Flow(n *yaml.Node) string {
	if n == nil {
		return ""
	}
	switch n.Kind {
	case yaml.ScalarNode:
		return Quote(n.Value, true)
	case yaml.SequenceNode:
		parts := make([]string, len(n.Content))
		for i, c := range n.Content {
			parts[i] = Flow(c)
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case yaml.MappingNode:
		var parts []string
		for i := 0; i+1 < len(n.Content); i += 2 {
			parts = append(parts, Quote(n.Content[i].Value, true)+": "+Flow(n.Content[i+1]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return ""
}

// Words formats a value as it is shown to the user; "" for nil.
func Words(n *yaml.Node) string {
	if n != nil && n.Kind == yaml.ScalarNode {
		return n.Value
	}
	return Flow(n)
}

// Replace replaces the value at a path, of whatever kind, by v; nil removes it. If
// there is no value, it adds it; a list then gets its own lines.
func (d *Document) Replace(v *yaml.Node, path []string) (_ *Document, err error) {
	is := At(d.root, path)
	if is != nil && (v == nil || is.Kind != yaml.ScalarNode || v.Kind != yaml.ScalarNode) {
		if d, err = d.Unset(path); err != nil {
			return nil, err
		}
	}
	switch {
	case v == nil:
		return d, nil
	case v.Kind == yaml.ScalarNode:
		return d.Set(v.Value, path)
	case v.Kind == yaml.SequenceNode && len(v.Content) > 0 && is == nil:
		for i, row := range v.Content {
			if d, err = d.SetFlow(Flow(row), append(path[:len(path):len(path)], strconv.Itoa(i))); err != nil {
				return nil, err
			}
		}
		return d, nil
	}
	return d.SetFlow(Flow(v), path)
}
