package main

import (
	"math"
	"slices"
	"strings"

	"ashbook/cmd/ashbook/internal/intake"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"
)

// probeEvents print what happens on the way; with --json only the end is printed.
func (a *program) probeEvents(input, cook string, sys measure.System) intake.Events {
	say := func(format string, args ...any) {
		if !a.json {
			a.printf(format, args...)
		}
	}
	var said []string
	return intake.Events{
		Columns: func(columns []probefile.Column) {
			lines := columnLines(columns)
			if columns == nil || slices.Equal(lines, said) {
				return
			}
			said = lines
			say("%s, from %s:\n", cook, input)
			for _, l := range lines {
				say("  %s\n", l)
			}
		},
		First:   func(s journal.Series) { say("first reading %s\n", firstReading(s, sys)) },
		Anew:    func() { say("%s was begun anew; followed from its beginning\n", input) },
		Trouble: a.tellTrouble,
	}
}

// tellTrouble prints an error that ends nothing.
func (a *program) tellTrouble(err error) { a.warnf("ashbook: %s\n", err) }

// columnLines say what the columns are taken for.
func columnLines(columns []probefile.Column) (lines []string) {
	var out []string
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
	return lines
}

// firstReading prints the first row of s.
func firstReading(s journal.Series, sys measure.System) string {
	var parts []string
	add := func(what string, values []float64) {
		if len(values) > 0 && !math.IsNaN(values[0]) {
			parts = append(parts, strings.TrimSpace(what)+" "+measure.FormatTemperature(values[0], sys))
		}
	}
	add("pit", s.Pit)
	for _, c := range s.Cores {
		add("core "+c.Piece, c.C)
	}
	return s.Times[0].Format(measure.DateClock+":05") + ": " + strings.Join(parts, ", ")
}

// printProbed prints what became of the input.
func (a *program) printProbed(t intake.Taken, c *journal.Cook, file string, look bool) error {
	if a.json {
		if err := a.printJSON(jsonout.ProbedOf(t, c.ID, file, look)); err != nil {
			return err
		}
	} else {
		a.printTotal(t, look)
		if t.Hot > 0 {
			a.printf("  %s over %.0f °C, which meat does not reach: if they are °F, the same again with --unit f puts it right\n", measure.Count(t.Hot, "core reading"), intake.HottestCore)
		}
		for _, l := range t.Left {
			what, why := l.Kind.Words()
			a.printf("  %s %s\n", measure.Count(l.Count, what), why)
			if l.Kind.Harmless() {
				continue
			}
			for _, p := range l.Places {
				a.printf("    %s\n", p.Error())
			}
			if more := l.Count - len(l.Places); more > 0 {
				a.printf("    and %d more\n", more)
			}
		}
	}
	if t.Warned {
		return errWarnings
	}
	return nil
}

// printTotal prints the sum in one line, and how the rows came that were kept.
func (a *program) printTotal(t intake.Taken, look bool) {
	if t.Kept == 0 {
		a.printf("%s read, none kept\n", measure.Count(t.Read, "row"))
		return
	}
	verb := "kept"
	if look {
		verb = "would be kept"
	}
	a.printf("%s read, %d %s, %s to %s\n", measure.Count(t.Read, "row"), t.Kept, verb, t.First.Format(measure.DateClock), t.Last.Format(measure.DateClock))
	for _, part := range []struct {
		n    int
		text string
	}{
		{t.Merged.Changed, "filling a gap or in place of another value"}, {t.Merged.Same, "there already"},
		{t.Late, "out of order, sorted in"}, {t.Twice, "with the time of another; the last value stands"},
		{t.PutBack, "saved over by another program, put back"},
	} {
		if part.n > 0 {
			a.printf("  %d %s\n", part.n, part.text)
		}
	}
}
