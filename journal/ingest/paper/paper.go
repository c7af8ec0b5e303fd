// Package paper reads past cooks that were kept elsewhere: a table with a row for each, or
// notes in free words. It guesses what each part means, lists what it was not sure of and
// what it kept as words, and makes a journal.Cook. It does no input or output and has no
// clock.
package paper

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/ingest/written"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

// Options are what the reading depends on apart from the text.
type Options struct {
	Units    measure.System    // of bare numbers
	Zone     *time.Location    // of all times
	Now      time.Time         // no cook is later
	Day      time.Time         // of a cook that names none; zero: it must name one
	Columns  map[string]string // field → name or number of its column: {"weight": "3"}
	DayOrder string            // "dmy" or "mdy", of dates such as 4/7/2023; "" guesses

	monthFirst bool
	hours24    bool // clock times with minutes use 24 hours
}

// Cook is one cook as it was understood.
type Cook struct {
	journal.Cook
	Line int       // of the text, from 1
	Day  time.Time // it began on, midnight in the zone; zero where none is named
	Left []string  // what stayed words, all of it kept in the cook's prose
	Asks []string  // what was guessed or is missing
}

// Usable reports whether the cook can be saved: it has a day.
func (c Cook) Usable() bool { return !c.Day.IsZero() }

// Sheet is a whole text.
type Sheet struct {
	Columns []Column // of a table; nil for notes
	Cooks   []Cook
	Asks    []string // what holds for all cooks: the order of day and month
}

// Error is a mistake at a line of the text.
type Error struct {
	Line, Col int
	Text      string
}

// Error returns "3:1: …".
func (e *Error) Error() string { return fmt.Sprintf("%d:%d: %s", e.Line, e.Col, e.Text) }

// Read reads a text: as a table where its lines have the same separators, otherwise as
// notes. The error is an *Error.
func Read(text string, opt Options) (Sheet, error) {
	if err := readable(text); err != nil {
		return Sheet{}, err
	}
	text = strings.TrimPrefix(text, "\ufeff")
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	ask := opt.hear(text)
	opt.hours24 = written.Counts24(text, opt.Units)
	if sep := separator(text); sep != 0 {
		s, err := readTable(text, sep, opt)
		s.Asks = append(ask, s.Asks...)
		return s, err
	}
	if len(opt.Columns) > 0 {
		return Sheet{}, &Error{1, 1, "these are notes, not a table: no columns are separated by commas, semicolons, tabs or bars"}
	}
	s := readNotes(text, opt)
	s.Asks = append(ask, s.Asks...)
	return s, nil
}

// Units as people write them. Figures that are hot in °F and out of the question in
// °C: a core that is done, and pits from 200 °F on.
var (
	usUnits     = pattern.New(`(?im)(?:\d\s*|\b)(?:lbs?|pounds?|ounces?|oz|°\s*f|deg(?:rees)?\s*f|fahrenheit|inch(?:es)?)\b|\d\s?f\b|\bf\s*(?:,|;|\t|\||$)`)
	metricUnits = pattern.New(`(?i)(?:\d\s*|\b)(?:kg|kilos?|grams?|°\s*c|deg(?:rees)?\s*c|celsius|cm)\b|\d\s?c\b`)
	hotInF      = pattern.New(`\b(?:19[0-9]|20[0-9]|21[0-2]|2[2-7][05])\b`)
)

// hear reads bare numbers in the units that the text itself uses. It returns questions
// about them.
func (o *Options) hear(text string) []string {
	us, metric := usUnits.MatchString(text), metricUnits.MatchString(text)
	switch {
	case us == metric && (us || o.Units == measure.US || len(hotInF.FindAllString(text, 2)) < 2):
		return nil
	case metric && o.Units == measure.US:
		o.Units = measure.Metric
		return []string{"bare figures are read in °C and kg, as the text writes them"}
	case !metric && o.Units == measure.Metric:
		o.Units = measure.US
		return []string{"bare figures are read in °F and lb, as the text writes them"}
	}
	return nil
}

// readable refuses what no file of a cook may hold.
func readable(text string) error {
	line, col := 1, 0
	for i, r := range text {
		col++
		if r == '\n' {
			line, col = line+1, 0
		}
		if _, n := utf8.DecodeRuneInString(text[i:]); r == utf8.RuneError && n == 1 {
			return &Error{line, col, "the text is not UTF-8 here; save it as UTF-8"}
		}
		if r < ' ' && r != '\n' && r != '\r' && r != '\t' {
			return &Error{line, col, fmt.Sprintf("control character %U; expected plain text", r)}
		}
	}
	if strings.TrimSpace(text) == "" {
		return &Error{1, 1, "nothing to import: expected a table or notes"}
	}
	return nil
}

// draft is a cook that is being read.
type draft struct {
	Cook
	opt            Options
	on, off        time.Time
	vague          []string            // "on 10": half of the day not written
	took           time.Duration       // on to off
	core           measure.Temperature // when it came off
	rest           time.Duration       // after it came off
	restTo, served time.Time
	boxed          bool   // it rested in the box
	unit           string // of the column that is read
	extra          []journal.Entry
}

func newDraft(line int, opt Options) *draft {
	d := &draft{opt: opt}
	d.Line, d.Pieces = line, []journal.Piece{{}}
	if !opt.Day.IsZero() {
		d.Day = dayOf(opt.Day, opt.Zone)
	}
	return d
}

func (d *draft) ask(format string, args ...any) {
	d.Asks = append(d.Asks, fmt.Sprintf(format, args...))
}

func (d *draft) leave(text string) {
	if text = strings.TrimSpace(text); text != "" {
		d.Left = append(d.Left, text)
	}
}

// note adds an item at a time.
func (d *draft) note(at time.Time, it journal.Item) {
	for i := range d.extra {
		if d.extra[i].Time.Equal(at) {
			d.extra[i].Items = append(d.extra[i].Items, it)
			return
		}
	}
	d.extra = append(d.extra, journal.Entry{Time: at, Items: []journal.Item{it}})
}

// finish completes the cook: of on, off and the time between, a missing one follows from
// the other two, and the title from the cut.
func (d *draft) finish(source string) Cook {
	if d.Day.IsZero() {
		d.ask("no day: write one before it, or give --day")
	} else if d.Day.After(d.opt.Now) {
		d.ask("%s is still to come", d.Day.Format(time.DateOnly))
		d.Day = time.Time{}
	}
	switch {
	case d.took > 0 && d.on.IsZero() && d.off.IsZero() && !d.Day.IsZero():
		d.on = d.Day
		d.off = d.on.Add(d.took)
		d.ask("only how long it took is known: its hours are counted from 00:00")
		d.extra = append(d.extra, journal.Entry{Time: d.on, Words: "the hour is not known, only how long it took"})
	case d.took > 0 && d.off.IsZero() && !d.on.IsZero():
		d.off = d.on.Add(d.took)
	case d.took > 0 && d.on.IsZero() && !d.off.IsZero():
		d.on = d.off.Add(-d.took)
	case d.took > 0 && !d.on.IsZero():
		if off := d.off.Sub(d.on) - d.took; off.Abs() > time.Hour {
			d.ask("on to off is %s, but it says %s", measure.FormatDuration(d.off.Sub(d.on)), measure.FormatDuration(d.took))
		}
	}
	if !d.off.IsZero() && !d.on.IsZero() && d.off.Sub(d.on) > longest {
		d.ask("%s on the pit: are the days right?", measure.FormatDuration(d.off.Sub(d.on)))
	}
	if !d.on.IsZero() {
		d.note(d.on, journal.Item{Act: journal.On})
	}
	if !d.off.IsZero() {
		d.note(d.off, journal.Item{Act: journal.Off})
		d.ending()
	} else if d.core.Known || d.rest > 0 {
		d.ask("no hour at which it came off: its core and its rest stay words")
	}
	for i := range d.extra {
		order(d.extra[i].Items)
	}
	d.Entries = d.extra
	journal.SortEntries(d.Entries)
	if d.Title == "" {
		d.Title = titleOf(d.Cut)
	}
	d.Prose = "# " + oneLine(d.Title)
	for line := range strings.Lines(source) {
		if line = strings.TrimSpace(line); line != "" {
			d.Prose += "\n\n> " + line
		}
	}
	return d.Cook
}

// ending notes what came of the meat once it was off.
func (d *draft) ending() {
	if d.core.Known {
		for _, p := range d.Pieces {
			d.note(d.off, journal.Item{Act: journal.ReadCore, Piece: p.Name, Temp: d.core})
		}
	}
	if d.rest > 0 {
		d.restTo = d.off.Add(d.rest)
	}
	if to := d.restTo; to.After(d.off) {
		from, until := journal.Rest, journal.NoAct
		if d.boxed {
			from, until = journal.Boxed, journal.Unboxed
		}
		d.note(d.off, journal.Item{Act: from})
		if until != journal.NoAct {
			d.note(to, journal.Item{Act: until})
		} else if !to.Equal(d.served) {
			d.extra = append(d.extra, journal.Entry{Time: to, Words: "rested until now"})
		}
	}
	if d.served.After(d.off) {
		d.note(d.served, journal.Item{Act: journal.Served})
	}
}

// How long a slow cook of one piece takes, at least and at most (chosen).
const (
	shortest = 90 * time.Minute
	longest  = 36 * time.Hour
)

// order puts on before the readings, and off after them.
func order(items []journal.Item) {
	rank := func(it journal.Item) int {
		switch it.Act {
		case journal.On:
			return 0
		case journal.Off:
			return 2
		case journal.Rest, journal.Boxed, journal.Unboxed, journal.Pulled, journal.Sliced, journal.Served:
			return 3
		}
		return 1
	}
	slices.SortStableFunc(items, func(a, b journal.Item) int { return rank(a) - rank(b) })
}

func titleOf(cut string) string {
	if cut == "" {
		return "Cook"
	}
	r, n := utf8.DecodeRuneInString(cut)
	return strings.ToUpper(string(r)) + cut[n:]
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func dayOf(t time.Time, zone *time.Location) time.Time {
	t = t.In(zone)
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, zone)
}
