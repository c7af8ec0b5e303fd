package forecast

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/score"
)

// Stall is the time in which the core hardly rises because the surface loses as much heat
// by drying as it takes up.
type Stall struct {
	Now    bool      // the core is in a stall
	Since  time.Time // start of the stall; zero: none so far
	Lasted float64   // length of the stall, so far if it goes on, h
	Usual  Range     // length of the person's stalls, h; common practice if Cooks is 0
	Cooks  int       // number of cooks that Usual is based on
	Says   string    // one sentence; "" without a stall
}

// practiceStall is the length of a stall without a wrap (common practice, no source).
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
	whose := "without a wrap, stalls commonly last 4 to 6 h (common practice)"
	if s.Cooks > 0 {
		whose = fmt.Sprintf("yours usually last %s (%s to %s, %d cooks)", measure.FormatHours(s.Usual.Mid), measure.FormatHours(s.Usual.Lo), measure.FormatHours(s.Usual.Hi), s.Cooks)
	}
	level := was.Words(f.world.Settings.Units)
	switch {
	case !ok:
	case s.Now && was.Between:
		s.Says = fmt.Sprintf("In the stall, hardly rising %s; %s.", level, whose)
	case s.Now:
		s.Says = fmt.Sprintf("In the stall for %s; %s.", level, whose)
	case was.Between:
		s.Says = fmt.Sprintf("The stall was %s; %s.", level, whose)
	default:
		s.Says = fmt.Sprintf("The stall lasted %s; %s.", level, whose)
	}
	return s
}

// longestStall returns the length of the longest stall of a finished cook, h; 0 for none.
func longestStall(c *journal.Cook) float64 {
	end, _ := c.Finish()
	s, _ := c.LongestStall(end)
	return s.Lasted().Hours()
}
