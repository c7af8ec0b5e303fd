package drivers

import (
	"fmt"
	"slices"

	"ashbook/journal/measure"
)

// words adds the sentences about the report as a whole.
func (r *Report) words() {
	say := func(format string, a ...any) { r.Says = append(r.Says, fmt.Sprintf(format, a...)) }
	if !slices.ContainsFunc(r.Candidates, func(c Candidate) bool { return c.Reads.Told() }) {
		say("Among %s in %s, no cause stands out yet: each effect may be chance.", measure.Count(len(r.Candidates), "thing"), measure.Count(r.Cooks, "cook"))
	}
	switch r.Target {
	case Time:
		say("Two in three of your cooks fall within %s of what all this together predicts.", measure.FormatHours(r.Scatter/60))
	case Yield:
		say("Two in three of your cooks fall within %.1f %% of the weight of what all this together predicts.", r.Scatter)
	default:
		say("Two in three of your cooks fall within %.1f points of what all this together predicts.", r.Scatter)
		r.Says = append(r.Says, r.Table.Says()...)
	}
	if n := len(r.LeftOut); n > 0 {
		say("%s left out: %s (%s).", measure.Count(n, "cook"), r.LeftOut[0].Name, r.LeftOut[0].Why)
	}
}
