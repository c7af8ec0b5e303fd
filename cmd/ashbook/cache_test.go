package main

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/samples"
)

// Every figure is printed the same without a cache, with an empty one, with a full one,
// with a full one in which every entry is damaged, and after a past cook was changed.
func TestCacheChangesNoFigure(t *testing.T) {
	if testing.Short() {
		t.Skip("replays past cooks, which takes long")
	}
	for name, s := range map[string]sayings{
		"a note": {
			cooks:    "20",
			commands: []string{"note 112 71"},
			fresh:    true,
		},
		"all cooks": {
			cooks:    "20",
			commands: []string{"why 2026-07-17 --json", "matters --json", "matters overall --json", "pit --json", "show 2026-07-17 --json"},
			file:     "2024/2024-10-11-quiz-night.md", was: "- 2024-10-12T10:05", is: "- 2024-10-12T11:05",
		},
		"two cooks": {
			cooks:    "2024-10",
			commands: []string{"hindsight --json --moments", "workback --replay --json", "workback --serve 2026-09-26T13:00+01:00 --heads 24 --json", "why 2024-10-26 --json", "pit --json", "show 2024-10-26 --json"},
			file:     "2024/2024-10-11-quiz-night.md", was: "- 2024-10-12T10:05", is: "- 2024-10-12T11:05",
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			cache := t.TempDir()
			if !s.fresh {
				s.dir = s.copied(t)
			}
			want := s.say(t, "", false)
			if got := s.say(t, cache, false); got != want {
				t.Errorf("an empty cache: %s", firstDifference(got, want))
			}
			before := cacheFiles(t, cache)
			if len(before) < s.kept() {
				t.Fatalf("%d entries are kept", len(before))
			}
			if got := s.say(t, cache, false); got != want {
				t.Errorf("a full cache: %s", firstDifference(got, want))
			}
			if s.file == "" {
				return
			}
			for file, was := range before {
				if now, err := os.ReadFile(file); err != nil || !bytes.Equal(now, was) {
					t.Errorf("%s was made again, %v", file, err)
				}
				if err := os.WriteFile(file, was[:len(was)/2], 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if got := s.say(t, cache, false); got != want {
				t.Errorf("a damaged cache: %s", firstDifference(got, want))
			}
			changed := s.say(t, cache, true)
			if changed == want {
				t.Error("another time of a past cook changed nothing")
			}
			if got := s.say(t, "", true); got != changed {
				t.Errorf("a full cache, one cook changed: %s", firstDifference(changed, got))
			}
		})
	}
}

// sayings are commands, the sample cooks they run on, given by the start of their
// names, and a change to one of them; file "" for no change.
type sayings struct {
	cooks         string
	commands      []string
	file, was, is string
	fresh         bool   // the commands change the journal, so each time it is copied anew
	dir           string // folder of the journal if not
}

// kept returns the least number of cache files after the commands.
func (s *sayings) kept() int {
	if slices.ContainsFunc(s.commands, func(c string) bool { return strings.HasPrefix(c, "hindsight") }) {
		return 4
	}
	return 1
}

// copied copies the cooks into a journal of their own, dated an hour ago so that cached
// results of it are used.
func (s *sayings) copied(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if err := os.CopyFS(dir, samples.FS()); err != nil {
		t.Fatal(err)
	}
	cooks := filepath.Join(dir, "cooks")
	all, err := filepath.Glob(filepath.Join(cooks, "*", "*"))
	if err != nil || len(all) == 0 {
		t.Fatalf("no cooks, %v", err)
	}
	for _, name := range all {
		if wanted, err := filepath.Match(s.cooks+"*", filepath.Base(name)); err != nil || !wanted && os.Remove(name) != nil {
			t.Fatalf("%s: it cannot be left out, %v", name, err)
		} else if wanted {
			ago := time.Now().Add(-time.Hour)
			if err := os.Chtimes(name, ago, ago); err != nil {
				t.Fatal(err)
			}
		}
	}
	if _, err := folder.Init(dir, measure.Metric, samples.Now()); err != nil {
		t.Fatal(err)
	}
	return dir
}

// say runs the commands and returns what they print. cache may be "" for no cache.
func (s *sayings) say(t *testing.T, cache string, change bool) string {
	t.Helper()
	dir := s.dir
	if s.fresh {
		dir = s.copied(t)
	}
	env := environmentWith(t, dir, cache)
	if change {
		file := filepath.Join(dir, "cooks", s.file)
		text, err := os.ReadFile(file)
		if err != nil || strings.Count(string(text), s.was)+strings.Count(string(text), s.is) != 1 {
			t.Fatalf("%s: no %q, %v", file, s.was, err)
		}
		if err := os.WriteFile(file, []byte(strings.Replace(string(text), s.was, s.is, 1)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var out strings.Builder
	env.out, env.err = &out, &out
	for _, c := range s.commands {
		args := append(strings.Fields(c), "--now", samples.Now().Format("2006-01-02T15:04Z07:00"))
		if code := run(context.Background(), args, env); code != exitFine {
			t.Fatalf("%s: exit code %d\n%s", c, code, out.String())
		}
	}
	return out.String()
}

// cacheFiles returns the content of each cache file.
func cacheFiles(t *testing.T, cache string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	err := filepath.WalkDir(filepath.Join(cache, "ashbook", "worked-out"), func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			all[name], err = os.ReadFile(name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// firstDifference returns the first line that differs between two texts.
func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			return "prints\n" + g[i] + "\nwithout it\n" + w[i]
		}
	}
	return "one is longer"
}
