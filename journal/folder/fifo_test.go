//go:build unix

package folder

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"ashbook/journal/cookfile"
)

// A pipe with any name of a journal is reported as a problem or is not read. Nothing
// waits for data in it, and the other cooks are listed.
func TestPipes(t *testing.T) {
	const other = "cooks/2026/2026-09-20-other.md"
	for name, said := range map[string]bool{ // whether check reports it
		"cooks/2026/2026-09-19-pipe.md":  true,
		"cooks/2026-09-19-pipe.md":       true,
		supper:                           true,
		SeriesPath(supper):               true,
		settingsName:                     true,
		"pits/pipe.md":                   true,
		"mixes/pipe.md":                  true,
		"cooks/2026/not-a-cook.md":       true,
		"cooks/2026/2026-09-19-lone.csv": false,
		".gitattributes":                 false,
		".git/index":                     false,
		"index":                          false, // in the cache folder
	} {
		t.Run(name, func(t *testing.T) {
			dir := hall(t)
			write(t, dir, other, supperText)
			cache := t.TempDir()
			work := func() {
				f, err := Open(dir, Options{Now: (&clock{night}).now, Cache: cache})
				if err != nil {
					t.Error(err)
					return
				}
				all, _, _ := f.List(t.Context())
				found := false
				for _, s := range all {
					found = found || s.Path == other && !s.Broken
				}
				if !found {
					t.Errorf("the other cook is not listed: %+v", all)
				}
				_, problems, _ := f.Check(t.Context())
				named := false
				for _, p := range problems {
					named = named || p.File == name && strings.Contains(p.Text, "pipe") || p.File == name && strings.Contains(p.Text, "not read as a cook")
				}
				if named != said {
					t.Errorf("named: %v in %v", named, problems)
				}
				for _, id := range f.IDs() {
					f.Load(id)
					f.Mark(id)
				}
				f.Search(t.Context(), []string{"supper"}, all)
				f.Pits()
				f.Mixes()
				add := func(c cookfile.File) (cookfile.File, error) { return c.PutAside("a test") }
				if _, err := f.Edit("2026-09-20-other", add, "aside"); err != nil {
					t.Errorf("the other cook: %v", err)
				}
				if _, err := f.Edit("2026-09-18-harvest-supper", add, "aside"); (err != nil) != (name == supper) {
					t.Errorf("the cook: %v", err)
				}
				if err := f.Close(); err != nil {
					t.Error(err)
				}
			}
			if name == "index" {
				f, err := Open(dir, Options{Now: (&clock{night}).now, Cache: cache})
				if err != nil {
					t.Fatal(err)
				}
				f.List(t.Context())
				made, err := filepath.Glob(filepath.Join(cache, "index-*"))
				if err != nil || len(made) != 1 {
					t.Fatal(made, err)
				}
				pipe(t, made[0])
			} else {
				pipe(t, filepath.Join(dir, name))
			}
			ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
			defer cancel()
			done := make(chan struct{})
			go func() { defer close(done); work() }()
			select {
			case <-done:
			case <-ctx.Done():
				t.Fatal("still waiting")
			}
		})
	}
}

func pipe(t *testing.T, name string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(name); err != nil {
		t.Fatal(err)
	}
	if err := unix.Mkfifo(name, 0o666); err != nil {
		t.Fatal(err)
	}
}

// A file edited in place, with its size and modification time set back, counts as
// changed: its ctime shows it, which no program can set.
func TestMarkOfFileEditedInPlace(t *testing.T) {
	dir := hall(t)
	name := filepath.Join(dir, supper)
	old := time.Unix(1_700_000_000, 0)
	y, err := openYear(filepath.Dir(name))
	if err != nil {
		t.Fatal(err)
	}
	defer y.close()
	look := func() [2]mark {
		if err := os.Chtimes(name, old, old); err != nil {
			t.Fatal(err)
		}
		m, err := y.mark(filepath.Base(name))
		if err != nil {
			t.Fatal(err)
		}
		m2, err := markOf(name)
		if err != nil {
			t.Fatal(err)
		}
		return [2]mark{m, m2}
	}
	was := look()
	text := []byte(strings.Replace(supperText, "Harvest", "Hanging", 1))
	for range 100_000 { // the file system's clock advances every few milliseconds
		f, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.WriteAt(text, 0); err != nil {
			t.Fatal(err)
		}
		f.Close()
		if now := look(); now[0] != was[0] && now[1] != was[1] {
			return
		}
	}
	t.Error("the mark is the same")
}

// List sees such an edit too, however new the index is.
func TestListSeesFileEditedInPlace(t *testing.T) {
	dir := hall(t)
	old := time.Unix(1_700_000_000, 0)
	title := func() string {
		if err := os.Chtimes(filepath.Join(dir, supper), old, old); err != nil {
			t.Fatal(err)
		}
		f, err := Open(dir, Options{Now: (&clock{night}).now, Cache: filepath.Join(dir, ".cache")})
		if err != nil {
			t.Fatal(err)
		}
		all, _, _ := f.List(t.Context())
		return all[0].Title
	}
	title()
	if err := os.WriteFile(filepath.Join(dir, supper), []byte(strings.Replace(supperText, "Harvest", "Hanging", 1)), 0); err != nil {
		t.Fatal(err)
	}
	if got := title(); got != "Hanging supper" {
		t.Errorf("listed as %q", got)
	}
}
