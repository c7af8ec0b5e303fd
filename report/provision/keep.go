package provision

import (
	"strings"

	"ashbook/journal"
	"ashbook/report/page"
)

// Cooks are the planned cooks of a plan, one a load; the first holds the lists.
func (p *Plan) Cooks() []journal.Cook {
	var out []journal.Cook
	for i := range p.Loads {
		l := &p.Loads[i]
		c := l.Cook
		if i > 0 {
			c.Title += ", " + p.named(l)
		}
		for _, f := range p.Fuel {
			if f.Pit == l.Pit && f.Own > 0 {
				c.Fuel.Kind = f.Kind
			}
		}
		c.Prose = p.prose(i)
		out = append(out, c)
	}
	return out
}

// prose is what stands in the file of the i-th load.
func (p *Plan) prose(i int) string {
	l := &p.Loads[i]
	var b strings.Builder
	b.WriteString("# " + oneLine(l.title(p)) + "\n\n")
	if i > 0 {
		b.WriteString("On by " + p.day(l.OnBy) + ", off by " + p.day(l.LatestOff) + ". The lists are with " + oneLine(p.Request.Title) + ".")
		return b.String()
	}
	for i, line := range p.Sentence {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(oneLine(line))
	}
	section := ""
	for _, t := range p.Tasks {
		if t.Section != section {
			section = t.Section
			b.WriteString("\n\n## " + section + "\n")
		}
		b.WriteString("\n- [ ] " + oneLine(t.Text))
	}
	return b.String()
}

func (l *Load) title(p *Plan) string {
	if l == p.Main() {
		return p.Request.Title
	}
	return p.Request.Title + ", " + p.named(l)
}

// oneLine is text that is harmless in a file and on one line of it.
func oneLine(s string) string { return page.Clean(strings.Join(strings.Fields(s), " ")) }
