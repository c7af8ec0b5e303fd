package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/history"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"
	"ashbook/journal/series"

	"github.com/spf13/cobra"
)

const probeHelp = `Take the readings of a probe into a cook, the running one unless another is
named: a table that another program wrote, one that still grows (--follow), lines
on standard input (-), or readings posted over HTTP (--listen).

Which column is which is guessed where one alone can be meant, and printed;
--time, --pit and --core name a column or give its number. Columns are parted by
commas, semicolons or tabs; with the latter two a comma may be a decimal point.
Times are RFC 3339, 2026-09-19 01:04:30 in your zone, seconds or milliseconds
since 1970, or h:mm:ss or seconds counted --from a time.

Rows join those that are there: another value at a time takes its place, the same
rows again change nothing, and several inputs to one cook may run at once. Silent
probes (empty, ---, n/a, -200, 999 …) are gaps. What is left out is counted and
named; exit code 3 when something of it needs a look.

--listen takes one reading a POST, such as {"pit_c": 112.5, "core_large_c": 71},
at /reading, as application/json, with a token: $ASHBOOK_TOKEN, or one made and
printed at the start. The answer comes when the reading is on the disk.`

// probing is what was asked of probefile.
type probing struct {
	time, pit, unit, from, listen string
	cores                         []string
	follow, anywhere, look        bool
}

func (a *program) probeCommand() *cobra.Command {
	var p probing
	cmd := &cobra.Command{
		Use:   "probe [COOK] FILE | probe [COOK] - | probe [COOK] --listen 127.0.0.1:PORT",
		Short: "Take the readings of a probe into a cook",
		Long:  probeHelp,
		Example: `  ashbook probe log.csv --pit Grate --core large="Meat 1" --core small="Meat 2"
  ashbook probe log.csv --follow
  ashbook probe harvest --listen 127.0.0.1:8787`,
		RunE: func(_ *cobra.Command, args []string) error { return a.probe(a.ctx, args, p) },
	}
	f := cmd.Flags()
	f.StringVar(&p.time, "time", "", "`COLUMN` of the times, or two joined by +")
	f.StringVar(&p.pit, "pit", "", "`COLUMN` of the pit")
	f.StringArrayVar(&p.cores, "core", nil, "`[PIECE=]COLUMN` of a core; once for each")
	f.StringVar(&p.unit, "unit", "", "c or f, whatever the names of the columns say")
	f.StringVar(&p.from, "from", "", "`TIME` from which the times are counted")
	f.BoolVar(&p.follow, "follow", false, "go on reading as the file grows, until Ctrl-C")
	f.BoolVar(&p.look, "look", false, "only say what would be taken")
	f.StringVar(&p.listen, "listen", "", "listen for readings at `ADDRESS:PORT`")
	f.BoolVar(&p.anywhere, "anywhere", false, "with --listen: let other machines post")
	cmd.RegisterFlagCompletionFunc("unit", fixed("c", "f"))
	return cmd
}

// intake is one run of probefile.
type intake struct {
	*program
	probing
	cook     *journal.Cook
	settings journal.Settings
	clock    func() time.Time
	to       *folder.Recorder
	name     string // of the input
	reader   *probefile.Reader

	waiting journal.Series // read, and not kept yet
	blocked string         // why not, as told
	merged  series.Merged
	late    int // rows that came out of order
	twice   int // rows that repeat a time
	hot     int // core readings that meat does not reach
	rows    int // kept
	first   time.Time
	last    time.Time
	said    []string
}

func (a *program) probe(ctx context.Context, args []string, p probing) error {
	if err := p.check(len(args)); err != nil {
		return err
	}
	file := ""
	if p.listen == "" {
		file, args = args[len(args)-1], args[:len(args)-1]
	}
	j, now, f, err := a.openCook(args)
	if err != nil {
		if m := (app.Mistake{}); len(args) == 0 && errors.As(err, &m) {
			err = hint(err, "ashbook probe COOK "+p.what(file))
		}
		return err
	}
	in := &intake{program: a, probing: p, cook: &f.Cook, settings: j.Settings(), name: file}
	if in.clock, err = a.moving(); err != nil {
		return err
	}
	if in.to, err = j.Folder().Record(f.Cook.ID); err != nil {
		return err
	}
	if p.listen != "" {
		return in.takePosts(ctx)
	}
	opt, err := in.options(now)
	if err != nil {
		return err
	}
	in.reader = probefile.NewReader(in.shownName(), opt)
	if err := in.take(ctx, file); err != nil {
		return in.advise(err)
	}
	return in.end()
}

func (p probing) what(file string) string {
	if p.listen != "" {
		return "--listen " + p.listen
	}
	return file
}

func (p probing) check(args int) error {
	switch {
	case p.listen != "" && (p.time != "" || p.pit != "" || len(p.cores) > 0 || p.unit != "" || p.from != "" || p.follow || p.look):
		return usage("--listen goes with --anywhere alone: the keys of a reading say what it is")
	case p.listen == "" && p.anywhere:
		return usage("--anywhere goes with --listen")
	case p.follow && p.look:
		return usage("--look and --follow do not go together")
	case p.listen == "" && args == 0:
		return hint(usage("probe needs a file, - for standard input, or --listen"), "ashbook probe --help")
	}
	return nil
}

// shownName stands for the input in what is said of it.
func (in *intake) shownName() string {
	if in.name == "-" {
		return "standard input"
	}
	return in.name
}

// cookDays is how far from a cook's first and last entry its readings may lie: a probe
// may run for the salting before and the leftovers after (chosen). A table of another
// cook, or with its times read wrongly, lies outside.
const cookDays = 3

func (in *intake) days() (earliest, latest time.Time) {
	earliest = in.cook.Date()
	latest = earliest
	if t, ok := in.cook.LastEntry(); ok {
		latest = t
	}
	if now := in.clock(); in.cook.Running(now) {
		latest = now
	}
	return earliest.AddDate(0, 0, -cookDays), latest.AddDate(0, 0, cookDays)
}

func (in *intake) options(now time.Time) (probefile.Options, error) {
	o := probefile.Options{Time: in.time, Pit: in.probing.pit, Units: in.settings.Units, Zone: now.Location(), Pieces: in.cook.PieceNames(), Live: in.name == "-" || in.follow}
	o.Earliest, o.Latest = in.days()
	var err error
	if o.Unit, err = probefile.ParseUnit(in.unit); err != nil {
		return o, usage("--unit %q: %v", in.unit, err)
	}
	for _, c := range in.cores {
		piece, column, named := strings.Cut(c, "=")
		if !named {
			piece, column = "", c
		}
		o.Cores = append(o.Cores, probefile.Core{Piece: strings.TrimSpace(piece), Column: column})
	}
	if in.from != "" {
		if o.From, err = startTime(in.from, now, o.Latest.AddDate(0, 0, -cookDays)); err != nil {
			return o, usage("--from: %v", err)
		}
	}
	return o, nil
}

// startTime reads when a count began: a day and a time, or the last time before the
// cook's last entry that a clock showed.
func startTime(s string, now, last time.Time) (time.Time, error) {
	if t, err := journal.ParseTime(s); err == nil {
		return t, nil
	}
	for _, l := range []string{"2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02T15:04"} {
		if t, err := time.ParseInLocation(l, s, now.Location()); err == nil {
			return t, nil
		}
	}
	if h, m, ok := journal.ParseClock(s); ok {
		return journal.ClockBefore(last, h, m, now.Location()), nil
	}
	return time.Time{}, fmt.Errorf("time %q: expected such as 20:10 or 2026-09-18 20:10", s)
}

// advise adds what to type next where the table is not understood.
func (in *intake) advise(err error) error {
	var columns probefile.ColumnsError
	switch {
	case errors.Is(err, probefile.ErrElapsed):
		at := in.cook.Date()
		if on, ok := in.cook.OnAt(); ok {
			at = on
		}
		return hint(err, fmt.Sprintf("--from %s if the count began when the meat went on, else when it did", journal.FormatTime(at)))
	case errors.As(err, &columns):
		core := "COLUMN"
		if names := in.cook.PieceNames(); len(names) > 1 {
			core = names[0] + "=COLUMN"
		}
		return hint(err, "ashbook probe "+in.name+" --time COLUMN --pit COLUMN --core "+core)
	}
	return err
}

// take reads the input to its end, or until the person ends it.
func (in *intake) take(ctx context.Context, file string) error {
	if file == "-" {
		return in.stream(ctx, in.in)
	}
	file = in.path(file)
	if in.follow {
		return in.followFile(ctx, file)
	}
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
		return usage("%q is a folder, not a table", in.name)
	case !info.Mode().IsRegular():
		return in.stream(ctx, f)
	}
	var lines probefile.Lines
	if err := in.feed(ctx, &lines, f); err != nil {
		return err
	}
	in.describe()
	if err := in.mergeAll(); err != nil {
		return err
	}
	return in.to.Commit()
}

// mostRows is how many rows a series can hold at most; longer tables are refused before
// they fill the memory.
const mostRows = series.MaxBytes / len("2006-01-02T15:04:05Z,1\n")

func (in *intake) feed(ctx context.Context, lines *probefile.Lines, r io.Reader) error {
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
			return fmt.Errorf("%s: more than %d rows; a series holds no more", in.shownName(), mostRows)
		}
	}
}

func (in *intake) line(text []byte) error { return in.reader.Line(text, in.clock()) }

// gather takes what the reader has into what waits to be kept.
func (in *intake) gather() {
	s := in.reader.Take()
	in.hot += in.tooHot(s)
	late, twice := series.Tidy(&s)
	in.late += late
	in.twice += twice
	series.Add(&in.waiting, s)
}

// mergeAll keeps what waits in one step.
func (in *intake) mergeAll() error {
	in.gather()
	series.Tidy(&in.waiting)
	if len(in.waiting.Times) == 0 || in.look {
		in.count(in.waiting)
		return nil
	}
	done, err := in.to.Merge(in.waiting)
	if err != nil {
		return err
	}
	in.merged.Added += done.Added
	in.merged.Changed += done.Changed
	in.merged.Same += done.Same
	in.count(in.waiting)
	return nil
}

// count notes rows as kept.
func (in *intake) count(s journal.Series) {
	for _, t := range s.Times {
		if in.first.IsZero() || t.Before(in.first) {
			in.first = t
		}
		if t.After(in.last) {
			in.last = t
		}
	}
	in.rows += len(s.Times)
	in.waiting = journal.Series{}
}

// manyRows is from how many rows on those that wait are merged in one step, and not
// put at the end one after the other (chosen: the file is written anew for them).
const manyRows = 500

// catchUp keeps what came in; what cannot be kept now is tried again. Only at the end
// that is an error.
func (in *intake) catchUp() error {
	in.describe()
	in.gather()
	s := in.waiting
	if len(s.Times) == 0 {
		return nil
	}
	begun := in.rows == 0
	var err error
	if begun || in.look || len(s.Times) >= manyRows {
		err = in.mergeAll()
	} else if err = in.to.Add(s); err == nil {
		in.merged.Added += len(s.Times)
		in.count(s)
	}
	switch {
	case err == nil:
		in.blocked = ""
		if begun {
			in.say("first reading %s\n", in.reading(s, 0))
		}
	case err.Error() != in.blocked:
		in.blocked = err.Error()
		in.warnf("ashbook: %s; tried again until it works\n", in.blocked)
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

// loop runs step at once and at every tick, and with what comes in, until ctx is done
// or nothing more comes; what was read is kept at the ticks.
func (in *intake) loop(ctx context.Context, come <-chan []byte, step func([]byte) error) error {
	ticks, stop := in.ticker(keepEvery)
	defer stop()
	committed := in.clock()
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
		if now := in.clock(); now.Sub(committed) >= historyEvery {
			committed = now
			in.told(in.to.Commit())
		}
	}
}

// stream reads what comes in until it ends.
func (in *intake) stream(ctx context.Context, r io.Reader) error {
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

// followFile reads a file as it grows, until the person ends it.
func (in *intake) followFile(ctx context.Context, file string) error {
	t, err := probefile.OpenTail(file)
	if err != nil {
		return err
	}
	defer t.Close()
	deaf := false // what was begun anew is no table; the next may be
	line := func(text []byte) error {
		if deaf {
			return nil
		}
		err := in.line(text)
		if err != nil && in.rows > 0 {
			in.told(err)
			deaf, err = true, nil
		}
		return err
	}
	err = in.loop(ctx, nil, func([]byte) error {
		return t.Read(line, func() {
			in.gather()
			in.reader.Restart()
			deaf = false
			in.say("%s was begun anew; followed from its beginning\n", in.shownName())
		})
	})
	return errors.Join(err, in.lastTry())
}

// lastTry keeps what still waits, and puts the series into history.
func (in *intake) lastTry() error {
	if err := in.catchUp(); err != nil {
		return fmt.Errorf("%s not kept: %w", measure.Count(len(in.waiting.Times), "reading"), err)
	}
	return in.to.Commit()
}

// told says an error that ends nothing.
func (in *intake) told(err error) {
	if err != nil && !errors.Is(err, history.ErrLocked) {
		in.warnf("ashbook: %s\n", err)
	}
}
