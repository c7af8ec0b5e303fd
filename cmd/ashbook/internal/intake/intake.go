// Package intake takes the readings of a probe into a cook: a table at once, a stream
// or a file that grows until it is ended, or posts over HTTP. What happens on the way
// goes to Events; it prints nothing.
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

// Options say what is read and where it is saved.
type Options struct {
	Cook  *journal.Cook
	To    *folder.Recorder
	Table probefile.Options // how the columns are read
	Name  string            // of the input, for messages
	Look  bool              // only look: nothing is kept
	Clock func() time.Time
	Ticks func(every time.Duration) (ticks <-chan time.Time, stop func())
	On    Events
}

// Events are what happens on the way. They come one at a time.
type Events struct {
	Columns func([]probefile.Column) // how the columns are read, each time that may have changed
	First   func(journal.Series)     // the first readings are kept
	Anew    func()                   // a followed file was begun again
	Trouble func(error)              // an error that ends nothing
}

// Taken is what became of an input so far.
type Taken struct {
	Read    int           // rows of it
	Kept    int           // rows kept, or that would be
	Merged  series.Merged // of those, how many were new
	Late    int           // rows that came out of order
	Twice   int           // rows that repeat a time
	Hot     int           // core readings that meat does not reach
	PutBack int           // rows another program saved over, put back
	First   time.Time     // of the rows kept; zero: none
	Last    time.Time
	Columns []probefile.Column
	Left    []probefile.Left
	Warned  bool // something that was left out needs a look
}

// Intake is one run of taking in. It is for one goroutine.
type Intake struct {
	Options
	reader  *probefile.Reader
	waiting journal.Series // read, and not kept yet
	blocked string         // the reason it failed, as already reported
	taken   Taken
}

// New returns an intake that has read nothing yet.
func New(o Options) *Intake {
	return &Intake{Options: o, reader: probefile.NewReader(o.Name, o.Table)}
}

// Taken returns what became of the input.
func (in *Intake) Taken() Taken {
	t := in.taken
	t.Read, _ = in.reader.Counts()
	t.PutBack, t.Columns, t.Left = in.To.PutBack(), in.reader.Columns(), in.reader.Left()
	t.Warned = in.reader.Warned() || t.Hot > 0
	return t
}

// cookDays is how far from a cook's first and last entry its readings may lie: a probe
// may run for the salting before and the leftovers after (chosen). A table of another
// cook, or with its times read wrongly, is outside.
const cookDays = 3

// Days returns between which times readings of a cook may lie, and the last time by
// which a count of them may have begun.
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

// ReadAll takes in a table that ends, in one step.
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

// mostRows is how many rows a series can hold at most; longer tables are refused before
// they fill the memory.
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
			return fmt.Errorf("%s: more than %d rows, the most that a series can hold", in.Name, mostRows)
		}
	}
}

func (in *Intake) line(text []byte) error { return in.reader.Line(text, in.Clock()) }

// gather moves rows from the reader to those that wait to be saved.
func (in *Intake) gather() {
	s := in.reader.Take()
	in.taken.Hot += in.tooHot(s)
	late, twice := series.Tidy(&s)
	in.taken.Late += late
	in.taken.Twice += twice
	series.Add(&in.waiting, s)
}

// HottestCore is what meat does not reach, °C: its water boils before (chosen, with ten
// degrees to spare).
const HottestCore = 110.0

// tooHot counts core readings that are more likely °F, where only journal.md said °C.
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

// mergeAll keeps what waits in one step.
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

// count notes the rows that waited as kept.
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

// manyRows is from how many rows on those that wait are merged in one step, and not
// put at the end one after the other (chosen: the file is written again for them).
const manyRows = 500

// catchUp keeps what came in; what cannot be kept now is tried again. Only at the end
// that is an error.
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

// How often what came in is kept, and put into history (chosen: a second of readings
// is the most that a crash of this program can lose; history keeps a copy of the
// series each time).
const (
	keepEvery    = time.Second
	historyEvery = time.Hour
)

// loop runs step at once, at every tick and for each input, until ctx is done or the input
// ends. Ticks save what was read.
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

// Stream takes in what comes from r until it ends or ctx is done.
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

// ErrFolder is the error of a folder in place of a table.
var ErrFolder = errors.New("this is a folder, not a table")

// File takes in a file to its end; one that has none, such as a pipe, until ctx is done.
// It fails with ErrFolder.
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

// Follow takes in a file as it grows, until ctx is done.
func (in *Intake) Follow(ctx context.Context, file string) error {
	t, err := probefile.OpenTail(file)
	if err != nil {
		return err
	}
	defer t.Close()
	deaf := false // the restarted file is not a table; the next one may be
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

// lastTry keeps what still waits, and puts the series into history.
func (in *Intake) lastTry() error {
	if err := in.catchUp(); err != nil {
		return fmt.Errorf("%s not kept: %w", measure.Count(len(in.waiting.Times), "reading"), err)
	}
	return in.To.Commit()
}

// trouble reports an error that does not end the run. A journal locked by another ashbook
// is not reported: the commit is tried again.
func (in *Intake) trouble(err error) {
	if err != nil && !errors.Is(err, history.ErrLocked) {
		in.On.Trouble(err)
	}
}
