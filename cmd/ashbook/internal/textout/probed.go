package textout

import (
	"math"
	"strings"

	"ashbook/cmd/ashbook/internal/intake"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"
)

// Columns says how each column of a table of readings is read.
func Columns(cook, input string, columns []probefile.Column) []string {
	out := lines{cook + ", from " + input + ":"}
	var left []string
	assumed, timed := "", false
	for _, c := range columns {
		name := `"` + c.Name + `"`
		if c.As == "" {
			left = append(left, name)
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
		out.add("  %s", line)
	}
	if !timed {
		out.add("  time: the moment each row arrives")
	}
	if len(left) > 0 {
		out.add("  left out: %s", strings.Join(left, ", "))
	}
	if assumed != "" {
		other := map[string]string{"°C": "f", "°F": "c"}[assumed]
		out.add("  %s as in journal.md; if that is wrong, --unit %s", assumed, other)
	}
	return out
}

// Listening says where readings of a cook are accepted, and from whom. made means that
// the token was made for this run.
func Listening(c *journal.Cook, url string, who intake.Posts, made bool) []string {
	out := lines{"listening for " + c.Name() + " at " + url + " until Ctrl-C"}
	if who.Anywhere {
		out.add("Anyone on your network can see the readings and the token: nothing is encrypted.")
	}
	if made {
		out.add("token for this run: %s", who.Token)
	}
	return append(out, `  curl -H 'Authorization: Bearer TOKEN' -H 'Content-Type: application/json' -d '{"pit_c": 112.5}' `+url)
}

// FirstReading formats the first row of s.
func FirstReading(s journal.Series, sys measure.System) string {
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
	return "first reading " + s.Times[0].Format(measure.DateClock+":05") + ": " + strings.Join(parts, ", ")
}

// Probed says what was read from an input. looked means that nothing was saved.
func Probed(t intake.Taken, looked bool) []string {
	out := total(t, looked)
	if t.Hot > 0 {
		out.add("  %s over %.0f °C, which meat does not reach: if they are °F, run the same again with --unit f", measure.Count(t.Hot, "core reading"), intake.HottestCore)
	}
	for _, l := range t.Left {
		what, why := l.Kind.Words()
		out.add("  %s %s", measure.Count(l.Count, what), why)
		if l.Kind.Harmless() {
			continue
		}
		out.each("    %s", errorsOf(l.Places))
		if more := l.Count - len(l.Places); more > 0 {
			out.add("    and %d more", more)
		}
	}
	return out
}

// total returns lines with the number of rows that were read and saved, their first and
// last times, and how many rows were special.
func total(t intake.Taken, looked bool) (out lines) {
	if t.Kept == 0 {
		return lines{measure.Count(t.Read, "row") + " read, none saved"}
	}
	verb := "saved"
	if looked {
		verb = "would be saved"
	}
	out.add("%s read, %d %s, %s to %s", measure.Count(t.Read, "row"), t.Kept, verb, t.First.Format(measure.DateClock), t.Last.Format(measure.DateClock))
	for _, part := range []struct {
		n    int
		text string
	}{
		{t.Merged.Changed, "that fill a gap or replace another value"}, {t.Merged.Same, "there already"},
		{t.Late, "that came out of order and were sorted in"}, {t.Twice, "with the same time as another row; the last value was kept"},
		{t.PutBack, "that another program had overwritten, now put back"},
	} {
		if part.n > 0 {
			out.add("  %d %s", part.n, part.text)
		}
	}
	return out
}
