// Package textout returns what the commands print about a result: lines, or a page that
// is as wide as the terminal. It prints nothing and does not clean text of files or
// arguments; whoever prints it must do that.
package textout

import (
	"fmt"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/safety"
)

// lines are the lines made so far.
type lines []string

func (l *lines) add(format string, args ...any) { *l = append(*l, fmt.Sprintf(format, args...)) }

// each adds one line for each text, formatted with format.
func (l *lines) each(format string, texts []string) {
	for _, t := range texts {
		l.add(format, t)
	}
}

// Noted says how an entry line was understood.
func Noted(n app.Noted) []string {
	verb := "noted"
	switch {
	case n.Undone:
		verb = "undone"
	case n.Redone:
		verb = "put back"
	}
	out := lines{verb + ": " + n.Text}
	out.each("kept as words: %s", n.Left)
	out.each("look: %s Kept as words; if you meant it, note it again in full", n.Asks)
	out.each("look: %s", n.Flags)
	return out
}

// Caution returns a caution as a line: what to do, and the source.
func Caution(f safety.Finding) string {
	return fmt.Sprintf("%s: %s (%s)", f.Weight, f.Said(), f.Source)
}

// Lit says that a cook is lit, what the last such cook says to change, when the meat
// will be ready, and urgent cautions. last may be empty.
func Lit(c, last *journal.Cook, cautions []string, s journal.Settings, now time.Time) []string {
	out := lines{fmt.Sprintf("lit: %s (%s)", c.Name(), c.ID)}
	if last.ID != "" {
		out.add("to change since %s, %s: %s", last.Name(), last.Date().Format("2 January"), last.Change)
	}
	if aim, ok := c.AimCore(now); ok {
		out.add("off at a core of %s", measure.FormatTemperature(min(aim, journal.HottestCore(s.Altitude)), s.Units))
	}
	out = append(out, cautions...)
	return append(out,
		"Light the fire outdoors only: carbon monoxide kills indoors and in tents (CPSC). Keep guests away from fire and ash.",
		"next: ashbook note on, when the meat goes on")
}

// Fixed says what an entry was and is.
func Fixed(c app.Changed, sys measure.System) []string {
	out := lines{"was: " + entry(c.Was, c.Is, sys)}
	if c.Dropped {
		out.add("now: deleted")
	} else {
		out.add("now: %s", entry(c.Is, c.Was, sys))
	}
	out.each("look: %s", c.Flags)
	return out
}

// Settled says which of two people's values was chosen.
func Settled(n app.Noted) []string { return []string{"settled: " + n.Text} }

// entry returns e as text with its clock time, and with its day if beside is on another
// day.
func entry(e, beside journal.Entry, sys measure.System) string {
	if beside.Time.IsZero() || e.Time.Format(time.DateOnly) == beside.Time.Format(time.DateOnly) {
		return app.Clock(e, sys)
	}
	return e.Time.Format("Mon ") + app.Clock(e, sys)
}

// Aside says that a cook was left out of reports, or is back in.
func Aside(c *journal.Cook) []string {
	if c.Aside == "" {
		return []string{fmt.Sprintf("included in reports again: %s (%s)", c.Name(), c.ID)}
	}
	return []string{
		fmt.Sprintf("left out of reports: %s (%s)", c.Name(), c.ID),
		fmt.Sprintf("next: ashbook aside %s --back, to undo it", c.ID),
	}
}

// Edited says how editing a file ended.
func Edited(s folder.Summary, e app.Edited) []string {
	out := lines{"as it was: " + s.Path}
	if e.Changed {
		out[0] = "taken in: " + s.Path
	}
	return append(out, errorsOf(e.Problems)...)
}

// errorsOf returns the texts of problems.
func errorsOf(problems []journal.Problem) (out lines) {
	for _, p := range problems {
		out = append(out, p.Error())
	}
	return out
}

// Tasted says which scores of a cook were saved, and what was written after it.
func Tasted(t app.Tasted, tastes []journal.Taste) []string {
	out := lines{"saved for " + t.Cook.Name() + ":"}
	for _, row := range tastes {
		out.add("  %s", app.ScoreLine(row))
	}
	replaced := false
	for _, w := range t.Written {
		is := w.Is
		if is == "" {
			is = "deleted"
		}
		out.add("  %s: %s", w.What, is)
		if w.Was != "" && w.Was != w.Is {
			out.add("    before: %s", w.Was)
			replaced = true
		}
		out.each("    look: %s", w.Flags)
	}
	if replaced {
		out.add("next: ashbook history %s, which has the old version", t.Cook.ID)
	}
	return out
}

// NoTasks says that a cook has no task list.
func NoTasks(s folder.Summary) []string {
	return []string{fmt.Sprintf("%s has no list; write \"- [ ] …\" lines into %s", s.Name(), s.Path)}
}

// Checked lists what is wrong in the files of that number of cooks.
func Checked(cooks int, problems []journal.Problem, notices []string) []string {
	var out lines
	for _, p := range problems {
		kind := "error"
		if p.Warning {
			kind = "warning"
		}
		out.add("%s (%s)", p.Error(), kind)
	}
	out = append(out, notices...)
	out.add("%s read, %s to look at", measure.Count(cooks, "cook"), measure.Count(len(problems), "line"))
	return out
}

// Begun lists the files that were made for a new journal.
func Begun(dir string, made []string) []string {
	if len(made) == 0 {
		return []string{dir + " is already a journal under git"}
	}
	out := lines{"journal in " + dir}
	out.each("  made %s", made)
	return append(out, "next: ashbook light CUT")
}

// Brought says which version was brought back: what is "version" or "the version
// before"; of is the number of versions so far.
func Brought(s folder.Summary, what string, v report.Version, of int) []string {
	return []string{
		fmt.Sprintf("brought back: %s %d of %s, %s", what, v.N, v.When.Format(measure.FullClock), v.What),
		fmt.Sprintf("next: ashbook history %s --before %d, to undo it", s.ID, of+1),
	}
}

// Folded says what was done with the copies left by a synced folder.
func Folded(done []folder.Folded) []string {
	out := lines{}
	for _, d := range done {
		for _, t := range d.Conflicts {
			out.add("both changed %s: %s", d.Of, t)
		}
		if d.Left != "" {
			out.add("left: %s: %s", d.Path, d.Left)
		} else {
			out.add("put back: everything in %s is now in %s", d.Path, d.Of)
		}
	}
	if len(done) == 0 {
		out.add("no copies from a synced folder")
	}
	return out
}
