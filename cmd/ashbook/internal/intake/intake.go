// Package intake adds the readings of a probe to a cook: from a whole table, from a
// stream or growing file until it ends, or from requests over HTTP. It reports to
// Events and prints nothing.
package intake

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/history"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"
	"ashbook/journal/series"
)

// Options say which readings are taken in and where they are saved.
type Options struct {
	Cook  *journal.Cook
	To    *folder.Recorder
	Table probefile.Options // how the columns are read
	Name  string            // name of the input for messages
	Look  bool              // only look: nothing is saved
	Clock func() time.Time
	Ticks func(every time.Duration) (ticks <-chan time.Time, stop func())
	On    Events
}

// Events are callbacks. They are called one at a time.
type Events struct {
	Columns func([]probefile.Column) // called when the header was read, and again after each new header
	First   func(journal.Series)     // called when the first readings were saved
	Anew    func()                   // called when the file has begun anew, such as after a restart of the probe
	Trouble func(error)              // called for an error that does not end the run
}

// Taken counts what has happened so far to the rows of an input.
type Taken struct {
	Read    int           // rows read
	Kept    int           // rows saved, or that would be saved
	Merged  series.Merged // how many of those were new
	Late    int           // rows that came out of order
	Twice   int           // rows that repeat a time
	Hot     int           // core readings higher than meat can reach
	PutBack int           // rows put back after another program overwrote them
	First   time.Time     // First and Last are the times of the saved rows; zero for none
	Last    time.Time
	Columns []probefile.Column
	Left    []probefile.Left
	Warned  bool // rows were left out, and the user should look at why
}

// Intake is one run. It must be used by one goroutine only.
type Intake struct {
	Options
	reader  *probefile.Reader
	waiting journal.Series // rows read and not saved yet
	blocked string         // why saving failed, as already reported
	taken   Taken
}

// New returns an intake that has read nothing yet.
func New(o Options) *Intake {
	return &Intake{Options: o, reader: probefile.NewReader(o.Name, o.Table)}
}

// Taken returns the counts for the input so far.
func (in *Intake) Taken() Taken {
	t := in.taken
	t.Read, _ = in.reader.Counts()
	t.PutBack, t.Columns, t.Left = in.To.PutBack(), in.reader.Columns(), in.reader.Left()
	t.Warned = in.reader.Warned() || t.Hot > 0
	return t
}

// cookDays is how many days a reading may be before the first entry of its cook, or
// after the last one: a probe may run for the salting before and the leftovers after
// (chosen). Readings outside are of another cook, or their times are misread.
const cookDays = 3

// Days returns the first and last time that readings of a cook may have, and the last
// time at which counted times may begin.
func Days(c *journal.Cook, now time.Time) (earliest, latest, last time.Time) {
	first := c.Date()
	last = first
	if t, ok := c.LastEntry(); ok {
		last = t
	}
	if c.Running(now) {
		last = now
	}
	return first.AddDate(0, 0, -cookDays), last.AddDate(0, 0, cookDays), last
}

// ReadAll reads a table that ends and saves it in one step.
func (in *Intake) ReadAll(ctx context.Context, r io.Reader) error {
	if err := in.feed(ctx, r); err != nil {
		return err
	}
	in.On.Columns(in.reader.Columns())
	if err := in.mergeAll(); err != nil {
		return err
	}
	return in.To.Commit()
}

// mostRows is the largest number of rows a series can have. A longer table is refused
// before it fills the memory.
const mostRows = series.MaxBytes / len("2006-01-02T15:04:05Z,1\n")

func (in *Intake) feed(ctx context.Context, r io.Reader) error {
	var lines probefile.Lines
	buf := make([]byte, 64<<10)
	for {
		n, err := r.Read(buf)
		if e := lines.Feed(buf[:n], in.line); e != nil {
			return e
		}
		if err == io.EOF {
			return lines.End(in.line)
		}
		if err = errors.Join(err, ctx.Err()); err != nil {
			return err
		}
		if _, kept := in.reader.Counts(); kept > mostRows {
			return fmt.Errorf("%s: more than %d rows, the most that a series can have", in.Name, mostRows)
		}
	}
}

func (in *Intake) line(text []byte) error { return in.reader.Line(text, in.Clock()) }

// gather moves rows from the reader to those waiting to be saved.
func (in *Intake) gather() {
	s := in.reader.Take()
	in.taken.Hot += in.tooHot(s)
	late, twice := series.Tidy(&s)
	in.taken.Late += late
	in.taken.Twice += twice
	series.Add(&in.waiting, s)
}

// HottestCore is a temperature that meat cannot reach, °C: its water boils before
// (chosen, with ten degrees to spare).
const HottestCore = 110.0

// tooHot counts core readings that are more likely °F, if only journal.md gave the unit
// as °C.
func (in *Intake) tooHot(s journal.Series) int {
	assumed := slices.ContainsFunc(in.reader.Columns(), func(c probefile.Column) bool { return c.Assumed && c.Unit == probefile.Celsius.String() })
	n := 0
	for _, c := range s.Cores {
		for _, v := range c.C {
			if assumed && v > HottestCore {
				n++
			}
		}
	}
	return n
}

// mergeAll saves the waiting rows in one step.
func (in *Intake) mergeAll() error {
	in.gather()
	series.Tidy(&in.waiting)
	if len(in.waiting.Times) > 0 && !in.Look {
		done, err := in.To.Merge(in.waiting)
		if err != nil {
			return err
		}
		in.taken.Merged.Added += done.Added
		in.taken.Merged.Changed += done.Changed
		in.taken.Merged.Same += done.Same
	}
	in.count()
	return nil
}

// count counts the rows that were saved.
func (in *Intake) count() {
	t := &in.taken
	for _, at := range in.waiting.Times {
		if t.First.IsZero() || at.Before(t.First) {
			t.First = at
		}
		if at.After(t.Last) {
			t.Last = at
		}
	}
	t.Kept += len(in.waiting.Times)
	in.waiting = journal.Series{}
}

// manyRows is the number of waiting rows from which they are merged in one step instead
// of appended (chosen: merging writes the whole file).
const manyRows = 500

// catchUp saves the waiting rows. If that fails, it is tried again, and only at the end
// of the run is it an error.
func (in *Intake) catchUp() error {
	in.On.Columns(in.reader.Columns())
	in.gather()
	s := in.waiting
	if len(s.Times) == 0 {
		return nil
	}
	begun := in.taken.Kept == 0
	var err error
	if begun || in.Look || len(s.Times) >= manyRows {
		err = in.mergeAll()
	} else if err = in.To.Add(s); err == nil {
		in.taken.Merged.Added += len(s.Times)
		in.count()
	}
	switch {
	case err == nil:
		in.blocked = ""
		if begun {
			in.On.First(s)
		}
	case err.Error() != in.blocked:
		in.blocked = err.Error()
		in.On.Trouble(fmt.Errorf("%w; trying again until it works", err))
	}
	return err
}

// How often rows are saved and committed (chosen: a crash of this program loses at most
// a second of readings; each commit stores the whole series).
const (
	keepEvery    = time.Second
	historyEvery = time.Hour
)

// loop calls step at the start, at every tick and for each input, until ctx is done or
// the input ends. Ticks save what was read.
func (in *Intake) loop(ctx context.Context, come <-chan []byte, step func([]byte) error) error {
	ticks, stop := in.Ticks(keepEvery)
	defer stop()
	committed := in.Clock()
	if err := step(nil); err != nil {
		return err
	}
	in.catchUp()
	for {
		select {
		case <-ctx.Done():
			return step(nil)
		case part, ok := <-come:
			if !ok {
				return nil
			}
			if err := step(part); err != nil {
				return err
			}
			continue
		case <-ticks:
		}
		if err := step(nil); err != nil {
			return err
		}
		in.catchUp()
		if now := in.Clock(); now.Sub(committed) >= historyEvery {
			committed = now
			in.trouble(in.To.Commit())
		}
	}
}

// Stream reads r and saves its rows until it ends or ctx is done.
func (in *Intake) Stream(ctx context.Context, r io.Reader) error {
	come, failed := make(chan []byte), error(nil)
	go func() {
		defer close(come)
		for {
			buf := make([]byte, 64<<10)
			n, err := r.Read(buf)
			if n > 0 {
				select {
				case come <- buf[:n]:
				case <-ctx.Done():
					return
				}
			}
			if err != nil {
				if err != io.EOF {
					failed = err
				}
				return
			}
		}
	}()
	var lines probefile.Lines
	err := in.loop(ctx, come, func(data []byte) error { return lines.Feed(data, in.line) })
	if err == nil && ctx.Err() == nil {
		err = errors.Join(lines.End(in.line), failed)
	}
	return errors.Join(err, in.lastTry())
}

// ErrFolder means that a folder was named instead of a table.
var ErrFolder = errors.New("this is a folder, not a table")

// File reads a file to its end. It reads one without end, such as a pipe, until ctx is
// done. It fails with ErrFolder.
func (in *Intake) File(ctx context.Context, file string) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return err
	case info.IsDir():
		return fmt.Errorf("%q: %w", in.Name, ErrFolder)
	case !info.Mode().IsRegular():
		return in.Stream(ctx, f)
	}
	return in.ReadAll(ctx, f)
}

// Follow reads a file as it grows, until ctx is done.
func (in *Intake) Follow(ctx context.Context, file string) error {
	t, err := probefile.OpenTail(file)
	if err != nil {
		return err
	}
	defer t.Close()
	deaf := false // the file was restarted as something else than a table, but may become one at the next restart
	line := func(text []byte) error {
		if deaf {
			return nil
		}
		err := in.line(text)
		if err != nil && in.taken.Kept > 0 {
			in.trouble(err)
			deaf, err = true, nil
		}
		return err
	}
	err = in.loop(ctx, nil, func([]byte) error {
		return t.Read(line, func() {
			in.gather()
			in.reader.Restart()
			deaf = false
			in.On.Anew()
		})
	})
	return errors.Join(err, in.lastTry())
}

// lastTry saves the rows that still wait, and commits the series.
func (in *Intake) lastTry() error {
	if err := in.catchUp(); err != nil {
		return fmt.Errorf("%s not saved: %w", measure.Count(len(in.waiting.Times), "reading"), err)
	}
	return in.To.Commit()
}

// trouble reports an error that does not end the run. It does not report that another
// ashbook has locked the journal, since the commit is tried again.
func (in *Intake) trouble(err error) {
	if err != nil && !errors.Is(err, history.ErrLocked) {
		in.On.Trouble(err)
	}
}
