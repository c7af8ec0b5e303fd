// Package report builds the pages a person reads. It chooses the sections of each page
// and their order; the packages below it do the calculations.
package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/course"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/report/safety"
)

const dayLayout = "Mon 2 Jan 2006"

// Cook builds the page of one cook. others are the person's other cooks: scores are
// corrected for strictness with them, and while c is planned or running the most
// similar ones are listed.
func Cook(c *journal.Cook, others []*frame.Cook, s journal.Settings, now time.Time, problems []journal.Problem) page.Page {
	p := page.Page{Title: c.Name(), Aside: c.Date().Format(dayLayout) + " · " + c.Status(now).String()}
	p.Lead = append(p.Lead, summary(c, s))
	p.Add(Unsettled(c))
	p.Add(page.Section{Heading: "Set-up", Facts: setUp(c, s)})
	p.Add(page.Section{Heading: "Course", Facts: group(c, s, frame.Times, frame.Readings, frame.Yield)})
	if now := c.Status(now); now.Stage < journal.TakenOff && !now.LeftOpen {
		p.Add(closest(baseline.Closest(c, others, closestShown), s))
	}
	p.Add(page.Section{Heading: "The curve", Figure: readCourse(c, s)})
	p.Add(happened(c, s, now))
	p.Add(timeline(c, s.Units))
	p.Add(seriesNote(c, s.Units))
	p.Add(tasting(c, drivers.NewEaters(others)))
	if r := safety.LookKnowing(c, others, s, now); slices.ContainsFunc(r.Findings, presses) {
		p.Add(r.Section(&p, presses))
	}
	p.Add(page.Section{Heading: "Next time", Facts: nextTime(c)})
	p.Add(page.Section{Heading: "Notes", Lines: prose(c)})
	p.Add(wrong(c, problems))
	return p
}

// Unsettled lists the values that two people set differently and that nobody has
// decided yet.
func Unsettled(c *journal.Cook) page.Section {
	s := page.Section{Heading: "Two people said"}
	for _, o := range c.Others {
		s.Lines = append(s.Lines, o.String())
	}
	return s
}

// wrong lists the problems in the file that Unsettled does not list.
func wrong(c *journal.Cook, problems []journal.Problem) page.Section {
	s := page.Section{Heading: "The file needs a look"}
	for _, pr := range problems {
		if !slices.ContainsFunc(c.Others, func(o journal.Other) bool { return o.Line == pr.Line }) {
			s.Lines = append(s.Lines, pr.Error())
		}
	}
	return s
}

// closestShown is how many similar cooks are listed for a planned or running one.
const closestShown = 3

// closest lists similar cooks with their weights, durations and scores.
func closest(found []*frame.Cook, s journal.Settings) page.Section {
	out := page.Section{Heading: "Your most similar cooks"}
	for _, f := range found {
		o := f.Whole()
		if o == nil {
			continue
		}
		took, _ := o.Took()
		parts := []string{o.Name(), orElse(frame.Weights(o, s.Units), "weight not noted"), measure.FormatHours(took.Hours())}
		if m, n := o.MeanScore(journal.Overall); n > 0 {
			by := fmt.Sprintf("by %d eaters", n)
			if n == 1 {
				by = "by one eater"
			}
			parts = append(parts, fmt.Sprintf("overall %.1f %s", m, by))
		}
		out.Facts = append(out.Facts, page.Fact{Name: o.Date().Format("2 Jan 2006"), Value: strings.Join(parts, ", ")})
		out.Facts = append(out.Facts, nextTime(o)...)
	}
	return out
}

// nextTime returns the Keep and Change fields of c.
func nextTime(c *journal.Cook) []page.Fact { return facts("keep", c.Keep, "change", c.Change) }

// presses reports whether a finding belongs on a cook's page: it asks for an action, or
// something cannot be shown to be safe. The page of the hold lists all findings.
func presses(f safety.Finding) bool { return f.Weight >= safety.Ask }

// summary describes the cook in one sentence: cut, weight, pit, meal.
func summary(c *journal.Cook, s journal.Settings) string {
	parts := []string{orElse(c.Cut, "cut not noted")}
	if w := frame.Weights(c, s.Units); w != "" {
		parts = append(parts, w)
	}
	if c.Pit != "" {
		parts = append(parts, c.Pit+" pit")
	}
	line := strings.Join(parts, ", ")
	switch {
	case !c.Serve.IsZero() && c.Heads > 0:
		line += fmt.Sprintf("; serve %d at %s", c.Heads, measure.FormatTime(c.Serve, measure.DayClock, s.Units))
	case !c.Serve.IsZero():
		line += "; serve at " + measure.FormatTime(c.Serve, measure.DayClock, s.Units)
	case c.Heads > 0:
		line += fmt.Sprintf("; for %d", c.Heads)
	}
	return line + "."
}

func setUp(c *journal.Cook, s journal.Settings) []page.Fact {
	var out []page.Fact
	for i, pc := range c.Pieces {
		var parts []string
		add := func(text, after string) {
			if text != "" {
				parts = append(parts, text+after)
			}
		}
		add(pc.Raw.In(s.Units), " raw")
		add(pc.Trimmed.In(s.Units), " trimmed")
		add(pc.Thick.In(s.Units), " thick")
		if pc.Bone != "" {
			parts = append(parts, "bone "+pc.Bone)
		}
		add(pc.Core.In(s.Units), " at the core when it went on")
		if len(parts) > 0 || pc.Name != "" {
			name := "piece"
			if len(c.Pieces) > 1 || pc.Name != "" {
				name = "piece " + orElse(pc.Name, fmt.Sprint(i+1))
			}
			out = append(out, page.Fact{Name: name, Value: orElse(strings.Join(parts, ", "), "weight not noted")})
		}
	}
	told := map[string]bool{frame.Cut: true, frame.Pieces: true, frame.HeaviestPiece: true, frame.ThickestPiece: true, frame.Bone: true, frame.CoreOn: true}
	for _, f := range group(c, s, frame.SetUp) {
		if !told[f.Name] {
			out = append(out, f)
		}
	}
	if w := c.Aim.Wrap; w.Kind != journal.NoWrap {
		at := ""
		if w.At.Known {
			at = " at " + w.At.In(s.Units)
		}
		out = append(out, page.Fact{Name: "wrap planned", Value: string(w.Kind) + at})
	} else if w.Bare {
		out = append(out, page.Fact{Name: "wrap planned", Value: "none"})
	}
	return out
}

// group lists the recorded columns of the given groups.
func group(c *journal.Cook, s journal.Settings, groups ...frame.Group) []page.Fact {
	var out []page.Fact
	for _, g := range groups {
		for _, col := range frame.Columns {
			if v := col.Of(c); col.Group == g && v.Known {
				value := col.Format(v, s.Units)
				if col.Name == frame.PitMean && frame.PitIsSetting(c) {
					value += " (the setting; no reading was noted)"
				}
				if stall, ok := frame.Stall(c); ok && col.Name == frame.StallLasted {
					value = stall.Words(s.Units)
				}
				out = append(out, page.Fact{Name: col.Name, Value: value, Rests: listIf(upperFirst(restsOn(c, col, s.Units)))})
			}
		}
	}
	return out
}

func timeline(c *journal.Cook, sys measure.System) page.Section {
	s := page.Section{Heading: "Timeline"}
	if len(c.Entries) == 0 {
		return s
	}
	s.Table.Columns = []page.Column{{}, {Right: true}, {}}
	on, started := c.OnAt()
	day := ""
	shown := c.Shown()
	for i, e := range c.Entries {
		clock, since := measure.FormatTime(e.Time, measure.Clock, sys)+c.Offset(e), ""
		if d := e.Time.Format("Mon 2 Jan"); d != day {
			day = d
			s.Table.Rows = append(s.Table.Rows, page.Row{Heading: d})
		}
		if started && e.Time.After(on) {
			since = "+" + measure.FormatHours(e.Time.Sub(on).Hours())
		}
		s.Table.Rows = append(s.Table.Rows, page.Row{Cells: []string{clock, since, shown[i]}, Rests: lineOf(c, e)})
	}
	return s
}

func seriesNote(c *journal.Cook, sys measure.System) page.Section {
	n := len(c.Series.Times)
	if n == 0 {
		return page.Section{}
	}
	probes := []string{}
	if len(c.Series.Pit) > 0 {
		probes = append(probes, "pit")
	}
	for _, s := range c.Series.Cores {
		probes = append(probes, strings.TrimSpace("core "+s.Piece))
	}
	return page.Section{Heading: "Probe series", Lines: []string{fmt.Sprintf("%d rows of %s, %s to %s.", n, strings.Join(probes, ", "),
		measure.FormatTime(c.Series.Times[0], measure.DayClock, sys), measure.FormatTime(c.Series.Times[n-1], measure.DayClock, sys))}}
}

// happened lists the events found in the core readings, with their usual causes.
func happened(c *journal.Cook, s journal.Settings, now time.Time) page.Section {
	out := page.Section{Heading: "What happened (usual causes: common practice)"}
	for _, e := range course.Events(c, s.Units, now) {
		out.Facts = append(out.Facts, page.Fact{Name: measure.FormatTime(e.At, measure.DayClock, s.Units) + " " + e.Name, Value: e.Says + ". " + e.Usual})
	}
	return out
}

// tasting is the table of scores, with means corrected for how strict each eater is.
func tasting(c *journal.Cook, eaters *drivers.Eaters) page.Section {
	s := page.Section{Heading: "Tasting, 1 to 9"}
	if len(c.Tasting) == 0 {
		return s
	}
	s.Table.Columns = []page.Column{{Title: "eater"}}
	for _, t := range journal.Traits {
		s.Table.Columns = append(s.Table.Columns, page.Column{Title: strings.NewReplacer("tenderness", "tender", "moisture", "moist").Replace(t.String()), Right: true})
	}
	s.Table.Columns = append(s.Table.Columns, page.Column{Gives: 1})
	for _, taste := range c.Tasting {
		cells := []string{orElse(taste.Eater, "?")}
		for _, t := range journal.Traits {
			cells = append(cells, orElse(taste.Scores[t].String(), "–"))
		}
		s.Table.Rows = append(s.Table.Rows, page.Row{Cells: append(cells, taste.Words)})
	}
	j := eaters.Judge(c)
	row := func(name string, of func(drivers.Judged) string) {
		cells := []string{name}
		for _, t := range journal.Traits {
			text := "–"
			if i := slices.IndexFunc(j.Traits, func(x drivers.Judged) bool { return x.Trait == t }); i >= 0 {
				text = of(j.Traits[i])
			}
			cells = append(cells, text)
		}
		s.Table.Rows = append(s.Table.Rows, page.Row{Cells: append(cells, "")})
	}
	if len(c.Tasting) > 1 {
		row("mean", func(x drivers.Judged) string { return fmt.Sprintf("%.1f", x.Mean) })
		row("range", func(x drivers.Judged) string { return Spread(x) })
	}
	row("adjusted", func(x drivers.Judged) string { return fmt.Sprintf("%.1f", x.Adjusted) })
	row("±", func(x drivers.Judged) string { return fmt.Sprintf("%.1f", x.Doubt) })
	s.Lines = j.Says
	return s
}

// Spread returns the lowest and highest score given, "5–8", or one score, "7".
func Spread(x drivers.Judged) string {
	if x.Low == x.High {
		return fmt.Sprint(x.Low)
	}
	return fmt.Sprintf("%d–%d", x.Low, x.High)
}

// Tasted lists the mean and corrected scores of a cook, one line a trait.
func Tasted(j drivers.Judgement) page.Section {
	s := page.Section{Lines: j.Says}
	if len(j.Traits) == 0 {
		return s
	}
	s.Table.Columns = []page.Column{{}, {Title: "mean", Right: true}, {Title: "range", Right: true}, {Title: "eaters", Right: true}, {Title: "adjusted", Right: true}}
	for _, x := range j.Traits {
		s.Table.Rows = append(s.Table.Rows, page.Row{Cells: []string{
			x.Trait.String(), fmt.Sprintf("%.1f", x.Mean), Spread(x), fmt.Sprint(x.Eaters), fmt.Sprintf("%.1f ± %.1f", x.Adjusted, x.Doubt),
		}})
	}
	return s
}

// prose returns the paragraphs of the cook's notes without a leading title line.
func prose(c *journal.Cook) []string {
	var out []string
	for para := range strings.SplitSeq(strings.ReplaceAll(c.Prose, "\r\n", "\n"), "\n\n") {
		para = strings.TrimSpace(para)
		if para != "" && para != "# "+c.Title {
			out = append(out, strings.Join(strings.Fields(para), " "))
		}
	}
	return out
}

func facts(pairs ...string) []page.Fact {
	var out []page.Fact
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			out = append(out, page.Fact{Name: pairs[i], Value: pairs[i+1]})
		}
	}
	return out
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
