package main

import (
	"math"
	"slices"
	"strings"

	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"
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
	var lines, out []string
	assumed, timed := "", false
	for _, c := range columns {
		name := `"` + c.Name + `"`
		if c.As == "" {
			out = append(out, name)
			continue
		}
		timed = timed || c.As == "time"
		line := c.As + " from " + name
		if c.Unit != "" {
			line += ", " + c.Unit
		}
		if c.Assumed {
			assumed = c.Unit
		}
		if c.Guessed {
			line += ", guessed"
		}
		lines = append(lines, line)
	}
	if !timed {
		lines = append(lines, "time: the moment a row comes in")
	}
	if len(out) > 0 {
		lines = append(lines, "left out: "+strings.Join(out, ", "))
	}
	if assumed != "" {
		other := map[string]string{"°C": "f", "°F": "c"}[assumed]
		lines = append(lines, assumed+" as in journal.md; if not, --unit "+other)
	}
	if slices.Equal(lines, in.said) {
		return
	}
	in.said = lines
	in.say("%s, from %s:\n", in.cook.Name(), in.shownName())
	for _, l := range lines {
		in.say("  %s\n", l)
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
	return s.Times[i].Format(measure.DateClock+":05") + ": " + strings.Join(parts, ", ")
}

// hottestCore is what meat does not reach, °C: its water boils before (chosen, with ten
// degrees to spare).
const hottestCore = 110.0

// tooHot counts core readings that are more likely °F, where only journal.md said °C.
func (in *intake) tooHot(s journal.Series) int {
	n := 0
	assumed := slices.ContainsFunc(in.reader.Columns(), func(c probefile.Column) bool { return c.Assumed && c.Unit == probefile.Celsius.String() })
	for _, c := range s.Cores {
		for _, v := range c.C {
			if assumed && v > hottestCore {
				n++
			}
		}
	}
	return n
}

// end tells what became of the input.
func (in *intake) end() error {
	read, _ := in.reader.Counts()
	var err error
	if in.reader.Warned() || in.hot > 0 {
		err = errWarnings
	}
	if in.json {
		r := jsonout.Probed{
			Cook: in.cook.ID, File: in.to.Path(), Looked: in.look, Read: read, Kept: in.rows, Added: in.merged.Added, Changed: in.merged.Changed, Same: in.merged.Same,
			Late: in.late, Twice: in.twice, PutBack: in.to.PutBack(), Hot: in.hot, From: jsonout.Time(in.first), To: jsonout.Time(in.last),
			Columns: []jsonout.Mapped{}, Left: []jsonout.LeftOut{},
		}
		for _, c := range in.reader.Columns() {
			r.Columns = append(r.Columns, jsonout.Mapped{Name: c.Name, As: c.As, Unit: c.Unit, Guessed: c.Guessed})
		}
		for _, l := range in.reader.Left() {
			what, why := l.Kind.Words()
			r.Left = append(r.Left, jsonout.LeftOut{Why: what + " " + why, Count: l.Count, Places: jsonout.ProblemsOf(l.Places)})
		}
		if e := in.printJSON(r); e != nil {
			return e
		}
		return err
	}
	in.total(read)
	if in.hot > 0 {
		in.printf("  %s over %.0f °C, which meat does not reach: if they are °F, the same again with --unit f puts it right\n", measure.Count(in.hot, "core reading"), hottestCore)
	}
	for _, l := range in.reader.Left() {
		what, why := l.Kind.Words()
		in.printf("  %s %s\n", measure.Count(l.Count, what), why)
		if l.Kind.Harmless() {
			continue
		}
		for _, p := range l.Places {
			in.printf("    %s\n", p.Error())
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
		in.printf("%s read, none kept\n", measure.Count(read, "row"))
		return
	}
	verb := "kept"
	if in.look {
		verb = "would be kept"
	}
	in.printf("%s read, %d %s, %s to %s\n", measure.Count(read, "row"), in.rows, verb, in.first.Format(measure.DateClock), in.last.Format(measure.DateClock))
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
