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

// Judged is what the eaters of one cook say of one trait.
type Judged struct {
	Trait     journal.Trait
	Mean      float64 // as given, points
	Adjusted  float64 // had average eaters judged it
	Doubt     float64 // 8 in 10 within ± this of Adjusted
	Shrunk    float64 // what to expect of a cook like it: nearer the mean of all the fewer its scores
	Low, High int     // the lowest and the highest score given
	Eaters    int
	Agreement float64 // over all cooks: the share of the scatter that is the cooks', 0 to 1
}

// Judgement is what the eaters of one cook say, held against what they and the
// others gave elsewhere.
type Judgement struct {
	Traits []Judged // those scored
	Says   []string // whole sentences: how far it can be trusted
}

// Eaters are all who scored the cooks of a person, judged once a trait. They may be
// asked from several goroutines.
type Eaters struct {
	cooks  []*frame.Cook
	mutex  sync.Mutex
	traits map[journal.Trait]Tasters
}

// NewEaters returns who scored the cooks.
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

// Judge corrects the scores of a cook for how strict each eater is; a cook that is
// not among the cooks, or scored otherwise there, is judged with them.
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
		// Overall is told of last, so its table is the one to speak from.
		if trait == journal.Overall || len(out.Says) == 0 {
			out.Says = t.of(c, at)
		}
	}
	return out
}

// Judge corrects the scores of one cook; all are the cooks of the person, with or
// without it. For many cooks, Eaters do less.
func Judge(c *journal.Cook, all []*frame.Cook) Judgement { return NewEaters(all).Judge(c) }

// Apart from what any eater scores above the others, told from (chosen: under
// a third of a point nobody means).
const severe = .3

// agreeFrom are the shares of the scatter from which eaters are said to agree
// well, and in part (chosen).
const agreeWell, agreePart = .6, .3

// of tells how far the scores of one cook, at k of those asked, can be trusted.
func (t Tasters) of(c *journal.Cook, k int) []string {
	var out []string
	n := t.Cooks[k].N
	if n == 1 {
		out = append(out, "One eater is one eater.")
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
		return append(out, "No other cook is scored: strict eaters cannot be told yet, so the scores are as given.")
	case elsewhere == 0:
		return append(out, fmt.Sprintf("Nobody who scored this one scored another of the %s: whether they are severe cannot be told, so adjusted leans towards the mean of the others.", measure.Count(others, "other cook")))
	case elsewhere < others:
		out = append(out, fmt.Sprintf("Held against %s; the eaters of the other %d never ate from the same cook as these.", measure.Count(elsewhere, "cook"), others-elsewhere))
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
		out = append(out, fmt.Sprintf("Over %s the eaters %s on which were better.", measure.Count(elsewhere+1, "cook"), how))
	}
	return out
}
