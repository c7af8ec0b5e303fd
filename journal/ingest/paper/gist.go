package paper

import (
	"fmt"
	"strings"

	"ashbook/journal/measure"
)

// Gist returns lines that say how the cook was understood, part by part.
func (c *Cook) Gist(sys measure.System) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	meat := c.Cut
	if meat == "" {
		meat = c.Title
	}
	for _, p := range c.Pieces {
		switch {
		case p.Raw.Known && p.Trimmed.Known:
			meat += " " + p.Raw.In(sys) + ", trimmed " + p.Trimmed.In(sys)
		case p.Weight().Known:
			meat += " " + p.Weight().In(sys)
		}
	}
	add("%s", meat)
	if c.Title != "" && !strings.EqualFold(c.Title, c.Cut) && meat != c.Title {
		add("%q", c.Title)
	}
	if c.Pit != "" {
		add("pit %s", c.Pit)
	}
	if c.Aim.Pit.Known {
		add("aim pit %s", c.Aim.Pit.In(sys))
	}
	if w := c.Aim.Wrap.String(); w != "" {
		add("wrap %s", w)
	}
	for _, e := range c.Entries {
		var items []string
		for _, it := range e.Items {
			items = append(items, it.String())
		}
		if e.Words != "" {
			items = append(items, e.Words)
		}
		add("%s %s", e.Time.Format(measure.DateClock), strings.Join(items, ", "))
	}
	for _, w := range c.Wood {
		add("wood %s", w.Kind)
	}
	if c.Fuel.Kind != "" {
		add("fuel %s", c.Fuel.Kind)
	}
	if c.Rub.Mix != "" {
		add("rub %s", c.Rub.Mix)
	}
	if c.Heads > 0 {
		add("for %d", c.Heads)
	}
	if c.Weather.Air.Known {
		add("air %s", c.Weather.Air.In(sys))
	}
	return out
}
