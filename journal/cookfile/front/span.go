package front

import (
	"strings"

	"ashbook/journal/cookfile/blocks"

	"go.yaml.in/yaml/v4"
)

// end returns the offset after a node. YAML nodes have only their start, so the end is
// found in the text: for quotes their closing quote, for brackets the end of the last
// child, for other scalars the end of their words.
func (d *Document) end(n *yaml.Node) (int, error) {
	at := d.At(n)
	if n.Style&yaml.TaggedStyle != 0 {
		return 0, d.Fail(at, "value with a tag (!): edit it by hand")
	}
	switch {
	case n.Kind == yaml.ScalarNode && isEmpty(n):
		return at, nil
	case n.Kind == yaml.ScalarNode && n.Style&yaml.DoubleQuotedStyle != 0:
		return d.closing(at, '"')
	case n.Kind == yaml.ScalarNode && n.Style&yaml.SingleQuotedStyle != 0:
		return d.closing(at, '\'')
	case n.Kind == yaml.ScalarNode && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		_, content := blocks.LineAt(d.text, at)
		if strings.TrimSpace(n.Value) == "" {
			return trimBreak(d.text, content), nil
		}
		end, err := d.matched(n, content)
		if i := strings.IndexByte(d.text[end:d.close], '\n'); err == nil && i >= 0 {
			end = trimBreak(d.text, end+i+1)
		}
		return end, err
	case n.Kind == yaml.ScalarNode:
		return d.matched(n, at)
	}
	end, err := d.endWithin(n, n.Content)
	if err != nil || n.Style&yaml.FlowStyle == 0 {
		return end, err
	}
	end = d.skip(end, true)
	if end < d.close && strings.IndexByte("]}", d.text[end]) >= 0 {
		return end + 1, nil
	}
	return 0, d.Fail(at, "the end of this value is not found; edit it by hand")
}

// endWithin returns the offset after the last child of a node, or after its opening
// bracket if it has none.
func (d *Document) endWithin(n *yaml.Node, children []*yaml.Node) (int, error) {
	k := len(children)
	switch {
	case k == 0:
		return d.At(n) + 1, nil
	case n.Kind == yaml.MappingNode && isEmpty(children[k-1]):
		end, _, err := d.colon(children[k-2])
		return end, err
	}
	return d.end(children[k-1])
}

// trimBreak moves an offset back over the line end before it.
func trimBreak(text string, off int) int {
	return len(strings.TrimSuffix(strings.TrimSuffix(text[:off], "\n"), "\r"))
}

// closing returns the offset after the quote that closes the one at off.
func (d *Document) closing(off int, quote byte) (int, error) {
	for i := off + 1; i < d.close; i++ {
		switch c := d.text[i]; {
		case c == '\\' && quote == '"':
			i++
		case c == quote && quote == '\'' && d.text[i+1] == '\'':
			i++
		case c == quote:
			return i + 1, nil
		}
	}
	return 0, d.Fail(off, "the end of this value is not found; edit it by hand")
}

const yamlBlanks = " \t\r\n\u0085\u2028\u2029"

// matched returns the offset after the last word of a scalar without escapes. YAML
// folds its blanks and line ends and keeps every other character.
func (d *Document) matched(n *yaml.Node, off int) (int, error) {
	for word := range strings.FieldsFuncSeq(n.Value, func(r rune) bool { return strings.ContainsRune(yamlBlanks, r) }) {
		rest := strings.TrimLeft(d.text[off:d.close], yamlBlanks)
		if !strings.HasPrefix(rest, word) {
			return 0, d.Fail(off, "the end of this value is not found; edit it by hand")
		}
		off = d.close - len(rest) + len(word)
	}
	return off, nil
}

// skip skips blanks, and if lines is set also line ends, comments and commas.
func (d *Document) skip(off int, lines bool) int {
	for off < d.close {
		switch c := d.text[off]; {
		case c == ' ' || c == '\t':
			off++
		case lines && (c == '\n' || c == '\r' || c == ','):
			off++
		case lines && c == '#':
			_, off = blocks.LineAt(d.text, off)
		default:
			return off
		}
	}
	return off
}

// colon returns the offset after the colon of a key; found is false for a key without a
// colon inside braces.
func (d *Document) colon(key *yaml.Node) (off int, found bool, err error) {
	end, err := d.end(key)
	if err != nil {
		return 0, false, err
	}
	if off := d.skip(end, false); d.text[off] == ':' {
		return off + 1, true, nil
	}
	return end, false, nil
}

// lineAfter returns the offset of the line after a node.
func (d *Document) lineAfter(n *yaml.Node) (int, error) {
	end, err := d.end(n)
	if err != nil {
		return 0, err
	}
	_, next := blocks.LineAt(d.text, end)
	return next, nil
}
