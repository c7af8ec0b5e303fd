package drivers

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/report/frame"
	"ashbook/report/numeric/raters"
)

// Target is the result whose causes are estimated.
type Target uint8

// The targets: the time from on to off, the scores, corrected for the eaters, and the yield.
const (
	Time Target = iota
	Tenderness
	Moisture
	Bark
	Smoke
	Salt
	Overall
	Yield
	targets
)

var targetNames = [targets]string{"time", "tenderness", "moisture", "bark", "smoke", "salt", "overall", "yield"}

// Targets returns the names that ParseTarget reads.
func Targets() []string { return slices.Clone(targetNames[:]) }

func (t Target) String() string { return targetNames[t] }

// ParseTarget returns the target of that name.
func ParseTarget(s string) (Target, error) {
	if i := slices.Index(targetNames[:], s); i >= 0 {
		return Target(i), nil
	}
	return 0, fmt.Errorf("target %q: one of %v expected", s, targetNames)
}

// Unit returns the unit of effects: "min", "points", or, for the yield, "%" of the
// weight that went on.
func (t Target) Unit() string {
	switch t {
	case Time:
		return "min"
	case Yield:
		return "%"
	}
	return "points"
}

// unit returns a function that converts an effect on the answer to Unit.
func (t Target) unit(typical float64) func(float64) float64 {
	switch t {
	case Time:
		return func(ln float64) float64 { return 60 * typical * math.Expm1(ln) }
	case Yield:
		return func(share float64) float64 { return 100 * share }
	}
	return func(points float64) float64 { return points }
}

// worth returns the smallest effect worth knowing, in the unit of the result (chosen:
// half an hour in ten, half a point, 2 % of the weight).
func (t Target) worth() float64 {
	switch t {
	case Time:
		return .05
	case Yield:
		return .02
	}
	return .5
}

// needs says what must be noted in a cook before the target can be worked out.
func (t Target) needs() string {
	switch t {
	case Time:
		return "a beginning, an end and a weight"
	case Yield:
		return "its weight on and off"
	}
	return "a score for " + t.String()
}

// fewestCooks is the least number of cooks for a report (chosen: with five, two on one side
// and three on the other can just differ by more than their scatter).
const fewestCooks = 5

// strangest is the greatest ratio between a cook's time and its simulated time that is
// believed; above it a wrong entry is likelier (chosen).
const strangest = 3.0

// Tasters holds the fitted eaters and cooks of one trait.
type Tasters struct {
	Names []string // names of the eaters, in the order of Result
	IDs   []string // IDs of the cooks, in the order of Result
	raters.Result
	given []raters.Score
}

// lowest and highest are the ends of the scale of scores. A score at an end cannot move
// further, so it counts as that score or beyond.
const lowest, highest = 1, 9

// answers holds the cooks that have a result, and the results: ln(hours), adjusted
// score or yield.
type answers struct {
	cooks   []*frame.Cook
	y       []float64
	weights []float64 // nil: equal
}

func (a *answers) add(c *frame.Cook, y float64) {
	a.cooks, a.y = append(a.cooks, c), append(a.y, y)
}

func (t Target) answers(ctx context.Context, cooks []*frame.Cook, opt Options, r *Report) answers {
	switch t {
	case Time:
		return times(ctx, cooks, opt, r)
	case Yield:
		return yields(cooks, r)
	}
	return scores(cooks, journal.Trait(t-Tenderness), r)
}

func times(ctx context.Context, cooks []*frame.Cook, opt Options, r *Report) (a answers) {
	var hours []float64
	alone := onlyOfTheirCut(cooks)
	for _, c := range cooks {
		if ctx.Err() != nil {
			break
		}
		took, ok := c.Took()
		if !ok || took <= 0 {
			continue
		}
		why := ""
		expected, known := 0.0, false
		if opt.Engine != nil {
			expected, known = opt.Engine(c)
		}
		ratio := took.Hours() / expected
		switch {
		case alone[c.ID]:
			why = fmt.Sprintf("no other cook has the cut %q, so there is nothing to compare its time with", c.Cut)
		case !known || !(expected > 0) || math.IsInf(expected, 0):
			why = "the physics model finds no end for it"
		case ratio > strangest || ratio < 1/strangest:
			why = fmt.Sprintf("it took %.1f times as long as the physics expects: a wrong entry?", ratio)
		default:
			a.add(c, math.Log(took.Hours()))
			hours = append(hours, took.Hours())
			continue
		}
		r.LeftOut = append(r.LeftOut, Silent{c.ID, why})
	}
	if len(hours) > 0 {
		slices.Sort(hours)
		r.Typical = hours[len(hours)/2]
	}
	return a
}

// onlyOfTheirCut returns the IDs of the timed cooks whose cut no other timed cook has,
// if some other cut has several. The whole difference may be due to the cut, but the
// fit would credit whatever else was different.
func onlyOfTheirCut(cooks []*frame.Cook) map[string]bool {
	of, most := map[string][]string{}, 0
	for _, c := range cooks {
		if took, ok := c.Took(); ok && took > 0 {
			cut := strings.ToLower(strings.TrimSpace(c.Cut))
			of[cut] = append(of[cut], c.ID)
			most = max(most, len(of[cut]))
		}
	}
	alone := map[string]bool{}
	for cut, ids := range of {
		if cut != "" && len(ids) == 1 && most >= eachSide {
			alone[ids[0]] = true
		}
	}
	return alone
}

func yields(cooks []*frame.Cook, r *Report) (a answers) {
	share := frame.Named(frame.OffShare)
	for _, c := range cooks {
		switch v := c.Of(share); {
		case !v.Known:
		case v.Number < .2 || v.Number > 1.1:
			r.LeftOut = append(r.LeftOut, Silent{c.ID, fmt.Sprintf("%.0f %% of the weight came off: a wrong entry?", 100*v.Number)})
		default:
			a.add(c, v.Number)
		}
	}
	r.Typical = meanOf(a.y)
	return a
}

// scores returns the scores of a trait, corrected for the eaters and the ends of the scale;
// cooks with more eaters have more weight.
func scores(cooks []*frame.Cook, trait journal.Trait, r *Report) (a answers) {
	table, asked := Taste(cooks, trait)
	r.Table = table
	meant := table.Result
	if meant.Cooks != nil {
		meant, _ = raters.FitEnded(table.given, len(asked), len(table.Names), lowest, highest) // as Taste has it
	}
	for k, c := range asked {
		a.add(c, meant.Cooks[k].Adjusted)
		sd := meant.Cooks[k].SD
		a.weights = append(a.weights, 1/(meant.CookSD*meant.CookSD+sd*sd))
	}
	r.Typical = meanOf(a.y)
	return a
}

// Taste corrects the scores of one trait for how strict the eaters are; asked are the cooks
// with scores, in order.
func Taste(cooks []*frame.Cook, trait journal.Trait) (t Tasters, asked []*frame.Cook) {
	number := map[string]int{}
	for _, c := range cooks {
		scored := false
		for _, taste := range c.Tasting {
			s := taste.Scores[trait]
			if s.Liked == 0 {
				continue
			}
			j, ok := number[strings.ToLower(taste.Eater)]
			if !ok {
				j = len(t.Names)
				number[strings.ToLower(taste.Eater)] = j
				t.Names = append(t.Names, taste.Eater)
			}
			t.given = append(t.given, raters.Score{Cook: len(asked), Eater: j, Value: float64(s.Liked)})
			scored = true
		}
		if scored {
			asked = append(asked, c)
			t.IDs = append(t.IDs, c.ID)
		}
	}
	if len(t.given) == 0 {
		return Tasters{}, nil
	}
	t.Result, _ = raters.Fit(t.given, len(asked), len(t.Names)) // cannot fail: cooks and eaters are numbered above
	return t, asked
}

// Says returns sentences on how reliable the scores are.
func (t Tasters) Says() []string {
	var out []string
	switch n := len(t.Names); {
	case n == 0:
		return []string{"Nobody scored it."}
	case n == 1:
		out = append(out, fmt.Sprintf("Only one eater, %s, so there are no other scores to compare with.", t.Names[0]))
	case t.Groups > 1:
		out = append(out, fmt.Sprintf("The eaters fall into %d groups that never ate from the same cook, so scores of different groups cannot be compared.", t.Groups))
	}
	if t.EatersDiffer.Made && t.EatersDiffer.P < .05 {
		low, high := 0, 0
		for j := range t.Eaters {
			if t.Eaters[j].Adjusted < t.Eaters[low].Adjusted {
				low = j
			}
			if t.Eaters[j].Adjusted > t.Eaters[high].Adjusted {
				high = j
			}
		}
		out = append(out, fmt.Sprintf("%s scores %.1f lower and %s %.1f higher than the others would; the means are corrected for that.", t.Names[low], math.Abs(t.Eaters[low].Adjusted), t.Names[high], t.Eaters[high].Adjusted))
	}
	if len(t.Names) > 1 && t.CooksDiffer.Made && t.CooksDiffer.P > .2 {
		out = append(out, "The eaters do not agree on which cooks were better: the scores may be chance.")
	}
	return out
}
