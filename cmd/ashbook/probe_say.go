package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"math"
	"net"
	"net/netip"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/journal/listen"
	"ashbook/journal/measure"
	"ashbook/journal/probe"
)

// say prints what is told on the way; with --json only the end is told.
func (in *intake) say(format string, args ...any) {
	if !in.json {
		in.printf(format, args...)
	}
}

// describe says what the columns are taken for, when that is new.
func (in *intake) describe() {
	columns := in.reader.Columns()
	if columns == nil {
		return
	}
	var b strings.Builder
	var out []string
	assumed, timed := "", false
	for _, c := range columns {
		name := strconv.Quote(clean(c.Name))
		if c.As == "" {
			out = append(out, name)
			continue
		}
		timed = timed || c.As == "time"
		fmt.Fprintf(&b, "  %s from %s", clean(c.As), name)
		if c.Unit != "" {
			b.WriteString(", " + c.Unit)
		}
		if c.Assumed {
			assumed = c.Unit
		}
		if c.Guessed {
			b.WriteString(", guessed")
		}
		b.WriteString("\n")
	}
	if !timed {
		b.WriteString("  time: the moment a row comes in\n")
	}
	if len(out) > 0 {
		b.WriteString("  left out: " + strings.Join(out, ", ") + "\n")
	}
	if assumed != "" {
		other := map[string]string{"°C": "f", "°F": "c"}[assumed]
		fmt.Fprintf(&b, "  %s as in journal.md; if not, --unit %s\n", assumed, other)
	}
	if text := b.String(); text != in.said {
		in.said = text
		in.say("%s, from %s:\n%s", clean(in.cook.Name()), clean(in.shownName()), text)
	}
}

// reading tells row i of s.
func (in *intake) reading(s journal.Series, i int) string {
	var parts []string
	add := func(what string, values []float64) {
		if i < len(values) && !math.IsNaN(values[i]) {
			parts = append(parts, strings.TrimSpace(what)+" "+measure.FormatTemperature(values[i], in.settings.Units))
		}
	}
	add("pit", s.Pit)
	for _, c := range s.Cores {
		add("core "+c.Piece, c.C)
	}
	return s.Times[i].Format("2 Jan 15:04:05") + ": " + clean(strings.Join(parts, ", "))
}

// hottestCore is what meat does not reach, °C: its water boils before (chosen, with ten
// degrees to spare).
const hottestCore = 110.0

// tooHot counts core readings that are more likely °F, where only journal.md said °C.
func (in *intake) tooHot(s journal.Series) int {
	n := 0
	assumed := slices.ContainsFunc(in.reader.Columns(), func(c probe.Column) bool { return c.Assumed && c.Unit == probe.Celsius.String() })
	for _, c := range s.Cores {
		for _, v := range c.C {
			if assumed && v > hottestCore {
				n++
			}
		}
	}
	return n
}

type probedRecord struct {
	Cook    string         `json:"cook"`
	File    string         `json:"file"`
	Looked  bool           `json:"looked"` // only looked at: nothing was kept
	Read    int            `json:"read"`
	Kept    int            `json:"kept"`
	Added   int            `json:"added"`
	Changed int            `json:"changed"`
	Same    int            `json:"same"`
	Late    int            `json:"out_of_order"`
	Twice   int            `json:"repeated"`
	PutBack int            `json:"put_back"`
	Hot     int            `json:"cores_too_hot"` // perhaps °F taken for °C
	From    string         `json:"from,omitempty"`
	To      string         `json:"to,omitempty"`
	Columns []mappedRecord `json:"columns"`
	Left    []leftRecord   `json:"left_out"`
}

type mappedRecord struct {
	Name    string `json:"name"`
	As      string `json:"as,omitempty"`
	Unit    string `json:"unit,omitempty"`
	Guessed bool   `json:"guessed"`
}

type leftRecord struct {
	Why    string          `json:"why"`
	Count  int             `json:"count"`
	Places []problemRecord `json:"places"`
}

// end tells what became of the input.
func (in *intake) end() error {
	read, _ := in.reader.Counts()
	var err error
	if in.reader.Warned() || in.hot > 0 {
		err = errWarnings
	}
	if in.json {
		r := probedRecord{
			Cook: in.cook.ID, File: in.to.Path(), Looked: in.look, Read: read, Kept: in.rows, Added: in.merged.Added, Changed: in.merged.Changed, Same: in.merged.Same,
			Late: in.late, Twice: in.twice, PutBack: in.to.PutBack(), Hot: in.hot, From: timeRecord(in.first), To: timeRecord(in.last),
			Columns: []mappedRecord{}, Left: []leftRecord{},
		}
		for _, c := range in.reader.Columns() {
			r.Columns = append(r.Columns, mappedRecord{c.Name, c.As, c.Unit, c.Guessed})
		}
		for _, l := range in.reader.Left() {
			what, why := l.Kind.Words()
			r.Left = append(r.Left, leftRecord{what + " " + why, l.Count, problemRecords(l.Places)})
		}
		if e := in.printJSON(r); e != nil {
			return e
		}
		return err
	}
	in.total(read)
	if in.hot > 0 {
		in.printf("  %s over %.0f °C, which meat does not reach: if they are °F, the same again with --unit f puts it right\n", counted(in.hot, "core reading"), hottestCore)
	}
	for _, l := range in.reader.Left() {
		what, why := l.Kind.Words()
		in.printf("  %s %s\n", counted(l.Count, what), why)
		if l.Kind.Harmless() {
			continue
		}
		for _, p := range l.Places {
			in.printf("    %s\n", clean(p.Error()))
		}
		if more := l.Count - len(l.Places); more > 0 {
			in.printf("    and %d more\n", more)
		}
	}
	return err
}

// total is the sum in one line.
func (in *intake) total(read int) {
	if in.rows == 0 {
		in.printf("%s read, none kept\n", counted(read, "row"))
		return
	}
	verb := "kept"
	if in.look {
		verb = "would be kept"
	}
	in.printf("%s read, %d %s, %s to %s\n", counted(read, "row"), in.rows, verb, in.first.Format("2 Jan 15:04"), in.last.Format("2 Jan 15:04"))
	for _, part := range []struct {
		n    int
		text string
	}{
		{in.merged.Changed, "filling a gap or in place of another value"}, {in.merged.Same, "there already"},
		{in.late, "out of order, sorted in"}, {in.twice, "with the time of another; the last value stands"},
		{in.to.PutBack(), "saved over by another program, put back"},
	} {
		if part.n > 0 {
			in.printf("  %d %s\n", part.n, part.text)
		}
	}
}

// shortestToken is the least length of a token of the person's own (chosen: longer than
// can be tried through in a night).
const shortestToken = 16

// takePosts listens until the person ends it.
func (in *intake) takePosts(ctx context.Context) error {
	host, _, err := net.SplitHostPort(in.listen)
	if err != nil {
		return usage("--listen %q: expected an address and a port such as 127.0.0.1:8787", in.listen)
	}
	addr, err := netip.ParseAddr(host)
	if own := host == "localhost" || err == nil && addr.IsLoopback(); !own && !in.anywhere {
		return hint(usage("--listen %q: others than this machine could post", in.listen), "127.0.0.1, or --anywhere if that is meant")
	}
	token, made := in.getenv("ASHBOOK_TOKEN"), false
	if token == "" {
		token, made = rand.Text(), true
	}
	if len(token) < shortestToken {
		return usage("$ASHBOOK_TOKEN has %d characters; expected %d or more", len(token), shortestToken)
	}
	l, err := net.Listen("tcp", in.listen)
	if err != nil {
		return err
	}
	posts := in.posts(token)
	url := "http://" + l.Addr().String() + listen.Path
	in.printf("listening for %s at %s until Ctrl-C\n", clean(in.cook.Name()), url)
	if in.anywhere {
		in.printf("Anyone on your network can see the readings and the token: nothing is encrypted.\n")
	}
	if made {
		in.printf("token, for this time: %s\n", token)
	}
	in.printf("  curl -H 'Authorization: Bearer TOKEN' -H 'Content-Type: application/json' -d '{\"pit_c\": 112.5}' %s\n", url)
	ticks, stop := in.ticker(historyEvery)
	defer stop()
	ended := make(chan error, 1)
	go func() { ended <- listen.Serve(ctx, l, listen.New(posts)) }()
	for {
		select {
		case <-ticks:
			in.told(in.to.Commit())
			continue
		case err = <-ended:
		}
		if e := in.to.Commit(); err == nil {
			err = e
		}
		in.printf("%s kept\n", counted(in.rows, "reading"))
		return err
	}
}

// posts is what the listener needs.
func (in *intake) posts(token string) listen.Options {
	var mu sync.Mutex
	o := listen.Options{
		Token: token, Anywhere: in.anywhere, Now: in.clock, Zone: in.clock().Location(), Pieces: in.cook.PieceNames(),
		Keep: func(s journal.Series) error {
			mu.Lock()
			defer mu.Unlock()
			if err := in.to.Add(s); err != nil {
				return err
			}
			if in.rows++; in.rows == 1 {
				in.printf("first reading %s\n", in.reading(s, 0))
			}
			return nil
		},
		Tell: func(err error) {
			mu.Lock()
			defer mu.Unlock()
			in.told(err)
		},
	}
	o.Earliest, o.Latest = in.days()
	if name, err := os.Hostname(); err == nil && in.anywhere {
		name = strings.ToLower(name)
		o.Names = []string{name, name + ".local"}
	}
	return o
}

// ticker ticks every d; stop ends it.
func (e environment) ticker(d time.Duration) (ticks <-chan time.Time, stop func()) {
	if e.ticks != nil {
		return e.ticks, func() {}
	}
	t := time.NewTicker(d)
	return t.C, t.Stop
}

// moving is a clock that runs, from --now if that is given.
func (a *app) moving() (func() time.Time, error) {
	if a.clock == "" {
		return a.now, nil
	}
	fixed, err := a.nowTime()
	if err != nil {
		return nil, err
	}
	started := a.now()
	return func() time.Time { return fixed.Add(a.now().Sub(started)) }, nil
}
