// Package front reads a Markdown file with YAML front matter and edits it in place. An
// edit changes only the bytes of one value. The result is parsed again; if it does not
// have the intended value, the edit fails.
package front

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
)

// Limits on what is read. A hand-written cook has less than 100 KB. A larger file is
// something else or an attack on the YAML parser (chosen).
const (
	maxFile  = 4 << 20
	maxLines = 50_000
	maxFront = 64 << 10
	maxDepth = 32
)

const byteOrderMark = "\ufeff"

// Document is a Markdown file with YAML front matter: its text and the offsets of its
// parts. It never changes.
type Document struct {
	path   string
	text   string
	view   string     // text with the first version of every conflict, at the same offsets
	fenced bool       // there is front matter
	yaml   int        // offset of the YAML, after the opening fence
	close  int        // offset of the closing fence
	body   int        // offset of the body
	root   *yaml.Node // mapping of the front matter; nil if it has no keys
	rows   []int      // offset of each line of the YAML

	conflicts []blocks.Conflict // merge conflicts in the text
}

// Version is the version of the file format, the value of VersionKey.
const (
	VersionKey = "ashbook"
	Version    = 1
)

// Read finds the front matter and parses it. It fails with a journal.Problem if the
// text is not UTF-8, or if the front matter is not closed, not YAML, over 64 KB, nested
// too deep, or has a duplicate key, an anchor or an alias.
func Read(path, text string) (*Document, error) {
	d := &Document{path: path, text: text}
	if len(text) > maxFile {
		return nil, journal.Problem{File: path, Text: fmt.Sprintf("file of %d bytes; at most %d are read", len(text), maxFile)}
	}
	if !utf8.ValidString(text) {
		off := firstInvalid(text)
		return nil, d.Fail(off, "byte %d (%#02x) is not UTF-8; save the file as UTF-8", off, text[off])
	}
	if n := strings.Count(text, "\n"); n > maxLines {
		return nil, journal.Problem{File: path, Text: fmt.Sprintf("file of %d lines; at most %d are read", n, maxLines)}
	}
	d.conflicts = blocks.FindConflicts(text)
	d.view = blocks.FirstVersion(text, d.conflicts)
	d.body = len(text) - len(strings.TrimPrefix(text, byteOrderMark))
	if err := d.findFront(); err != nil {
		return nil, err
	}
	if !d.fenced {
		return d, nil
	}
	front := d.view[d.yaml:d.close]
	if i := strings.IndexFunc(front, forbiddenInYAML); i >= 0 {
		r, _ := utf8.DecodeRuneInString(front[i:])
		return nil, d.Fail(d.yaml+i, "control character %U in the front matter; delete it", r)
	}
	d.rows = yamlRows(d.view, d.yaml, d.close)
	if err := d.load(front); err != nil {
		return nil, err
	}
	return d, nil
}

func firstInvalid(s string) int {
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return len(s)
}

// forbiddenInYAML reports whether YAML 1.2 does not allow the character (section 5.1).
func forbiddenInYAML(r rune) bool {
	switch {
	case r < ' ':
		return r != '\t' && r != '\n' && r != '\r'
	case r < 0x7f:
		return false
	}
	return r < 0xa0 && r != 0x85 || r == 0xfffe || r == 0xffff
}

// findFront looks for the fences: lines of three hyphens, the first one on the first
// line that is not blank.
func (d *Document) findFront() error {
	line, next := blocks.LineAt(d.view, d.body)
	open := d.body
	for strings.TrimSpace(line) == "" && next < len(d.view) {
		open = next
		line, next = blocks.LineAt(d.view, next)
	}
	if !isFence(line) {
		return nil
	}
	for off := next; off < len(d.view); {
		line, after := blocks.LineAt(d.view, off)
		if isFence(line) {
			if off-next > maxFront {
				return d.Fail(open, "front matter of %d bytes; at most %d are read", off-next, maxFront)
			}
			d.fenced, d.yaml, d.close, d.body = true, next, off, after
			return nil
		}
		off = after
	}
	return d.Fail(open, "front matter is not closed; expected a line --- after it")
}

func isFence(line string) bool { return strings.TrimRight(line, " \t") == "---" }

// yamlRows returns the offsets of lines as YAML 1.1 counts them: a lone carriage
// return, NEL, LS and PS also end a line.
func yamlRows(text string, from, to int) []int {
	rows := make([]int, 1, 32)
	rows[0] = from
	for i := from; i < to; i++ {
		switch c := text[i]; {
		case c == '\n', c == '\r' && text[i+1] != '\n':
			rows = append(rows, i+1)
		case c == 0xc2 && text[i+1] == 0x85:
			rows = append(rows, i+2)
		case c == 0xe2 && text[i+1] == 0x80 && (text[i+2] == 0xa8 || text[i+2] == 0xa9):
			rows = append(rows, i+3)
		}
	}
	return rows
}

// load parses the front matter into nodes and not into values, so that 0079 stays 0079.
func (d *Document) load(front string) error {
	if root, ok := readPlain(front); ok {
		d.root = root
		return d.checkNode(root, 0)
	}
	return d.loadYAML(front)
}

func (d *Document) loadYAML(front string) error {
	loader, err := yaml.NewLoader(strings.NewReader(front))
	if err != nil {
		return d.Fail(d.yaml, "front matter: %v", err)
	}
	var doc, second yaml.Node
	if err := loader.Load(&doc); err != nil {
		return d.yamlError(err)
	}
	if err := loader.Load(&second); err == nil {
		return d.Fail(d.At(&second), "front matter has a second YAML document; expected one")
	} else if err := d.yamlError(err); err != nil {
		return err
	}
	if len(doc.Content) == 0 || IsNull(doc.Content[0]) {
		return nil
	}
	root := doc.Content[0]
	if root.Kind == yaml.AliasNode || root.Kind != yaml.MappingNode && root.Anchor == "" {
		return d.Fail(d.At(root), "front matter: expected keys such as title: Harvest supper")
	}
	d.root = root
	return d.checkNode(root, 0)
}

// yamlError adds the place in the file to an error of the YAML parser; it returns nil
// at the end of the stream.
func (d *Document) yamlError(err error) error {
	var at *yaml.LoadError
	switch {
	case err.Error() == "EOF":
		return nil
	case !errors.As(err, &at) || at.Mark.Line == 0:
		return d.Fail(d.yaml, "front matter: %v", err)
	}
	off := d.offset(at.Mark.Line, at.Mark.Column)
	if start := strings.LastIndexByte(d.text[:off], '\n') + 1; strings.Contains(d.text[start:off+1], "\t") &&
		strings.TrimLeft(d.text[start:off+1], " \t") == "" {
		return d.Fail(off, "front matter: tab in the indentation; YAML wants spaces")
	}
	text := at.Message
	if at.ContextMsg != "" {
		text = at.ContextMsg + ": " + text
	}
	return d.Fail(off, "front matter: %s", text)
}

// checkNode returns an error for a node that is ambiguous or could grow without limit.
func (d *Document) checkNode(n *yaml.Node, depth int) error {
	switch {
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		return d.Fail(d.At(n), "front matter: anchors (&) and aliases (*) are not read; write the value out")
	case depth > maxDepth:
		return d.Fail(d.At(n), "front matter: nested more than %d deep", maxDepth)
	}
	if n.Kind == yaml.MappingNode {
		if err := d.checkKeys(n); err != nil {
			return err
		}
	}
	for _, c := range n.Content {
		if err := d.checkNode(c, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// checkKeys returns an error for a duplicate key.
func (d *Document) checkKeys(n *yaml.Node) error {
	const few = 32
	var seen map[string]*yaml.Node
	if len(n.Content) > 2*few {
		seen = make(map[string]*yaml.Node, len(n.Content)/2)
	}
	for i := 0; i < len(n.Content); i += 2 {
		k := n.Content[i]
		if k.Kind != yaml.ScalarNode {
			continue
		}
		first := seen[k.Value]
		if seen != nil {
			seen[k.Value] = k
		} else if j := keyIndex(n, k.Value); j < i {
			first = n.Content[j]
		}
		if first != nil {
			line, _ := d.Place(d.At(first))
			return d.Fail(d.At(k), "key %q is there twice, first on line %d; keep one", k.Value, line)
		}
	}
	return nil
}

// Path returns the path the document was read under.
func (d *Document) Path() string { return d.path }

// Text returns the whole text as it was read.
func (d *Document) Text() string { return d.text }

// Body returns the offset of the text below the front matter.
func (d *Document) Body() int { return d.body }

// Fenced reports whether there is front matter.
func (d *Document) Fenced() bool { return d.fenced }

// Conflict returns the problem of the first merge conflict in the text; ok is false if
// there is none.
func (d *Document) Conflict() (p journal.Problem, ok bool) {
	if len(d.conflicts) == 0 {
		return p, false
	}
	return d.undecided(d.conflicts[0], ""), true
}

// Conflicted reports whether the text has a merge conflict.
func (d *Document) Conflicted() bool { return len(d.conflicts) > 0 }

// Outside returns the offsets to try for a line at off, in order: off, or if that is
// inside a conflict, those below and above the conflict.
func (d *Document) Outside(off int) []int {
	for _, c := range d.conflicts {
		switch {
		case !c.Touches(off, off):
		case c.Open:
			return []int{c.From}
		default:
			return []int{c.To, c.From}
		}
	}
	return []int{off}
}

// undecided returns the problem for a conflict. first says what cannot be done because
// of it.
func (d *Document) undecided(c blocks.Conflict, first string) journal.Problem {
	line, _ := d.Place(c.From)
	last, _ := d.Place(max(c.From, c.To-1))
	mark, _ := blocks.LineAt(d.text, c.From)
	text := fmt.Sprintf("%sconflict marker %q: a merge left two versions of lines %d to %d; keep what is right, delete the marker lines, and save", first, mark[:7], line, last)
	if last == line {
		text = fmt.Sprintf("%sconflict marker %q: a merge left it behind; delete the line, and save", first, mark[:7])
	}
	return journal.Problem{File: d.path, Line: line, Col: 1, Warning: first == "", Text: text}
}

// Root returns the mapping of the front matter; nil if it has no keys.
func (d *Document) Root() *yaml.Node { return d.root }

// offset converts a line and column of the YAML parser, from 1 and in runes, to a byte
// offset.
func (d *Document) offset(line, col int) int {
	off := d.rows[min(max(line, 1), len(d.rows))-1]
	for ; col > 1 && off < d.close; col-- {
		_, n := utf8.DecodeRuneInString(d.text[off:])
		off += n
	}
	return off
}

// At returns the offset of a node.
func (d *Document) At(n *yaml.Node) int { return d.offset(n.Line, n.Column) }

// Place returns the line and column of an offset, from 1 and in runes.
func (d *Document) Place(off int) (line, col int) {
	start := strings.LastIndexByte(d.text[:off], '\n') + 1
	if start == 0 && strings.HasPrefix(d.text, byteOrderMark) {
		start = min(len(byteOrderMark), off)
	}
	return strings.Count(d.text[:start], "\n") + 1, utf8.RuneCountInString(d.text[start:off]) + 1
}

// Fail returns an error at an offset of the file.
func (d *Document) Fail(off int, format string, args ...any) error {
	line, col := d.Place(off)
	return journal.Problem{File: d.path, Line: line, Col: col, Text: fmt.Sprintf(format, args...)}
}

// Newline returns the line end used just before off.
func (d *Document) Newline(off int) string {
	if i := strings.LastIndexByte(d.text[:off], '\n'); i > 0 && d.text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// Value returns the value of a key in a mapping; nil if it has none.
func Value(mapping *yaml.Node, key string) *yaml.Node {
	if i := keyIndex(mapping, key); i >= 0 {
		return mapping.Content[i+1]
	}
	return nil
}

// keyIndex returns the index of a key in Content; −1 if it is not there.
func keyIndex(mapping *yaml.Node, key string) int {
	for i := 0; i < len(mapping.Content); i += 2 {
		if k := mapping.Content[i]; k.Kind == yaml.ScalarNode && k.Value == key {
			return i
		}
	}
	return -1
}

// IsNull reports whether a value is missing or is ~ or null.
func IsNull(n *yaml.Node) bool {
	return n == nil || n.Kind == yaml.ScalarNode && n.Tag == "!!null"
}

// isEmpty reports whether nothing at all is written for a value.
func isEmpty(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Value == "" && n.Style == 0
}
