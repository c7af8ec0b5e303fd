package report

import (
	"strings"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// mostEffects is how many figures of effects a page has.
const mostEffects = 2

// effects draws the largest effect of each of the most probable columns. It leaves out
// the cut, since nobody chooses a cut for its hours. The other effects are subtracted
// from each cook's value.
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
			XTitle: x, XWords: words, YTitle: r.Target.String() + " above or below the mean, " + r.Target.Unit() + ", other effects subtracted",
			Says:  "One dot for each cook. " + upperFirst(c.Column.Name) + ", " + l.Change + ": " + inWords(r.Target, l.Effect) + ".",
			Lines: []page.Series{cloud}, Points: true, Rests: restsOfEffect(r, c, l),
		})
	}
	return out
}
