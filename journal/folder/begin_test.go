package folder

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
)

func TestInit(t *testing.T) {
	for _, c := range []struct {
		name  string
		setup func(t *testing.T, top string) (dir string)
		made  []string
		files string // the files git has afterwards
	}{
		{"a folder that is not there", func(_ *testing.T, top string) string { return filepath.Join(top, "new") },
			[]string{"journal.md", "cooks", "git, with a first commit"}, ".gitattributes journal.md"},
		{"an empty folder", func(_ *testing.T, top string) string { return top },
			[]string{"journal.md", "cooks", "git, with a first commit"}, ".gitattributes journal.md"},
		{"cooks without git", func(t *testing.T, top string) string {
			write(t, top, supper, supperText)
			return top
		}, []string{"journal.md", "git, with a first commit"}, ".gitattributes " + supper + " journal.md"},
		{"settings of one's own", func(t *testing.T, top string) string {
			write(t, top, "journal.md", "# Mine\n")
			write(t, top, supper, supperText)
			return top
		}, []string{"git, with a first commit"}, ".gitattributes " + supper + " journal.md"},
		{"a folder in a larger repository", func(t *testing.T, top string) string {
			gitIn(t, top, "init", "-q", "-b", "main")
			write(t, top, "README", "a larger project\n")
			gitIn(t, top, "add", "README")
			gitIn(t, top, "commit", "-qm", "first")
			return filepath.Join(top, "kitchen")
		}, []string{"journal.md", "cooks"}, ".gitattributes journal.md"},
	} {
		t.Run(c.name, func(t *testing.T) {
			isolate(t)
			dir := c.setup(t, t.TempDir())
			before := map[string]string{}
			for _, p := range []string{supper, "journal.md"} {
				if data, err := os.ReadFile(filepath.Join(dir, p)); err == nil {
					before[p] = string(data)
				}
			}
			made, err := Init(dir, measure.Metric, night)
			if err != nil || !slices.Equal(made, c.made) {
				t.Errorf("made %q, %v; want %q", made, err, c.made)
			}
			for p, want := range before {
				if got := read(t, dir, p); got != want {
					t.Errorf("%s was changed: %q", p, got)
				}
			}
			if got := strings.Join(strings.Fields(gitIn(t, dir, "ls-files")), " "); got != c.files {
				t.Errorf("in git: %s", got)
			}
			sound(t, dir)
			head := gitIn(t, dir, "rev-parse", "HEAD")
			if made, err := Init(dir, measure.US, night); err != nil || len(made) > 0 {
				t.Errorf("the second time made %q, %v", made, err)
			}
			if gitIn(t, dir, "rev-parse", "HEAD") != head {
				t.Error("the second time made a commit")
			}
			f := open(t, dir, &clock{night})
			if err := f.Create("2026-09-19-feast", []byte("---\ntitle: Feast\n---\n"), "feast: planned"); err != nil {
				t.Error(err)
			}
			flush(t, f)
			sound(t, dir)
		})
	}
}

// The FDA Food Code, 3-501.16, requires a hot hold of at least 57 °C (135 °F). A new
// journal uses a round number above it.
func TestInitSettings(t *testing.T) {
	for units, hold := range map[measure.System]string{measure.Metric: "60 °C", measure.US: "140 °F"} {
		isolate(t)
		dir := t.TempDir()
		if _, err := Init(dir, units, night); err != nil {
			t.Fatal(err)
		}
		s, problems := open(t, dir, &clock{night}).Settings()
		if len(problems) > 0 || s.Units != units || s.HotHold.Text != hold || s.HoldLimit() < journal.SafeHold {
			t.Errorf("%v: settings %+v, %v", units, s, problems)
		}
	}
}

func TestCheckNamesEveryFault(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	write(t, dir, supper, supperText)
	f := open(t, dir, &clock{night})
	if n, problems, _ := f.Check(t.Context()); n != 1 || len(problems) > 0 {
		t.Fatalf("a sound journal: %d cooks, %v", n, problems)
	}
	series := strings.TrimSuffix(supper, ".md") + ".csv"
	write(t, dir, "cooks/2026/2026-10-31-broken.md", "---\ntitle: [\n---\n")
	write(t, dir, series, "time,pit_c\n2026-09-18T20:10+01:00,hot\n")
	write(t, dir, "pits/brick.md", "---\nash bin: [\n---\n")
	write(t, dir, "pits/drum.md", "---\nfuel: oak\n---\n")
	write(t, dir, "pits/.drum.md.swp", "\xff")
	write(t, dir, "pits/notes.txt", "\xff")
	write(t, dir, "mixes/rub.md", "---\nfor: 1 kg meat\nparts: {salt: 2 handfuls}\n---\n")
	write(t, dir, "mixes/sauce.md", "---\nfor: [\n---\n")
	n, problems, _ := f.Check(t.Context())
	if n != 2 {
		t.Errorf("%d cooks", n)
	}
	var files []string
	for _, p := range problems {
		if files = append(files, p.File); p.Line == 0 {
			t.Errorf("without a line: %v", p)
		}
	}
	if want := []string{series, "cooks/2026/2026-10-31-broken.md", "mixes/rub.md", "mixes/sauce.md", "pits/brick.md"}; !slices.Equal(slices.Compact(files), want) {
		t.Errorf("problems %v", problems)
	}
	if pits, _ := f.Pits(); len(pits) != 1 || pits[0].Name != "drum" {
		t.Errorf("pits %+v", pits)
	}
	if mixes, problems := f.Mixes(); len(mixes) != 1 || mixes[0].Name != "rub" || len(problems) != 2 {
		t.Errorf("mixes %+v, %v", mixes, problems)
	}
	if c, err := f.Load(supperID); err != nil || len(c.Problems) == 0 || c.Cook.Title != "Harvest supper" {
		t.Errorf("a cook beside a bad series: %q, %v, %v", c.Cook.Title, c.Problems, err)
	}
}

func TestNoticesAreWhatNeedsDoing(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	if got := f.Notices(); len(got) > 0 {
		t.Errorf("notices of a sound journal: %q", got)
	}
	if got := f.Remarks(); len(got) != 1 || !strings.Contains(got[0], "user.name") {
		t.Errorf("remarks: %q", got)
	}
	write(t, dir, ".git/MERGE_HEAD", gitIn(t, dir, "rev-parse", "HEAD"))
	if got := f.Notices(); len(got) != 1 || !strings.HasPrefix(got[0], "commits are postponed: a merge is in progress (") {
		t.Errorf("notices during a merge: %q", got)
	}
}
