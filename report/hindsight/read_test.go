package hindsight

import (
	"io/fs"
	"path"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/series"
)

// readJournal reads the cooks, pits and settings of a journal folder.
func readJournal(t testing.TB, dir fs.FS) (cooks []journal.Cook, pits map[string]journal.Pit, settings journal.Settings) {
	t.Helper()
	pits = map[string]journal.Pit{}
	var opt cookfile.Options
	if data, err := fs.ReadFile(dir, "journal.md"); err == nil {
		if settings, _, err = cookfile.ParseSettings("journal.md", data); err != nil {
			t.Fatal(err)
		}
		opt.Settings = settings
	}
	err := fs.WalkDir(dir, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".md" {
			return err
		}
		data, err := fs.ReadFile(dir, name)
		if err != nil {
			return err
		}
		switch {
		case strings.HasPrefix(name, "pits/"):
			p, _, err := cookfile.ParsePit(name, data)
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			pits[p.Name] = p
		case strings.HasPrefix(name, "cooks/"):
			f, err := cookfile.Parse(name, data, opt)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				return nil
			}
			beside := strings.TrimSuffix(name, ".md") + ".csv"
			if data, err := fs.ReadFile(dir, beside); err == nil {
				if f.Cook.Series, _, err = series.Parse(beside, data); err != nil {
					t.Errorf("%s: %v", beside, err)
				}
			}
			cooks = append(cooks, f.Cook)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return cooks, pits, settings
}
