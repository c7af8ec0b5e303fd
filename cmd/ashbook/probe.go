package main

import (
	"errors"
	"fmt"
	"net"
	"slices"
	"time"

	"ashbook/cmd/ashbook/internal/intake"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/ingest"
	"ashbook/journal/listen"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"

	"github.com/spf13/cobra"
)

const probeHelp = `Take the readings of a probe into a cook, the running one unless another is
named: a table that another program wrote, one that still grows (--follow), lines
on standard input (-), or readings posted over HTTP (--listen).

Which column is which is guessed where one alone can be meant, and printed;
--time, --pit and --core name a column or give its number. Columns are separated by
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
		RunE: func(_ *cobra.Command, args []string) error { return a.probe(args, p) },
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

func (a *program) probe(args []string, p probing) error {
	if err := p.check(len(args)); err != nil {
		return err
	}
	file := ""
	if p.listen == "" {
		file, args = args[len(args)-1], args[:len(args)-1]
	}
	j, now, f, err := a.openCook(args)
	if err != nil {
		if m := (typed.Mistake{}); len(args) == 0 && errors.As(err, &m) {
			err = hint(err, "ashbook probe COOK "+p.what(file))
		}
		return err
	}
	o := intake.Options{Cook: &f.Cook, Look: p.look, Ticks: a.ticker, Name: file}
	if o.Clock, err = a.moving(); err != nil {
		return err
	}
	if file == "-" {
		o.Name = "standard input"
	}
	if o.To, err = j.Folder().Record(f.Cook.ID); err != nil {
		return err
	}
	if o.Table, err = p.table(&f.Cook, j.Settings().Units, now, o.Clock()); err != nil {
		return err
	}
	if p.listen != "" {
		return a.takePosts(o, j.Settings().Units, p)
	}
	o.Table.Live = p.follow || file == "-"
	o.On = a.probeEvents(o.Name, f.Cook.Name(), j.Settings().Units)
	in := intake.New(o)
	switch {
	case file == "-":
		err = in.Stream(a.ctx, a.in)
	case p.follow:
		err = in.Follow(a.ctx, a.path(file))
	default:
		err = in.File(a.ctx, a.path(file))
	}
	if err != nil {
		return adviseProbe(err, &f.Cook, file)
	}
	t := in.Taken()
	if err := a.say(jsonout.ProbedOf(t, f.Cook.ID, o.To.Path(), p.look), textout.Probed(t, p.look)); err != nil || !t.Warned {
		return err
	}
	return errWarnings
}

// probeEvents print what happens on the way; with --json only the end is printed.
func (a *program) probeEvents(input, cook string, sys measure.System) intake.Events {
	say := func(lines ...string) {
		if !a.json {
			a.printLines(lines)
		}
	}
	var said []string
	return intake.Events{
		Columns: func(columns []probefile.Column) {
			if columns == nil {
				return
			}
			if lines := textout.Columns(cook, input, columns); !slices.Equal(lines, said) {
				said = lines
				say(lines...)
			}
		},
		First:   func(s journal.Series) { say(textout.FirstReading(s, sys)) },
		Anew:    func() { say(input + " was started again; followed from its beginning") },
		Trouble: a.tellTrouble,
	}
}

// tellTrouble prints an error that ends nothing.
func (a *program) tellTrouble(err error) { a.warnf("ashbook: %s\n", err) }

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

// table reads the flags that say what the columns are.
func (p probing) table(c *journal.Cook, sys measure.System, now, clock time.Time) (probefile.Options, error) {
	o := probefile.Options{Time: p.time, Pit: p.pit, Cores: typed.Cores(p.cores), Units: sys, Zone: now.Location(), Pieces: c.PieceNames()}
	var last time.Time
	o.Earliest, o.Latest, last = intake.Days(c, clock)
	return o, typed.ReadAll(
		typed.In("unit", p.unit, func(t string) (err error) { o.Unit, err = probefile.ParseUnit(t); return err }),
		typed.In("from", p.from, func(t string) (err error) { o.From, err = typed.Begun(t, now, last); return err }),
	)
}

// adviseProbe adds what to type next where the table is not understood.
func adviseProbe(err error, c *journal.Cook, file string) error {
	var columns probefile.ColumnsError
	switch {
	case errors.Is(err, intake.ErrFolder):
		return usage("%v", err)
	case errors.Is(err, probefile.ErrElapsed):
		at := c.Date()
		if on, ok := c.OnAt(); ok {
			at = on
		}
		return hint(err, fmt.Sprintf("--from %s if the count began when the meat went on, else when it did", journal.FormatTime(at)))
	case errors.As(err, &columns):
		core := "COLUMN"
		if names := c.PieceNames(); len(names) > 1 {
			core = names[0] + "=COLUMN"
		}
		return hint(err, "ashbook probe "+file+" --time COLUMN --pit COLUMN --core "+core)
	}
	return err
}

// takePosts listens until the person ends it.
func (a *program) takePosts(o intake.Options, sys measure.System, p probing) error {
	switch reach, err := listen.ReachOf(p.listen); {
	case err != nil:
		return usage("--listen %q: %v", p.listen, err)
	case reach != listen.Here && !p.anywhere:
		return hint(usage("--listen %q: others than this machine could post", p.listen), "127.0.0.1, or --anywhere if that is meant")
	}
	who, made := intake.NewPosts(a.getenv("ASHBOOK_TOKEN"), p.anywhere)
	if len(who.Token) < intake.ShortestToken {
		return usage("$ASHBOOK_TOKEN has %d characters; expected %d or more", len(who.Token), intake.ShortestToken)
	}
	l, err := net.Listen("tcp", p.listen)
	if err != nil {
		return err
	}
	a.printLines(textout.Listening(o.Cook, "http://"+l.Addr().String()+ingest.Path, who, made))
	o.On = intake.Events{
		First:   func(s journal.Series) { a.printf("%s\n", textout.FirstReading(s, sys)) },
		Trouble: a.tellTrouble,
	}
	in := intake.New(o)
	err = in.Listen(a.ctx, l, who)
	a.printf("%s kept\n", measure.Count(in.Taken().Kept, "reading"))
	return err
}
