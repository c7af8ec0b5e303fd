package report

import (
	"fmt"
	"math"
	"strings"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/report/page"
)

// Matters is the page of what moves one target over the person's cooks.
func Matters(r drivers.Report, s journal.Settings) page.Page {
	p := page.Page{Title: "What moves " + r.Target.String() + ", " + cooks(r.Cooks)}
	if r.Target == drivers.Time {
		p.Lead = append(p.Lead, "Weight, thickness, pit temperature, wrap and off core are in the engine already: this is what is left.")
	}
	p.Lead = append(p.Lead, r.Says...)
	t := page.Table{Columns: []page.Column{{}, {Title: "effect", Right: true}, {Title: "80 % range", Right: true}, {Title: "cooks", Right: true}, {Title: "reads as"}}}
	for _, c := range r.Candidates {
		reads := c.Tells(r.Target)
		for _, tangle := range c.Tangles {
			reads += p.Note(tangle.Says)
		}
		if len(c.SameAs) > 0 {
			reads += p.Note(c.Column.Name + " always changed together with " + strings.Join(c.SameAs, " and ") + ": nothing can tell them apart.")
		}
		for i, l := range c.Lines {
			if i > 0 {
				reads = ""
			}
			t.Rows = append(t.Rows, page.Row{Cells: []string{
				c.Column.Name + ": " + l.Change, effect(r.Target, l.Effect), effect(r.Target, l.Lo) + " … " + effect(r.Target, l.Hi),
				fmt.Sprintf("%d / %d", l.With, l.Without), reads,
			}})
		}
	}
	p.Add(page.Section{Table: t})
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
		return signed("%.0f min", v)
	case drivers.Yield:
		return signed("%.0f %%", v)
	}
	return signed("%.1f", v)
}

func signed(format string, v float64) string {
	text := fmt.Sprintf(format, math.Abs(v))
	switch {
	case strings.Trim(strings.Fields(text)[0], "0.") == "":
		return text
	case v < 0:
		return "−" + text
	}
	return "+" + text
}
