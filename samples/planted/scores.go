package planted

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// ScoreLaw is the true law of one trait, points on the scale of 1 to 9. A score is
//
//	base + foil + supplier + wood + pan + off·(°C − 93) + luck of the cook +
//	severity of the eater + noise of the answer
//
// rounded. Paper, rub, salt, fuel and which pit have no effect. Each effect is zero in
// half of the journals, in Wide in three of ten.
type ScoreLaw struct {
	Base     float64
	Foil     float64 // instead of no wrap
	Supplier float64 // the south hall instead of the north
	Wood     float64 // apple instead of oak
	Pan      float64 // hot instead of none
	Off      float64 // for each kelvin of the final core
	Luck     float64 // standard deviation between cooks
}

// Traits lists the traits with a law.
var Traits = [3]string{"tenderness", "moisture", "bark"}

// noiseOfScore is the standard deviation of one answer, points.
const noiseOfScore = .8

// table is the eaters of a journal and how they score.
type table struct {
	r        *rand.Rand
	laws     [3]ScoreLaw
	severity map[string]float64
	names    []string
}

// newTable draws eaters and laws; wide ranges from almost zero to larger effects.
func newTable(r *rand.Rand, wide bool) *table {
	t := &table{r: r, severity: map[string]float64{}, names: []string{"EA", "EB", "EC", "ED", "EE"}}
	for _, n := range t.names {
		t.severity[n] = .7 * r.NormFloat64()
	}
	for i := range t.laws {
		effect := func(most float64) float64 {
			if wide {
				return sign(r) * maybe(r, .3, .1*most, 1.4*most)
			}
			return sign(r) * maybe(r, .5, .3*most, most)
		}
		t.laws[i] = ScoreLaw{
			Base: 5.5 + r.Float64(), Foil: effect(1.5), Supplier: effect(1.2), Wood: effect(1), Pan: effect(1), Off: effect(.3), Luck: .3 + .4*r.Float64(),
		}
	}
	return t
}

// Of returns the score of a cook by the law, without luck.
func (l ScoreLaw) Of(c *Cook) float64 {
	sum := l.Base + l.Off*(c.OffC-93)
	for _, x := range []struct {
		there  bool
		effect float64
	}{{c.WrapKind == "foil", l.Foil}, {c.Supplier == "south hall", l.Supplier}, {c.Wood == "apple", l.Wood}, {c.PanKind == "hot", l.Pan}} {
		if x.there {
			sum += x.effect
		}
	}
	return sum
}

// scores returns the scores of two to four eaters for a cook, as front matter.
func (t *table) scores(c *Cook) string {
	var luck [3]float64
	for i, l := range t.laws {
		luck[i] = l.Luck * t.r.NormFloat64()
	}
	out := "tasting:"
	for _, i := range t.r.Perm(len(t.names))[:2+t.r.IntN(3)] {
		var given []string
		for k, l := range t.laws {
			v := l.Of(c) + luck[k] + t.severity[t.names[i]] + noiseOfScore*t.r.NormFloat64()
			given = append(given, fmt.Sprintf("%s: %.0f", Traits[k], math.Max(1, math.Min(9, math.Round(v)))))
		}
		out += fmt.Sprintf("\n  - {eater: %s, %s}", t.names[i], strings.Join(given, ", "))
	}
	return out
}
