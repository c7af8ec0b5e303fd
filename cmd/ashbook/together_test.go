package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// The five lines of the README by which two people keep one journal, typed on two
// machines that can reach one folder. The line with ssh is only parsed, since there is
// no server.
func TestTwoPeople(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(readme), "## Two people, one journal\n\n```\n")
	block, _, _ := strings.Cut(section, "```")
	var typed []string
	for l := range strings.Lines(block) {
		typed = append(typed, regexp.MustCompile(`  +`).Split(strings.TrimSpace(l), 2)[0])
	}
	if len(typed) != 5 {
		t.Fatalf("the README has %d lines: %q", len(typed), typed)
	}
	byStick, bySSH, begin, again, settle := typed[0], typed[1], typed[2], typed[3], typed[4]
	if !strings.HasPrefix(bySSH, "ashbook sync ") || !strings.Contains(bySSH, "@") {
		t.Errorf("no line over ssh: %q", bySSH)
	}
	stick := t.TempDir()
	clock := time.Date(2026, 9, 18, 21, 0, 0, 0, time.FixedZone("", 3600))
	type machine struct {
		dir string
		do  func(line string, want int) string
	}
	begun := func() machine {
		dir := t.TempDir()
		return machine{dir, func(line string, want int) string {
			t.Helper()
			clock = clock.Add(time.Minute)
			env := testEnvironment(t, dir)
			env.now = func() time.Time { return clock }
			var out bytes.Buffer
			env.out, env.err = &out, &out
			args := words(t, strings.ReplaceAll(line, "/media/stick", stick))
			if code := run(context.Background(), args[1:], env); code != want {
				t.Errorf("%s: code %d, want %d:\n%s", line, code, want, out.String())
			}
			return out.String()
		}}
	}
	ann, ben := begun(), begun()
	ann.do("ashbook init", 0)
	ann.do(`ashbook light pork shoulder --title "Harvest supper" --serve "sat 13:00"`, 0)
	ann.do("ashbook note on pit 112", 0)
	ann.do(byStick, 0)
	ben.do(begin, 0)
	ben.do(byStick, 0)
	ben.do("ashbook note 108 14 w cherry 90", 0)
	ann.do("ashbook note lid", 0)
	ben.do(again, 0)
	ann.do(again, 0)
	ben.do(again, 0)
	serve := func(m machine, hour string) { // changes the hour as an editor does
		name := filepath.Join(m.dir, "data", "ashbook", "cooks", "2026", "2026-09-18-harvest-supper.md")
		data, err := os.ReadFile(name)
		set := bytes.Replace(data, []byte("serve: 2026-09-19T13:00"), []byte("serve: 2026-09-19T"+hour), 1)
		if err != nil || bytes.Equal(set, data) {
			t.Fatalf("%v: no serving hour in\n%s", err, data)
		}
		if err := os.WriteFile(name, set, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	serve(ann, "12:30")
	ann.do(again, 0)
	serve(ben, "14:00")
	ben.do(again, 3) // exit code 3: both set it, and that is reported
	ann.do(again, 0)
	for _, m := range []machine{ann, ben} {
		if said := m.do("ashbook check", 3); !strings.Contains(said, "serve 14:00; ") || !strings.Contains(said, " said 12:30") {
			t.Errorf("check says:\n%s", said)
		}
	}
	ann.do(settle, 0)
	ann.do(again, 0)
	ben.do(again, 0)
	if a, b := ann.do("ashbook --json find harvest", 0), ben.do("ashbook --json find harvest", 0); a != b {
		t.Errorf("Ann has\n%s\nBen has\n%s", a, b)
	}
	if is := ben.do("ashbook --json show harvest", 0); !strings.Contains(is, `"serve": "2026-09-19T12:30`) {
		t.Errorf("Ben has\n%s", is)
	}
	ann.do("ashbook check", 0)
	ben.do("ashbook check", 0)
}
