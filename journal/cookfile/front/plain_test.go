package front

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ashbook/samples"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// checkPlain compares with the YAML library: what readPlain accepts, the library must
// read as the same nodes.
func checkPlain(t interface{ Fatalf(string, ...any) }, front string) (accepted bool) {
	got, ok := readPlain(front)
	if !ok {
		return false
	}
	d := &Document{text: front, view: front, close: len(front), rows: yamlRows(front, 0, len(front))}
	if err := d.loadYAML(front); err != nil {
		if checkErr := d.checkNode(got, 0); checkErr == nil || checkErr.Error() != err.Error() {
			t.Fatalf("%q is read; the library says %v", front, err)
		}
		return true
	}
	if d.root == nil {
		t.Fatalf("%q is read; the library finds no keys", front)
	}
	if got, want := nodesOf(got), nodesOf(d.root); got != want {
		t.Fatalf("%q is read as\n%s\nby the library as\n%s", front, got, want)
	}
	return true
}

// nodesOf returns the properties of a tree's nodes that the program uses, one node a
// line; of a tag, only whether it is null.
func nodesOf(n *yaml.Node) string {
	var b strings.Builder
	fmt.Fprintln(&b, n.Kind, n.Style, IsNull(n), fmt.Sprintf("%q", n.Value), n.Line, n.Column, n.Anchor, len(n.Content))
	for _, c := range n.Content {
		b.WriteString(nodesOf(c))
	}
	return b.String()
}

var pieces = []string{
	"a: b\n", "title: Quiz night\n", "heads: 16\n", "hot hold: 60 °C\n", "x:\n", "a:", "\n", " ", "  ", "# c\n", " # c\n", ": ", ":", "- ", "-", "[", "]", "{", "}", ", ", ",", "'", "\"", "\\", "''",
	"é", "°", "~", "null", "yes", "0079", "2024-10-12T19:00+01:00", "-5 °C", "- {raw: 4.8 kg, bone: in}\n", "  - {eater: MB, overall: 8-}\n", "  - x\n", "pieces:\n", "wood: [{kind: oak, mass: 120 g}]\n",
	"aim: {pit: 116 °C, core: 94 °C, wrap: foil at 69 °C}\n", "{}", "[]", "k: {a: [b, c], d: {e: 'f g'}}\n", "\t", "\r\n", "\u2028", "\u0085", "\ufeff", "\x07", "\x00", "\x7f", "\xff", "\ufffe", "\U0001f600", "? ", "& ", "&a ", "*a", "!t ", "|\n", ">\n", "<<: ", "%", "@", "---\n", "...\n", "b", "word", "=", "#",
}

func TestPlainAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkPlain(t, strings.Join(rapid.SliceOfN(rapid.SampledFrom(pieces), 1, 12).Draw(t, "pieces"), ""))
	})
	for _, text := range marked {
		text, _ := unmark(text)
		checkPlain(t, text)
	}
}

// In each text, each two neighbouring bytes are swapped, each byte is removed, and each
// is replaced.
func TestPlainAgreesOnSlips(t *testing.T) {
	text := "title: Quiz: no\nhot hold: 60 °C # x\n\npieces:\n  - {raw: 4.8 kg, own: [a, 'b c']}\n  - {x: -5 °C}\nempty:\nserve: 2024-10-12T19:00+01:00\nl:\n- a\n- \"b\"\nm: {}\n"
	for i := range len(text) {
		checkPlain(t, text[:i]+text[i+1:])
		checkPlain(t, text[:i])
		if i > 0 {
			checkPlain(t, text[:i-1]+text[i:i+1]+text[i-1:i]+text[i+1:])
		}
		for _, c := range "\n\r\t :-,[]{}#&*!|>'\"%@`~a1é=.<?\\" {
			checkPlain(t, text[:i]+string(c)+text[i:])
			checkPlain(t, text[:i]+string(c)+text[i+1:])
		}
	}
}

// Every sample cook is read without the library; otherwise reading ten thousand cooks
// would be slow.
func TestPlainReadsSamples(t *testing.T) {
	n := 0
	err := fs.WalkDir(samples.FS(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || filepath.Ext(name) != ".md" {
			return err
		}
		data, err := fs.ReadFile(samples.FS(), name)
		d, err2 := Read(name, string(data))
		if err != nil || err2 != nil {
			t.Fatal(name, err, err2)
		}
		if n++; d.fenced && !checkPlain(t, d.text[d.yaml:d.close]) {
			t.Errorf("%s is left to the library", name)
		}
		return nil
	})
	if err != nil || n < 50 {
		t.Fatal(n, err)
	}
}

// So are most cooks of other people. ASHBOOK_SHARED names the folder with them.
func TestPlainAgreesOnOthers(t *testing.T) {
	shared := os.Getenv("ASHBOOK_SHARED")
	if shared == "" {
		t.Skip("ASHBOOK_SHARED is not set")
	}
	read, left := 0, []string{}
	err := filepath.WalkDir(shared, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || filepath.Ext(name) != ".md" {
			return nil
		}
		data, err := os.ReadFile(name)
		if d, err2 := Read(name, string(data)); err2 == nil && d.fenced {
			if read++; !checkPlain(t, d.text[d.yaml:d.close]) {
				left = append(left, name)
			}
		}
		return err
	})
	if err != nil || read == 0 {
		t.Fatal(read, err)
	}
	slices.Sort(left)
	t.Logf("%d of %d are left to the library: %q", len(left), read, left)
}

func FuzzPlain(f *testing.F) {
	for _, text := range marked {
		text, _ := unmark(text)
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, front string) {
		if len(front) > 2000 || strings.IndexFunc(front, forbiddenInYAML) >= 0 || firstInvalid(front) < len(front) {
			return
		}
		checkPlain(t, front)
	})
}
