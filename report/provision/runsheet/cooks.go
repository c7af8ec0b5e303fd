package runsheet

import (
	"strings"

	"ashbook/journal"
	"ashbook/report/page"
)

// Cooks returns the planned cooks, one for each load. The first has the lists.
func (p *Sheet) Cooks() []journal.Cook {
	var out []journal.Cook
	for i := range p.Loads {
		l := &p.Loads[i]
		c := l.Cook
		c.Title = p.title(i)
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

// prose returns the text of the file of the i-th load.
func (p *Sheet) prose(i int) string {
	l := &p.Loads[i]
	var b strings.Builder
	b.WriteString("# " + oneLine(p.title(i)) + "\n\n")
	if i > 0 {
		b.WriteString("On by " + p.day(l.OnBy) + ", off by " + p.day(l.LatestOff) + ".")
		if l.Finish != nil {
			b.WriteString(" " + p.day(l.LookAt()) + ": " + p.look(l) + ".")
		}
		b.WriteString(" The lists are in the file of " + oneLine(p.Request.Title) + ".")
		return b.String()
	}
	for i, line := range p.Sentence {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(oneLine(line))
	}
	for _, l := range p.Lessons {
		b.WriteString("\n" + oneLine(p.lesson(l)))
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

// title returns the title of the i-th cook, with the name of its fire if there are
// several.
func (p *Sheet) title(i int) string {
	if i == 0 {
		return p.Request.Title
	}
	return p.Request.Title + ", " + p.Named(&p.Loads[i])
}

// oneLine returns text as one line that a file can hold as a plain value.
func oneLine(s string) string { return page.Clean(strings.Join(strings.Fields(s), " ")) }
