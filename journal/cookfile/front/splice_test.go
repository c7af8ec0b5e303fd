package front

import (
	"strings"
	"testing"
)

func read(t testing.TB, text string) *Document {
	t.Helper()
	d, err := Read("cook.md", text)
	if err != nil {
		t.Fatal(err)
	}
	if d.Text() != text {
		t.Fatalf("text changed to %q", d.Text())
	}
	return d
}

// fenced returns YAML between fences, with a body below that no edit may change.
func fenced(yaml string) string { return "---\n" + yaml + "---\n" + body }

const body = "\n# Notes  \n\n## Timeline\n\n- 2026-09-18T20:10+01:00 on\n"

func TestSet(t *testing.T) {
	for _, test := range []struct {
		name, yaml string
		value      string
		key        string // separated by /
		want       string // the YAML afterwards; "! " and the error if it fails
	}{
		{"plain", "title: Old\nheads: 4\n", "New", "title", "title: New\nheads: 4\n"},
		{"plain, comment and blanks", "title:  Old   # why\nheads: 4\n", "New", "title", "title:  New   # why\nheads: 4\n"},
		{"hash inside", "title: Old#1 # why\n", "New", "title", "title: New # why\n"},
		{"double quoted", "title: \"O\\\"l#d: \\u00e9\" # c\n", "New", "title", "title: New # c\n"},
		{"single quoted", "title: 'it''s # old' # c\n", "New", "title", "title: New # c\n"},
		{"quoted over lines", "title: \"a\n  b\"\nheads: 4\n", "New", "title", "title: New\nheads: 4\n"},
		{"plain over lines", "title: one\n  two   three\n\n  four # c\nheads: 4\n", "New", "title", "title: New # c\nheads: 4\n"},
		{"value on the next line", "title:\n  Old\nheads: 4\n", "New", "title", "title:\n  New\nheads: 4\n"},
		{"literal", "keep: |\n  one\n    two\n\n  three\nheads: 4\n", "New", "keep", "keep: New\nheads: 4\n"},
		{"literal, comment, indent given", "keep: |2- # why\n    one\n  two\nheads: 4\n", "New", "keep", "keep: New # why\nheads: 4\n"},
		{"literal, blank lines kept", "keep: |+\n  one\n\n\nheads: 4\n", "New", "keep", "keep: New\n\n\nheads: 4\n"},
		{"literal, last key", "heads: 4\nkeep: |\n  one\n  two\n", "New", "keep", "heads: 4\nkeep: New\n"},
		{"folded", "keep: >-\n  one\n  two\n\n  three\n# c\nheads: 4\n", "New", "keep", "keep: New\n# c\nheads: 4\n"},
		{"empty literal", "keep: |\nheads: 4\n", "New", "keep", "keep: New\nheads: 4\n"},
		{"empty", "keep:\nheads: 4\n", "New", "keep", "keep: New\nheads: 4\n"},
		{"empty with comment", "keep: # fill in\nheads: 4\n", "New", "keep", "keep: New # fill in\nheads: 4\n"},
		{"empty with blanks", "keep:  \t \nheads: 4\n", "New", "keep", "keep: New  \t \nheads: 4\n"},
		{"empty, last", "heads: 4\nkeep:\n", "New", "keep", "heads: 4\nkeep: New\n"},
		{"tilde", "keep: ~ # c\n", "New", "keep", "keep: New # c\n"},
		{"null", "keep: null\n", "New", "keep", "keep: New\n"},
		{"quoted key", "\"keep\" : Old\n", "New", "keep", "\"keep\" : New\n"},
		{"added", "title: Old\n# last words\n", "New", "keep", "title: Old\n# last words\nkeep: New\n"},
		{"added to nothing", "", "New", "keep", "keep: New\n"},
		{"added to comments", "# only\n", "New", "keep", "# only\nkeep: New\n"},
		{"added, indented", "  title: Old\n", "New", "keep", "  title: Old\n  keep: New\n"},
		{"added after a literal", "keep: |\n  one\n", "New", "title", "keep: |\n  one\ntitle: New\n"},
		{"added in braces at the top", "{title: Old, heads: 4}\n", "New", "keep", "{title: Old, heads: 4, keep: New}\n"},
		{"flow", "aim: {pit: 115 °C, core: 94 °C}\n", "90 °C", "aim/core", "aim: {pit: 115 °C, core: 90 °C}\n"},
		{"flow after words not ASCII", "aim: {püt: °°°, core: 94 °C} # é\n", "90 °C", "aim/core", "aim: {püt: °°°, core: 90 °C} # é\n"},
		{"flow, empty", "aim: {pit:, core: , wrap}\n", "90 °C", "aim/core", "aim: {pit:, core: 90 °C , wrap}\n"},
		{"flow, no colon", "aim: {pit:, core, wrap: foil}\n", "90 °C", "aim/core", "aim: {pit:, core: 90 °C, wrap: foil}\n"},
		{"flow, added", "aim: {pit: 115 °C} # c\n", "90 °C", "aim/core", "aim: {pit: 115 °C, core: 90 °C} # c\n"},
		{"flow, added to none", "aim: { }\n", "90 °C", "aim/core", "aim: {core: 90 °C }\n"},
		{"flow, added after an empty one", "aim: {pit: }\n", "90 °C", "aim/core", "aim: {pit:, core: 90 °C }\n"},
		{"flow over lines", "aim: {\n  pit: 115 °C, # c, {\n  }\n", "90 °C", "aim/core", "aim: {\n  pit: 115 °C, core: 90 °C, # c, {\n  }\n"},
		{"flow, comma inside", "rub: {mix: a}\n", "salt, pepper", "rub/mix", "rub: {mix: \"salt, pepper\"}\n"},
		{"block mapping", "aim:\n  pit: 115 °C\n  core: 94 °C # c\n", "90 °C", "aim/core", "aim:\n  pit: 115 °C\n  core: 90 °C # c\n"},
		{"block mapping, added", "aim:\n    pit: 115 °C # c\n\n# d\nheads: 4\n", "90 °C", "aim/core", "aim:\n    pit: 115 °C # c\n    core: 90 °C\n\n# d\nheads: 4\n"},
		{"block mapping, added after an empty one", "aim:\n  pit: # c\nheads: 4\n", "90 °C", "aim/core", "aim:\n  pit: # c\n  core: 90 °C\nheads: 4\n"},
		{"mapping missing", "heads: 4\n", "90 °C", "aim/core", "heads: 4\naim: {core: 90 °C}\n"},
		{"mapping empty", "aim: # c\nheads: 4\n", "90 °C", "aim/core", "aim: {core: 90 °C} # c\nheads: 4\n"},
		{"mapping tilde", "aim: ~\n", "90 °C", "aim/core", "aim: {core: 90 °C}\n"},
		{"list of flow", "pieces:\n  - {raw: 5 kg}\n  - {raw: 4 kg, x: 1} # c\n", "4.7 kg", "pieces/1/raw", "pieces:\n  - {raw: 5 kg}\n  - {raw: 4.7 kg, x: 1} # c\n"},
		{"list of flow, added key", "pieces:\n  - {raw: 5 kg}\n", "4.7 kg", "pieces/0/trimmed", "pieces:\n  - {raw: 5 kg, trimmed: 4.7 kg}\n"},
		{"list of blocks", "pieces:\n- raw: 5 kg\n  thick: 9 cm\n- raw: 4 kg\n", "4.7 kg", "pieces/0/trimmed", "pieces:\n- raw: 5 kg\n  thick: 9 cm\n  trimmed: 4.7 kg\n- raw: 4 kg\n"},
		{"list, added item", "pieces:\n  - {raw: 5 kg} # c\nheads: 4\n", "4 kg", "pieces/1/raw", "pieces:\n  - {raw: 5 kg} # c\n  - {raw: 4 kg}\nheads: 4\n"},
		{"flow list, added item", "wood: [{kind: oak}]\n", "cherry", "wood/1/kind", "wood: [{kind: oak}, {kind: cherry}]\n"},
		{"flow list, empty", "wood: []\n", "cherry", "wood/0/kind", "wood: [{kind: cherry}]\n"},
		{"list missing", "heads: 4\n", "5 kg", "pieces/0/raw", "heads: 4\npieces:\n  - {raw: 5 kg}\n"},
		{"list empty", "pieces: # c\nheads: 4\n", "5 kg", "pieces/0/raw", "pieces: # c\n  - {raw: 5 kg}\nheads: 4\n"},
		{"list of words", "pieces: [large, small]\n", "big", "pieces/0", "pieces: [big, small]\n"},
		{"list, empty item", "pieces:\n  - {raw: 5 kg}\n  -\n  - # c\nheads: 4\n", "4 kg", "pieces/2/raw", "pieces:\n  - {raw: 5 kg}\n  -\n  - {raw: 4 kg} # c\nheads: 4\n"},
		{"needs quotes", "title: Old\n", "a: b # c", "title", "title: \"a: b # c\"\n"},
		{"needs quotes, null", "title: Old\n", "null", "title", "title: \"null\"\n"},
		{"needs none", "title: Old\n", "0079, yes {x} -1", "title", "title: 0079, yes {x} -1\n"},
		{"line ends", "title: Old\n", "a\nb\\ \"c\"", "title", "title: \"a\\nb\\\\ \\\"c\\\"\"\n"},
		{"emptied", "title: Old\n", "", "title", "title: \"\"\n"},
		{"below zero", "pieces: [{core: 5 °C}]\n", "-5 °C", "pieces/0/core", "pieces: [{core: -5 °C}]\n"},
		{"key to be quoted", "title: Old\n", "x", "a: b", "title: Old\n\"a: b\": x\n"},

		{"a list", "pieces: [{raw: 5 kg}]\n", "x", "pieces", "! cook.md:2:9: pieces has values of its own; name one of them"},
		{"a mapping", "aim: {pit: 115 °C}\n", "x", "aim", "! cook.md:2:6: aim has values of its own; name one of them"},
		{"past the end", "pieces: [{raw: 5 kg}]\n", "x", "pieces/2/raw", "! cook.md:2:9: \"2\" is not an item of this list of 1"},
		{"no list", "pieces: {raw: 5 kg}\n", "x", "pieces/0/raw", "! cook.md:2:9: expected a list here, to edit item 0 of it"},
		{"words for keys", "aim: hot\n", "x", "aim/pit", "! cook.md:2:6: aim is \"hot\" and has no keys; write {pit: …} in its place first"},
		{"tag", "title: !!str 5\n", "x", "title", "! cook.md:2:8: value with a tag (!): edit it by hand"},
		{"no key", "title: Old\n", "x", "", "! cook.md: name the key to set"},
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, crlf := range []bool{false, true} {
				in, want := fenced(test.yaml), fenced(test.want)
				if crlf {
					in, want = strings.ReplaceAll(in, "\n", "\r\n"), strings.ReplaceAll(want, "\n", "\r\n")
				}
				got, err := read(t, in).Set(test.value, strings.Split(test.key, "/"))
				if refused, ok := strings.CutPrefix(test.want, "! "); ok {
					if err == nil || err.Error() != refused {
						t.Errorf("error %v, want %s", err, refused)
					}
					if got != nil {
						t.Error("a refused edit returned a document")
					}
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				if got.Text() != want {
					t.Errorf("got  %q\nwant %q", got.Text(), want)
				}
			}
		})
	}
}

// An edit fails unless, parsed again, only the one value has changed.
func TestConfirmed(t *testing.T) {
	was := read(t, fenced("title: Old\nheads: 4\n"))
	want := with(was.root, []string{"title"}, words("New").node)
	for name, c := range map[string]struct {
		text  string
		taken bool
	}{
		"the one value":       {fenced("title: New\nheads: 4\n"), true},
		"another as well":     {fenced("title: New\nheads: 5\n"), false},
		"a key more":          {fenced("title: New\nheads: 4\nkeep: x\n"), false},
		"a key less":          {fenced("title: New\n"), false},
		"to something else":   {fenced("title: Newer\nheads: 4\n"), false},
		"to another type":     {fenced("title: [New]\nheads: 4\n"), false},
		"not at all":          {was.Text(), false},
		"the body as well":    {fenced("title: New\nheads: 4\n") + "- off\n", false},
		"the keys' own order": {fenced("heads: 4\ntitle: New\n"), false},
	} {
		got, err := was.confirmed(read(t, c.text), want)
		if c.taken != (err == nil) || c.taken != (got != nil) {
			t.Errorf("%s: %v", name, err)
		}
		if err != nil && !strings.Contains(err.Error(), "would change more than the one value") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestUnset(t *testing.T) {
	for _, test := range []struct{ name, yaml, key, want string }{
		{"line", "title: Old # c\nheads: 4\n", "title", "heads: 4\n"},
		{"last line", "title: Old\nheads: 4\n", "heads", "title: Old\n"},
		{"only line", "title: Old\n", "title", ""},
		{"empty value", "title: # c\nheads: 4\n", "title", "heads: 4\n"},
		{"literal", "keep: |\n  one\n\n  two\n# d\nheads: 4\n", "keep", "# d\nheads: 4\n"},
		{"over lines", "keep: one\n  two\nheads: 4\n", "keep", "heads: 4\n"},
		{"list", "pieces:\n  - {raw: 5 kg}\n  - {raw: 4 kg}\nheads: 4\n", "pieces", "heads: 4\n"},
		{"item", "pieces:\n  - {raw: 5 kg} # c\n  - {raw: 4 kg}\n", "pieces/0", "pieces:\n  - {raw: 4 kg}\n"},
		{"block item", "pieces:\n- raw: 5 kg\n  thick: 9 cm\n- raw: 4 kg\n", "pieces/0", "pieces:\n- raw: 4 kg\n"},
		{"only item", "pieces:\n  - {raw: 5 kg}\n", "pieces/0", "pieces:\n"},
		{"flow item", "wood: [oak, cherry, ash]\n", "wood/1", "wood: [oak, ash]\n"},
		{"flow item, last", "wood: [oak, cherry]\n", "wood/1", "wood: [oak]\n"},
		{"flow item, only", "wood: [oak]\n", "wood/0", "wood: []\n"},
		{"flow key", "aim: {pit: 115 °C, core: 90 °C}\n", "aim/pit", "aim: {core: 90 °C}\n"},
		{"flow key, last", "aim: {pit: 115 °C, core: 90 °C} # c\n", "aim/core", "aim: {pit: 115 °C} # c\n"},
		{"flow key, empty", "aim: {pit: , core}\n", "aim/core", "aim: {pit:}\n"},
		{"block key", "aim:\n  pit: 115 °C\n  core: 90 °C\n", "aim/pit", "aim:\n  core: 90 °C\n"},
		{"first key of an item", "pieces:\n  - raw: 5 kg\n    thick: 9 cm\n", "pieces/0/raw", "pieces:\n  - thick: 9 cm\n"},
		{"only key of an item", "pieces:\n  - raw: 5 kg # c\n", "pieces/0/raw", "pieces:\n  - {} # c\n"},
		{"missing", "title: Old\n", "keep", "title: Old\n"},
		{"missing below", "title: Old\n", "aim/pit", "title: Old\n"},
		{"below words", "title: Old\n", "title/pit", "title: Old\n"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := read(t, fenced(test.yaml)).Unset(strings.Split(test.key, "/"))
			if err != nil {
				t.Fatal(err)
			}
			if got.Text() != fenced(test.want) {
				t.Errorf("got  %q\nwant %q", got.Text(), fenced(test.want))
			}
		})
	}
}
