// Package paper reads past cooks that were written down elsewhere: a table with one row
// for each cook, or notes in free text. It guesses what each part means, lists its
// guesses and what it kept as words, and returns each cook as a journal.Cook. It does
// no input or output and reads no clock.
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

// Options are what reading depends on besides the text.
type Options struct {
	Units    measure.System    // units of bare numbers
	Zone     *time.Location    // time zone of all times
	Now      time.Time         // cooks after this time are refused
	Day      time.Time         // day of a cook that has none; zero: each cook must have one
	Columns  map[string]string // field → heading or number of its column: {"weight": "3"}
	DayOrder string            // order in dates such as 4/7/2023, "dmy" or "mdy"; "" to guess

	monthFirst bool
	hours24    bool // times with minutes are on a 24-hour clock
}

// Cook is one cook as it was understood.
type Cook struct {
	journal.Cook
	Line int       // first line of the cook in the text, from 1
	Day  time.Time // midnight of the day it began; zero if the text has none
	Left []string  // parts kept as words; all are in the cook's prose too
	Asks []string  // questions: what was guessed or is missing
}

// Usable reports whether the cook has a day and so can be saved.
func (c Cook) Usable() bool { return !c.Day.IsZero() }

// Sheet is the whole text as it was understood.
type Sheet struct {
	Columns []Column // columns of the table; nil for notes
	Cooks   []Cook
	Asks    []string // questions about all cooks, such as the order of day and month
}

// Error is a mistake at a position in the text. Line and Col count from 1.
type Error struct {
	Line, Col int
	Text      string
}

// Error returns "3:1: …".
func (e *Error) Error() string { return fmt.Sprintf("%d:%d: %s", e.Line, e.Col, e.Text) }

// Read reads a text. If its lines have the same separators, it is a table; if not, it
// is notes. An error is an *Error.
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
	if s, ok, err := readRecords(text, opt); ok {
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

// Patterns for units as people write them. hotInF matches numbers that are common in °F
// and impossible in °C: the core of cooked meat, and pits from 200 °F.
var (
	usUnits     = pattern.New(`(?im)(?:\d\s*|\b)(?:lbs?|pounds?|ounces?|oz|°\s*f|deg(?:rees)?\s*f|fahrenheit|inch(?:es)?)\b|\d\s?f\b|\bf\s*(?:,|;|\t|\||$)`)
	metricUnits = pattern.New(`(?i)(?:\d\s*|\b)(?:kg|kilos?|grams?|°\s*c|deg(?:rees)?\s*c|celsius|cm)\b|\d\s?c\b`)
	hotInF      = pattern.New(`\b(?:19[0-9]|20[0-9]|21[0-2]|2[2-7][05])\b`)
)

// hear sets the unit of bare numbers to the one that the text itself uses. If that is
// not the journal's unit, it returns a question about it.
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

// readable returns an error if the text is empty or has characters that no cook's file
// may contain.
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

// draft is a cook while it is being read.
type draft struct {
	Cook
	opt            Options
	on, off        time.Time
	vague          []string            // times typed without am or pm, such as "on 10"
	took           time.Duration       // from on to off
	core           measure.Temperature // core temperature when it came off
	rest           time.Duration       // time between off and the meal
	restTo, served time.Time
	boxed          bool   // it rested in the insulated box
	unit           string // unit of the column being read; "" for none
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

// finish completes the cook. It computes one of on, off and duration from the other
// two, and makes a title from the cut.
func (d *draft) finish(source string) Cook {
	if d.Day.IsZero() {
		d.ask("no day: write one before it, or give --day")
	} else if d.Day.After(d.opt.Now) {
		d.ask("%s is in the future", d.Day.Format(time.DateOnly))
		d.Day = time.Time{}
	}
	switch {
	case d.took > 0 && d.on.IsZero() && d.off.IsZero() && !d.Day.IsZero():
		d.on = d.Day
		d.off = d.on.Add(d.took)
		d.ask("only the duration is known: the times are counted from 00:00")
		d.extra = append(d.extra, journal.Entry{Time: d.on, Words: "the time is not known, only how long it took"})
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
		d.ask("the time it came off is missing: its core and its rest are kept as words")
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

// ending adds the rest and the meal after the meat came off.
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

// Shortest and longest time that one piece takes to cook slowly (chosen).
const (
	shortest = 90 * time.Minute
	longest  = 36 * time.Hour
)

// order sorts the items of one entry: on before readings, off after them.
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
