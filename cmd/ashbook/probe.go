package main

import (
	"cmp"
	"errors"
	"net"
	"slices"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/flags"
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

const probeHelp = `Save the readings of a probe in a cook, the running one unless you name another. They
come from a table that another program wrote, from one that still grows (--follow),
from lines on standard input (-), or over HTTP (--listen).

ashbook guesses which column is which where only one can be meant, and prints the guess.
--time, --pit and --core give the name or number of a column. Columns are separated by
commas, semicolons or tabs; with semicolons or tabs a comma may be a decimal point.
Times are RFC 3339, or 2026-09-19 01:04:30 in your zone, or seconds or milliseconds
since 1970, or h:mm:ss or seconds counted --from a time.

New rows are merged with the saved ones: a new value replaces the old one of that time,
the same rows again change nothing, and several inputs may write to one cook at once.
Missing readings (empty, ---, n/a, -200, 999 …) become gaps. Rows that are left out are
counted and named; the exit code is 3 when some of them need a look.

--listen takes one reading per POST, such as {"pit_c": 112.5, "core_large_c": 71}, at
/reading, as application/json, with a token: $ASHBOOK_TOKEN, or one that is made and
printed at the start. The answer is sent once the reading is on the disk.`

func (a *program) probeCommand() *cobra.Command {
	var p typed.Probe
	cmd := &cobra.Command{
		Use:   "probe [COOK] FILE | probe [COOK] - | probe [COOK] --listen 127.0.0.1:PORT",
		Short: "Save the readings of a probe in a cook",
		Long:  probeHelp,
		Example: `  ashbook probe log.csv --pit Grate --core large="Meat 1" --core small="Meat 2"
  ashbook probe log.csv --follow
  ashbook probe harvest --listen 127.0.0.1:8787`,
		RunE: func(_ *cobra.Command, args []string) error { return a.probe(args, p) },
	}
	f := cmd.Flags()
	f.StringVar(&p.Time, "time", "", "`COLUMN` of the times, or two joined with +")
	f.StringVar(&p.Pit, "pit", "", "`COLUMN` of the pit")
	f.StringArrayVar(&p.Cores, "core", nil, "`[PIECE=]COLUMN` of a core; once for each core")
	f.StringVar(&p.Unit, "unit", "", "c or f, even if the columns' names say something else")
	f.StringVar(&p.From, "from", "", "the `TIME` from which the table counts its times")
	f.BoolVar(&p.Follow, "follow", false, "keep reading as the file grows, until Ctrl-C")
	f.BoolVar(&p.Look, "look", false, "save nothing, only say what would be saved")
	f.StringVar(&p.Listen, "listen", "", "listen for readings at `ADDRESS:PORT`")
	f.BoolVar(&p.Anywhere, "anywhere", false, "with --listen: other machines may post too")
	cmd.RegisterFlagCompletionFunc("unit", flags.Fixed("c", "f"))
	return cmd
}

func (a *program) probe(args []string, p typed.Probe) error {
	if err := p.Check(); err != nil {
		return err
	}
	if p.Listen == "" && len(args) == 0 {
		return advice.With(usage("probe needs a file, - for standard input, or --listen"), "ashbook probe --help")
	}
	file := ""
	if p.Listen == "" {
		file, args = args[len(args)-1], args[:len(args)-1]
	}
	j, now, f, err := a.openCook(args)
	if err != nil {
		if m := (typed.Mistake{}); len(args) == 0 && errors.As(err, &m) {
			err = advice.With(err, "ashbook probe COOK "+cmp.Or(file, "--listen "+p.Listen))
		}
		return err
	}
	o := intake.Options{Cook: &f.Cook, Look: p.Look, Ticks: a.ticker, Name: file}
	if o.Clock, err = a.moving(); err != nil {
		return err
	}
	if file == "-" {
		o.Name = "standard input"
	}
	if o.To, err = j.Folder().Record(f.Cook.ID); err != nil {
		return err
	}
	earliest, latest, last := intake.Days(&f.Cook, o.Clock())
	if o.Table, err = p.Table(f.Cook.PieceNames(), j.Settings().Units, now, last); err != nil {
		return err
	}
	o.Table.Earliest, o.Table.Latest = earliest, latest
	if p.Listen != "" {
		return a.takePosts(o, j.Settings().Units, p)
	}
	o.Table.Live = p.Follow || file == "-"
	o.On = a.probeEvents(o.Name, f.Cook.Name(), j.Settings().Units)
	in := intake.New(o)
	switch {
	case file == "-":
		err = in.Stream(a.ctx, a.in)
	case p.Follow:
		err = in.Follow(a.ctx, a.path(file))
	default:
		err = in.File(a.ctx, a.path(file))
	}
	if err != nil {
		if next := advice.Probe(err, &f.Cook, file); next != "" {
			err = advice.With(err, next)
		}
		return err
	}
	t := in.Taken()
	return a.sayWarned(jsonout.ProbedOf(t, f.Cook.ID, o.To.Path(), p.Look), textout.Probed(t, p.Look), t.Warned)
}

// probeEvents prints events while readings are saved; with --json, only the end of the
// run is printed.
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
		Anew:    func() { say(input + " was started again; reading it from its beginning") },
		Trouble: a.tellTrouble,
	}
}

// tellTrouble prints an error that does not end the run.
func (a *program) tellTrouble(err error) { a.warnf("ashbook: %s\n", err) }

// takePosts serves HTTP until the user ends it.
func (a *program) takePosts(o intake.Options, sys measure.System, p typed.Probe) error {
	switch reach, err := listen.ReachOf(p.Listen); {
	case err != nil:
		return usage("--listen %q: %v", p.Listen, err)
	case reach != listen.Here && !p.Anywhere:
		return advice.With(usage("--listen %q: other machines could post", p.Listen), "127.0.0.1, or add --anywhere if you want that")
	}
	who, made := intake.NewPosts(a.getenv("ASHBOOK_TOKEN"), p.Anywhere)
	if len(who.Token) < intake.ShortestToken {
		return usage("$ASHBOOK_TOKEN has %d characters; expected %d or more", len(who.Token), intake.ShortestToken)
	}
	l, err := net.Listen("tcp", p.Listen)
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
	a.printf("%s saved\n", measure.Count(in.Taken().Kept, "reading"))
	return err
}
