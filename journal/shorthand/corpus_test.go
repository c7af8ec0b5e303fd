package shorthand

import (
	"fmt"
	"hash/fnv"
	"os"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// heading builds the Context that a heading line of the corpus describes: "[night]
// metric; wrap paper; now TIME; on 20:10; 00:30 pit 110 / core 66".
func heading(t testing.TB, text string) Context {
	t.Helper()
	var ctx Context
	c := &journal.Cook{}
	name, rest, _ := strings.Cut(strings.TrimPrefix(text, "["), "] ")
	_ = name
	var lines []string
	for f := range strings.SplitSeq(rest, ";") {
		f = strings.TrimSpace(f)
		word, arg, _ := strings.Cut(f, " ")
		switch {
		case f == "us":
			ctx.Settings.Units = measure.US
		case f == "metric", f == "planned", f == "wrap none":
		case word == "wrap":
			c.Aim.Wrap.Kind, _ = journal.ParseWrap(arg)
		case word == "pieces":
			for n := range strings.SplitSeq(arg, ",") {
				c.Pieces = append(c.Pieces, journal.Piece{Name: strings.TrimSpace(n)})
			}
		case word == "now":
			at, err := journal.ParseTime(arg)
			if err != nil {
				t.Fatal(err)
			}
			ctx.Now = at
		case isDigit(word[0]):
			lines = append(lines, f)
		default: // "on 20:10": an act and its time
			lines = append(lines, arg+" "+word)
		}
	}
	if len(c.Pieces) == 0 {
		c.Pieces = []journal.Piece{{}}
	}
	for _, l := range lines {
		clock, body, _ := strings.Cut(l, " ")
		h, m, ok := journal.ParseClock(clock)
		if !ok {
			t.Fatalf("%q in %q", l, text)
		}
		body = strings.ReplaceAll(body, " / ", ", ")
		items, words, notes := journal.ParseBody(body, journal.Grammar{Pieces: c.PieceNames(), Units: ctx.Settings.Units})
		if len(notes) > 0 || words != "" {
			t.Fatalf("%q: %q %q", l, notes, words)
		}
		c.Entries = append(c.Entries, journal.Entry{Time: journal.ClockBefore(ctx.Now, h, m, ctx.Now.Location()), Items: items})
	}
	journal.SortEntries(c.Entries)
	ctx.Cook = c
	return ctx
}

// example is one line of the corpus.
type example struct {
	line   string
	number int
	want   []meaning // any one of these is correct
	ctx    Context
	judge  bool // the line was never looked at while the grammar was built
}

// meaning is one correct way to understand a line.
type meaning struct {
	ask     bool
	entries []journal.Entry
	text    string
}

func corpus(t testing.TB, name string) []example {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var all []example
	var ctx Context
	for n, l := range strings.Split(string(data), "\n") {
		if strings.HasPrefix(l, "[") {
			ctx = heading(t, l)
		}
		line, want, ok := strings.Cut(l, " => ")
		if !ok || strings.HasPrefix(l, "#") {
			continue
		}
		h := fnv.New32a()
		h.Write([]byte(line))
		ex := example{line: line, number: n + 1, ctx: ctx, judge: h.Sum32()&1 == 1}
		for alt := range strings.SplitSeq(want, "||") {
			ex.want = append(ex.want, meant(t, strings.TrimSpace(alt), ctx))
		}
		all = append(all, ex)
	}
	return all
}

func meant(t testing.TB, text string, ctx Context) meaning {
	m := meaning{text: text}
	text, m.ask = strings.CutPrefix(text, "? ")
	if strings.TrimSpace(text) == "~" {
		return m
	}
	for part := range strings.SplitSeq(text, "; ") {
		e := journal.Entry{Time: ctx.Now}
		if at, rest, ok := strings.Cut(part, " "); ok && at[0] == '@' {
			h, min, _ := journal.ParseClock(at[1:])
			e.Time, part = journal.ClockBefore(ctx.Now, h, min, ctx.Now.Location()), rest
		}
		var items []journal.Item
		for piece := range strings.SplitSeq(part, ", ") {
			it, err := journal.ParseItem(piece, journal.Grammar{Pieces: ctx.Cook.PieceNames(), Units: ctx.Settings.Units})
			if err != nil || it.Act == journal.NoAct {
				if n := len(items); n > 0 && items[n-1].Act.TakesDetail() {
					items[n-1].Detail += " " + piece
					continue
				}
				t.Fatalf("%q: %q is not an item: %v", text, piece, err)
			}
			items = append(items, it)
		}
		e.Items = items
		m.entries = append(m.entries, e)
	}
	return m
}

type verdict int

const (
	understoodRight verdict = iota
	keptWords
	misread
)

// judge says how a line was read: as meant; with something of it left as words;
// or with something in it that nobody said.
func (ex example) verdict() (best verdict, why string, l Line) {
	l, err := Parse(ex.line, ex.ctx)
	if err != nil {
		return misread, err.Error(), l
	}
	best = misread + 1
	for _, m := range ex.want {
		if v, w := m.judge(l); v < best {
			best, why = v, w
		}
	}
	return best, why, l
}

func (l Line) items() int {
	n := 0
	for _, e := range l.Entries() {
		n += len(e.Items)
	}
	return n
}

func TestCorpus(t *testing.T) {
	all := corpus(t, "lines.txt")
	if len(all) < 400 {
		t.Fatalf("%d lines", len(all))
	}
	for _, judge := range []bool{false, true} {
		var n [3]int
		for _, ex := range all {
			if ex.judge != judge {
				continue
			}
			v, why, l := ex.verdict()
			n[v]++
			if v == misread || v == keptWords && (!judge && os.Getenv("ASHBOOK_CORPUS") != "" || os.Getenv("ASHBOOK_CORPUS") == "all") {
				report := t.Logf
				if v == misread {
					report = t.Errorf
				}
				if v == misread && judge && os.Getenv("ASHBOOK_CORPUS") == "half" {
					continue
				}
				report("%d: %q %s, %s: %s", ex.number, ex.line, []string{"", "kept", "MISREAD"}[v], why, describe(l))
			}
		}
		total := n[0] + n[1] + n[2]
		t.Logf("%s half: %d lines, understood %.1f %%, kept as words %.1f %%, misread %d", map[bool]string{false: "built", true: "judging"}[judge], total,
			100*float64(n[0])/float64(total), 100*float64(n[1])/float64(total), n[2])
	}
}

func describe(l Line) string {
	return fmt.Sprintf("%s | left %q | asks %q | also %v", l.Understood(measure.Metric), l.Left, l.Asks, l.Also)
}

// Each of these files was written after the grammar had learned from the file before
// it. No line of them may be misread.
func TestLater(t *testing.T) {
	for _, name := range []string{"later.txt", "third.txt", "kinds.txt", "kinds2.txt", "kinds3.txt", "kinds4.txt", "kinds5.txt", "kinds6.txt", "kinds7.txt", "kinds8.txt", "kinds9.txt", "hands.txt", "hands2.txt", "pit1.txt", "pit2.txt", "pit3.txt", "pit4.txt", "pit5.txt", "stay.txt"} {
		var n [3]int
		for _, ex := range corpus(t, name) {
			v, why, l := ex.verdict()
			n[v]++
			if v == misread || v == keptWords && os.Getenv("ASHBOOK_CORPUS") != "" {
				t.Errorf("%s:%d: %q %s, %s: %s", name, ex.number, ex.line, []string{"", "kept", "MISREAD"}[v], why, describe(l))
			}
		}
		t.Logf("%s: understood %d, kept as words %d, misread %d", name, n[0], n[1], n[2])
	}
}
