package front

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// plain parses front matter in the form of most cooks, several times as fast as the
// YAML library: keys of letters, each with one value on its line or a list on the lines
// below. It gives up if it is not sure.
type plain struct {
	line  string
	row   int  // number of the line, from 1
	ascii bool // the line is all ASCII
	sure  bool

	nodes []yaml.Node // spare nodes
	stack []*yaml.Node
}

// readPlain returns the mapping of the front matter as the YAML library reads it, with
// tags only on nulls. ok is false if the library must read it.
func readPlain(front string) (root *yaml.Node, ok bool) {
	if !plainText(front) {
		return nil, false
	}
	p := &plain{sure: true}
	var list int      // index on the stack of the current list's first item
	var of *yaml.Node // value of the list's key, still empty; nil if no value is missing
	indent := -1      // indentation of the list's items; -1 if it has none yet
	for text := range strings.Lines(front) {
		p.line = strings.TrimRight(text, " \n")
		p.row++
		at := len(p.line) - len(strings.TrimLeft(p.line, " "))
		if at == len(p.line) || p.line[at] == '#' {
			continue
		}
		p.ascii = isASCII(p.line)
		if of != nil && strings.HasPrefix(p.line[at:], "- ") && (indent < 0 || at == indent) {
			if indent < 0 {
				indent, list = at, len(p.stack)
				of.Kind, of.Tag = yaml.SequenceNode, ""
				of.Line, of.Column = p.row, at+1
			}
			if !p.ended(p.value(p.blanks(at+1), "")) {
				return nil, false
			}
			continue
		}
		if indent >= 0 {
			of.Content = p.taken(list)
		}
		of, indent = nil, -1
		if at > 0 {
			return nil, false
		}
		if at = p.key(0); !p.sure {
			return nil, false
		}
		if p.ended(at) {
			of = p.scalar(at, "", 0)
		} else if !p.ended(p.value(p.blanks(at), "")) {
			return nil, false
		}
	}
	if indent >= 0 {
		of.Content = p.taken(list)
	}
	if len(p.stack) == 0 {
		return nil, false
	}
	root = p.node(yaml.MappingNode, 0)
	root.Content = p.taken(0)
	root.Line = root.Content[0].Line
	return root, true
}

// plainText reports whether text has only characters that YAML allows, and no tab, byte
// order mark or line end other than a line feed.
func plainText(s string) bool {
	for _, r := range s {
		switch {
		case r == '\n', ' ' <= r && r < 0x7f, 0xa0 <= r && r < 0x2028, 0x2029 < r && r < 0xd800, 0xe000 <= r && r < 0xfeff:
		default:
			return false
		}
	}
	return true
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// node returns an empty node that begins at an offset of the line.
func (p *plain) node(kind yaml.Kind, at int) *yaml.Node {
	if len(p.nodes) == 0 {
		p.nodes = make([]yaml.Node, 48)
	}
	n := &p.nodes[0]
	p.nodes = p.nodes[1:]
	n.Kind, n.Line, n.Column = kind, p.row, at+1
	if !p.ascii {
		n.Column = utf8.RuneCountInString(p.line[:at]) + 1
	}
	return n
}

// scalar puts a scalar on the stack.
func (p *plain) scalar(at int, value string, style yaml.Style) *yaml.Node {
	n := p.node(yaml.ScalarNode, at)
	n.Value, n.Style = value, style
	if style == 0 {
		switch value {
		case "", "~", "null", "Null", "NULL":
			n.Tag = "!!null"
		}
	}
	p.stack = append(p.stack, n)
	return n
}

// taken removes the nodes from index from on from the stack and returns them.
func (p *plain) taken(from int) []*yaml.Node {
	out := append([]*yaml.Node(nil), p.stack[from:]...)
	p.stack = p.stack[:from]
	return out
}

func (p *plain) blanks(at int) int {
	for at < len(p.line) && p.line[at] == ' ' {
		at++
	}
	return at
}

// ended reports whether only a comment follows an offset of the line.
func (p *plain) ended(at int) bool {
	if at < 0 {
		return false
	}
	next := p.blanks(at)
	return next == len(p.line) || next > at && p.line[next] == '#'
}

// unsure records that the YAML library must read the text.
func (p *plain) unsure() int {
	p.sure = false
	return -1
}

// longestKey is the length of the longest key read here, in bytes. YAML allows 1,024.
const longestKey = 200

// key pushes a key on the stack and returns the offset after its colon, which a blank
// or the line end must follow.
func (p *plain) key(at int) int {
	for i := at; i < len(p.line) && i-at < longestKey; i++ {
		switch c := p.line[i]; {
		case 'a' <= c|0x20 && c|0x20 <= 'z', c >= utf8.RuneSelf:
		case i > at && ('0' <= c && c <= '9' || c == ' ' || c == '-' || c == '_'):
		case i > at && c == ':' && p.line[i-1] != ' ' && (i+1 == len(p.line) || p.line[i+1] == ' '):
			p.scalar(at, p.line[at:i], 0)
			return i + 1
		default:
			return p.unsure()
		}
	}
	return p.unsure()
}

// value pushes the value at an offset on the stack and returns the offset of its end;
// -1 if it gives up. Inside braces or brackets the value ends before a comma or a
// closing one; ends is that closing one, "" outside.
func (p *plain) value(at int, ends string) int {
	if at >= len(p.line) {
		return p.unsure()
	}
	switch c := p.line[at]; c {
	case '{':
		return p.flow(yaml.MappingNode, at, "}")
	case '[':
		return p.flow(yaml.SequenceNode, at, "]")
	case '"', '\'':
		n := strings.IndexByte(p.line[at+1:], c)
		if n < 0 || strings.IndexByte(p.line[at+1:at+1+n], '\\') >= 0 {
			return p.unsure()
		}
		style := yaml.DoubleQuotedStyle
		if c == '\'' {
			style = yaml.SingleQuotedStyle
		}
		p.scalar(at, p.line[at+1:at+1+n], style)
		return at + n + 2
	}
	end := len(p.line)
	if ends == "" {
		if i := strings.Index(p.line[at:], " #"); i >= 0 {
			end = at + i
		}
	} else if i := strings.IndexAny(p.line[at:], ",[]{}"); i >= 0 {
		end = at + i
	}
	words := strings.TrimRight(p.line[at:end], " ")
	if !plainWords(words) {
		return p.unsure()
	}
	p.scalar(at, words, 0)
	return at + len(words)
}

// plainWords reports whether YAML reads the words unchanged without quotes.
func plainWords(s string) bool {
	if s == "" {
		return false
	}
	switch c := s[0]; {
	case 'a' <= c|0x20 && c|0x20 <= 'z', '0' <= c && c <= '9', c >= utf8.RuneSelf:
	case c == '-' && len(s) > 1 && '0' <= s[1] && s[1] <= '9':
	default:
		return false
	}
	for i := range len(s) {
		if s[i] == ':' && (i+1 == len(s) || s[i+1] == ' ') || s[i] == '#' && s[i-1] == ' ' {
			return false
		}
	}
	return true
}

// flow pushes a mapping in braces or a list in brackets on the stack.
func (p *plain) flow(kind yaml.Kind, at int, ends string) int {
	n, from := p.node(kind, at), len(p.stack)
	n.Style = yaml.FlowStyle
	for at = p.blanks(at + 1); ; at = p.blanks(at + 1) {
		if len(p.stack) == from && at < len(p.line) && p.line[at] == ends[0] {
			break
		}
		if kind == yaml.MappingNode {
			if at = p.key(at); !p.sure {
				return -1
			}
			at = p.blanks(at)
		}
		if at = p.value(at, ends); !p.sure {
			return -1
		}
		if at = p.blanks(at); at == len(p.line) || p.line[at] != ',' && p.line[at] != ends[0] {
			return p.unsure()
		}
		if p.line[at] == ends[0] {
			break
		}
	}
	n.Content = p.taken(from)
	p.stack = append(p.stack, n)
	return at + 1
}
