package series

import (
	"strings"
	"testing"

	"ashbook/journal"
)

const forked = "time,pit_c\n2026-09-18T20:00:00+01:00,108\n<<<<<<< HEAD\n2026-09-18T20:10:00+01:00,110\n=======\n2026-09-18T20:11:00+01:00,111\n>>>>>>> other\n2026-09-18T20:20:00+01:00,112\n"

// The rows of both versions of a conflict are read, and its first marker is reported
// with its line. Bad rows below are reported with their places.
func TestConflict(t *testing.T) {
	for name, text := range map[string]string{
		"two sides":  forked,
		"three":      strings.Replace(forked, "=======", "||||||| base\n2026-09-18T20:10:00+01:00,1\n=======", 1),
		"line ends":  strings.ReplaceAll(forked, "\n", "\r\n"),
		"with order": "\ufeff" + forked,
	} {
		s, problems, err := Parse("x.csv", []byte(text+"bad,row,here\n"))
		if err != nil || len(s.Times) != 4 || s.Pit[1] != 110 || s.Pit[2] != 111 {
			t.Errorf("%s: %v, %v", name, err, s)
		}
		last := strings.Count(text, "\n") + 1
		if len(problems) != 2 || problems[0].Line != 3 || !strings.Contains(problems[0].Text, `conflict marker "<<<<<<<"`) || problems[1].Line != last {
			t.Errorf("%s: %v", name, problems)
		}
	}
	_, _, err := Parse("x.csv", []byte("<<<<<<< HEAD\ntime,pit_c\n=======\ntime,pit_f\n>>>>>>> other\n"))
	if err != nil {
		t.Errorf("markers about the header: %v", err)
	}
}

// Rows are added below the markers, and nothing in the file moves. Adding the same rows
// again changes nothing. If rows cannot be added, nothing changes.
func TestMergeIntoConflict(t *testing.T) {
	s := journal.Series{Pit: []float64{109, 110, 113}}
	s.Times = append(s.Times, at(5), at(10), at(30))
	got, done, err := Merge("x.csv", []byte(forked), s)
	want := forked + "2026-09-18T20:05:00+01:00,109\n2026-09-18T20:30:00+01:00,113\n"
	if err != nil || string(got) != want || done.Added != 2 || done.Same != 1 {
		t.Errorf("%v, %+v\n%s", err, done, got)
	}
	if again, done, err := Merge("x.csv", got, s); err != nil || string(again) != want || done.Added != 0 {
		t.Errorf("again: %v, %+v\n%s", err, done, again)
	}
	more := s
	more.Cores = []journal.CoreSeries{{C: []float64{1, 2, 3}}}
	for _, c := range []struct {
		text string
		s    journal.Series
	}{
		{strings.Replace(forked, ">>>>>>> other\n", "", 1), s},
		{forked, more},
		{forked[:len(forked)-1], s},
	} {
		if got, _, err := Merge("x.csv", []byte(c.text), c.s); err == nil || got != nil || !strings.Contains(err.Error(), "x.csv:3:1: nothing was put in: conflict marker") {
			t.Errorf("%v\n%s", err, got)
		}
	}
}
