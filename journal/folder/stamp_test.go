package folder

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"ashbook/journal/cookfile"
	"ashbook/journal/history"
)

// stamped lists the journal again and returns its cooks with their stamps.
func stamped(t *testing.T, f *Folder) ([]Summary, []string) {
	t.Helper()
	all, _, err := f.List(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	stamps, err := f.Stamps(t.Context(), all)
	if err != nil {
		t.Fatal(err)
	}
	return all, stamps
}

// A stamp stays the same while nothing is written, and changes with every byte of the
// cook and every change of its series. A series that was just written has none.
func TestStamps(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	const text = "---\ntitle: Supper\n---\n\n## Timeline\n\n- 2026-01-01T08:00Z on\n"
	const csv = "time,pit_c\n2026-01-01T08:00Z,110\n"
	const cook = "cooks/2026/2026-01-01-a.md"
	write(t, dir, cook, text)
	write(t, dir, "cooks/2026/2026-01-02-broken.md", "---\ntitle: [\n---\n")
	if _, err := history.Init(dir, time.Now(), 0); err != nil {
		t.Fatal(err)
	}
	f, err := Open(dir, Options{Now: time.Now, Cache: t.TempDir(), Build: "one"})
	if err != nil {
		t.Fatal(err)
	}
	var seen []string
	one := func(what string, known bool) string {
		t.Helper()
		all, stamps := stamped(t, f)
		i := slices.IndexFunc(all, func(s Summary) bool { return s.Path == cook })
		if broken := 1 - i; !all[broken].Broken || stamps[broken] != "" {
			t.Errorf("%s: a broken file has the stamp %x", what, stamps[broken])
		}
		if _, again := stamped(t, f); again[i] != stamps[i] || (stamps[i] != "") != known {
			t.Errorf("%s: stamp %x, then %x", what, stamps[i], again[i])
		}
		if known && slices.Contains(seen, stamps[i]) {
			t.Errorf("%s: the stamp was seen before", what)
		}
		seen = append(seen, stamps[i])
		return stamps[i]
	}
	first := one("as it was", true)
	write(t, dir, cook, text+"- 2026-01-01T09:00Z lid\n")
	one("an entry more", true)
	write(t, dir, SeriesPath(cook), csv)
	one("a series just written", false)
	tick(t)
	old(t, dir, SeriesPath(cook), time.Hour)
	tick(t)
	one("with a series", true)
	write(t, dir, SeriesPath(cook), csv+"2026-01-01T08:01Z,111\n")
	old(t, dir, SeriesPath(cook), 2*time.Hour)
	tick(t)
	one("a row more", true)
	write(t, dir, SeriesPath(cook), csv+"2026-01-01T08:01Z,112\n")
	old(t, dir, SeriesPath(cook), 3*time.Hour)
	tick(t)
	one("another figure in it", true)
	seen = nil
	write(t, dir, cook, text)
	if err := os.Remove(filepath.Join(dir, SeriesPath(cook))); err != nil {
		t.Fatal(err)
	}
	if got := one("as it was first", true); got != first {
		t.Errorf("the stamp is %x, was %x", got, first)
	}
}

// What is read after listing is compared with the stamp.
func TestStill(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	const text = "---\ntitle: Supper\n---\n"
	const cook = "cooks/2026/2026-01-01-a.md"
	write(t, dir, cook, text)
	if _, err := history.Init(dir, time.Now(), 0); err != nil {
		t.Fatal(err)
	}
	f, err := Open(dir, Options{Now: time.Now, Cache: t.TempDir(), Build: "one"})
	if err != nil {
		t.Fatal(err)
	}
	all, stamps := stamped(t, f)
	still := func() bool {
		t.Helper()
		file, err := f.Load(all[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		return f.Still(all[0], stamps[0], file)
	}
	if !still() {
		t.Error("what was not changed is not the same")
	}
	write(t, dir, cook, text+"\nwords\n")
	if still() {
		t.Error("a file that was changed in between is the same")
	}
}

// List passes each cook that it has to read to Show once, with its series and the stamp
// it has afterwards, and no cook that is unchanged, broken or a link.
func TestShow(t *testing.T) {
	isolate(t)
	dir, cache := t.TempDir(), t.TempDir()
	const a, b = "cooks/2026/2026-01-01-a.md", "cooks/2026/2026-01-02-b.md"
	write(t, dir, a, "---\ntitle: First\n---\n")
	write(t, dir, b, "---\ntitle: Second\n---\n")
	write(t, dir, SeriesPath(b), "time,pit_c\n2026-01-01T08:00Z,110\n")
	write(t, dir, "cooks/2026/2026-01-03-broken.md", "---\ntitle: [\n---\n")
	if err := os.Symlink("2026-01-01-a.md", filepath.Join(dir, "cooks/2026/2026-01-04-link.md")); err != nil {
		t.Skip(err)
	}
	for _, p := range []string{a, b, SeriesPath(b)} {
		old(t, dir, p, time.Hour)
	}
	tick(t)
	if _, err := history.Init(dir, time.Now(), 0); err != nil {
		t.Fatal(err)
	}
	reading := func() string {
		t.Helper()
		f, err := Open(dir, Options{Now: time.Now, Cache: cache, Build: "one"})
		if err != nil {
			t.Fatal(err)
		}
		var mutex sync.Mutex
		shown := map[string]string{}
		f.Show(func(s Summary, stamp string, read cookfile.File) {
			mutex.Lock()
			defer mutex.Unlock()
			if shown[s.Path] != "" {
				t.Errorf("%s is shown twice", s.Path)
			}
			shown[s.Path] = stamp
			if s.Title != read.Cook.Title || s.Series != (len(read.Cook.Series.Times) > 0) {
				t.Errorf("%+v was shown with %+v", s, read.Cook)
			}
		})
		all, stamps := stamped(t, f)
		f.Show(nil)
		var out []string
		for i, s := range all {
			if stamp, ok := shown[s.Path]; ok {
				if stamp != stamps[i] || stamp == "" {
					t.Errorf("%s was shown with the stamp %x, has %x", s.Path, stamp, stamps[i])
				}
				out = append(out, s.ID)
			}
		}
		return strings.Join(out, " ")
	}
	if got := reading(); got != "2026-01-02-b 2026-01-01-a" {
		t.Errorf("first: %s", got)
	}
	if got := reading(); got != "" {
		t.Errorf("again: %s", got)
	}
	write(t, dir, a, "---\ntitle: Third\n---\n")
	if got := reading(); got != "2026-01-01-a" {
		t.Errorf("after a change: %s", got)
	}
}
