package main

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/samples"
)

// Every figure is printed the same without a cache, with an empty one, with a full
// one, with one of which every entry is damaged, and after a past cook was changed.
func TestCacheChangesNoFigure(t *testing.T) {
	if testing.Short() {
		t.Skip("replays past cooks, which takes long")
	}
	for name, c := range map[string]struct {
		years    []string // of the sample journal
		commands []string
	}{
		"night": {[]string{"2024", "2025", "2026"}, []string{"note 112 71", "show 2026-09-18", "show 2026-07-17", "why 2026-07-17 --json", "matters --json", "workback --serve 2026-09-26T13:00+01:00 --heads 24 --json"}},
		"year":  {[]string{"2026"}, []string{"hindsight --json --moments", "hindsight --leave-one-out", "workback --replay --json"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			cache := t.TempDir()
			said := func(cache, change string) string {
				t.Helper()
				return sayAll(t, c.years, c.commands, cache, change)
			}
			want := said("", "")
			if got := said(cache, ""); got != want {
				t.Errorf("an empty cache: %s", firstDifference(got, want))
			}
			before := cacheFiles(t, cache)
			if len(before) < 10 {
				t.Fatalf("%d entries are kept", len(before))
			}
			if got := said(cache, ""); got != want {
				t.Errorf("a full cache: %s", firstDifference(got, want))
			}
			for file, was := range before {
				if now, err := os.ReadFile(file); err != nil || !bytes.Equal(now, was) {
					t.Errorf("%s was made again, %v", file, err)
				}
				if err := os.WriteFile(file, was[:len(was)/2], 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if got := said(cache, ""); got != want {
				t.Errorf("a damaged cache: %s", firstDifference(got, want))
			}
			changed := said(cache, "14:")
			if changed == want {
				t.Error("another time of a past cook changed nothing")
			}
			if got := said("", "14:"); got != changed {
				t.Errorf("a full cache, one cook changed: %s", firstDifference(changed, got))
			}
		})
	}
}

// sayAll runs commands on some years of the sample journal and returns what they
// print. The cache folder may be none. Where change is not empty it is the hour at
// which a past cook came off.
func sayAll(t *testing.T, years, commands []string, cache, change string) string {
	t.Helper()
	env := testEnvironment(t, t.TempDir())
	own := env.getenv
	env.getenv = func(k string) string {
		switch k {
		case "XDG_CACHE_HOME":
			return cache
		case "HOME": // where the cache is looked for next
			return ""
		}
		return own(k)
	}
	if err := os.CopyFS(env.dir, samples.FS()); err != nil {
		t.Fatal(err)
	}
	all, err := os.ReadDir(filepath.Join(env.dir, "cooks"))
	if err != nil {
		t.Fatal(err)
	}
	for _, y := range all {
		if !strings.Contains(strings.Join(years, " "), y.Name()) {
			if err := os.RemoveAll(filepath.Join(env.dir, "cooks", y.Name())); err != nil {
				t.Fatal(err)
			}
		}
	}
	if change != "" {
		file := filepath.Join(env.dir, "cooks", "2026", "2026-08-21-market-day.md")
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.SplitAfter(string(text), "\n")
		for i, l := range lines {
			if strings.HasPrefix(l, "- 2026") && strings.Contains(l, " off") {
				lines[i] = l[:len("- 2026-08-22T")] + change + l[len("- 2026-08-22T14:"):]
			}
		}
		if strings.Join(lines, "") == string(text) {
			t.Fatalf("%s: no line to change", file)
		}
		if err := os.WriteFile(file, []byte(strings.Join(lines, "")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := folder.Init(env.dir, measure.Metric, samples.Now()); err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	env.out, env.err = &out, &out
	for _, c := range commands {
		args := append([]string{"--now", samples.Now().Format("2006-01-02T15:04Z07:00")}, strings.Fields(c)...)
		if c := args[2]; c == "note" {
			args[0], args[1], args[2] = c, args[0], args[1]
		}
		if code := run(context.Background(), args, env); code != exitFine {
			t.Fatalf("%s: exit code %d\n%s", c, code, out.String())
		}
	}
	return out.String()
}

// cacheFiles are the files of what was worked out, with what they hold.
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

// firstDifference is the first line that two texts do not share.
func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			return "prints\n" + g[i] + "\nwithout it\n" + w[i]
		}
	}
	return "one is longer"
}
