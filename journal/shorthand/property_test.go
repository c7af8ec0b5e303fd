package shorthand

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// reread formats an entry as the file has it, parses it and compares the two.
func reread(t interface{ Fatalf(string, ...any) }, e journal.Entry, ctx Context) {
	line := e.String()
	stamp, body, _ := strings.Cut(strings.TrimPrefix(line, "- "), " ")
	at, err := journal.ParseTime(stamp)
	if err != nil || !at.Equal(e.Time) {
		t.Fatalf("%q: time %v, %v", line, at, err)
	}
	items, words, notes := journal.ParseBody(body, journal.Grammar{Pieces: ctx.Cook.PieceNames(), Units: ctx.Settings.Units})
	if len(notes) > 0 || words != e.Words || !slices.Equal(items, e.Items) {
		t.Fatalf("%q\nreads %+v, words %q, notes %q\nwant %+v, words %q", line, items, words, notes, e.Items, e.Words)
	}
}

func TestLinesSurviveTheFile(t *testing.T) {
	figure := rapid.Custom(func(t *rapid.T) string {
		return fmt.Sprint(rapid.IntRange(1, 250).Draw(t, "reading")) + rapid.SampledFrom([]string{"", "", "", ".5", ",5", "C", " °C", "F", "°F"}).Draw(t, "unit")
	})
	part := rapid.OneOf(figure,
		rapid.SampledFrom([]string{"v", "vent top half", "w cherry 90", "w 2 chunks", "f 1,5 kg", "fuel lump 4 lb 6 oz", "l", "s cider", "t", "b1", "bark 3", "p l 2", "feel small 3", "r30", "r 1 h 30 min",
			"wr f", "wrap paper loose", "unw", "on", "off small", "off", "rest", "boxed", "c s 70", "core large 71,5", "pit 112", "air -5", "aim p 120", "-20", "01:10", "-1h20", "lit", "pulled", "sliced", "boat", "xyz"}))
	words := rapid.OneOf(rapid.Just(""), rapid.StringMatching(` -- [a-zé ,—–-]{0,20}`), rapid.StringMatching(` — [A-Za-z0-9 ,.—-]{0,20}`))
	read, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		ctx := Context{Now: night, Cook: &journal.Cook{Pieces: []journal.Piece{{Name: "large"}, {Name: "small"}}}}
		ctx.Settings.Units = rapid.SampledFrom([]measure.System{measure.Metric, measure.US}).Draw(t, "units")
		line := strings.Join(rapid.SliceOfN(part, 0, 6).Draw(t, "parts"), rapid.SampledFrom([]string{" ", ", "}).Draw(t, "between")) + words.Draw(t, "words")
		l, err := Parse(line, ctx)
		all++
		if err != nil {
			if !zero(l) {
				t.Fatalf("%q: %+v beside %v", line, l, err)
			}
			return
		}
		read++
		reread(t, l.Entry, ctx)
		// Typed again as the file has it, the entry gives the same line.
		again, err := Parse(l.Entry.String(), ctx)
		if err != nil || again.Entry.String() != l.Entry.String() {
			t.Fatalf("%q typed in full: %v, %v", l.Entry.String(), again.Entry.String(), err)
		}
	})
	if 5*read < all {
		t.Errorf("only %d of %d lines were read", read, all)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"112 71 w cherry 90 v -20 -- pale on the left", "112C 71°C", "234 F", "c s 70", "p2 b1 r30", "r 1 h 30", "wr pap lo", "off small", "aim p 120", "air -5",
		"f 1,5", "f 4 lb 6 oz 112", "w 2 chunks", "v 20 %", "01:10 v", "- 2026-09-19T01:04+01:00 pit 104 °C, vent — x", "u", "-- —", "core 2 70", "112,71", "v\u00a0half", "ſ 1", "İ",
	} {
		f.Add(s, false)
	}
	f.Add("234 158 w 3 f 2", true)
	pieces := []journal.Piece{{Name: "large"}, {Name: "small"}, {Name: "left half"}, {Name: "2"}}
	f.Fuzz(func(t *testing.T, line string, us bool) {
		ctx := Context{Now: night, Cook: &journal.Cook{Pieces: pieces}}
		if us {
			ctx.Settings.Units = measure.US
		}
		for _, e := range Complete(line, ctx) {
			if e == "" || !utf8.ValidString(e) {
				t.Fatalf("%q is completed by %q", line, e)
			}
		}
		l, err := Parse(line, ctx)
		if err != nil {
			var e *Error
			if !zero(l) || !errors.As(err, &e) || e.Col < 1 || e.Col > utf8.RuneCountInString(line)+1 {
				t.Fatalf("%q: %+v, %v", line, l, err)
			}
			return
		}
		if l.Undo {
			return
		}
		if len(l.Entry.Items) == 0 && l.Entry.Words == "" {
			t.Fatalf("%q: nothing and no error", line)
		}
		reread(t, l.Entry, ctx)
		if l.Understood(measure.US) == "" {
			t.Fatalf("%q: nothing understood", line)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	ctx := twoPieces(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse("112 71 w cherry 90 v -20 -- pale on the left", ctx); err != nil {
			b.Fatal(err)
		}
	}
}

// The screen reads the line again after every key, so a long line must be fast.
func BenchmarkKey(b *testing.B) {
	ctx := twoPieces(b)
	for i := range 30 { // a night of notes
		ctx.Cook.Entries = append(ctx.Cook.Entries, ctx.Cook.Entries[len(ctx.Cook.Entries)-1])
		ctx.Cook.Entries[len(ctx.Cook.Entries)-1].Time = night.Add(time.Duration(i-31) * time.Minute)
	}
	for name, line := range map[string]string{
		"thumbs": "opned bottm vnt agian, tmep drpped to 104 trew on sum hickry so shoveld in charcol and sprtized it whth aple jucie",
		"night":  "okay the pit is 112 and the meat is 71 and I added two chunks of oak 20 min ago, spritzed, turned it",
		"prose":  "the neighbour came by with beer and the dog ate a bit of the bark which looks great from here, I think it wants another hour at least before we wrap it",
		"full":   strings.Repeat("put the other one on the left and turned it ", 45),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Parse(line, ctx); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
