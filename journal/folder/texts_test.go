package folder

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// A search finds the same with stored texts as without: when they are complete,
// damaged, cut short, or of other cooks, and when cooks have changed since.
func TestTextsChangeNoHit(t *testing.T) {
	const cooks = 150
	dir, cache := many(t, cooks), t.TempDir()
	const long = "cooks/2026/2026-01-01-long.md"
	write(t, dir, long, "---\ntitle: long\n---\n"+strings.Repeat("cherry and more\n", 40_000))
	write(t, dir, "cooks/2026/2026-01-02-twin.md", "---\ntitle: twin\n---\ncherry\n")
	write(t, dir, "cooks/2026/2026-01-03-twin.md", "---\ntitle: twin\n---\ncherry\n")
	write(t, dir, "cooks/2026/2026-01-04-broken.md", "---\ntitle: cherry\n")
	hits := func(cache, words string) []Hit {
		f := open(t, dir, &clock{night})
		f.opt.Cache = cache
		all, _, err := f.List(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		found, err := f.Search(t.Context(), strings.Fields(words), all)
		if err != nil {
			t.Fatal(err)
		}
		return found
	}
	check := func(when string) {
		t.Helper()
		for _, words := range []string{"cherry", "HICKORY heads", "quince", "hälle"} {
			got, want := hits(cache, words), hits("", words)
			if len(got) != len(want) {
				t.Fatalf("%s, %s: %d hits, without texts kept %d", when, words, len(got), len(want))
			}
			for i := range got {
				if got[i] != want[i] {
					t.Errorf("%s, %s: %+v, without texts kept %+v", when, words, got[i], want[i])
				}
			}
		}
	}
	check("first")
	kept, _ := filepath.Glob(filepath.Join(cache, "texts-*"))
	if len(kept) != 1 {
		t.Fatalf("kept: %q", kept)
	}
	whole, err := os.ReadFile(kept[0])
	if err != nil || len(whole) < 40_000*16 {
		t.Fatalf("%d bytes are kept, %v", len(whole), err)
	}
	check("kept")
	damaged := slices.Clone(whole)
	damaged[len(textsFormat)+sumSize+3] = 0x7f // in the first length
	for _, c := range []struct{ when, data string }{
		{"empty", ""},
		{"cut short", string(whole[:len(whole)/2])},
		{"another format", "x" + string(whole)},
		{"another letter", strings.Replace(string(whole), "cherry", "quince", 1)},
		{"a damaged length", string(damaged)},
	} {
		if err := os.WriteFile(kept[0], []byte(c.data), 0o666); err != nil {
			t.Fatal(err)
		}
		check(c.when)
	}
	write(t, dir, long, "---\ntitle: long\n---\nquince\n")
	check("a cook changed")
	if left, _ := filepath.Glob(filepath.Join(cache, "*-new-*")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
}

// If there are few cooks, their files are searched and nothing is stored.
func TestFewTextsAreNotStored(t *testing.T) {
	dir, cache := many(t, keepTexts), t.TempDir()
	f := open(t, dir, &clock{night.Add(time.Hour)})
	f.opt.Cache = cache
	all, _, _ := f.List(t.Context())
	if hits, err := f.Search(t.Context(), []string{"supper"}, all); len(hits) != keepTexts || err != nil {
		t.Errorf("%d hits, %v", len(hits), err)
	}
	if kept, _ := filepath.Glob(filepath.Join(cache, "texts-*")); len(kept) > 0 {
		t.Errorf("kept: %q", kept)
	}
}
