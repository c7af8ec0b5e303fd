package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"ashbook/journal/folder"
	"ashbook/journal/journaltest"
	"ashbook/journal/measure"
	"ashbook/samples"
)

// Every command that reads many cooks or computes ends with 130 when it is stopped,
// prints nothing more, and leaves nothing half done.
func TestStopped(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	for _, c := range []struct {
		args  string
		polls []int
	}{
		{"find", []int{0, 20}},
		{"find cherry", []int{0, 70}},
		{"show 2026-09-18", []int{0, 200}},
		{"note 110", []int{200}},
		{"probe harvest log.csv", []int{0}},
		{"taste feast RT 8 7 7 6 6 8", []int{0}},
		{"page michaelmas -o -", []int{0, 20}},
		{"beside 2026-07-17 2025-07-18", []int{0, 150}},
		{"why 2026-07-17", []int{0, 150}},
		{"matters", []int{0, 150}},
		{"matters overall", []int{0, 150}},
		{"pit", []int{0, 50}},
		{"mix hall-rub", []int{0, 50}},
		{"hold 2026-09-18", []int{0, 50}},
		{"hindsight", []int{150, 250, 350}},
		{"workback --serve 2026-09-26T13:00+01:00 --heads 24", []int{150, 250}},
		{"workback --replay", []int{150, 250}},
		{"check", []int{0, 20}},
	} {
		for _, polls := range c.polls {
			t.Run(c.args, func(t *testing.T) {
				t.Parallel()
				dir := t.TempDir()
				env := environmentWith(t, dir, filepath.Join(dir, "cache"))
				if err := os.CopyFS(env.dir, samples.FS()); err != nil {
					t.Fatal(err)
				}
				if _, err := folder.Init(env.dir, measure.Metric, samples.Now()); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(env.dir, "log.csv"), []byte("time,pit_c\n2026-09-19T01:00+01:00,111\n"), 0o644); err != nil {
					t.Fatal(err)
				}
				var out, errs bytes.Buffer
				env.out, env.err = &out, &errs
				code := run(journaltest.Ending(polls), append([]string{"--now", samples.Now().Format("2006-01-02T15:04Z07:00")}, strings.Fields(c.args)...), env)
				if code != exitStopped {
					t.Errorf("after %d polls: exit code %d\n%s%s", polls, code, out.String(), errs.String())
				}
				if errs.Len() > 0 {
					t.Errorf("after %d polls it says %s", polls, errs.String())
				}
				git := exec.Command("git", "status", "--porcelain", "--", "cooks", "pits", "mixes", "journal.md")
				git.Dir = env.dir
				if left, err := git.CombinedOutput(); err != nil || len(left) > 0 {
					t.Errorf("after %d polls git has %s, %v", polls, left, err)
				}
				if strings.HasPrefix(c.args, "note ") && (!strings.Contains(out.String(), "noted: pit 110") || !inHistory(env.dir, "2026-09-18-harvest-supper.md", "pit 110 °C")) {
					t.Errorf("after %d polls the note is not in history; it said %s", polls, out.String())
				}
			})
		}
	}
}

// inHistory reports whether the newest version of a cook has the text.
func inHistory(dir, cook, text string) bool {
	git := exec.Command("git", "grep", "-q", text, "HEAD", "--", "cooks/2026/"+cook)
	git.Dir = dir
	return git.Run() == nil
}
