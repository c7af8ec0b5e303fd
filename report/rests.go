package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/frame"
)

// restsOn names the readings, timeline entries or scores that a column's value comes
// from. It is empty for values from the front matter.
func restsOn(c *journal.Cook, col frame.Column, sys measure.System) string {
	if !col.Of(c).Known {
		return ""
	}
	switch col.Name {
	case frame.PitMean, frame.PitLowest, frame.PitHighest:
		return readingsOf(during(c, c.PitReadings()), "pit reading", sys)
	case frame.PitInStall:
		return readingsOf(during(c, c.PitReadings()), "pit reading", sys) + "; stall found in the core readings"
	case frame.StallAfter, frame.StallLasted:
		return stallReadings(c, sys)
	case frame.CoreOff:
		return lastCores(c, sys)
	case frame.OnToOff, frame.BeforeMeal, frame.TimePerMass:
		return moments(c, sys, journal.On, journal.Off)
	case frame.LitToOn:
		return moments(c, sys, journal.Lit, journal.On)
	case frame.Held:
		return moments(c, sys, journal.Boxed, journal.Unboxed)
	case frame.WrappedAfter, frame.WrappedAt, frame.Wrap:
		return moments(c, sys, journal.PutWrap)
	}
	for _, t := range journal.Traits {
		if t.String() == col.Name && col.Group == frame.Scores {
			return scores(c, t)
		}
	}
	return ""
}

// stallReadings names the readings in which the stall was found.
func stallReadings(c *journal.Cook, sys measure.System) string {
	s, ok := frame.Stall(c)
	if !ok {
		return ""
	}
	out := readingsOf(during(c, c.CoreReadings(s.Piece)), "core reading", sys)
	if len(c.Pieces) > 1 {
		out += " of the piece with the longest stall"
	}
	return out
}

// during returns the readings between on and off.
func during(c *journal.Cook, readings []journal.Reading) []journal.Reading {
	on, ok := c.OnAt()
	off, done := c.Finish()
	return slices.DeleteFunc(slices.Clone(readings), func(r journal.Reading) bool {
		return ok && r.Time.Before(on) || done && r.Time.After(off)
	})
}

// readingsOf counts readings by hand and by probe, with the times of the first and the
// last.
func readingsOf(readings []journal.Reading, what string, sys measure.System) string {
	if len(readings) == 0 {
		return "no " + what
	}
	probe := 0
	for _, r := range readings {
		if r.Probe {
			probe++
		}
	}
	by := ""
	switch {
	case probe == len(readings):
		by = " by probe"
	case probe > 0:
		by = fmt.Sprintf(" (%d by probe)", probe)
	}
	first, last := readings[0].Time, readings[len(readings)-1].Time
	if len(readings) == 1 {
		return measure.Count(1, what) + by + ", " + measure.FormatTime(first, measure.DayClock, sys)
	}
	return fmt.Sprintf("%s%s, %s to %s", measure.Count(len(readings), what), by, measure.FormatTime(first, measure.DayClock, sys), measure.FormatTime(last, measure.DayClock, sys))
}

func lastCores(c *journal.Cook, sys measure.System) string {
	var out []string
	for i, p := range c.Pieces {
		off, ok := c.OffAt(i)
		if r, found := journal.Last(c.CoreReadings(i), off); ok && found {
			out = append(out, strings.TrimSpace(p.Name+" "+measure.FormatTemperature(r.C, sys))+" at "+measure.FormatTime(r.Time, measure.DayClock, sys))
		}
	}
	return strings.Join(out, ", ")
}

// moments says when acts were noted; for journal.Off only the last time.
func moments(c *journal.Cook, sys measure.System, acts ...journal.Act) string {
	var out []string
	for _, a := range acts {
		at, ok := c.First(a)
		if a == journal.Off {
			at, ok = c.Finish()
		}
		if ok {
			out = append(out, a.Word()+" at "+measure.FormatTime(at, measure.DayClock, sys))
		}
	}
	return strings.Join(out, ", ")
}

func scores(c *journal.Cook, t journal.Trait) string {
	var out []string
	for _, taste := range c.Tasting {
		if s := taste.Scores[t].String(); s != "" {
			out = append(out, orElse(taste.Eater, "?")+" "+s)
		}
	}
	return strings.Join(out, ", ")
}

// listIf returns those of the texts that are not empty.
func listIf(texts ...string) []string {
	return slices.DeleteFunc(texts, func(s string) bool { return s == "" })
}

// causeColumns lists, for each cause of an account of minutes, the columns that record
// it.
var causeColumns = []struct {
	cause   string // the first words of the cause's name
	columns []string
}{
	{frame.PitMean, []string{frame.PitMean, frame.PitInStall, frame.PitAim}},
	{frame.Wrap, []string{frame.Wrap, frame.WrappedAfter, frame.WrappedAt}},
	{frame.HeaviestPiece, []string{frame.WeightOn, frame.HeaviestPiece}},
	{frame.Pieces, []string{frame.Pieces, frame.WeightOn}},
	{frame.ThickestPiece, []string{frame.ThickestPiece, frame.HeaviestPiece}},
	{frame.CoreOn, []string{frame.CoreOn}},
	{frame.CoreOff, []string{frame.CoreOff, frame.CoreAim}},
	{frame.LidOpened, []string{frame.LidOpened}},
	{frame.Spritzed, []string{frame.Spritzed}},
	{frame.WaterPan, []string{frame.WaterPan}},
}

// restsOfCause lists what both cooks recorded about a cause, so that a reader can
// compare them.
func restsOfCause(cause string, cmpn baseline.Comparison, sys measure.System) []string {
	var out []string
	for _, known := range causeColumns {
		if !strings.HasPrefix(cause, known.cause) {
			continue
		}
		for _, col := range frame.Columns {
			if !slices.Contains(known.columns, col.Name) {
				continue
			}
			this, there := col.Of(cmpn.Cook), cmpn.Usual(col)
			if !this.Known && there.N == 0 {
				continue
			}
			line := col.Name + ": " + col.Format(this, sys)
			if from := restsOn(cmpn.Cook, col, sys); from != "" {
				line += " (" + from + ")"
			}
			out = append(out, line+"; "+usually(there, sys))
		}
		break
	}
	return out
}

// usually says which value the other cooks have in a column, and how many recorded one.
func usually(u baseline.Usual, sys measure.System) string {
	format := func(v float64) string { return u.Column.Format(frame.Value{Number: v, Known: true}, sys) }
	switch {
	case u.N == 0:
		return "no other cook noted it"
	case u.N == 1 && u.Column.Kind == frame.Word:
		return "the other cook: " + u.Word
	case u.N == 1:
		return "the other cook: " + format(u.Median)
	case u.Column.Kind == frame.Word:
		return fmt.Sprintf("%s in %.0f of the %d others that noted it", u.Word, u.Share*float64(u.N), u.N)
	case u.N < baseline.RangeFrom:
		return fmt.Sprintf("%s in the middle of the %d others that noted it, %s to %s", format(u.Median), u.N, format(u.Low), format(u.High))
	}
	return fmt.Sprintf("%s in the middle of the %d others that noted it, 8 in 10 from %s to %s", format(u.Median), u.N, format(u.Low), format(u.High))
}

// lineOf returns the file and line of an entry.
func lineOf(c *journal.Cook, e journal.Entry) []string {
	if e.Line == 0 {
		return nil
	}
	return []string{fmt.Sprintf("line %d of %s, written as %s", e.Line, orElse(c.ID, "the file"), e.Time.Format(time.RFC3339))}
}
