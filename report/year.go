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
	"ashbook/report/chart"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/hindsight"
	"ashbook/report/page"
)

// Year builds the page of one year. past has all finished cooks, over has what changes
// their times, and came has the replayed forecasts of the year's cooks.
func Year(year int, past []journal.Cook, over drivers.Report, came [][len(hindsight.Quarters)]hindsight.Came, s journal.Settings) page.Page {
	p := page.Page{Title: fmt.Sprintf("The year %d", year)}
	var cooks []*journal.Cook
	for i := range past {
		if past[i].Date().Year() == year {
			cooks = append(cooks, &past[i])
		}
	}
	if len(cooks) == 0 {
		p.Lead = []string{"No finished cook in this year."}
		return p
	}
	slices.SortStableFunc(cooks, func(a, b *journal.Cook) int { return a.Date().Compare(b.Date()) })
	p.Lead = []string{totals(cooks, s)}
	p.Add(page.Section{Figure: months(cooks)})
	p.Add(page.Section{Heading: "The nights", Table: nights(cooks, s), Lines: []string{"Bar: from on to off, by time of day. Ring: the meal. The gap between them is the hold; a bar that reaches its ring was late."}})
	p.Add(bestEaten(cooks, past))
	p.Add(page.Section{Heading: "How the forecasts did", Figure: record(came)})
	p.Add(learned(cooks, over))
	return p
}

// totals summarizes a year in a few sentences.
func totals(cooks []*journal.Cook, s journal.Settings) string {
	hours, meat, fuel, heads, late, meals := 0.0, 0.0, 0.0, 0, 0, 0
	for _, c := range cooks {
		took, _ := c.Took()
		hours += took.Hours()
		if kg, ok := c.OnWeight(); ok {
			meat += kg
		}
		if kg, ok := c.FuelBurned(); ok {
			fuel += kg
		}
		heads += c.Heads
		if off, ok := c.Finish(); ok && !c.Serve.IsZero() {
			meals++
			if off.After(c.Serve) {
				late++
			}
		}
	}
	out := fmt.Sprintf("%s and %.0f hours at the fire.", measure.Count(len(cooks), "cook"), hours)
	if meat > 0 {
		out += fmt.Sprintf(" %s of meat went on", whole(meat, s.Units))
		if heads > 0 {
			out += fmt.Sprintf(" for %d people", heads)
		}
		if fuel > 0 {
			out += ", over " + whole(fuel, s.Units) + " of fuel"
		}
		out += "."
	}
	if meals > 0 {
		switch late {
		case 0:
			out += " No meal waited for the meat."
		case meals:
			out += " Every meal waited for the meat."
		default:
			out += fmt.Sprintf(" %s of %d waited for the meat.", measure.Count(late, "meal"), meals)
		}
	}
	return out
}

// whole formats a mass without decimals.
func whole(kg float64, sys measure.System) string {
	number, unit, _ := strings.Cut(measure.FormatMass(kg, sys), " ")
	if v, err := strconv.ParseFloat(number, 64); err == nil {
		number = fmt.Sprintf("%.0f", v)
	}
	return number + " " + unit
}

// months draws one dot a cook in its month: filled for the pit used most, a ring for
// any other.
func months(cooks []*journal.Cook) page.Figure {
	n, most := map[string]int{}, ""
	for _, c := range cooks {
		n[c.Pit]++
		if n[c.Pit] > n[most] {
			most = c.Pit
		}
	}
	lane := chart.Lane{}
	for _, c := range cooks {
		lane.Dots = append(lane.Dots, chart.Dot{X: float64(c.Date().Month()), Ring: c.Pit != most})
	}
	ch := chart.Chart{X: chart.Axis{Kind: chart.Number, Words: strings.Split("J F M A M J J A S O N D", " ")}, From: .5, To: 12.5, Lanes: []chart.Lane{lane}}
	says := "Each cook in its month."
	if most != "" {
		says = fmt.Sprintf("Each cook in its month: ● %s %d", most, n[most])
		if others := len(cooks) - n[most]; others > 0 {
			says += fmt.Sprintf(", ○ other pits %d", others)
		}
		says += "."
	}
	return page.Figure{Title: "Cooks by month", Picture: &ch, Says: says}
}

// nights is the table of cooks, with a bar from on to off by time of day and a ring at
// the meal.
func nights(cooks []*journal.Cook, s journal.Settings) page.Table {
	t := page.Table{Columns: []page.Column{
		{Title: "day"}, {Title: "cook"}, {Draws: page.Hours}, {Title: "took", Right: true}, {Title: "to the meal", Right: true, Gives: 1}, {Title: "liked", Right: true},
	}}
	for _, c := range cooks {
		took, _ := c.Took()
		what := c.Name()
		if about := strings.TrimSpace(c.Cut + " " + frame.Weights(c, s.Units)); about != "" {
			what += ", " + about
		}
		spare, liked := "–", "–"
		if off, ok := c.Finish(); ok && !c.Serve.IsZero() {
			if spare = measure.FormatDuration(c.Serve.Sub(off)); off.After(c.Serve) {
				spare = measure.FormatDuration(off.Sub(c.Serve)) + " late"
			}
		}
		if m, n := c.MeanScore(journal.Overall); n > 0 {
			liked = fmt.Sprintf("%.1f", m)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{c.Date().Format("2 Jan"), what, "", measure.FormatHours(took.Hours()), spare, liked}, Span: night(c)})
	}
	return t
}

// night returns the times of on, off and the meal in hours from the midnight before
// off, or nil if on or off is not recorded.
func night(c *journal.Cook) *page.Span {
	on, ok := c.OnAt()
	off, done := c.Finish()
	if !ok || !done {
		return nil
	}
	midnight := time.Date(off.Year(), off.Month(), off.Day(), 0, 0, 0, 0, off.Location())
	x := func(t time.Time) float64 { return t.Sub(midnight).Hours() }
	out := &page.Span{Low: x(on), At: math.NaN(), High: x(off), Unsure: true}
	if meal := x(c.Serve); !c.Serve.IsZero() && math.Abs(meal) < 48 {
		out.At = meal
	}
	return out
}

// bestShown is how many cooks are listed as best eaten (chosen).
const bestShown = 3

// bestEaten lists the cooks with the highest scores, corrected for how strict each
// eater is.
func bestEaten(cooks []*journal.Cook, past []journal.Cook) page.Section {
	type eaten struct {
		cook *journal.Cook
		j    drivers.Judged
	}
	var all []eaten
	eaters := drivers.NewEaters(frame.Cooks(past))
	for _, c := range cooks {
		if _, n := c.MeanScore(journal.Overall); n == 0 {
			continue
		}
		for _, j := range eaters.Judge(c).Traits {
			if j.Trait == journal.Overall {
				all = append(all, eaten{c, j})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b eaten) int { return cmp.Compare(b.j.Adjusted, a.j.Adjusted) })
	out := page.Section{Heading: "Best eaten"}
	if len(all) == 0 {
		return out
	}
	out.Table.Columns = []page.Column{{Title: "cook"}, {Title: "overall", Right: true}, {Title: "eaters", Right: true}, {Title: "keep"}}
	for _, e := range all[:min(bestShown, len(all))] {
		out.Table.Rows = append(out.Table.Rows, page.Row{Cells: []string{named(e.cook), fmt.Sprintf("%.1f ± %.1f", e.j.Adjusted, e.j.Doubt), fmt.Sprint(e.j.Eaters), e.cook.Keep}})
	}
	out.Lines = []string{"Corrected for how strict each eater is. Cooks closer together than their ± may be in the wrong order."}
	return out
}

// quarters names the moments of a cook at which its forecasts are compared.
var quarters = [len(hindsight.Quarters)]string{"before on", "a quarter in", "half way", "three quarters"}

// recordEnds is the largest distance drawn, in widths of the half of the range on that
// side; larger ones are drawn at this edge.
const recordEnds = 2.0

// record draws where in its forecast range each cook came off: −1 is the earliest time,
// 0 the most likely, 1 the latest.
func record(came [][len(hindsight.Quarters)]hindsight.Came) page.Figure {
	ch := chart.Chart{X: chart.Axis{Kind: chart.Bare}, From: -recordEnds - .2, To: recordEnds + .2, Rules: []chart.Rule{{X: -1, Word: "earliest"}, {X: 0, Word: "likeliest"}, {X: 1, Word: "latest"}}}
	for k, name := range quarters {
		lane, held := chart.Lane{Name: name, Bars: []chart.Bar{{From: -1, To: 1, At: math.NaN(), Thin: true}}}, 0
		for i := range came {
			c := &came[i][k]
			if !(c.Lo < c.Mid && c.Mid < c.Hi) {
				continue
			}
			at := (c.Left - c.Mid) / (c.Hi - c.Mid)
			if c.Left < c.Mid {
				at = (c.Left - c.Mid) / (c.Mid - c.Lo)
			}
			if math.Abs(at) <= 1 {
				held++
			}
			at = math.Max(-recordEnds, math.Min(recordEnds, at))
			lane.Dots = append(lane.Dots, chart.Dot{X: math.Round(10*at) / 10})
		}
		if len(lane.Dots) > 0 {
			lane.End = fmt.Sprintf("%d of %d", held, len(lane.Dots))
			ch.Lanes = append(ch.Lanes, lane)
		}
	}
	if len(ch.Lanes) == 0 {
		return page.Figure{}
	}
	return page.Figure{Title: "How the forecasts did", Picture: &ch,
		Says: "One dot for each cook: where in the range of its forecast it came off. 8 in 10 should be inside the range; the number on the right is how many were. Each cook is replayed with only the earlier ones known."}
}

// learned lists the likely effects on time, and what the year's cooks say to keep and
// to change.
func learned(cooks []*journal.Cook, over drivers.Report) page.Section {
	out := page.Section{Heading: "What was learned"}
	if v := verdictOf(over); v != "" {
		out.Lines = append(out.Lines, fmt.Sprintf("Likely to change the time, over %s: %s", measure.Count(over.Cooks, "cook"), strings.ToLower(v[:1])+v[1:]))
	}
	out.Table = ownWords(cooks, func(c *journal.Cook) string { return c.Name() + ", " + c.Date().Format("2 Jan") })
	return out
}
