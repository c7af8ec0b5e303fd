package front

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"ashbook/journal"
)

// broken are texts that cannot be read, each with the error expected.
var broken = []struct{ name, text, want string }{
	{"not closed", "---\ntitle: x\n", "1:1: front matter is not closed; expected a line --- after it"},
	{"not closed, blank lines above", "\n \n---\ntitle: x\n", "3:1: front matter is not closed; expected a line --- after it"},
	{"front matter too long", "---\nkeep: " + strings.Repeat("a", 65536) + "\n---\n", "1:1: front matter of 65543 bytes; at most 65536 are read"},
	{"not UTF-8 above", "---\ntitle: é\xff\n---\n", "2:9: byte 13 (0xff) is not UTF-8; save the file as UTF-8"},
	{"not UTF-8 below", "---\ntitle: x\n---\r\nhé\xe9", "4:3: byte 21 (0xe9) is not UTF-8; save the file as UTF-8"},
	{"not UTF-8 after a mark", "\ufeffé\x80", "1:2: byte 5 (0x80) is not UTF-8; save the file as UTF-8"},
	{"key twice", "---\ntitle: x\ncut: y\ntitle: z\n---\n", "4:1: key \"title\" is there twice, first on line 2; keep one"},
	{"key twice in braces", "---\naim: {pit: 1, pit: 2}\n---\n", "2:15: key \"pit\" is there twice, first on line 2; keep one"},
	{"unknown key twice", "---\nown:\n  - a: 1\n    a: 2\n---\n", "4:5: key \"a\" is there twice, first on line 3; keep one"},
	{"key twice among many", "---\n" + numberedKeys(40) + "k7: 1\n---\n", "42:1: key \"k7\" is there twice, first on line 9; keep one"},
	{"anchors", "---\na: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n---\n", "2:4: front matter: anchors (&) and aliases (*) are not read; write the value out"},
	{"anchor at the top", "---\n&a\ntitle: x\n---\n", "2:1: front matter: anchors (&) and aliases (*) are not read; write the value out"},
	{"alias to nothing", "---\na: *b\n---\n", "2:4: front matter: unknown anchor 'b' referenced"},
	{"tab in the indentation", "---\npieces:\n\t- {name: x}\n---\n", "3:1: front matter: tab in the indentation; YAML wants spaces"},
	{"tab first", "---\n\ttitle: x\n---\n", "2:1: front matter: tab in the indentation; YAML wants spaces"},
	{"a list", "---\n- a\n---\n", "2:1: front matter: expected keys such as title: Harvest supper"},
	{"words", "---\nhello\n---\n", "2:1: front matter: expected keys such as title: Harvest supper"},
	{"two documents", "---\na: b\n...\nc: d\n---\n", "4:1: front matter has a second YAML document; expected one"},
	{"broken second document", "---\na: b\n...\n]\n---\n", "4:1: front matter: while parsing a block node: did not find expected node content"},
	{"bracket not closed", "---\na: [1, 2\nb: 3\n---\n", "3:2: front matter: while parsing a flow sequence: did not find expected ',' or ']'"},
	{"colon in words", "---\ntitle: supper: the second\n---\n", "2:14: front matter: mapping values are not allowed in this context"},
	{"control character", "---\ntitle: é\x01\n---\n", "2:9: control character U+0001 in the front matter; delete it"},
	{"nested deep", "---\na: " + strings.Repeat("[", 50) + strings.Repeat("]", 50) + "\n---\n", "2:36: front matter: nested more than 32 deep"},
	{"nested without end", "---\na: " + strings.Repeat("[", 60000) + "\n---\n", "2:10004: front matter: while increasing flow level: exceeded max depth of 10000"},
}

func numberedKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "k%d: x\n", i)
	}
	return b.String()
}

func TestBroken(t *testing.T) {
	for _, test := range broken {
		t.Run(test.name, func(t *testing.T) {
			d, err := Read("cook.md", test.text)
			var p journal.Problem
			if !errors.As(err, &p) || p.Warning || d != nil {
				t.Fatalf("error is %#v", err)
			}
			if got, want := err.Error(), "cook.md:"+test.want; got != want {
				t.Errorf("got  %s\nwant %s", got, want)
			}
		})
	}
	_, err := Read("cook.md", strings.Repeat("\x00", 4<<20+1))
	if want := "cook.md: file of 4194305 bytes; at most 4194304 are read"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}
