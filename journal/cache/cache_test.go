package cache

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"
)

// figures is the result that these tests store.
type figures struct {
	Hours []float64
	Name  string
}

// worker computes a result and counts how often.
type worker struct {
	times int
	err   error
}

func (w *worker) work() (figures, error) {
	w.times++
	return figures{[]float64{1. / 3, 1e-300, float64(w.times)}, "brisket"}, w.err
}

// kept asks the cache for the result and requires that work was done this many times in
// all.
func (w *worker) kept(t *testing.T, c *Cache, times int, from ...any) figures {
	t.Helper()
	got, err := Of(c, w.work, from...)
	if err != nil {
		t.Fatal(err)
	}
	if w.times != times {
		t.Fatalf("worked out %d times, expected %d", w.times, times)
	}
	return got
}

func entries(t *testing.T, c *Cache) (all []string) {
	t.Helper()
	err := filepath.WalkDir(c.dir, func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			all = append(all, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestWorkedOutOnce(t *testing.T) {
	dir := t.TempDir()
	c, w := In(dir, "one"), &worker{}
	first := w.kept(t, c, 1, "hours", 5)
	if again := w.kept(t, c, 1, "hours", 5); !reflect.DeepEqual(first, again) {
		t.Errorf("%v, then %v", first, again)
	}
	w.kept(t, In(dir, "one"), 1, "hours", 5)
	w.kept(t, c, 2, "hours", 6)
	w.kept(t, c, 3, "score", 5)
	w.kept(t, In(dir, "two"), 4, "hours", 5)
	w.kept(t, c, 4, "hours", 5)
}

func TestDamagedEntryIsMadeAgain(t *testing.T) {
	c, w := In(t.TempDir(), "one"), &worker{}
	w.kept(t, c, 1)
	name := entries(t, c)[0]
	whole, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	turned := append([]byte{}, whole...)
	turned[len(turned)/2] ^= 4
	for i, damaged := range [][]byte{nil, whole[:3], whole[:len(whole)-1], turned, append(whole[:len(whole):len(whole)], 'x')} {
		if err := os.WriteFile(name, damaged, 0o666); err != nil {
			t.Fatal(err)
		}
		w.kept(t, c, i+2)
		w.kept(t, c, i+2)
	}
	if all := entries(t, c); len(all) != 1 {
		t.Errorf("left behind: %q", all)
	}
}

func TestNothingThatFailsIsAnError(t *testing.T) {
	w := &worker{}
	w.kept(t, In("", "x"), 1)
	w.kept(t, In(t.TempDir(), ""), 2)
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	w.kept(t, In(file, "x"), 3) // no folder can be made there
	c := In(t.TempDir(), "x")
	if err := os.MkdirAll(c.name(nil), 0o777); err != nil { // a folder is in the way of the file
		t.Fatal(err)
	}
	w.kept(t, c, 4)
	if all := entries(t, c); len(all) != 0 {
		t.Errorf("left behind: %q", all)
	}
}

func TestErrorIsNotStored(t *testing.T) {
	c, w := In(t.TempDir(), "one"), &worker{err: errors.New("stopped")}
	if _, err := Of(c, w.work); !errors.Is(err, w.err) {
		t.Errorf("error %v", err)
	}
	w.err = nil
	w.kept(t, c, 2)
}

// A result that JSON cannot encode is computed each time.
func TestNotANumber(t *testing.T) {
	c, n := In(t.TempDir(), "one"), 0
	for range 2 {
		got, err := Of(c, func() (float64, error) { n++; return strconv.ParseFloat("NaN", 64) })
		if err != nil || got == got {
			t.Errorf("%v, %v", got, err)
		}
	}
	if n != 2 {
		t.Errorf("worked out %d times", n)
	}
}

func TestOldestAreDeleted(t *testing.T) {
	c := In(t.TempDir(), "one")
	dir := filepath.Join(c.dir, "ab")
	day := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range mostInFolder + 3 {
		name := filepath.Join(dir, strconv.Itoa(i))
		write(name, []byte("x"), mostBytes)
		if err := os.Chtimes(name, day, day.AddDate(0, 0, i)); err != nil {
			t.Fatal(err)
		}
	}
	prune(dir, mostBytes)
	all := entries(t, c)
	if len(all) != mostInFolder {
		t.Fatalf("%d entries", len(all))
	}
	if _, ok := read(filepath.Join(dir, strconv.Itoa(mostInFolder+2))); !ok {
		t.Error("the newest is gone")
	}
}

// Changing any field of what a result depends on changes the entry's name.
func TestNameTellsValuesApart(t *testing.T) {
	type part struct {
		Text  string
		Share *float64
		When  time.Time
		Known bool
	}
	half, day := .5, time.Date(2026, 9, 18, 19, 5, 0, 0, time.UTC)
	names := map[string]int{}
	c := In(t.TempDir(), "one")
	for i, from := range [][]any{
		{}, {"a", "b"}, {"ab"}, {"", "ab"}, {"ab", ""},
		{part{}}, {part{Text: "x"}}, {part{Share: &half}}, {part{When: day}}, {part{When: day.Add(1)}}, {part{When: day.In(time.FixedZone("", 3600))}}, {part{Known: true}},
		{[]part{{}, {}}}, {[]part{{}}, []part{}}, {[]float64{0}}, {[]float64{.5, 0}},
		{map[string]int{"a": 1, "b": 2}}, {map[string]int{"a": 2, "b": 1}}, {map[string]int{}},
	} {
		name := c.name(from)
		if other, ok := names[name]; ok {
			t.Errorf("values %d and %d have one name", other, i)
		}
		names[name] = i
	}
	if c.name([]any{map[string]int{"a": 1, "b": 2}}) != c.name([]any{map[string]int{"b": 2, "a": 1}}) {
		t.Error("the order of a map changes the name")
	}
}

// A folder has at most the allowed bytes, newest entries first. The newest stays even
// if it is larger than that.
func TestBytesAreBounded(t *testing.T) {
	for name, c := range map[string]struct {
		sizes []int // sizes of the entries, oldest first
		stay  string
	}{
		"all fit":                   {[]int{30, 30, 40}, "0 1 2"},
		"the oldest goes":           {[]int{30, 30, 41}, "1 2"},
		"a large one and all older": {[]int{1, 90, 5, 5, 5}, "2 3 4"},
		"the newest is too large":   {[]int{5, 5, 500}, "2"},
	} {
		dir := t.TempDir()
		for i, size := range c.sizes {
			name := filepath.Join(dir, strconv.Itoa(i))
			if err := os.WriteFile(name, make([]byte, size), 0o600); err != nil {
				t.Fatal(err)
			}
			at := time.Now().Add(time.Duration(i-10) * time.Hour)
			if err := os.Chtimes(name, at, at); err != nil {
				t.Fatal(err)
			}
		}
		prune(dir, 100)
		all, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		var left []string
		for _, e := range all {
			left = append(left, e.Name())
		}
		if got := strings.Join(left, " "); got != c.stay {
			t.Errorf("%s: %s stay, expected %s", name, got, c.stay)
		}
	}
}
