package cookfile

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/journal"
)

// samples returns the cooks of the invented journal.
func samples(t *testing.T) map[string][]byte {
	t.Helper()
	names, _ := filepath.Glob("../../samples/journal/cooks/*/*.md")
	out := map[string][]byte{}
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(n)] = data
	}
	if len(out) == 0 {
		t.Fatal("no sample cooks")
	}
	return out
}

// A cook that is left out of reports and brought back has the same bytes as before.
func TestAsideAndBack(t *testing.T) {
	for name, data := range samples(t) {
		f, err := Parse(name, data, Options{})
		if err != nil {
			t.Fatal(err)
		}
		aside, err := f.PutAside("the probe: it lay\non the grate")
		if err != nil {
			t.Fatal(err)
		}
		if got := aside.Cook.Aside; got != "the probe: it lay on the grate" || len(aside.Problems) != len(f.Problems) {
			t.Errorf("%s: aside %q, problems %v", name, got, aside.Problems)
		}
		back, err := aside.TakeBack()
		if err != nil || !bytes.Equal(back.Bytes(), data) {
			t.Errorf("%s: %v\n%s", name, err, back.Bytes())
		}
	}
	for text, want := range map[string]string{"true": "true", "no": "", "False": "", "''": "", "wrong meat": "wrong meat"} {
		f, err := Parse("2026-01-01-x.md", []byte("---\naside: "+text+"\n---\n"), Options{})
		if err != nil || f.Cook.Aside != want {
			t.Errorf("aside: %s: %q, want %q (%v)", text, f.Cook.Aside, want, err)
		}
	}
}

// Whichever entry of a cook is corrected, moved or removed, every other line stays the
// same, in order.
func TestMendingKeepsAllOtherLines(t *testing.T) {
	all := samples(t)
	var names []string
	for n, data := range all {
		if f, err := Parse(n, data, Options{}); err == nil && len(f.Cook.Entries) > 0 {
			names = append(names, n)
		}
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names).Draw(t, "cook")
		data := all[name]
		if rapid.Bool().Draw(t, "crlf") {
			data = bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n"))
		}
		f, err := Parse(name, data, Options{})
		if err != nil {
			t.Fatal(err)
		}
		i := rapid.IntRange(0, len(f.Cook.Entries)-1).Draw(t, "entry")
		e := f.Cook.Entries[i]
		var edited File
		switch rapid.IntRange(0, 2).Draw(t, "do") {
		case 0:
			edited, err = f.RemoveEntry(i)
		case 1:
			e.Words += " corrected"
			edited, err = f.ReplaceEntry(i, e)
		case 2:
			e.Time = e.Time.Add(time.Duration(rapid.IntRange(-600, 600).Draw(t, "by")) * time.Minute)
			edited, err = f.ReplaceEntry(i, e)
		}
		if err != nil {
			t.Fatal(err)
		}
		at := f.lines.at[i]
		others := strings.SplitAfter(string(data[:at.from])+string(data[at.to:]), "\n")
		got := strings.SplitAfter(string(edited.Bytes()), "\n")
		for len(others) > 0 && len(got) > 0 {
			if others[0] == got[0] {
				others = others[1:]
			} else if len(got) > len(others)+1 {
				t.Fatalf("%s: line %q is one too many", name, got[0])
			}
			got = got[1:]
		}
		if len(others) > 0 {
			t.Fatalf("%s: line %q is lost", name, others[0])
		}
		if want := len(f.Cook.Entries); len(edited.Cook.Entries) != want && len(edited.Cook.Entries) != want-1 {
			t.Fatalf("%d entries of %d", len(edited.Cook.Entries), want)
		}
		if !slices.IsSortedFunc(edited.Cook.Entries, func(a, b journal.Entry) int { return a.Time.Compare(b.Time) }) {
			t.Fatal("entries out of order")
		}
	})
}
