package cookfile

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
)

// timeline has the offsets of the timeline's lines in the text.
type timeline struct {
	heading int      // offset after the first heading's line; 0 if there is no timeline
	at      []region // lines of each entry, in the order of the cook's entries
}

// region is the range of an entry's lines, with continuation lines and line ends.
type region struct {
	from, to int
	bare     bool // the line has only a clock time
}

// scanner reads the body line by line.
type scanner struct {
	*reader
	blocks  *blocks.Structure
	cook    *journal.Cook
	grammar journal.Grammar
	zone    *time.Location
	lines   timeline

	entries []placed
	open    bool      // a continuation line may follow the last entry
	last    time.Time // time of the entry above; zero for none
}

type placed struct {
	journal.Entry
	region
	more []string // words of its continuation lines
}

// timeline reads the body into the cook's entries and prose.
func (r *reader) timeline(b *blocks.Structure, c *journal.Cook, opt Options) timeline {
	s := &scanner{reader: r, blocks: b, cook: c, zone: opt.Zone}
	if s.zone == nil {
		s.zone = time.UTC
	}
	s.grammar = journal.Grammar{Pieces: c.PieceNames(), Units: r.units}
	s.entries = make([]placed, 0, strings.Count(s.doc.Text()[s.doc.Body():], "\n- "))
	s.body()
	slices.SortStableFunc(s.entries, func(a, b placed) int { return a.Time.Compare(b.Time) })
	if len(s.entries) > 0 {
		c.Entries = make([]journal.Entry, len(s.entries))
		s.lines.at = make([]region, len(s.entries))
	}
	for i, e := range s.entries {
		if len(e.more) > 0 {
			e.Words = strings.TrimSpace(e.Words + " " + strings.Join(e.more, " "))
		}
		c.Entries[i], s.lines.at[i] = e.Entry, e.region
	}
	return s.lines
}

func (s *scanner) body() {
	text := s.doc.Text()
	number := strings.Count(text[:s.doc.Body()], "\n")
	inside, proseFrom := false, s.doc.Body()
	var outside, buried strays
	var prose strings.Builder
	for l := range s.blocks.Lines() {
		number++
		switch {
		case l.Head != nil && l.Head.Level <= 2:
			now := l.Head.Level == 2 && strings.EqualFold(l.Head.Title, "timeline")
			switch {
			case now && !inside:
				prose.WriteString(text[proseFrom:l.From])
			case inside && !now:
				proseFrom = l.From
			}
			if now && s.lines.heading == 0 {
				s.lines.heading = l.Head.To
			}
			inside, s.open = now, false
		case l.Kind == blocks.Markup && inside && s.misplaced(l.Text):
			buried.add(number)
			s.open = false
		case l.Kind != blocks.Text:
			s.open = false
		case inside:
			s.line(l.Text, number, l.From, l.To)
		case s.misplaced(l.Text):
			outside.add(number)
		}
	}
	s.stray(outside, "outside the timeline, so kept as prose; put a line \"## Timeline\" above")
	s.stray(buried, "inside HTML, so kept as prose; delete the HTML above")
	if !inside {
		prose.WriteString(text[proseFrom:])
	}
	s.cook.Prose = strings.Trim(prose.String(), "\r\n")
}

// strays counts lines outside the timeline that look like entries.
type strays struct{ n, first int }

func (s *strays) add(number int) {
	if s.n++; s.n == 1 {
		s.first = number
	}
}

// stray adds a warning for entries that are read as prose.
func (s *scanner) stray(found strays, where string) {
	switch found.n {
	case 0:
	case 1:
		s.warnAt(found.first, 1, "this entry is "+where+" it")
	default:
		s.warnAt(found.first, 1, fmt.Sprintf("this entry and %d below it are %s them", found.n-1, where))
	}
}

// misplaced reports whether a line outside the timeline looks like an entry: it has a
// time with a date, and an item.
func (s *scanner) misplaced(line string) bool {
	item, mark := cutBullet(line)
	token, rest := cutTime(item)
	if mark != bulleted || !dated(token) {
		return false
	}
	if _, err := journal.ParseTime(token); err != nil {
		return false
	}
	items, _, _ := journal.ParseBody(rest, s.grammar)
	return len(items) > 0
}

// cutIndent removes up to three spaces from the start of a line. ok is false if there
// are more, since in CommonMark the line is then no block of its own.
func cutIndent(line string) (rest string, ok bool) {
	rest = strings.TrimLeft(line, " ")
	return rest, len(line)-len(rest) <= 3
}

// line reads one line of the timeline.
func (s *scanner) line(line string, number, off, next int) {
	item, mark := cutBullet(line)
	token, rest := cutTime(item)
	if token == "" || mark == unmarked && !dated(token) {
		s.continued(line, next)
		return
	}
	at, bare, err := s.time(token, rest)
	if mark == unmarked && err != nil {
		s.continued(line, next)
		return
	}
	s.open = err == nil && mark == bulleted
	column := func(rest string) int { return utf8.RuneCountInString(line[:len(line)-len(rest)]) + 1 }
	switch {
	case err != nil:
		s.warnAt(number, column(item), err.Error()+"; the line is kept as prose")
		return
	case mark != bulleted:
		s.warnAt(number, column(item), fmt.Sprintf("time %q: expected a hyphen and a space before it; the line is kept as prose", token))
		return
	case bare && s.last.IsZero():
		s.warnAt(number, column(item), fmt.Sprintf("time %q: no line above it has a date; taken as %s", token, journal.FormatTime(at)))
	}
	items, words, notes := journal.ParseBody(rest, s.grammar)
	s.judgeLine(rest, items, notes, number, column(rest))
	s.last = at
	s.entries = append(s.entries, placed{
		Entry:  journal.Entry{Time: at, Items: items, Words: words, Line: number},
		region: region{off, next, bare},
	})
}

// continued adds an indented line to the words of the entry above.
func (s *scanner) continued(line string, next int) {
	words := strings.TrimSpace(line)
	if !s.open || words == "" || line[0] != ' ' && line[0] != '\t' {
		s.open = false
		return
	}
	e := &s.entries[len(s.entries)-1]
	e.more = append(e.more, words)
	e.to = next
}

// mark is what comes before the words of a line.
type mark uint8

const (
	unmarked mark = iota
	glued         // a bullet without a space after it
	bulleted
)

// cutBullet removes the bullet of a line.
func cutBullet(line string) (item string, m mark) {
	s, ok := cutIndent(line)
	if !ok || s == "" || strings.IndexByte("-*+", s[0]) < 0 {
		return s, unmarked
	}
	item = strings.TrimLeft(s[1:], " \t")
	if len(item) == len(s)-1 {
		return item, glued
	}
	return item, bulleted
}

// cutTime splits off what looks like the time of an entry at the start of item, well
// formed or not.
func cutTime(item string) (token, rest string) {
	if item == "" || item[0] < '0' || item[0] > '9' {
		return "", ""
	}
	token, rest = cutWord(item)
	if dated(token) && len(token) == len(time.DateOnly) {
		if clock, after := cutWord(rest); clocked(clock) {
			token, rest = item[:len(item)-len(rest)+len(clock)], after
		}
	}
	if !dated(token) && !clocked(token) {
		return "", ""
	}
	return token, rest
}

// cutWord splits s at its first blanks.
func cutWord(s string) (word, rest string) {
	end := strings.IndexAny(s, " \t")
	if end < 0 {
		return s, ""
	}
	return s[:end], strings.TrimLeft(s[end:], " \t")
}

// dated reports whether a token begins like 2026-0.
func dated(s string) bool {
	return len(s) > 5 && digits(s[:4]) && s[4] == '-' && digits(s[5:6])
}

// clocked reports whether a token begins like 1:04 or 01:04.
func clocked(s string) bool {
	i := strings.IndexByte(s, ':')
	return (i == 1 || i == 2) && digits(s[:i]) && len(s) >= i+3 && digits(s[i+1:i+3])
}

func digits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

// time parses the time of a line, with or without a date.
func (s *scanner) time(token, rest string) (at time.Time, bare bool, err error) {
	if dated(token) {
		at, err = journal.ParseTime(token)
		return s.fix(at), false, err
	}
	hour, minute, ok := journal.ParseClock(token)
	if half, _ := cutWord(rest); !ok || strings.EqualFold(half, "am") || strings.EqualFold(half, "pm") {
		return at, true, fmt.Errorf("time %q: expected a clock of 24 hours such as 01:04, or a date and time such as 2026-09-19T01:04+01:00", token)
	}
	from := s.last
	if from.IsZero() {
		if from, ok = s.day(); !ok {
			return at, true, fmt.Errorf("time %q: its day is not known; expected a date and time such as 2026-09-19T01:04+01:00", token)
		}
	}
	return s.fix(journal.ClockAfter(from, hour, minute, s.zoneAt(from))), true, nil
}

// day returns midnight at the start of the cook's day, from its file name or its
// serving hour.
func (s *scanner) day() (time.Time, bool) {
	t, zone := s.cook.Serve, s.zone
	if !t.IsZero() {
		zone = s.zoneAt(t)
	}
	if named, ok := journal.DateOfID(s.cook.ID); ok {
		t = named
	} else if t.IsZero() {
		return t, false
	}
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, zone), true
}

// zoneAt returns the zone for clock times near t: the user's own if it has the offset
// of t, and a fixed one with that offset if not.
func (s *scanner) zoneAt(t time.Time) *time.Location {
	_, written := t.Zone()
	if _, own := t.In(s.zone).Zone(); own == written {
		return s.zone
	}
	return t.Location()
}

// fix does what fixed does, but reuses the zone of the line above if it has the same
// offset.
func (s *scanner) fix(t time.Time) time.Time {
	_, offset := t.Zone()
	if _, above := s.last.Zone(); above == offset {
		return t.In(s.last.Location())
	}
	return fixed(t)
}

// judgeLine adds warnings for parts that begin like an item but are none, for numbers
// without a unit, and for unlikely numbers.
func (s *scanner) judgeLine(body string, items []journal.Item, notes []string, number, col int) {
	if len(notes) == 0 && !slices.ContainsFunc(items, func(it journal.Item) bool { return itemDoubt(it) != "" }) {
		return
	}
	head := body
	for _, dash := range []string{" — ", " -- "} {
		if i := strings.Index(" "+head+" ", dash); i >= 0 {
			head = head[:i]
		}
	}
	at := col // column of the part
	for from := 0; from <= len(head); {
		part := head[from:partEnd(head, from)]
		it, err := journal.ParseItem(part, s.grammar)
		text := itemDoubt(it)
		if err != nil && len(notes) > 0 && notes[0] == err.Error() {
			text = notes[0] + keptAsWords
			notes = notes[1:]
		}
		if text != "" {
			s.warnAt(number, at+len(part)-len(strings.TrimLeft(part, " \t")), text)
		}
		at += utf8.RuneCountInString(part) + 1
		from += len(part) + 1
	}
	for _, note := range notes {
		s.warnAt(number, col, note+keptAsWords)
	}
}

const keptAsWords = "; kept as words"

// partEnd returns the offset where the part at from ends: at a comma that is no decimal
// comma.
func partEnd(s string, from int) int {
	for i := from; i < len(s); i++ {
		if s[i] == ',' && !(i > 0 && digits(s[i-1:i]) && i+1 < len(s) && digits(s[i+1:i+2])) {
			return i
		}
	}
	return len(s)
}

// itemDoubt says what is odd about an item; "" for nothing.
func itemDoubt(it journal.Item) string {
	q := (*plain)(&it.Temp)
	if it.Act == journal.Recheck {
		q = (*plain)(&it.After)
	}
	if q.Known {
		if text := doubt(it.Act.Likely(), q); text != "" {
			return it.Act.Word() + " " + text
		}
	}
	if it.Amount.Known && outside(it.Act.LikelyAmount(), (*plain)(&it.Amount)) {
		return it.Act.Word() + " " + doubt(it.Act.LikelyAmount(), (*plain)(&it.Amount))
	}
	return ""
}
