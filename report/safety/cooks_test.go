package safety

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/series"
	"ashbook/samples"
)

// readCooks reads all cooks of a journal.
func readCooks(t *testing.T, dir fs.FS) ([]journal.Cook, journal.Settings) {
	t.Helper()
	var opt cookfile.Options
	data, err := fs.ReadFile(dir, "journal.md")
	if err != nil {
		t.Fatal(err)
	}
	if opt.Settings, _, err = cookfile.ParseSettings("journal.md", data); err != nil {
		t.Fatal(err)
	}
	var cooks []journal.Cook
	err = fs.WalkDir(dir, "cooks", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".md" {
			return err
		}
		data, err := fs.ReadFile(dir, name)
		if err != nil {
			return err
		}
		f, err := cookfile.Parse(name, data, opt)
		if err != nil {
			return err
		}
		beside := strings.TrimSuffix(name, ".md") + ".csv"
		if data, err := fs.ReadFile(dir, beside); err == nil {
			f.Cook.Series, _, _ = series.Parse(beside, data)
		}
		cooks = append(cooks, f.Cook)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return cooks, opt.Settings
}

// journals are the invented journal and, where ASHBOOK_SHARED names their folder,
// those of real people.
func journals(t *testing.T) map[string]fs.FS {
	t.Helper()
	all := map[string]fs.FS{"samples": samples.FS()}
	if shared := os.Getenv("ASHBOOK_SHARED"); shared != "" {
		for _, name := range []string{"strangers", "realcooks"} {
			all[name] = os.DirFS(filepath.Join(shared, name))
		}
	}
	return all
}

// Hardly a reading of a cook that was noted with care is doubted: one in a
// hundred at most (chosen: a person answers no more often).
func TestFewAreDoubted(t *testing.T) {
	readings, doubts := 0, 0
	for _, dir := range journals(t) {
		cooks, _ := readCooks(t, dir)
		for i := range cooks {
			for _, e := range cooks[i].Entries {
				for _, it := range e.Items {
					if it.Act == journal.ReadCore || it.Act == journal.ReadPit {
						readings++
					}
				}
			}
			for _, d := range cooks[i].Doubts() {
				doubts++
				t.Logf("%s %s: %s", cooks[i].ID, cooks[i].Entries[d.Entry].Time.Format(clock), d.Why)
			}
		}
	}
	if t.Logf("%d of %d readings are doubted", doubts, readings); 100*doubts > readings {
		t.Error("too many")
	}
}

// endOf is a look at a cook an hour after its last line.
func endOf(c *journal.Cook, s journal.Settings) Review {
	last, _ := c.LastEntry()
	return Look(c, s, last.Add(time.Hour))
}

// pressed reports whether a cook is told to be thrown out, or that something is to
// be done now.
func pressed(r Review) bool {
	return slices.ContainsFunc(r.Findings, func(f Finding) bool {
		return f.Weight == DoNow || f.Weight == Ask && strings.Contains(strings.ToLower(f.Do), "throw it out")
	})
}

// Of cooks that were handled right, at most one in twenty is pressed. The samples
// are invented and noted to the end; what strangers noted often ends with off, so
// they are counted and not judged.
func TestFewAreWarned(t *testing.T) {
	for name, dir := range journals(t) {
		cooks, s := readCooks(t, dir)
		finished, loud := 0, 0
		count := map[string]int{}
		for i := range cooks {
			c := &cooks[i]
			if _, ok := c.Finish(); !ok {
				continue
			}
			finished++
			r := endOf(c, s)
			count[r.Findings[0].Weight.String()]++
			if pressed(r) {
				loud++
				for _, f := range r.Findings {
					if f.Weight >= Ask {
						t.Logf("%s: %s %s %s: %s", c.ID, f.Weight, f.Kind, f.Piece, f.Text)
					}
				}
			}
		}
		t.Logf("%s: %d finished cooks; heaviest weight %v; pressed or thrown out %d", name, finished, count, loud)
		if name == "samples" && 20*loud > finished {
			t.Errorf("%s: %d of %d are pressed", name, loud, finished)
		}
	}
}
