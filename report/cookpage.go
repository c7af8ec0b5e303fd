package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/chart"
	"ashbook/report/course"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/report/safety"
)

// Told holds computed results for CookPage. It does not show fields that are zero.
type Told struct {
	Expected []course.Expected // core of the slowest piece, as forecast when it went on
	Said     []course.Said     // forecasts made while it ran
	Account  attribution.Account
	Over     drivers.Report  // effects on time over all cooks, compared with the person's own guess
	Eaters   *drivers.Eaters // of all cooks
	Photos   []page.Photo
	Lacking  []string // reasons why photographs are missing
}

// CookPage builds the page of one cook for a browser or for paper. others are the
// person's cooks.
func CookPage(c *journal.Cook, others []*frame.Cook, s journal.Settings, now time.Time, problems []journal.Problem, told Told) page.Page {
	p := page.Page{Title: c.Name(), Aside: aside(c, s)}
	p.Lead = append(p.Lead, story(c, s, now, told.Said))
	if ch := course.Page(c, s.Units, now, told.Expected, told.Said); ch.From < ch.To {
		says := "Temperatures of pit and cores by time of day, from the fire to the meal; below, what was done and when. The thick line is the slowest core."
		if len(ch.Band) > 0 {
			says += " Shaded: the range expected for that core when it went on, 8 in 10."
		}
		if len(told.Said) > 0 {
			says += " Bars: forecasts of when it would be ready, 8 in 10, with the most likely time."
		}
		p.Add(page.Section{Figure: page.Figure{Title: "Pit and cores of " + c.Name(), Says: says, Picture: &ch}})
	}
	if r := safety.LookKnowing(c, others, s, now); slices.ContainsFunc(r.Findings, presses) {
		p.Add(r.Section(&p, presses))
	}
	if st := c.Status(now); st.Stage < journal.TakenOff && !st.LeftOpen {
		p.Add(closest(baseline.Closest(c, others, closestShown), s))
	}
	next := page.Section{Facts: nextTime(c)} // placed below the notes
	words := page.Section{Heading: "In the cook's words", Lines: prose(c), Prose: strings.TrimSpace(strings.Replace("\n"+c.Prose, "\n# "+c.Title+"\n", "\n", 1))}
	if words.Empty() {
		next.Heading = words.Heading
	}
	p.Add(words)
	p.Add(next)
	p.Add(page.Section{Heading: "Photographs", Photos: told.Photos, Lines: told.Lacking})
	liked := tasting(c, cmp.Or(told.Eaters, drivers.NewEaters(others)))
	liked.Heading, liked.Figure = "How it was liked", eaten(c)
	p.Add(liked)
	p.Add(whySection(c, others, s, told))
	p.Add(page.Section{Heading: "Set-up", Facts: setUp(c, s)})
	p.Add(page.Section{Heading: "Course", Facts: group(c, s, frame.Times, frame.Readings, frame.Yield)})
	p.Add(happened(c, s, now))
	p.Add(timeline(c, s.Units))
	p.Add(seriesNote(c, s.Units))
	p.Add(wrong(c, problems))
	return p
}

func aside(c *journal.Cook, s journal.Settings) string {
	parts := []string{orElse(c.Cut, "cut not noted")}
	if w := frame.Weights(c, s.Units); w != "" {
		parts = append(parts, w)
	}
	if c.Pit != "" {
		parts = append(parts, c.Pit+" pit")
	}
	return strings.Join(parts, ", ") + " · " + c.Date().Format("Monday 2 January 2006")
}

// story summarizes a cook in a few sentences: when it went on and came off, hours
// taken, time to the meal, mean score.
func story(c *journal.Cook, s journal.Settings, now time.Time, said []course.Said) string {
	on, went := c.OnAt()
	off, done := c.Finish()
	switch st := c.Status(now); {
	case !went:
		return upperFirst(summary(c, s)) + " " + upperFirst(st.String()) + "."
	case !done && st.LeftOpen:
		return fmt.Sprintf("On at %s. When it came off was not noted.", measure.FormatTime(on, measure.ClockDay, s.Units))
	case !done:
		return soFar(c, st, on, now, said, s.Units)
	}
	out := fmt.Sprintf("On at %s, off at %s: %s.", measure.FormatTime(on, measure.ClockDay, s.Units), measure.FormatTime(off, measure.ClockDay, s.Units), measure.FormatHours(off.Sub(on).Hours()))
	if !c.Serve.IsZero() {
		spare, word := c.Serve.Sub(off).Hours(), "before"
		if spare < 0 {
			word = "after"
		}
		out += fmt.Sprintf(" That was %s %s the meal at %s", measure.FormatHours(math.Abs(spare)), word, measure.FormatTime(c.Serve.In(off.Location()), measure.Clock, s.Units))
		if c.Heads > 0 {
			out += fmt.Sprintf(" for %d", c.Heads)
		}
		out += "."
	}
	if m, n := c.MeanScore(journal.Overall); n > 0 {
		out += fmt.Sprintf(" %s gave it %.1f of 9.", measure.Count(n, "eater"), m)
	}
	return out
}

// soFar summarizes a cook that is still on: since when, its state, the last forecast
// and the meal.
func soFar(c *journal.Cook, st journal.Status, on, now time.Time, said []course.Said, sys measure.System) string {
	out := fmt.Sprintf("On at %s, %s ago. %s.", measure.FormatTime(on, measure.ClockDay, sys), measure.FormatDuration(now.Sub(on)), upperFirst(st.String()))
	if n := len(said); n > 0 {
		last := said[n-1]
		out += fmt.Sprintf(" Ready to take off %s – %s, most likely %s, as forecast at %s.", measure.FormatTime(last.Early, measure.Clock, sys), measure.FormatTime(last.Late, measure.Clock, sys), measure.FormatTime(last.Likely, measure.Clock, sys), measure.FormatTime(last.At, measure.Clock, sys))
	}
	if !c.Serve.IsZero() {
		out += " The meal is at " + measure.FormatTime(c.Serve.In(on.Location()), measure.ClockDay, sys)
		if c.Heads > 0 {
			out += fmt.Sprintf(", for %d", c.Heads)
		}
		out += "."
	}
	return out
}

// eaten draws a lane for each trait: each eater's letter at the score given, and the
// mean.
func eaten(c *journal.Cook) page.Figure {
	ch := chart.Chart{X: chart.Axis{Kind: chart.Number}, From: .5, To: 9.5}
	for v := 1; v <= 9; v++ {
		ch.X.Words = append(ch.X.Words, strconv.Itoa(v))
	}
	for _, t := range journal.Traits {
		mean, n := c.MeanScore(t)
		if n == 0 {
			continue
		}
		lane := chart.Lane{Name: t.String(), End: fmt.Sprintf("%.1f", mean), Marks: []chart.Mark{{X: mean}}}
		for _, taste := range c.Tasting {
			if sc := taste.Scores[t]; sc.Liked > 0 {
				lane.Dots = append(lane.Dots, chart.Dot{X: float64(sc.Liked), Word: orElse(taste.Eater, "?") + []string{"−", "", "+"}[sc.Lean+1]})
			}
		}
		ch.Lanes = append(ch.Lanes, lane)
	}
	if len(ch.Lanes) == 0 {
		return page.Figure{}
	}
	return page.Figure{Title: "Scores of " + c.Name(), Picture: &ch,
		Says: "Each letter is an eater at the score given: 1 is disliked extremely, 9 is liked extremely; + means too much, − too little. The line and the number are the mean."}
}

// whySection explains the cook's duration in minutes, cause by cause.
func whySection(c *journal.Cook, others []*frame.Cook, s journal.Settings, told Told) page.Section {
	a := told.Account
	if !a.Known {
		return page.Section{}
	}
	cmpn := baseline.Compare(c, others)
	out := page.Section{Heading: "Why it took " + verdict(a), Table: minutes(a, "this cook", cmpn, s)}
	if a.Verdict != "" {
		out.Lines = append(out.Lines, a.Verdict)
	}
	out.Lines = append(out.Lines, a.Says...)
	guess := guessed(c, told.Over, s.Units)
	for _, g := range guess.Facts {
		out.Lines = append(out.Lines, "You wrote: "+g.Value)
	}
	out.Lines = append(append(out.Lines, guess.Lines...), resting(a)...)
	return out
}
