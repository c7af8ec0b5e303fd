package cookfile

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
)

func seed(f *testing.F, add func(text string)) {
	add(harvest)
	for _, text := range unreadable {
		add(text)
	}
	for _, test := range doubtful {
		add(test.text)
	}
	for _, yaml := range []string{
		"title: 'it''s'\nkeep: |\n  one\n\n  two\naim: {pit: 115 °C, core: }\nchange: # c\n",
		"{title: \"a\\\"b\", pieces: [a, {raw: 5 kg}]}\n",
		"pieces:\n- raw: 5 kg # c\n  own:\n  - - a\n- name: é\nkeep: one\n  two\n",
	} {
		add(fenced(yaml))
		add("\ufeff" + strings.ReplaceAll(fenced(yaml), "\n", "\r\n"))
	}
	add("---\n---\n## Timeline\n- 2026-09-18T19:05+01:00 lit\n* 20:10 on\n  late\n- 21:00 vent")
}

// FuzzParse: an error gives a zero File. Otherwise the text is kept, and adding a line
// changes no other byte.
func FuzzParse(f *testing.F) {
	seed(f, func(text string) { f.Add([]byte(text), int64(1789760000), int16(60), "pale on the left") })
	f.Fuzz(func(t *testing.T, data []byte, unix int64, minutes int16, words string) {
		file, err := Parse("2026-09-18-x.md", data, Options{})
		if err != nil {
			if file.Bytes() != nil || file.Problems != nil || file.Cook.Title != "" || file.Cook.Pieces != nil {
				t.Fatalf("error %v and a File %+v", err, file)
			}
			return
		}
		text := string(data)
		if string(file.Bytes()) != text {
			t.Fatalf("text changed to %q", file.Bytes())
		}
		if len(file.Cook.Pieces) == 0 {
			t.Fatal("no pieces")
		}
		for i, e := range file.Cook.Entries {
			if i > 0 && e.Time.Before(file.Cook.Entries[i-1].Time) {
				t.Fatal("entries out of order")
			}
		}
		e := journal.Entry{Time: time.Unix(unix%(1<<36), 0).In(time.FixedZone("", int(minutes%1000)*60)), Items: []journal.Item{{Act: journal.Vent}}, Words: words}
		added, err := file.AddEntry(e)
		if err != nil {
			if added.Bytes() != nil {
				t.Fatal("a refused edit returned a file")
			}
			if e.Time.Year() > 0 && e.Time.Year() < 9999 && plainWords(words) {
				t.Fatalf("refused: %v", err)
			}
			return
		}
		after := string(added.Bytes())
		if n := common(text, after) + common(backwards(text), backwards(after)); n < len(text) {
			t.Fatalf("%d bytes changed:\n%q\n%q", len(text)-n, text, after)
		}
		if len(added.Cook.Entries) != len(file.Cook.Entries)+1 {
			t.Fatalf("%d entries after adding to %d", len(added.Cook.Entries), len(file.Cook.Entries))
		}
	})
}

func plainWords(s string) bool {
	return strings.Trim(s, "abcdefghijklmnopqrstuvwxyz ") == ""
}

// FuzzSet: a value that was set is read back and the body is unchanged. If Set fails,
// it returns a zero File.
func FuzzSet(f *testing.F) {
	seed(f, func(text string) { f.Add([]byte(text), "start an hour later", "aim", "core") })
	f.Fuzz(func(t *testing.T, data []byte, value, key, below string) {
		file, err := Parse("x.md", data, Options{})
		if err != nil {
			return
		}
		path := []string{key, below}
		if below == "" {
			path = path[:1]
		}
		edited, err := file.Set(value, path...)
		if err != nil {
			if edited.Bytes() != nil {
				t.Fatal("a refused edit returned a file")
			}
			return
		}
		if !edited.doc.Holds(path, value) {
			t.Fatalf("%q is not %q in %q", path, value, edited.Bytes())
		}
		if text, body := string(edited.Bytes()), file.doc.Text()[file.doc.Body():]; !strings.HasSuffix(text, body) {
			t.Fatalf("body %q became %q", body, text)
		}
		if gone, err := edited.Unset(path...); err == nil && gone.doc.Holds(path, value) {
			t.Fatalf("%q was not taken out of %q", path, edited.Bytes())
		}
	})
}

func common(a, b string) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

func backwards(s string) string {
	b := []byte(s)
	slices.Reverse(b)
	return string(b)
}
