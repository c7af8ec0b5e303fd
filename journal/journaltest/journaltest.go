// Package journaltest has the journal for tests of packages that read or write one: one
// invented cook of a village hall that cooks for feast days.
package journaltest

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Supper is the path of the one cook.
const Supper = "cooks/2026/2026-09-18-harvest-supper.md"

// SupperText is the content of that cook's file.
const SupperText = `---
ashbook: 1
title: Harvest supper
cut: pork shoulder
pieces:
  - {name: large, raw: 5.2 kg, trimmed: 4.7 kg}
  - {name: small, raw: 3.9 kg}
pit: brick
serve: 2026-09-19T13:00+01:00
tasting:
  - {eater: RT, overall: 8}
  - {eater: MB, overall: 7}
---

# Harvest supper

The wind had turned by midnight.

## Timeline

- 2026-09-18T20:10+01:00 on, pit 112 °C
- 2026-09-19T04:20+01:00 wrap paper, core large 74 °C
`

// Night is a time at which the cook is running.
var Night = time.Date(2026, 9, 19, 1, 4, 0, 0, time.FixedZone("", 3600))

// Isolate keeps the user's git settings out of a test.
func Isolate(t testing.TB) {
	t.Helper()
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", home)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	t.Setenv("GIT_CONFIG_GLOBAL", filepath.Join(home, ".gitconfig"))
}

// Write writes a file of a journal.
func Write(t testing.TB, dir, path, data string) {
	t.Helper()
	name := filepath.Join(dir, path)
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(data), 0o666); err != nil {
		t.Fatal(err)
	}
}

// Rename saves as many editors do: it renames a new file over the old.
func Rename(t testing.TB, dir, path, data string) {
	t.Helper()
	Write(t, dir, "editor~", data)
	if err := os.Rename(filepath.Join(dir, "editor~"), filepath.Join(dir, path)); err != nil {
		t.Fatal(err)
	}
}

// Read reads a file of a journal.
func Read(t testing.TB, dir, path string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, path))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Hall makes a journal of one cook. begin puts it under git.
func Hall(t testing.TB, begin func(dir string, now time.Time) error) string {
	t.Helper()
	Isolate(t)
	dir := t.TempDir()
	Write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	Write(t, dir, Supper, SupperText)
	if err := begin(dir, Night); err != nil {
		t.Fatal(err)
	}
	return dir
}

// NeedGit skips the test if the git program is missing.
func NeedGit(t testing.TB) {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("not tested from here on: there is no git program")
	}
}

// Git runs git in a journal. Without git it skips the test.
func Git(t testing.TB, dir string, args ...string) string {
	t.Helper()
	NeedGit(t)
	cmd := exec.Command("git", append([]string{"-c", "user.name=Hand", "-c", "user.email=hand@localhost"}, args...)...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("git %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// Sound requires git to find the journal intact and clean.
func Sound(t testing.TB, dir string) {
	t.Helper()
	Intact(t, dir)
	if out := Git(t, dir, "status", "--porcelain"); out != "" {
		t.Errorf("git status: %s", out)
	}
}

// Intact requires git to find nothing wrong in a repository. It leaves out two indexes
// that ashbook never writes, since git starts a process for each.
func Intact(t testing.TB, dir string) {
	t.Helper()
	if out := Git(t, dir, "-c", "core.commitGraph=false", "-c", "core.multiPackIndex=false", "fsck", "--strict", "--no-dangling", "--no-progress"); out != "" {
		t.Errorf("git fsck: %s", out)
	}
}

// Subjects returns the first lines of the commit messages, newest first, without the
// first commit's.
func Subjects(t testing.TB, dir string) []string {
	t.Helper()
	all := strings.Split(strings.TrimSpace(Git(t, dir, "log", "--format=%s")), "\n")
	return all[:len(all)-1]
}

// Adding returns an edit that appends a line.
func Adding(line string) func([]byte) ([]byte, error) {
	return func(old []byte) ([]byte, error) { return append(old, line+"\n"...), nil }
}
