package store

import (
	"errors"
	"strings"
	"testing"
	"time"
)

// A file that another program has saved in part is neither committed nor edited. Once
// the rest is there, nothing is missing.
func TestHalfSaved(t *testing.T) {
	needGit(t)
	const entry, later = "- 2026-09-19T01:04+01:00 pit 112 °C — pale", "- 2026-09-19T02:04+01:00 pit 113 °C"
	whole := supperText + entry + "\n"
	for name, part := range map[string]string{
		"emptied":             "",
		"in the front matter": "---\ntit",
		"below a key":         supperText[:strings.Index(supperText, "cut:")],
		"in the last entry":   strings.TrimSuffix(whole, "pale\n"),
		"in a letter":         whole[:strings.Index(whole, "°")+1],
		"changed above":       strings.Replace(supperText, "title: ", "title: The ", 1) + entry[:30],
	} {
		for _, waits := range []bool{false, true} {
			dir := hall(t)
			now := &clock{night}
			k := open(t, dir, now)
			enter(t, k, entry)
			if !waits {
				flush(t, k)
			}
			head := gitIn(t, dir, "rev-parse", "HEAD")
			write(t, dir, supper, part)
			now.Time = now.Add(3 * time.Minute)
			k = open(t, dir, now)
			if said := strings.Join(k.Notices(), "\n"); !waits && !strings.Contains(said, supper+":") {
				t.Errorf("%s: said %q", name, said)
			}
			_, err := k.Edit(supper, func(old []byte) ([]byte, error) { return append(old, later+"\n"...), nil }, "x")
			if !errors.As(err, new(Half)) {
				t.Errorf("%s, waits %v: %v, not half", name, waits, err)
			}
			flush(t, k)
			if got := read(t, dir, supper); got != part {
				t.Errorf("%s: the file became\n%s", name, got)
			}
			if got := gitIn(t, dir, "rev-parse", "HEAD"); got != head {
				t.Errorf("%s: half of it is in history:\n%s", name, gitIn(t, dir, "log", "-p", "-1"))
			}
			if why := k.Waiting(); waits != strings.Contains(why, "harvest-supper is only half saved") {
				t.Errorf("%s, waits %v: waiting because %q", name, waits, why)
			}
			write(t, dir, supper, whole)
			enter(t, k, later)
			flush(t, k)
			if got := gitIn(t, dir, "show", "HEAD:"+supper); strings.TrimSpace(got) != whole+later || k.Waiting() != "" {
				t.Errorf("%s: waiting because %q, in history is\n%s", name, k.Waiting(), got)
			}
			sound(t, dir)
		}
	}
}

// If somebody deletes lines or the last line's end, that counts as a change.
func TestNotHalfSaved(t *testing.T) {
	const entry = "- 2026-09-19T01:04+01:00 pit 112 °C — pale"
	for name, version := range map[string]string{
		"lines taken out":      supperText,
		"no end of line":       supperText + entry,
		"an end of its own":    supperText + entry + ", and dry",
		"another last line":    supperText + "- 2026-09-19T01:04+01:00 lid",
		"a heading, in typing": supperText + entry + "\n## Af",
	} {
		dir := hall(t)
		now := &clock{night}
		k := open(t, dir, now)
		enter(t, k, entry)
		flush(t, k)
		now.Time = now.Add(3 * time.Hour)
		rename(t, dir, supper, version)
		k = open(t, dir, now)
		enter(t, k, "- 2026-09-19T02:04+01:00 lid")
		flush(t, k)
		if got := read(t, dir, supper); !strings.HasPrefix(got, version) || k.Waiting() != "" {
			t.Errorf("%s: waiting because %q:\n%s", name, k.Waiting(), got)
		}
	}
}

// A user who has seen the partly saved file may replace it.
func TestHalfSavedAnyway(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	enter(t, k, "- 2026-09-19T01:04+01:00 pit 112 °C")
	flush(t, k)
	write(t, dir, supper, supperText[:20])
	if _, err := k.EditAnyway(supper, func([]byte) ([]byte, error) { return []byte(supperText), nil }, "brought back"); err != nil {
		t.Fatal(err)
	}
	if got := read(t, dir, supper); got != supperText {
		t.Errorf("got\n%s", got)
	}
}

// A power cut between two tries of one save can leave two temporary files: one has what
// another program saved, the other is torn. Neither order of their names makes the torn
// one a version.
func TestTornSecondTry(t *testing.T) {
	for _, names := range [][2]string{{"saving-1", "saving-2"}, {"saving-2", "saving-1"}} {
		dir := hall(t)
		state := open(t, dir, &clock{night}).state
		theirs, first := supperText+"- theirs\n", supperText+"- first\n"
		both := theirs + "- first\n"
		records := []record{
			{Path: supper, When: night, Message: "first", Temp: names[0], Was: sum([]byte(supperText)), Is: sum([]byte(first)), Lines: diff([]byte(supperText), []byte(first))},
			{Path: supper, When: night, Message: "theirs", Data: []byte(theirs), Lines: additions([]byte(supperText), []byte(theirs)), Theirs: true},
			{Path: supper, When: night, Temp: names[1], Was: sum([]byte(first)), Is: sum([]byte(both)), Full: []byte(both)},
		}
		var pending []byte
		for _, n := range records {
			line, err := n.text()
			if err != nil {
				t.Fatal(err)
			}
			pending = append(pending, line...)
		}
		write(t, state, "pending", string(pending))
		write(t, state, names[0], theirs)
		write(t, state, names[1], both[:len(both)/2])
		write(t, dir, supper, first)
		k := open(t, dir, &clock{night})
		versions, err := k.repo.Versions(supper, 0)
		if err != nil || len(versions) < 2 {
			t.Fatalf("versions %v, %v", versions, err)
		}
		for _, v := range versions {
			if text, err := k.repo.At(v.Hash, supper); err != nil || !whole(string(text)) {
				t.Errorf("temporary files %v: version %q is torn: %q, %v", names, v.Message, text, err)
			}
		}
		if got := read(t, dir, supper); strings.Count(got, "- first\n") != 1 || strings.Count(got, "- theirs\n") != 1 {
			t.Errorf("temporary files %v: got %q", names, got)
		}
	}
}
