package report

import (
	"strings"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// mostEffects is how many candidates are drawn.
const mostEffects = 2

// effects draws the strongest change of each of the likeliest candidates but the cut,
// which nobody chooses for its hours; every cook is drawn with the other effects taken off.
func effects(r drivers.Report, s journal.Settings) []page.Figure {
	var out []page.Figure
	for _, c := range r.Candidates {
		if len(out) == mostEffects {
			break
		}
		if !c.Reads.Told() || len(c.Lines) == 0 || c.Column.Name == frame.Cut {
			continue
		}
		l := c.Largest()
		cloud := page.Series{Name: "one cook"}
		for _, p := range l.Points {
			at, _ := c.Column.Kind.In(p.X, s.Units)
			cloud.X, cloud.Y = append(cloud.X, at), append(cloud.Y, p.Y)
		}
		if len(l.Points) == 0 {
			continue
		}
		x := c.Column.Name
		if _, unit := c.Column.Kind.In(0, s.Units); unit != "" {
			x += ", " + unit
		}
		var words []string
		if c.Column.Kind == frame.Word {
			words = []string{"without", "with"}
			word, _, _ := strings.Cut(strings.Replace(l.Change, " against the others", " instead of ", 1), " instead of ")
			x = c.Column.Name + " " + word
		}
		out = append(out, page.Figure{
			Title:  c.Column.Name + ", " + l.Change + ": " + inWords(r.Target, l.Effect),
			XTitle: x, XWords: words, YTitle: r.Target.String() + " about the mean, " + r.Target.Unit() + ", other effects taken off",
			Says:  "One dot for each cook. " + upperFirst(c.Column.Name) + ", " + l.Change + ": " + inWords(r.Target, l.Effect) + ".",
			Lines: []page.Series{cloud}, Points: true, Rests: restsOfEffect(r, c, l),
		})
	}
	return out
}
