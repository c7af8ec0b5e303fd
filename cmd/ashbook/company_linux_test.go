package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal/journaltest"
	"ashbook/samples"
)

// keyF6 is what the key F6 sends (terminfo(5), xterm: kf6).
const keyF6 = "\x1b[17~"

func (s *window) sync(args ...string) (code int) { return s.syncAt(0, args...) }

// syncAt runs sync at a time before now, again while the screens are syncing
// themselves.
func (s *window) syncAt(before time.Duration, args ...string) (code int) {
	s.t.Helper()
	late := time.After(patience)
	for code = exitLocked; code == exitLocked; {
		select {
		case <-late:
			s.t.Fatal("the screens sync without an end")
		default:
			_, code = s.at(before, append([]string{"sync"}, args...)...)
		}
	}
	return code
}

// at runs a command of the journal at a time before now.
func (s *window) at(before time.Duration, args ...string) (string, int) {
	s.t.Helper()
	return s.command(append([]string{"--journal", s.journal, "--now", samples.Now().Add(-before * time.Minute).Format(time.RFC3339)}, args...)...)
}

func (s *window) cookPath() string {
	return filepath.Join(s.journal, "cooks", "2026", samples.Running+".md")
}

// cook returns the running cook's file.
func (s *window) cook() string {
	s.t.Helper()
	data, err := os.ReadFile(s.cookPath())
	if err != nil {
		s.t.Fatal(err)
	}
	return string(data)
}

// serves sets the hour of the meal in the file, as an editor would.
func (s *window) serves(hour string) {
	s.t.Helper()
	was := s.cook()
	is := regexp.MustCompile(`\nserve: (\S+)T\d\d:\d\d`).ReplaceAllString(was, "\nserve: ${1}T"+hour)
	if err := os.WriteFile(s.cookPath(), []byte(is), 0o644); err != nil || is == was {
		s.t.Fatalf("%v: no serving hour in\n%s", err, was)
	}
}

// Two people note in one cook at once, each on a copy of their own, with screens open
// that sync. Each sees what the other notes, and one key decides what both set. At the
// end both have every note once and the same bytes. What their cook and ashbook check
// then print is recorded in testdata/night/two.txt.
func TestNightOfTwo(t *testing.T) {
	journaltest.OnlyWhole(t)
	t.Parallel()
	hub := filepath.Join(t.TempDir(), "hall.git")
	as := func(name string) *window {
		s := prepared(t)
		settings := fmt.Sprintf("[user]\n\tname = %s\n\temail = %s@example.org\n", name, name)
		if err := os.WriteFile(filepath.Join(filepath.Dir(s.journal), ".gitconfig"), []byte(settings), 0o644); err != nil {
			t.Fatal(err)
		}
		return s
	}
	ann, ben := as("Ann"), as("Ben")
	ann.copySamples()
	ann.sync(hub)
	ben.command("init", ben.journal)
	ben.sync(hub)
	ann.open("ashbook", true)
	ben.open("ashbook", true)

	both := []*window{ann, ben}
	var noted []string
	for round := range 4 {
		var from [2]int
		for i, s := range both { // both type before either is synced
			from[i] = len(s.text())
			what := []string{"w cherry %d", "w apple %d"}[i]
			line := fmt.Sprintf(what, 91+round)
			s.types(line + "\r")
			noted = append(noted, strings.Replace(line, "w ", "wood ", 1)+" g")
		}
		for i, s := range both {
			s.awaitsOne(regexp.MustCompile("NOTED"), from[i])
		}
		for _, s := range []*window{ann, ben, ann} {
			s.sync()
		}
		said := `(just now|\d+ min ago): wood %s %d g`
		ann.awaitsOne(regexp.MustCompile(fmt.Sprintf("Ben "+said, "apple", 91+round)), from[0])
		ben.awaitsOne(regexp.MustCompile(fmt.Sprintf("Ann "+said, "cherry", 91+round)), from[1])
	}

	ann.serves("12:30")
	ann.syncAt(2)
	ben.serves("14:00")
	if code := ben.syncAt(1); code != exitWarnings {
		t.Errorf("both set the serving hour, and sync ends with %d", code)
	}
	ann.sync()
	for _, s := range both {
		s.awaits("Ann said 12:30")
	}
	ben.types(keyF6)
	ben.awaits("SETTLED  serve 12:30, not 14:00")
	from := len(ann.text())
	ben.sync()
	ann.sync()
	ann.awaitsOne(regexp.MustCompile("12:30"), from)

	for _, s := range both {
		s.types("\x03")
		if code := s.ends(); code != exitFine {
			t.Errorf("exit code %d", code)
		}
		s.restored()
	}
	for _, s := range []*window{ann, ben, ann} {
		s.sync()
	}
	text := ann.cook()
	if text != ben.cook() {
		t.Errorf("Ann has\n%s\nBen has\n%s", text, ben.cook())
	}
	for _, line := range noted {
		if strings.Count(text, " "+line+"\n") != 1 {
			t.Errorf("%q is there %d times", line, strings.Count(text, " "+line+"\n"))
		}
	}
	// The clock goes on while they note, so only the order of the words is certain.
	night := regexp.MustCompile(`- \S+( wood (apple|cherry) 9[1-4] g\n)`)
	lines := night.FindAllString(text, -1)
	for i, l := range lines {
		lines[i] = night.ReplaceAllString(l, "- hh:mm$1")
	}
	slices.Sort(lines)
	record := heading + "the cook\n" + night.ReplaceAllString(text, "") + strings.Join(lines, "")
	for i, s := range both {
		said, _ := s.at(0, "check")
		record += heading + []string{"Ann", "Ben"}[i] + ": ashbook check\n" + strings.ReplaceAll(said, s.journal, "JOURNAL")
	}
	path := filepath.Join("testdata", "night", "two.txt")
	if *recordNight {
		if err := os.WriteFile(path, []byte(record), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if want, err := os.ReadFile(path); err != nil || record != string(want) {
		t.Errorf("%v\n--- got\n%s--- want\n%s", err, record, want)
	}
}
