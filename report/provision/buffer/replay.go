package buffer

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/numeric/score"
	"ashbook/report/page"
)

// Rule is one way to decide how long before the latest time off the meat must go on.
type Rule string

// The rules: ours, and those it is compared with.
const (
	ByPlan     Rule = "on by, 9 in 10"
	ByClaim    Rule = "the same, spread as claimed"
	ByLikely   Rule = "the plan's middle"
	ByAverage  Rule = "average of the cut"
	ByLongest  Rule = "9 in 10 of the cut's past"
	ByThePound Rule = "1.5 h per lb, heaviest piece"
)

// Rules lists them in the order of a table.
var Rules = []Rule{ByPlan, ByClaim, ByLikely, ByAverage, ByLongest, ByThePound}

// fewest is the least number of cooks from which a rule takes the 9-in-10 time
// (chosen).
const fewest = 3

// hoursPerKg is "1.5 h per lb at 225 °F", the common rule (hobby threads).
const hoursPerKg = 1.5 / .45359237

// Score says how well a rule would have planned: how often in time, how late, and how
// long the meat is held.
type Score struct {
	Rule    Rule
	Cooks   int     // for which the rule gives a time
	InTime  int     // off no later than the latest off
	LateBy  float64 // h, mean of those that were late; 0: none was
	Worst   float64 // h, the latest
	Hold    float64 // h between off and the latest off, mean of those in time
	HoldAll float64 // the same over all cooks, 0 for late ones
}

// Replayed is the result of planning finished cooks again by each rule.
type Replayed struct {
	Known  forecast.Known
	Cooks  int
	Scores []Score
}

// allow returns how many hours before the latest off each rule puts on each finished
// cook. It uses what was known when that cook went on, with the cooks of known. It
// fails with ctx's error.
func allow(ctx context.Context, x *forecast.Experience, known forecast.Known, progress func(done, of int)) ([]map[Rule]float64, error) {
	cooks := x.Cooks()
	past := Past{make([]miss, len(cooks))}
	plans := make([]forecast.Forecast, len(cooks))
	err := forecast.Each(ctx, len(cooks), progress, func(i int) error {
		c := &cooks[i]
		var err error
		if plans[i], err = before(ctx, x, cooks, i); err != nil {
			return err
		}
		past.missed[i] = missOf(c, plans[i])
		if known != forecast.Earlier {
			f, err := x.Where(ctx, func(o *journal.Cook) bool {
				off, _ := o.Finish()
				return known.Of(c, time.Time{}, o.ID, off)
			})
			if err != nil {
				return err
			}
			plans[i] = f.Hours(c, time.Time{})
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	allowed := make([]map[Rule]float64, len(cooks))
	for i := range cooks {
		c := &cooks[i]
		on, _ := c.OnAt()
		f := Drawn(plans[i], past.factor(func(m miss) bool { return known.Of(c, on, m.id, m.off) }))
		allowed[i] = map[Rule]float64{ByPlan: Hours(f, Sure), ByClaim: Hours(plans[i], Sure), ByLikely: f.ToGo.Mid}
		var took []float64
		for k := range cooks {
			off, _ := cooks[k].Finish()
			if known.Of(c, on, cooks[k].ID, off) && strings.EqualFold(cooks[k].Cut, c.Cut) {
				d, _ := cooks[k].Took()
				took = append(took, d.Hours())
			}
		}
		if n := float64(len(took)); n > 0 {
			sum := 0.0
			for _, h := range took {
				sum += h
			}
			allowed[i][ByAverage] = sum / n
		}
		if len(took) >= fewest {
			allowed[i][ByLongest] = score.Quantile(took, Sure)
		}
		heaviest := 0.0
		for _, p := range c.Pieces {
			heaviest = math.Max(heaviest, p.Weight().Base)
		}
		if heaviest > 0 {
			allowed[i][ByThePound] = hoursPerKg * heaviest
		}
	}
	return allowed, nil
}

// Replay plans every finished cook again and compares the hours each rule would have
// allowed with those it took. It fails with ctx's error.
func Replay(ctx context.Context, x *forecast.Experience, known forecast.Known, progress func(done, of int)) (Replayed, error) {
	allowed, err := allow(ctx, x, known, progress)
	if err != nil {
		return Replayed{}, err
	}
	cooks := x.Cooks()
	out := Replayed{Known: known, Cooks: len(cooks)}
	for _, rule := range Rules {
		s := Score{Rule: rule}
		for i := range cooks {
			h, ok := allowed[i][rule]
			if !ok {
				continue
			}
			took, _ := cooks[i].Took()
			s.Cooks++
			if early := h - took.Hours(); early >= 0 {
				s.InTime++
				s.HoldAll += early
			} else {
				s.LateBy -= early
				s.Worst = math.Max(s.Worst, -early)
			}
		}
		if s.Cooks == 0 {
			continue
		}
		if s.InTime > 0 {
			s.Hold = s.HoldAll / float64(s.InTime)
		}
		s.HoldAll /= float64(s.Cooks)
		if missed := s.Cooks - s.InTime; missed > 0 {
			s.LateBy /= float64(missed)
		}
		out.Scores = append(out.Scores, s)
	}
	return out, nil
}

// Page returns the page that shows how each rule would have done.
func Page(r Replayed) page.Page {
	out := page.Page{Title: "Plans in hindsight", Aside: fmt.Sprintf("finished cooks: %d", r.Cooks), Lead: []string{
		fmt.Sprintf("Every finished cook is planned again, %s. For each rule, the table shows how many cooks come off in time if they go on when the rule says, and how long they are then held.", r.Known.How()),
	}}
	if r.Cooks == 0 {
		out.Lead = []string{"No finished cook to replay: a cook counts once its lines \"on\" and \"off\" are there."}
		return out
	}
	t := page.Table{Columns: []page.Column{{}, {Title: "in time", Right: true}, {Title: "late by", Right: true}, {Title: "at worst", Right: true}, {Title: "held", Right: true}, {Title: "cooks", Right: true}}}
	for _, s := range r.Scores {
		cells := []string{string(s.Rule), fmt.Sprintf("%.0f %%", 100*float64(s.InTime)/float64(s.Cooks)), "–", "–", "–", fmt.Sprint(s.Cooks)}
		if s.InTime < s.Cooks {
			cells[2], cells[3] = measure.FormatHours(s.LateBy), measure.FormatHours(s.Worst)
		}
		if s.InTime > 0 {
			cells[4] = measure.FormatHours(s.Hold)
		}
		t.Rows = append(t.Rows, page.Row{Cells: cells})
	}
	out.Add(page.Section{Table: t, Lines: []string{"Late by: mean over the cooks that were late. Held: time between off and the latest off, mean over the cooks in time."}})
	return out
}
