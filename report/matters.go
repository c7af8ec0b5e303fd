package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// Matters builds the page of what changes one target over the person's cooks.
func Matters(r drivers.Report, s journal.Settings) page.Page {
	what := r.Target.String()
	if r.Target == drivers.Overall {
		what = "the overall score"
	}
	p := page.Page{Title: "What changes " + what + ", " + measure.Count(r.Cooks, "cook")}
	// The verdict comes before the table; the explanation of the table after it.
	rest := r.Says
	if s := verdictOf(r); s != "" {
		p.Lead = []string{s}
	} else if len(rest) > 0 {
		p.Lead, rest = rest[:1], rest[1:]
	}
	p.Add(page.Section{Table: candidates(&p, r)})
	if len(r.Candidates) > 0 {
		if r.Target == drivers.Time {
			rest = append([]string{"Each line is the effect on the time of a cook of average length for you, worked out from physics and from your cooks together."}, rest...)
		}
		rest = append(slices.Clone(rest), fmt.Sprintf("%sRange: the effect is inside it 8 times in 10, if there is an effect at all. Cooks: how many with it and without, or above and below its middle value. To settle: how many more cooks, half of each kind, would show that an effect of this size is real.", unitWord(r.Target)))
	}
	p.Add(page.Section{Lines: rest})
	for _, f := range effects(r, s) {
		p.Add(page.Section{Figure: f})
	}
	var silent []string
	for _, x := range r.Silent {
		silent = append(silent, x.Name+" ("+x.Why+")")
	}
	p.Add(page.Section{Heading: "Not enough notes to say anything about", Lines: joined(silent)})
	if r.Next != "" {
		p.Add(page.Section{Lines: []string{r.Next}})
	}
	return p
}

// mostVerdicts is how many effects the first sentence names (chosen: few enough to read
// at a glance).
const mostVerdicts = 3

// verdictOf names the largest likely effects in one sentence, or the possible ones if
// none is likely. It is empty without either.
func verdictOf(r drivers.Report) string {
	told := func(reads drivers.Reads) string {
		var out []string
		for _, c := range r.Candidates {
			if c.Reads == reads && c.Column.Name != frame.Cut && len(out) < mostVerdicts {
				l := c.Largest()
				out = append(out, c.Column.Name+", "+l.Change+": "+inWords(r.Target, l.Effect))
			}
		}
		return strings.Join(out, "; ")
	}
	if likely := told(drivers.Likely); likely != "" {
		return upperFirst(likely) + "."
	}
	if maybe := told(drivers.Maybe); maybe != "" {
		return "Nothing is likely yet. It may be " + maybe + "."
	}
	return ""
}

// candidates is the table of effects, from likely to little, drawn on one scale.
func candidates(p *page.Page, r drivers.Report) page.Table {
	t := page.Table{Columns: []page.Column{
		{}, {Title: "effect", Right: true}, {Draws: page.Ranges, Ends: direction(r.Target)}, {Title: "80 % range", Right: true, Gives: 1},
		{Title: "cooks", Right: true}, {Title: "to settle", Right: true, Gives: 2},
	}}
	noted := map[string]bool{}
	for _, reads := range []drivers.Reads{drivers.Likely, drivers.Maybe, drivers.CannotTell, drivers.Little} {
		heading := page.Row{Heading: upperFirst(reads.String())}
		for _, c := range r.Candidates {
			for _, l := range c.Lines {
				if l.Reads != reads {
					continue
				}
				if heading.Heading != "" {
					t.Rows, heading = append(t.Rows, heading), page.Row{}
				}
				row := change(r, c, l)
				if !noted[c.Column.Name] {
					row.Cells[0] += candidateNotes(p, r, c)
					noted[c.Column.Name] = true
				}
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t
}

// change returns the table row of one change.
func change(r drivers.Report, c drivers.Candidate, l drivers.Line) page.Row {
	row := page.Row{
		Cells: []string{
			c.Column.Name + ": " + l.Change, inWords(r.Target, l.Effect), "", between(r.Target, l.Lo, l.Hi),
			fmt.Sprintf("%d / %d", l.With, l.Without), "",
		},
		Span:  &page.Span{Low: l.Lo, At: l.Effect, High: l.Hi, Unsure: !l.Reads.Told()},
		Rests: restsOfEffect(r, c, l),
	}
	if l.More > 0 {
		row.Cells[5] = fmt.Sprintf("%s: %d cooks", size(r.Target, l.For), l.More)
	}
	return row
}

func candidateNotes(p *page.Page, r drivers.Report, c drivers.Candidate) string {
	var marks []string
	for _, tangle := range c.Tangles {
		marks = append(marks, p.Note(tangle.Says))
	}
	if len(c.SameAs) > 0 {
		marks = append(marks, p.Note(c.Column.Name+" always changed together with "+strings.Join(c.SameAs, " and ")+", so their effects cannot be separated."))
	}
	if len(marks) == 0 {
		return ""
	}
	return " " + strings.Join(marks, " ")
}

// direction returns the words for effects below and above zero.
func direction(t drivers.Target) [2]string {
	switch t {
	case drivers.Time:
		return [2]string{"sooner", "later"}
	case drivers.Yield:
		return [2]string{"less", "more"}
	}
	return [2]string{"worse", "better"}
}

// restsOfEffect says what an effect is based on: the number of cooks with and without
// it, and the names of the smaller group.
func restsOfEffect(r drivers.Report, c drivers.Candidate, l drivers.Line) []string {
	sides := "%d with it, %d without."
	if c.Column.Kind != frame.Word {
		sides = "%d above the middle of its range, %d below."
	}
	out := []string{
		fmt.Sprintf("In 8 of 10 cases it is within %s; chance of any effect at all: %.0f in 100.", between(r.Target, l.Lo, l.Hi), 100*c.Inclusion),
		fmt.Sprintf("Noted in %d of %s. "+sides, c.Known, measure.Count(r.Cooks, "cook"), l.With, l.Without),
	}
	if r.Target == drivers.Time {
		out = append(out, fmt.Sprintf("Expected from physics and other people's cooks: %s. With your own cooks: %s.", inWords(r.Target, l.Expected), inWords(r.Target, l.Effect)))
	}
	side, rarer := "With it", cooksWhere(l.Points, func(x float64) bool { return x > l.Middle })
	if c.Column.Kind != frame.Word {
		side = "Above"
		if l.Without < l.With {
			side, rarer = "Below", cooksWhere(l.Points, func(x float64) bool { return x <= l.Middle })
		}
	}
	if len(rarer) > 0 {
		out = append(out, side+": "+listed(rarer)+".")
	}
	return out
}

func cooksWhere(points []drivers.Point, in func(x float64) bool) []string {
	var out []string
	for _, p := range points {
		if in(p.X) {
			out = append(out, p.Cook)
		}
	}
	return out
}

// mostListed is how many cooks are named before "and N more" (chosen: three lines of a
// narrow page).
const mostListed = 6

func listed(names []string) string {
	if len(names) <= mostListed {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:mostListed], ", "), len(names)-mostListed)
}

// size formats an effect without its direction: "2 h 05", "0.4".
func size(t drivers.Target, v float64) string {
	switch v = math.Abs(v); t {
	case drivers.Time:
		return measure.FormatHours(v / 60)
	case drivers.Yield:
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.1f", v)
}

// inWords formats an effect with its direction: "2 h 05 sooner", "0.4 better".
func inWords(t drivers.Target, v float64) string {
	size := size(t, v)
	switch {
	case size == "0 min" || strings.Trim(size, "0.") == "":
		return size
	case v < 0:
		return size + " " + direction(t)[0]
	}
	return size + " " + direction(t)[1]
}

// between formats a range of effects: "1 h 20 to 2 h 50 sooner" if both ends have one
// direction.
func between(t drivers.Target, lo, hi float64) string {
	a, b := inWords(t, lo), inWords(t, hi)
	for _, d := range direction(t) {
		x, one := strings.CutSuffix(a, " "+d)
		y, other := strings.CutSuffix(b, " "+d)
		if one && other {
			if lo < 0 {
				x, y = y, x
			}
			return x + " to " + y + " " + d
		}
	}
	return a + " to " + b
}

// unitWord names the unit of effects that are printed without one.
func unitWord(t drivers.Target) string {
	switch t {
	case drivers.Time:
		return ""
	case drivers.Yield:
		return "Effects in hundredths of the weight. "
	}
	return "Effects in points. "
}
