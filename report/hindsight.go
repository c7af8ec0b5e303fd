package report

import (
	"fmt"
	"math"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/hindsight"
	"ashbook/report/page"
)

// Hindsight builds the page of a replay: errors of past forecasts, compared with simple
// rules.
func Hindsight(r hindsight.Report) page.Page {
	p := page.Page{
		Title: "Hindsight",
		Aside: fmt.Sprintf("%d finished cooks", r.Cooks),
		Lead: []string{
			trust(r),
			fmt.Sprintf("Every finished cook is replayed, %s. The tables show how far off the forecasts would have been, and how far off simple rules.", r.Known.How()),
			"Miss is the mean distance from the actual time. Bias above zero means too late. The range should hold the actual time 8 times in 10. A rule may have no answer at some moments: “forecast, same cooks” is the miss of the forecast at the moments when the rule had one.",
		},
	}
	if r.Cooks == 0 {
		p.Lead = []string{"No finished cook to replay: a cook counts once its lines \"on\" and \"off\" are there."}
		return p
	}
	p.Add(page.Section{Heading: "How far off, by part of the cook", Figure: misses(r)})
	for _, t := range r.Tables {
		heading := fmt.Sprintf("At %.0f %% of the cook", 100*t.Share)
		if t.Share == 0 {
			heading = "Before it goes on"
		}
		p.Add(page.Section{Heading: heading, Table: hindsightTable(t)})
	}
	p.Add(page.Section{Heading: "During the cook, once a core has been read", Table: hindsightTable(r.During)})
	p.Add(page.Section{Heading: "Of these, cooks noted by hand", Table: hindsightTable(r.DuringHand)})
	p.Add(page.Section{Heading: "Of these, cooks with a probe series", Table: hindsightTable(r.DuringDense)})
	p.Add(page.Section{Heading: "When somebody read a core", Table: hindsightTable(r.Looks)})
	p.Add(page.Section{Heading: "The forecast, part by part, once a core has been read", Table: partsTable(r.Parts)})
	p.Add(page.Section{Heading: "The farthest off", Table: worstTable(r.Worst)})
	return p
}

// misses draws the mean error, in hours, of the forecast and of the three best rules,
// at each part of a cook.
func misses(r hindsight.Report) page.Figure {
	f := page.Figure{XTitle: "part of the cook, %", YTitle: "mean miss, h"}
	for _, m := range []hindsight.Method{hindsight.Ours, hindsight.EngineOnly, hindsight.CutAverage, hindsight.LookAlikes} {
		line := page.Series{Name: string(m)}
		for _, t := range r.Tables {
			for _, row := range t.Rows {
				if row.Method == m && row.N > 0 {
					line.X, line.Y = append(line.X, 100*t.Share), append(line.Y, row.Mean)
				}
			}
		}
		if len(line.X) > 1 {
			f.Lines = append(f.Lines, line)
		}
	}
	return f
}

// hindsightTable is the table of one set of moments. Miss, bias and number of times
// stay in columns at any width; other columns move below their row when the page is
// narrow.
func hindsightTable(t hindsight.Table) page.Table {
	out := page.Table{Columns: []page.Column{
		{}, {Title: "miss", Right: true}, {Title: "half within", Right: true}, {Title: "bias", Right: true},
		{Title: "forecast, same cooks", Right: true, Gives: 1}, {Title: "in range", Right: true, Gives: 2}, {Title: "range width", Right: true, Gives: 3}, {Title: "score, h", Right: true, Gives: 4}, {Title: "times", Right: true},
	}}
	for _, row := range t.Rows {
		if row.N == 0 {
			continue
		}
		cells := []string{string(row.Method), hoursOr(row.Mean), hoursOr(row.Median), measure.FormatSigned(row.Bias), "", "", "", "", fmt.Sprint(row.N)}
		if row.Method != hindsight.Ours {
			cells[4] = hoursOr(row.OursThere)
		}
		rests := []string{fmt.Sprintf("%s in the replay; worst miss %s, in %s; mean miss %.0f %% of the whole cook.", measure.Count(row.N, "time"), hoursOr(row.Worst), row.WorstCook, 100*row.Relative)}
		if row.Banded > 0 {
			cells[5], cells[6] = fmt.Sprintf("%.0f %%", 100*row.Covered), hoursOr(row.Width)
			cells[7] = fmt.Sprintf("%.2f", row.CRPS)
			rests = append(rests, fmt.Sprintf("The actual time was inside the range %.0f times of %d; 8 in 10 are expected. Score: mean continuous ranked probability score in hours; lower is better.", row.Covered*float64(row.Banded), row.Banded))
		}
		out.Rows = append(out.Rows, page.Row{Cells: cells, Rests: rests})
	}
	return out
}

// partsTable lists the errors and ranges of the forecast for each part of a cook, such
// as its first quarter.
func partsTable(parts []hindsight.Part) page.Table {
	t := page.Table{Columns: []page.Column{
		{}, {Title: "miss", Right: true}, {Title: "half within", Right: true, Gives: 2}, {Title: "bias", Right: true},
		{Title: "in range", Right: true}, {Title: "range width", Right: true}, {Title: "score, h", Right: true, Gives: 1}, {Title: "times", Right: true},
	}}
	for _, p := range parts {
		r := p.Row
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			p.Name, hoursOr(r.Mean), hoursOr(r.Median), measure.FormatSigned(r.Bias), fmt.Sprintf("%.0f %%", 100*r.Covered), hoursOr(r.Width), fmt.Sprintf("%.2f", r.CRPS), fmt.Sprint(r.N),
		}})
	}
	return t
}

// worstTable lists the cooks with the largest errors and what was known at the time of
// the forecast.
func worstTable(worst []hindsight.Moment) page.Table {
	t := page.Table{Columns: []page.Column{{}, {Title: "part of the cook", Right: true}, {Title: "to go, forecast", Right: true}, {Title: "range", Right: true}, {Title: "to go, actual", Right: true}, {Title: "what was known, or happened later", Gives: 1}}}
	for _, m := range worst {
		a, _ := m.Answer(hindsight.Ours)
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			m.Cook, fmt.Sprintf("%.0f %%", 100*m.Share), hoursOr(a.Hours), hoursOr(a.Lo) + " – " + hoursOr(a.Hi), hoursOr(m.Left), m.Why,
		}})
	}
	return t
}

func hoursOr(h float64) string {
	if math.IsNaN(h) {
		return "–"
	}
	return measure.FormatHours(h)
}

// fewestMoments is the least number of moments for which the page states an error
// (chosen).
const fewestMoments = 5

// trust says in plain sentences how accurate the person's forecasts were.
func trust(r hindsight.Report) string {
	if len(r.During.Rows) == 0 || r.During.Rows[0].N == 0 {
		return "No core was read during these cooks, so nothing can be said of forecasts while they ran."
	}
	ours := r.During.Rows[0]
	says := []string{fmt.Sprintf("Half of your forecasts while a cook ran were within %s of the actual time", within(ours.Median))}
	if r.Stall.N >= fewestMoments {
		says = append(says, fmt.Sprintf("at the stall, within %s", within(r.Stall.Median)))
	}
	if late := r.Tables[len(r.Tables)-1].Rows[0]; late.N >= fewestMoments {
		says = append(says, fmt.Sprintf("near the end, within %s", within(late.Median)))
	}
	out := strings.Join(says, "; ") + "."
	if h := r.Held; h.Cooks >= fewestMoments {
		lo, hi := h.Chance()
		out += fmt.Sprintf(" When you read a core, the meat came off inside the range %.0f times in 100, each cook counted once; 80 are expected, and with %d cooks anything from %.0f to %.0f can be chance", 100*h.Share, h.Cooks, 100*lo, 100*hi)
		switch {
		case h.Share < lo:
			out += ": your ranges are too narrow"
		case h.Share > hi:
			out += ": your ranges are wider than they need be"
		}
		out += "."
	}
	return out
}

// within formats an error in hours, rounded to five minutes from ten minutes on.
func within(h float64) string {
	minutes := 60 * h
	if minutes >= 10 {
		minutes = 5 * math.Round(minutes/5)
	}
	return measure.FormatHours(minutes / 60)
}
