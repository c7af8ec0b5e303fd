package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/report/page"
)

// Matters is the page of what moves one target over the person's cooks.
func Matters(r drivers.Report, s journal.Settings) page.Page {
	p := page.Page{Title: "What moves " + r.Target.String() + ", " + cooks(r.Cooks)}
	if r.Target == drivers.Time {
		p.Lead = append(p.Lead, "Weight, thickness, pit temperature, wrap and off core are in the engine already: this is what they leave.")
	}
	p.Lead = append(p.Lead, r.Says...)
	if len(r.Candidates) > 0 {
		p.Lead = append(p.Lead, fmt.Sprintf("Effects in %s; the range holds 8 in 10; cooks with it and without, or above and below the middle; more cooks, half each way, that would settle an effect of such a size.", unitWord(r.Target)))
	}
	for _, reads := range []drivers.Reads{drivers.Likely, drivers.Maybe, drivers.CannotTell, drivers.Little} {
		p.Add(page.Section{Heading: upperFirst(reads.String()), Table: candidates(&p, r, reads)})
	}
	for _, f := range effects(r, s) {
		p.Add(page.Section{Figure: f})
	}
	var silent []string
	for _, x := range r.Silent {
		silent = append(silent, x.Name+" ("+x.Why+")")
	}
	p.Add(page.Section{Heading: "Nothing can be said of", Lines: joined(silent)})
	if r.Next != "" {
		p.Add(page.Section{Lines: []string{r.Next}})
	}
	return p
}

// inEngine are the columns whose effect on the time the engine has a part of.
var inEngine = []string{"pit, mean", "wrap", "heaviest piece", "core when it went on", "spritzed", "water pan"}

// candidates are those that read alike.
func candidates(p *page.Page, r drivers.Report, reads drivers.Reads) page.Table {
	t := page.Table{Columns: []page.Column{{}, {Title: "effect", Right: true}, {Title: "80 % range", Right: true}, {Title: "cooks", Right: true}}}
	open := reads == drivers.CannotTell || reads == drivers.Maybe
	if open {
		t.Columns = append(t.Columns, page.Column{Title: "more cooks", Right: true})
	}
	for _, c := range r.Candidates {
		if c.Reads != reads {
			continue
		}
		notes := ""
		if r.Target == drivers.Time && slices.Contains(inEngine, c.Column.Name) {
			notes = p.Note("Beyond what the engine makes of it already: where this is longer, it makes too much of what shortens, or too little.")
		}
		for _, tangle := range c.Tangles {
			notes += p.Note(tangle.Says)
		}
		if len(c.SameAs) > 0 {
			notes += p.Note(c.Column.Name + " always changed together with " + strings.Join(c.SameAs, " and ") + ": nothing can tell them apart.")
		}
		for i, l := range c.Lines {
			row := page.Row{Cells: []string{
				c.Column.Name + ": " + l.Change, bare(r.Target, l.Effect), bare(r.Target, l.Lo) + " … " + bare(r.Target, l.Hi),
				fmt.Sprintf("%d / %d", l.With, l.Without),
			}}
			if i == 0 {
				row.Cells[0] += notes
			}
			if open {
				row.Cells = append(row.Cells, "")
				if i == 0 && c.More > 0 {
					row.Cells[4] = fmt.Sprintf("%d for %s", c.More, strings.TrimLeft(bare(r.Target, c.For), "+−"))
				}
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

func cooks(n int) string {
	if n == 1 {
		return "1 cook"
	}
	return fmt.Sprintf("%d cooks", n)
}

// effect prints an effect with its sign, in the unit of the target.
func effect(t drivers.Target, v float64) string {
	switch t {
	case drivers.Time:
		return bare(t, v) + " min"
	case drivers.Yield:
		return bare(t, v) + " %"
	}
	return bare(t, v)
}

// bare is effect without its unit.
func bare(t drivers.Target, v float64) string {
	if t == drivers.Time || t == drivers.Yield {
		return signed("%.0f", v)
	}
	return signed("%.1f", v)
}

func unitWord(t drivers.Target) string {
	switch t {
	case drivers.Time:
		return "minutes"
	case drivers.Yield:
		return "hundredths of the weight"
	}
	return "points"
}

func signed(format string, v float64) string {
	text := fmt.Sprintf(format, math.Abs(v))
	switch {
	case strings.Trim(text, "0.") == "":
		return text
	case v < 0:
		return "−" + text
	}
	return "+" + text
}
