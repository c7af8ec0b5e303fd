package keep

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/history"
)

const supper = "cooks/2026/2026-09-18-harvest-supper.md"

const supperText = `---
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

var night = time.Date(2026, 9, 19, 1, 4, 0, 0, time.FixedZone("", 3600))

// clock is a Now that stands until it is moved.
type clock struct{ time.Time }

func (c *clock) now() time.Time { return c.Time }

func isolate(t testing.TB) {
	t.Helper()
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", home)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	t.Setenv("GIT_CONFIG_GLOBAL", filepath.Join(home, ".gitconfig"))
}

func write(t testing.TB, dir, path, data string) {
	t.Helper()
	name := filepath.Join(dir, path)
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(data), 0o666); err != nil {
		t.Fatal(err)
	}
}

// rename saves as many editors do: a new file put over the old.
func rename(t testing.TB, dir, path, data string) {
	t.Helper()
	write(t, dir, "editor~", data)
	if err := os.Rename(filepath.Join(dir, "editor~"), filepath.Join(dir, path)); err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, dir, path string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, path))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// hall makes a journal of one cook under git.
func hall(t testing.TB) string {
	t.Helper()
	isolate(t)
	dir := t.TempDir()
	write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	write(t, dir, supper, supperText)
	if _, err := history.Init(dir, night, 0); err != nil {
		t.Fatal(err)
	}
	return dir
}

// open opens the journal as a program does that has just been started.
func open(t testing.TB, dir string, c *clock) *Keeper {
	t.Helper()
	k, err := start(dir, c, 0)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func start(dir string, c *clock, wait time.Duration) (*Keeper, error) {
	dir, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return nil, err
	}
	repo, err := history.Open(dir)
	if err != nil {
		return nil, err
	}
	k := New(dir, repo, Options{Now: c.now, Wait: wait, Fits: func(path string, size int64) error {
		if size > largest {
			return fmt.Errorf("%s: too large", path)
		}
		return nil
	}})
	k.Repair()
	return k, nil
}

const largest = 1 << 20

func gitIn(t testing.TB, dir string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git program")
	}
	cmd := exec.Command("git", append([]string{"-c", "user.name=Hand", "-c", "user.email=hand@localhost"}, args...)...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("git %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// sound asks git whether the journal is whole and clean.
func sound(t testing.TB, dir string) {
	t.Helper()
	if out := gitIn(t, dir, "fsck", "--strict", "--no-dangling", "--no-progress"); out != "" {
		t.Errorf("git fsck: %s", out)
	}
	if out := gitIn(t, dir, "status", "--porcelain"); out != "" {
		t.Errorf("git status: %s", out)
	}
}

// subjects are the first lines of the log, the newest first, but for the beginning.
func subjects(t testing.TB, dir string) []string {
	t.Helper()
	all := strings.Split(strings.TrimSpace(gitIn(t, dir, "log", "--format=%s")), "\n")
	return all[:len(all)-1]
}

// adding returns an edit that adds a line at the end.
func adding(line string) func([]byte) ([]byte, error) {
	return func(old []byte) ([]byte, error) { return append(old, line+"\n"...), nil }
}

func enter(t testing.TB, k *Keeper, line string) {
	t.Helper()
	if _, err := k.Edit(supper, adding(line), "harvest-supper: "+line); err != nil {
		t.Fatal(err)
	}
}

func flush(t testing.TB, k *Keeper) {
	t.Helper()
	if err := k.Flush(); err != nil {
		t.Fatal(err)
	}
}
