package forecast

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/score"
)

// Stall is where the core hardly rises although the pit is hot: the surface
// sweats as fast as the heat comes in.
type Stall struct {
	Now    bool      // the core hardly rises
	Since  time.Time // zero when it never did
	Lasted float64   // h so far, or in all once over
	Usual  Range     // h, how long the person's own lasted; practice's with Cooks = 0
	Cooks  int       // of which Usual is the range
	Says   string    // one sentence; empty while there is no stall
}

// A bare stall lasts 4 to 6 h: common practice, no source.
var practiceStall = Range{4, 5, 6}

func (f *Forecaster) stall(j *model.State, now time.Time) Stall {
	s := Stall{Usual: practiceStall}
	if now.IsZero() {
		return s
	}
	var lasted []float64
	for i := range f.taught {
		if h := f.taught[i].Stall; h >= .5 {
			lasted = append(lasted, h)
		}
	}
	if n := len(lasted); n >= 3 {
		s.Usual, s.Cooks = Range{score.Quantile(lasted, .1), score.Quantile(lasted, .5), score.Quantile(lasted, .9)}, n
	}
	was, ok := j.Cook.LongestStall(now)
	if ok {
		s.Now, s.Since, s.Lasted = was.Standing, was.From, was.Lasted().Hours()
	}
	whose := "commonly last 4 to 6 h bare (common practice)"
	if s.Cooks > 0 {
		whose = fmt.Sprintf("yours usually last %s (%s to %s, %d cooks)", measure.FormatHours(s.Usual.Mid), measure.FormatHours(s.Usual.Lo), measure.FormatHours(s.Usual.Hi), s.Cooks)
	}
	level := was.Words(f.world.Settings.Units)
	switch {
	case !ok:
	case s.Now && was.Between:
		s.Says = fmt.Sprintf("In the stall, level %s; %s.", level, whose)
	case s.Now:
		s.Says = fmt.Sprintf("In the stall for %s; %s.", level, whose)
	case was.Between:
		s.Says = fmt.Sprintf("The stall was %s; %s.", level, whose)
	default:
		s.Says = fmt.Sprintf("The stall lasted %s; %s.", level, whose)
	}
	return s
}

// longestStall is how long the longest stall of a finished cook lasted, h; 0
// for none.
func longestStall(c *journal.Cook) float64 {
	end, _ := c.Finish()
	s, _ := c.LongestStall(end)
	return s.Lasted().Hours()
}
