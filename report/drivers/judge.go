package drivers

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
)

// Judged sums up the scores of one trait of one cook.
type Judged struct {
	Trait     journal.Trait
	Mean      float64 // mean of the scores as given, 1 to 9
	Adjusted  float64 // corrected for how strict the eaters are
	Doubt     float64 // half width of the 80 % range of Adjusted
	Shrunk    float64 // expected score of a similar cook; the fewer scores there are, the closer to the mean of all cooks
	Low, High int     // least and greatest score given
	Eaters    int
	Agreement float64 // over all cooks: share of the variance that is between cooks, 0 to 1
}

// Judgement sums up the scores of one cook, compared with the same eaters' scores of other
// cooks.
type Judgement struct {
	Traits []Judged // scored traits only
	Says   []string // sentences on how reliable they are
}

// Eaters holds everybody who scored the person's cooks. It is safe for concurrent use.
type Eaters struct {
	cooks  []*frame.Cook
	mutex  sync.Mutex
	traits map[journal.Trait]Tasters
}

// NewEaters returns the eaters of cooks.
func NewEaters(cooks []*frame.Cook) *Eaters {
	return &Eaters{cooks: cooks, traits: map[journal.Trait]Tasters{}}
}

func (e *Eaters) of(trait journal.Trait) Tasters {
	e.mutex.Lock()
	defer e.mutex.Unlock()
	t, ok := e.traits[trait]
	if !ok {
		t, _ = Taste(e.cooks, trait)
		e.traits[trait] = t
	}
	return t
}

// Judge corrects the scores of a cook for how strict each eater is. If c is not among the
// cooks, it is added; if it is there with other scores, it replaces them.
func (e *Eaters) Judge(c *journal.Cook) Judgement {
	var out Judgement
	if len(c.Tasting) == 0 {
		return out
	}
	at := slices.IndexFunc(e.cooks, func(o *frame.Cook) bool { return o.ID == c.ID })
	if at < 0 || !slices.Equal(e.cooks[at].Tasting, c.Tasting) {
		with := slices.DeleteFunc(slices.Clone(e.cooks), func(o *frame.Cook) bool { return o.ID == c.ID })
		e = NewEaters(append(with, frame.Of(c)))
	}
	for _, trait := range journal.Traits {
		mean, n := c.MeanScore(trait)
		if n == 0 {
			continue
		}
		t := e.of(trait)
		at := slices.Index(t.IDs, c.ID)
		cook := t.Cooks[at]
		j := Judged{Trait: trait, Mean: mean, Adjusted: cook.Adjusted, Doubt: 1.2816 * cook.SD, Shrunk: cook.Shrunk, Low: 9, Eaters: n, Agreement: t.Agreement}
		for _, taste := range c.Tasting {
			if s := taste.Scores[trait].Liked; s > 0 {
				j.Low, j.High = min(j.Low, s), max(j.High, s)
			}
		}
		out.Traits = append(out.Traits, j)
		// Overall comes last, so if it was scored, Says is about it.
		if trait == journal.Overall || len(out.Says) == 0 {
			out.Says = t.of(c, at)
		}
	}
	return out
}

// Judge does what Eaters.Judge does, for a single cook; all are the person's cooks.
func Judge(c *journal.Cook, all []*frame.Cook) Judgement { return NewEaters(all).Judge(c) }

// severe is the least difference of an eater from the others that is reported, points
// (chosen: nobody means less than a third of a point).
const severe = .3

// agreeWell and agreePart are the least Agreement at which eaters are said to agree well,
// or in part (chosen).
const agreeWell, agreePart = .6, .3

// of returns sentences on how reliable the scores of c are; c is cook k of t.
func (t Tasters) of(c *journal.Cook, k int) []string {
	var out []string
	n := t.Cooks[k].N
	if n == 1 {
		out = append(out, "Only one eater scored it.")
	}
	group, elsewhere := t.Cooks[k].Group, 0
	for i := range t.Cooks {
		if i != k && t.Cooks[i].Group == group {
			elsewhere++
		}
	}
	others := len(t.Cooks) - 1
	switch {
	case others == 0:
		return append(out, "No other cook is scored, so the scores are not yet corrected for strict eaters.")
	case elsewhere == 0:
		return append(out, fmt.Sprintf("Nobody who scored this one scored another of the %s, so it is not known how strict they are; \"adjusted\" is nearer the mean of the others.", measure.Count(others, "other cook")))
	case elsewhere < others:
		out = append(out, fmt.Sprintf("Compared with %s; the eaters of the other %d never shared a cook with these eaters.", measure.Count(elsewhere, "cook"), others-elsewhere))
	}
	var hard, kind []string
	for j, name := range t.Names {
		mine := slices.ContainsFunc(c.Tasting, func(x journal.Taste) bool { return strings.EqualFold(x.Eater, name) })
		switch by := t.Eaters[j].Adjusted; {
		case !mine || t.Eaters[j].N < 2 || math.Abs(by) < severe:
		case by < 0:
			hard = append(hard, fmt.Sprintf("%s scores %.1f lower", name, -by))
		default:
			kind = append(kind, fmt.Sprintf("%s %.1f higher", name, by))
		}
	}
	if len(hard) == 0 && len(kind) > 0 {
		kind[0] = strings.Replace(kind[0], " ", " scores ", 1)
	}
	if named := append(hard, kind...); len(named) > 0 {
		out = append(out, strings.Join(named, ", ")+" than the others would; \"adjusted\" corrects for that.")
	}
	if len(t.Names) > 1 && elsewhere > 1 {
		how := "hardly agree"
		switch {
		case t.Agreement >= agreeWell:
			how = "agree well"
		case t.Agreement >= agreePart:
			how = "agree in part"
		}
		out = append(out, fmt.Sprintf("Over %s the eaters %s on which cooks were better.", measure.Count(elsewhere+1, "cook"), how))
	}
	return out
}
