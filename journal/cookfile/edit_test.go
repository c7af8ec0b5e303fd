package cookfile

import (
	"strings"
	"testing"

	"ashbook/journal"
)

// fenced returns YAML between fences, with a body below that no edit may change.
func fenced(yaml string) string { return "---\n" + yaml + "---\n" + body }

const body = "\n# Notes  \n\n## Timeline\n\n- 2026-09-18T20:10+01:00 on\n"

func TestSetWithoutFrontMatter(t *testing.T) {
	f, err := Parse("cook.md", []byte("\ufeff# Notes\r\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	f, err = f.Set("Harvest supper", "title")
	if err != nil {
		t.Fatal(err)
	}
	const want = "\ufeff---\r\nashbook: 1\r\ntitle: Harvest supper\r\n---\r\n\r\n# Notes\r\n"
	if string(f.Bytes()) != want {
		t.Errorf("got %q", f.Bytes())
	}
}

func TestZeroFileTakesNoEdit(t *testing.T) {
	var f File
	if f.Bytes() != nil {
		t.Error("the zero File holds text")
	}
	for name, edit := range map[string]func() (File, error){
		"Set":          func() (File, error) { return f.Set("x", "title") },
		"Unset":        func() (File, error) { return f.Unset("title") },
		"AddEntry":     func() (File, error) { return f.AddEntry(noted(t, "2026-09-18T19:05+01:00", "lit")) },
		"ReplaceEntry": func() (File, error) { return f.ReplaceEntry(0, noted(t, "2026-09-18T19:05+01:00", "lit")) },
		"RemoveEntry":  func() (File, error) { return f.RemoveEntry(0) },
		"PutTaste":     func() (File, error) { return f.PutTaste(journal.Taste{Eater: "RT"}) },
	} {
		if _, err := edit(); err == nil {
			t.Errorf("%s on the zero File gave no error", name)
		}
	}
}

func TestPutTaste(t *testing.T) {
	score := func(s string) journal.Score {
		sc, err := journal.ParseScore(s)
		if err != nil {
			t.Fatal(err)
		}
		return sc
	}
	rt := journal.Taste{Eater: "RT", Words: "dry, but good"}
	rt.Scores[journal.BarkTaste], rt.Scores[journal.Salt] = score("7"), score("6+")
	for _, test := range []struct{ name, yaml, want string }{
		{"none", "title: x\n", "title: x\ntasting:\n  - {eater: RT, bark: 7, salt: 6+, words: \"dry, but good\"}\n"},
		{"empty", "tasting: # c\ntitle: x\n", "tasting: # c\n  - {eater: RT, bark: 7, salt: 6+, words: \"dry, but good\"}\ntitle: x\n"},
		{"another", "tasting:\n  - {eater: MO, bark: 5} # c\ntitle: x\n",
			"tasting:\n  - {eater: MO, bark: 5} # c\n  - {eater: RT, bark: 7, salt: 6+, words: \"dry, but good\"}\ntitle: x\n"},
		{"another, flow", "tasting: [{eater: MO, bark: 5}]\n", "tasting: [{eater: MO, bark: 5}, {eater: RT, bark: 7, salt: 6+, words: \"dry, but good\"}]\n"},
		{"own row", "tasting:\n  - {eater: rt, bark: \"7\", seat: 4, smoke: 3, salt: 5} # c\n  - {eater: MO, bark: 5}\n",
			"tasting:\n  - {eater: RT, bark: \"7\", seat: 4, salt: 6+, words: \"dry, but good\"} # c\n  - {eater: MO, bark: 5}\n"},
		{"own row, block", "tasting:\n  - bark: 5\n    eater: RT\n    smoke: 3\n", "tasting:\n  - bark: 7\n    eater: RT\n    salt: 6+\n    words: \"dry, but good\"\n"},
	} {
		t.Run(test.name, func(t *testing.T) {
			f, err := Parse("cook.md", []byte(fenced(test.yaml)), Options{})
			if err != nil {
				t.Fatal(err)
			}
			got, err := f.PutTaste(rt)
			if err != nil {
				t.Fatal(err)
			}
			want := fenced(test.want)
			if test.name == "own row, block" {
				want = strings.ReplaceAll(want, "\"dry, but good\"", "dry, but good")
			}
			if string(got.Bytes()) != want {
				t.Errorf("got  %q\nwant %q", got.Bytes(), want)
			}
			if i := eaterRow(&got.Cook, "RT"); i < 0 || got.Cook.Tasting[i] != rt {
				t.Errorf("read back as %v", got.Cook.Tasting)
			}
		})
	}
}
