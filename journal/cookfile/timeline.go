package cookfile

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/cookfile/front"
)

// timeline is where the lines of the timeline lie in the text.
type timeline struct {
	heading int      // after the first heading's line; 0: there is no timeline
	at      []region // of each entry of the cook, in the cook's order
}

// region is the lines of one entry, continuation lines and line ends included.
type region struct {
	from, to int
	bare     bool // only a clock time was written
}

// scanner reads the body line by line.
type scanner struct {
	*reader
	cook    *journal.Cook
	grammar journal.Grammar
	zone    *time.Location
	lines   timeline

	entries []placed
	open    bool      // the line above belongs to the last entry
	last    time.Time // of the entry above; zero: none yet
}

type placed struct {
	journal.Entry
	region
	more []string // words of the lines that continue it
}

// timeline reads the body into the cook's entries and prose.
func (r *reader) timeline(c *journal.Cook, opt Options) timeline {
	s := &scanner{reader: r, cook: c, zone: opt.Zone}
	if s.zone == nil {
		s.zone = time.UTC
	}
	s.grammar = journal.Grammar{Pieces: c.PieceNames(), Units: r.units}
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
	outside, stray := 0, 0
	var prose strings.Builder
	fences := newFences(text)
	for off := s.doc.Body(); off < len(text); {
		line, next := front.LineAt(text, off)
		number++
		switch level, title := heading(line); {
		case fences.inside(line, off, next):
			s.open = false
		case level > 0 && level <= 2:
			now := level == 2 && strings.EqualFold(title, "timeline")
			switch {
			case now && !inside:
				prose.WriteString(text[proseFrom:off])
			case inside && !now:
				proseFrom = off
			}
			if now && s.lines.heading == 0 {
				s.lines.heading = next
			}
			inside, s.open = now, false
		case inside:
			s.line(line, number, off, next)
		case s.misplaced(line):
			if outside++; outside == 1 {
				stray = number
			}
		}
		off = next
	}
	if outside > 0 {
		s.warnAt(stray, 1, strayWords(outside))
	}
	if !inside {
		prose.WriteString(text[proseFrom:])
	}
	s.cook.Prose = strings.Trim(prose.String(), "\r\n")
}

// misplaced reports a line outside the timeline that would be an entry in it:
// its time has a date and what follows holds more than words.
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

func strayWords(n int) string {
	const rest = "outside the timeline: kept as prose; put a line \"## Timeline\" above"
	if n == 1 {
		return "this entry stands " + rest + " it"
	}
	return fmt.Sprintf("this entry and %d below it stand %s them", n-1, rest)
}

// heading reads "## Timeline" (an ATX heading of CommonMark, section 4.2); the
// level is 0 for any other line.
func heading(line string) (level int, title string) {
	s, ok := cutIndent(line)
	if !ok || s == "" || s[0] != '#' {
		return 0, ""
	}
	rest := strings.TrimLeft(s, "#")
	level = len(s) - len(rest)
	if level > 6 || rest != "" && rest[0] != ' ' && rest[0] != '\t' {
		return 0, ""
	}
	title = strings.Trim(rest, " \t")
	if bare := strings.TrimRight(title, "#"); bare == "" || strings.HasSuffix(bare, " ") || strings.HasSuffix(bare, "\t") {
		title = strings.TrimRight(bare, " \t")
	}
	return level, title
}

// cutIndent takes up to three spaces off a line; ok is false where more stand
// there, which makes it no block of its own in CommonMark.
func cutIndent(line string) (rest string, ok bool) {
	rest = strings.TrimLeft(line, " ")
	return rest, len(line)-len(rest) <= 3
}

// fences follows fenced code, in which nothing is a heading or an entry. A
// fence that is never closed is plain text: it must not swallow the timeline.
type fences struct {
	text   string
	until  int          // offset up to which the text is code
	failed map[byte]int // shortest fence of each mark found not to close
}

func newFences(text string) *fences { return &fences{text: text} }

// inside reports whether the line from off to next is code or a fence.
func (f *fences) inside(line string, off, next int) bool {
	if off < f.until {
		return true
	}
	mark, width := fence(line)
	if width == 0 || mark == '`' && strings.Contains(strings.TrimLeft(line, " `"), "`") {
		return false
	}
	if shortest, ok := f.failed[mark]; ok && width >= shortest {
		return false
	}
	for at := next; at < len(f.text); {
		line, after := front.LineAt(f.text, at)
		if m, w := fence(line); m == mark && w >= width && strings.Trim(line, " \t"+string(mark)) == "" {
			f.until = after
			return true
		}
		at = after
	}
	if f.failed == nil {
		f.failed = map[byte]int{}
	}
	f.failed[mark] = width
	return false
}

// widestFence is the width as which wider fences count: each width may cost a
// look through the whole text once (chosen).
const widestFence = 16

// fence reads the run of backticks or tildes that begins a line.
func fence(line string) (mark byte, width int) {
	s, ok := cutIndent(line)
	if !ok || s == "" || s[0] != '`' && s[0] != '~' {
		return 0, 0
	}
	if width = len(s) - len(strings.TrimLeft(s, s[:1])); width < 3 {
		return 0, 0
	}
	return s[0], min(width, widestFence)
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
		s.warnAt(number, column(item), fmt.Sprintf("time %q: no dated line stands above it; taken as %s", token, journal.FormatTime(at)))
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

// mark is what stands before the text of a line.
type mark uint8

const (
	unmarked mark = iota
	glued         // a bullet without its space
	bulleted
)

// cutBullet takes the bullet off a line.
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

// cutTime takes off the head of a line what looks like the time of an entry,
// well formed or not.
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

// cutWord splits at the first blanks.
func cutWord(s string) (word, rest string) {
	end := strings.IndexAny(s, " \t")
	if end < 0 {
		return s, ""
	}
	return s[:end], strings.TrimLeft(s[end:], " \t")
}

// dated reports a token that begins like 2026-0.
func dated(s string) bool {
	return len(s) > 5 && digits(s[:4]) && s[4] == '-' && digits(s[5:6])
}

// clocked reports a token that begins like 1:04 or 01:04.
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

// time reads the time of a line, dated or bare.
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

// day returns the midnight that begins the day of the cook: of its file name,
// which says when it began, else of its serving hour.
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

// zoneAt returns the zone for clock times near t: the person's own where it
// keeps the offset of t, else that offset.
func (s *scanner) zoneAt(t time.Time) *time.Location {
	_, written := t.Zone()
	if _, own := t.In(s.zone).Zone(); own == written {
		return s.zone
	}
	return t.Location()
}

// fix is fixed, with the zone of the line above where that will do.
func (s *scanner) fix(t time.Time) time.Time {
	_, offset := t.Zone()
	if _, above := s.last.Zone(); above == offset {
		return t.In(s.last.Location())
	}
	return fixed(t)
}

// judgeLine warns of parts that begin like an item but are not, of numbers
// without a unit and of unlikely ones.
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
	at := col // of the part
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

// partEnd returns where the part that begins at from ends: at a comma that is
// no decimal comma.
func partEnd(s string, from int) int {
	for i := from; i < len(s); i++ {
		if s[i] == ',' && !(i > 0 && digits(s[i-1:i]) && i+1 < len(s) && digits(s[i+1:i+2])) {
			return i
		}
	}
	return len(s)
}

// itemDoubt says what is odd about an item; empty where nothing is.
func itemDoubt(it journal.Item) string {
	q := (*plain)(&it.Temp)
	if it.Act == journal.Recheck {
		q = (*plain)(&it.After)
	}
	if q.Known {
		if text := actSense[it.Act].doubt(q); text != "" {
			return it.Act.Word() + " " + text
		}
	}
	if it.Amount.Known && fuelSense.outside((*plain)(&it.Amount)) {
		return it.Act.Word() + " " + fuelSense.doubt((*plain)(&it.Amount))
	}
	return ""
}
