package heat

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// oven is dry air without combustion.
var oven = Air{Pressure: 101325, Vapour: 1500}

// roast is the shape of a cut on the charts: width and length relative to thickness,
// and share of the bounding box, from memory of butchers' cuts. Composition is lean
// beef or pork with its fat (tables, from memory).
type roast struct {
	words               string
	width, length, fill float64
	water, fat          float64
}

var roasts = []roast{
	{"one rib", 2.2, 3.4, .75, .59, .22},
	{"rolled rib", 1.0, 1.5, .78, .59, .22},
	{"rib", 1.3, 1.6, .75, .59, .22},
	{"round or rump", 1.4, 1.8, .80, .68, .11},
	{"lamb shoulder", 2.3, 3.0, .75, .65, .165},
	{"lamb", 1.3, 2.4, .62, .67, .13},
	{"crown", 2.8, 4.0, .70, .65, .14},
	{"veal", 1.4, 1.8, .75, .72, .08},
	{"ham", 1.3, 1.8, .70, .65, .15},
	{"picnic", 1.3, 1.8, .72, .64, .17},
	{"butt", 1.6, 2.3, .80, .65, .165},
	{"pork shoulder", 1.6, 2.3, .80, .65, .165},
}

func (r roast) meat(kg float64) Meat {
	m := pork(kg)
	m.Width, m.Length, m.Fill, m.Water, m.Fat = r.width, r.length, r.fill, r.water, r.fat
	// Choi & Okos at 60 °C, the rest is protein: within 1 % over these fats.
	protein := .99 - r.water - r.fat
	m.HeatCapacity = 4190*r.water + 2076*protein + 2055*r.fat + 12
	m.Density = 1 / (r.water/983.8 + protein/1298.8 + r.fat/900.5 + .01/2407)
	m.Conductivity = m.Density * (r.water/983.8*.6527 + protein/1298.8*.2408 + r.fat/900.5*.1635 + .01/2407*.4032)
	return m
}

var numbers = regexp.MustCompile(`\d+(\.\d+)?`)

// span reads a range like "23-25", "12" or "145 (min)".
func span(t *testing.T, s string) (lo, hi float64) {
	t.Helper()
	s, _, _ = strings.Cut(s, "(")
	all := numbers.FindAllString(s, -1)
	if len(all) == 0 {
		t.Fatalf("no number in %q", s)
	}
	lo, _ = strconv.ParseFloat(all[0], 64)
	hi, _ = strconv.ParseFloat(all[len(all)-1], 64)
	return lo, hi
}

// The model against printed timetables: dry oven, minutes per lb from the refrigerator
// (4 °C, also assumed for the older booklets) to the end temperature, at the middle of
// the weights. USDA / FoodSafety.gov and trade booklets; sources row by row in
// testdata/roasting_time_charts.csv. Nothing in the model was adjusted to them.
//
// Rows that are off by over 30 % are those where the charts disagree among themselves.
// Lamb shoulder has the same minutes to 145 °F in a hot oven as to 178 °F in a cool one
// (found: 30 % less, 35 % more). A butt has half as many minutes again as a picnic of
// the same weight, oven and end temperature. The minutes per lb of a single rib of 2 lb
// depend on a thickness that is not printed.
func TestRoastingCharts(t *testing.T) {
	const pound = .45359237
	inside, near15, near30, n := 0, 0, 0, 0
	sum := 0.0
	for _, row := range rows(t, "roasting_time_charts.csv") {
		var shape *roast
		for i := range roasts {
			if strings.Contains(row["cut"], roasts[i].words) {
				shape = &roasts[i]
				break
			}
		}
		if shape == nil {
			t.Fatalf("no shape for %q", row["cut"])
		}
		w1, w2 := span(t, row["weight_lb"])
		e1, e2 := span(t, row["end_F"])
		lo, hi := span(t, row["minutes_per_lb"])
		f := func(x float64) float64 { return (x - 32) * 5 / 9 }
		meat := shape.meat((w1 + w2) / 2 * pound)
		meat.Start = 4
		var s Sim
		model.Start(&s, meat, Usual, oven, 16, 30)
		target := f((e1 + e2) / 2)
		for s.Core() < target && s.Elapsed() < 24*3600 {
			s.Step(f(num(t, row["oven_F"])))
		}
		got := s.Elapsed() / 60 / ((w1 + w2) / 2)
		off := math.Max(lo/got, got/hi) - 1
		verdict := "beyond 30 %"
		n++
		switch {
		case off <= 0:
			inside++
			verdict = "inside"
		case off <= .15:
			verdict = "within 15 %"
		case off <= .30:
			verdict = "within 30 %"
		}
		if off <= .15 {
			near15++
		}
		if off <= .30 {
			near30++
		}
		sum += math.Log(got / math.Sqrt(lo*hi))
		t.Logf("%-45s %5s lb %4s °F to %-9s printed %4.0f to %-4.0f found %5.1f min/lb  %s", row["cut"], row["weight_lb"], row["oven_F"], row["end_F"], lo, hi, got, verdict)
	}
	t.Logf("%d rows: %d inside, %d within 15 %%, %d within 30 %%; mean %+.0f %%", n, inside, near15, near30, 100*(math.Exp(sum/float64(n))-1))
	if near30 < 2*n/3 {
		t.Errorf("only %d of %d rows within 30 %%", near30, n)
	}
	if math.Abs(sum/float64(n)) > .15 {
		t.Errorf("off by %+.0f %% on the whole", 100*(math.Exp(sum/float64(n))-1))
	}
}
