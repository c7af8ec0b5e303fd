package drivers

import (
	"fmt"
	"strings"

	"ashbook/journal/measure"
)

// words adds the sentences of the whole.
func (r *Report) words() {
	likely, maybe := []string{}, []string{}
	for _, c := range r.Candidates {
		switch c.Reads {
		case Likely:
			likely = append(likely, c.Column.Name)
		case Maybe:
			maybe = append(maybe, c.Column.Name)
		}
	}
	say := func(format string, a ...any) { r.Says = append(r.Says, fmt.Sprintf(format, a...)) }
	switch {
	case len(likely)+len(maybe) == 0:
		say("Of %s over %s nothing stands out yet: none can be told from chance.", measure.Count(len(r.Candidates), "thing"), measure.Count(r.Cooks, "cook"))
	case len(likely) > 0:
		say("Likely to matter: %s.", strings.Join(likely, "; "))
	}
	if len(maybe) > 0 {
		say("May matter: %s.", strings.Join(maybe, "; "))
	}
	switch r.Target {
	case Time:
		say("Cooks like yours scatter by %.0f min about what is explained (two in three within that).", r.Scatter)
	case Yield:
		say("Cooks scatter by %.1f %% of the weight about what is explained.", r.Scatter)
	default:
		say("Cooks scatter by %.1f points about what is explained.", r.Scatter)
		r.Says = append(r.Says, r.Table.Says()...)
	}
	if n := len(r.LeftOut); n > 0 {
		say("%s left out: %s (%s).", measure.Count(n, "cook"), r.LeftOut[0].Name, r.LeftOut[0].Why)
	}
}
