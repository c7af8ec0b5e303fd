package planted

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// ScoreLaw is the truth of one trait, points on the scale of 1 to 9: a score is
//
//	base + foil + supplier + wood + pan + off·(°C − 93) + luck of the cook +
//	severity of the eater + noise of the answer
//
// rounded. Paper, rub, salt, fuel and which pit do nothing. Each effect is
// nothing at all in half of the journals, of Wide in three of ten.
type ScoreLaw struct {
	Base     float64
	Foil     float64 // rather than none
	Supplier float64 // the south hall rather than the north
	Wood     float64 // apple rather than oak
	Pan      float64 // hot rather than none
	Off      float64 // a kelvin of the core at the end
	Luck     float64 // standard deviation, a cook
}

// Traits are those the laws are of.
var Traits = [3]string{"tenderness", "moisture", "bark"}

// noiseOfScore is the standard deviation of one answer, points.
const noiseOfScore = .8

// table is who eats, and how they score.
type table struct {
	r        *rand.Rand
	laws     [3]ScoreLaw
	severity map[string]float64
	names    []string
}

// newTable draws the eaters and the laws, wide from nearly nothing to larger.
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

// Of is what the law makes of a cook, its luck left out.
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

// scores is what two to four of them say of a cook, as front matter.
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
