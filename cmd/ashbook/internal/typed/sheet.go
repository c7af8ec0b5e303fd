package typed

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
	"ashbook/journal/shorthand"
)

// Sheet is a paper sheet that is typed in row by row.
type Sheet struct {
	Cook    journal.Cook    // with what has been typed
	Entries []journal.Entry // entries typed so far, in the order of the rows

	settings journal.Settings
	hour     time.Time // hour of the row; zero if not known yet
	day      time.Time // day of the first row, if its hour must be typed
}

// NewSheet returns the sheet of a cook. hour is that of its first row; if zero, the
// user types it.
func NewSheet(c *journal.Cook, s journal.Settings, hour time.Time) *Sheet {
	return &Sheet{Cook: *c, settings: s, hour: hour, day: c.Date()}
}

var (
	minutesFirst = pattern.New(`^([0-5]?\d)(?:\s+|$)`)
	clockFirst   = pattern.New(`^(\d{1,2}:\d\d)(?:\s+|$)`)
)

// Prompt returns the text before the next row.
func (s *Sheet) Prompt() string {
	if s.hour.IsZero() {
		return "hour:minutes "
	}
	return s.hour.Format("Mon 15:")
}

// Row takes one typed line for the current hour. It returns what to show.
func (s *Sheet) Row(line string) (said []string) {
	again := strings.HasPrefix(line, "=")
	line = strings.TrimSpace(strings.TrimPrefix(line, "="))
	if again && len(s.Entries) > 0 && !s.hour.IsZero() {
		s.hour = hourOf(s.Entries[len(s.Entries)-1].Time)
	}
	switch {
	case line == "" && s.hour.IsZero():
		return []string{"start with the hour: 18:10 lit"}
	case line == "":
		s.hour = s.hour.Add(time.Hour)
		return nil
	case strings.EqualFold(line, "undo"):
		return []string{s.undo()}
	}
	said, err := s.entry(line)
	if err != nil {
		return []string{err.Error()}
	}
	return said
}

// hourOf returns the start of the hour that a time is in.
func hourOf(t time.Time) time.Time {
	return t.Truncate(time.Minute).Add(-time.Duration(t.Minute()) * time.Minute)
}

func (s *Sheet) undo() string {
	n := len(s.Entries)
	if n == 0 {
		return "nothing typed yet"
	}
	last := s.Entries[n-1]
	s.Entries = s.Entries[:n-1]
	for i, e := range slices.Backward(s.Cook.Entries) {
		if e.Time.Equal(last.Time) && e.String() == last.String() {
			s.Cook.Entries = slices.Delete(slices.Clone(s.Cook.Entries), i, i+1)
			break
		}
	}
	s.hour = hourOf(last.Time)
	return "undone: " + measure.FormatTime(last.Time, measure.Clock, s.settings.Units) + " " + last.Body()
}

// entry parses minutes or a clock time, and the entry line after it.
func (s *Sheet) entry(line string) (said []string, err error) {
	at, line, err := s.when(line)
	if err != nil {
		return nil, err
	}
	if n := len(s.Entries); n > 0 && at.Before(s.Entries[n-1].Time) {
		return nil, fmt.Errorf("times must go forward: %s is before %s; type undo to delete that line", measure.FormatTime(at, measure.Clock, s.settings.Units), measure.FormatTime(s.Entries[n-1].Time, measure.Clock, s.settings.Units))
	}
	l, err := shorthand.Parse(line, shorthand.Context{Now: at, Settings: s.settings, Cook: &s.Cook})
	switch {
	case err != nil:
		return nil, err
	case l.Undo || len(l.Entry.Items) == 0 && l.Entry.Words == "":
		return []string{"this line has nothing to note"}, nil
	}
	l.Entry.Time = at
	said = append(said, "      "+l.Understood(s.settings.Units))
	for _, f := range l.Flags {
		said = append(said, "look: "+f)
	}
	s.Entries = append(s.Entries, l.Entry)
	s.Cook.Entries = append(slices.Clone(s.Cook.Entries), l.Entry)
	journal.SortEntries(s.Cook.Entries)
	s.hour = hourOf(at).Add(time.Hour)
	return said, nil
}

// when parses the minutes or the clock time with which a line begins, and returns the
// rest.
func (s *Sheet) when(line string) (at time.Time, rest string, err error) {
	if m := clockFirst.FindStringSubmatch(line); m != nil {
		hour, minute, ok := journal.ParseClock(m[1])
		if !ok {
			return at, "", fmt.Errorf("%q is not a time of day", m[1])
		}
		from := s.day
		if n := len(s.Entries); n > 0 {
			from = s.Entries[n-1].Time
		} else if !s.hour.IsZero() {
			from = s.hour.Add(-6 * time.Hour)
		}
		return journal.ClockAfter(from, hour, minute, from.Location()), line[len(m[0]):], nil
	}
	if m := minutesFirst.FindStringSubmatch(line); m != nil && !s.hour.IsZero() {
		minute, _ := strconv.Atoi(m[1])
		return s.hour.Add(time.Duration(minute) * time.Minute), line[len(m[0]):], nil
	}
	return at, "", fmt.Errorf("start with the minutes (0 to 59), or with the hour: 18:10 lit")
}

// Ask reads rows until "done" or the end of the input. Then it shows all rows and asks
// whether to save; save is false if there is nothing to save. say prints and cleans
// text.
func (s *Sheet) Ask(from io.Reader, say func(format string, args ...any)) (save bool, err error) {
	in := bufio.NewScanner(from)
	ask := func(prompt string) (string, bool) {
		say("%s", prompt)
		if !in.Scan() {
			say("\n")
			return "", false
		}
		return strings.TrimSpace(in.Text()), true
	}
	say("%s. Type the minutes, then the line. Enter alone: next hour. = in front: a second line for this hour. undo: delete the last line. done: finish.\n", s.Cook.Name())
	for {
		line, ok := ask(s.Prompt())
		if !ok || strings.EqualFold(line, "done") {
			break
		}
		for _, said := range s.Row(line) {
			say("%s\n", said)
		}
	}
	if err := in.Err(); err != nil || len(s.Entries) == 0 {
		return false, err
	}
	say("\n")
	for _, e := range s.Entries {
		say("%s\n", measure.FormatTime(e.Time, measure.DayClock, s.settings.Units)+" "+e.Body())
	}
	if _, on := s.Cook.OnAt(); !on {
		say("look: no line says \"on\", so the cook has not started\n")
	}
	if line, ok := ask(fmt.Sprintf("Enter saves %s, anything else cancels ", measure.Count(len(s.Entries), "line"))); !ok || line != "" {
		say("nothing saved\n")
		return false, in.Err()
	}
	return true, nil
}
