package mix

import (
	"math"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/mixfile"
	"ashbook/report/page/text"

	"pgregory.net/rapid"
)

// A brine for a weight of meat salts it by the share of salt in meat and water together:
// 36 g to 1 kg and 1 l are 36 / 2,000 (water 1 kg a litre; by hand). 60 g are 3 %.
func TestBrineForMeat(t *testing.T) {
	b := Written(parse(t, "for: 1 kg meat\nparts: {water: 1000 g, salt: 36 g, sugar: 10 g}"))
	x, ok := b.brine()
	if !ok || !near3(x.even(), .018) || !near3(x.strength(), 36./1036) {
		t.Fatalf("%+v %v", x, ok)
	}
	page := text.Render(b.Page(Tasted{}, nil, journal.Settings{}), 0)
	for _, want := range []string{"1.8 % of meat and water together", "3.5 % salt: 36 g in 1.00 kg of water", "keep all of the meat under it at 5 °C"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not in:\n%s", want, page)
		}
	}
	for _, not := range []string{"most find too much", "sweet", "Nothing here says that it keeps"} {
		if strings.Contains(page, not) {
			t.Errorf("%q is in:\n%s", not, page)
		}
	}
	b = Written(parse(t, "for: 1 kg meat\nparts: {water: 1000 g, salt: 60 g}"))
	if got := b.Cautions(measure.Metric)[0]; !strings.HasPrefix(got, "Salt is 3 % of meat and water together, over 2.5 %") {
		t.Error(got)
	}
	c := readCook(t, "2026-05-01-a", "pieces: [{trimmed: 2.5 kg}]\nsalted: {rate: 10 g/kg}", "")
	if b, err := Scale(parse(t, "for: 1 kg meat\nparts: {water: 1000 g, salt: 36 g}"), Want{Cook: &c}, measure.Metric); err != nil || !near3(b.Lines[1].Grams, 90) || !strings.Contains(b.Cautions(measure.Metric)[0], "10 g/kg ahead, and again in the brine") {
		t.Errorf("%+v %v", b, err)
	}
}

// A brine by the litre: the USDA's, ¾ cup of table salt to a gallon of water, is 219 g in
// 3,785 g, 5.5 % (USDA-FSIS on brining turkey, read; the cup by the USDA's tables).
func TestBrineByTheLitre(t *testing.T) {
	b := Written(parse(t, "for: 4 qt\nparts: {cold water: 4 qt, table salt: ¾ cup}"))
	x, ok := b.brine()
	if !ok || math.Abs(x.strength()-.055) > .001 || math.Abs(usdaBrine-x.strength()) > .001 || x.even() != 0 {
		t.Fatalf("%+v %v: %.4f", x, ok, x.strength())
	}
	page := text.Render(b.Page(Tasted{}, nil, journal.Settings{}), 0)
	if !strings.Contains(page, "with as much meat as brine, 2.7 % in the end") || strings.Contains(page, "pH") {
		t.Error(page)
	}
	for front, want := range map[string]bool{
		"for: 1 l\nparts: {cider vinegar: 300 g, water: 690 g, salt: 10 g}": false, // to mop with
		"for: 1 l\nparts: {water: 950 g, salt: 50 g}":                       true,
		"for: 1 l\nparts: {water: 400 g, vinegar: 550 g, salt: 50 g}":       false,
		"for: 10 heads\nparts: {water: 950 g, salt: 50 g}":                  false,
		"for: 1 kg meat\nparts: {water: 1 kg}":                              false,
	} {
		b := Written(parse(t, front))
		if _, ok := b.brine(); ok != want {
			t.Errorf("%q is a brine: %v", front, ok)
		}
	}
	m := parse(t, "for: 1 l\nparts: {water: 980 g, salt: 20 g}")
	m.Title = "Weak brine"
	if b := Written(m); func() bool { _, ok := b.brine(); return !ok }() {
		t.Error("a brine that says so is none")
	}
}

// Nitrite as the handbook counts it (USDA-FSIS, Processing Inspectors' Calculations
// Handbook, 1995, chapter 3): weight of cure times its share of nitrite, a million times
// that, over the green weight; from a cover pickle over green weight and pickle together.
// 1 oz of nitrite to 100 lb is 625 ppm and ¼ oz 156 (9 CFR 424.21(c)).
func TestNitrite(t *testing.T) {
	for _, c := range []struct{ front, want string }{
		{"for: 100 lb meat\nparts: {sodium nitrite: .25 oz}", "156 parts per million of sodium nitrite, of the raw meat. At most"},
		{"for: 100 lb meat\nparts: {sodium nitrite: 1 oz}", "625 parts per million of sodium nitrite, of the raw meat. That is more than 200, the most for curing at home"},
		{"for: 100 lb meat\nparts: {curing salt: 4 oz}", "156 parts per million of sodium nitrite, of the raw meat. That is for a salt with 6.25 %"},
		{"for: 1 kg meat\nparts: {curing salt: 3 g}", "188 parts per million of sodium nitrite, of the raw meat. That is for a salt with 6.25 % of it, as in the US: read the label, and write it into the name, such as \"curing salt .6 %\". That is more than 156"},
		{"for: 1 kg meat\nparts: {curing salt .6 %: 20 g}", "120 parts per million of sodium nitrite, of the raw meat. At most"},
		{"for: 1 kg meat\nparts: {\"curing salt 0,5 %\": 20 g}", "100 parts per million"},
		// By hand: 6.25 % of 5 g over 1,000 g of meat and 1,035 g of brine.
		{"for: 1 kg meat\nparts: {water: 1000 g, salt: 30 g, curing salt 6.25 %: 5 g}", "154 parts per million of sodium nitrite, of meat and brine. At most"},
		{"for: 1 l\nparts: {water: 960 g, salt: 30 g, curing salt 6.25 %: 10 g}", "625 parts per million of sodium nitrite, of the brine; how much gets"},
	} {
		b := Written(parse(t, c.front))
		if got := strings.Join(b.Cautions(measure.Metric), "\n"); !strings.Contains(got, c.want) || !strings.Contains(got, "poisonous in excess") {
			t.Errorf("%s:\n%s\nwant %s", c.front, got, c.want)
		}
	}
	b := Written(parse(t, "for: 1 kg meat\nparts: {saltpetre: 1 g}"))
	if got := strings.Join(b.Cautions(measure.Metric), "\n"); !strings.Contains(got, "poisonous in excess") || strings.Contains(got, "parts per million") {
		t.Error(got)
	}
	b = Written(parse(t, "for: 1 kg meat\nparts: {pink salt: 10 g}"))
	if got := strings.Join(b.Cautions(measure.Metric), "\n"); !strings.Contains(got, "dyed pink") {
		t.Error(got)
	}
}

// A curing salt is weighed to the tenth of a gram, in US units too, and never by spoons.
func TestCuringSaltWeighed(t *testing.T) {
	b, err := Scale(parse(t, "for: 1 kg meat\nparts: {salt: 20 g, curing salt 6.25 %: 2.5 g}"), Want{Meat: 8.3}, measure.US)
	if err != nil {
		t.Fatal(err)
	}
	page := text.Render(b.Page(Tasted{}, nil, journal.Settings{Units: measure.US}), 0)
	if !strings.Contains(page, "curing salt 6.25 %   20.8 g\n") && !strings.Contains(page, "20.8 g") || strings.Contains(b.Line(measure.US), "0.73 oz") {
		t.Error(page)
	}
	if !near3(b.Content.Salt, 8.3*22.5) {
		t.Errorf("%.2f g of salt", b.Content.Salt)
	}
}

// What a bought rub's label says counts: 14 g in 20 g, with 12 g put on ahead, are 26.
func TestBoughtRub(t *testing.T) {
	m := parse(t, "for: 1 kg meat\nparts: {bought rub: 20 g}\nsalt: 14 g")
	c := readCook(t, "2026-05-01-a", "pieces: [{trimmed: 5 kg}]\nsalted: {rate: 12 g/kg}\nrub: {mix: test}", "")
	b, err := Scale(m, Want{Cook: &c}, measure.Metric)
	if err != nil || !near3(b.Content.Salt, 70) || !near3(b.PerUnit.Salt, 14) {
		t.Fatalf("%+v %v", b, err)
	}
	if got := b.Cautions(measure.Metric)[0]; !strings.Contains(got, "12 g/kg ahead and 14 g/kg in the mix, 26 g/kg together") || !strings.Contains(got, "over 15 g/kg") {
		t.Error(got)
	}
	if got := Disagreements(&m); len(got) != 0 {
		t.Error(got)
	}
	page := text.Render(b.Page(Tasted{}, nil, journal.Settings{}), 0)
	if !strings.Contains(page, "the file states: bought rub.") || strings.Contains(page, "Not counted") {
		t.Error(page)
	}
}

// What is printed can be typed back: a spoon measure is read as the volume it shows, and a
// weight as the weight.
func TestPrintedIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SampledFrom(ingredients).Draw(t, "part")
		grams := math.Exp(rapid.Float64Range(math.Log(1.5), math.Log(5000)).Draw(t, "ln g"))
		for _, sys := range []measure.System{measure.Metric, measure.US} {
			for printed, off := range map[string]float64{spooned(in.name, grams, sys): 1. / 6, weighed(grams, sys): .05} { // as they are rounded: TestSpoonedHolds, TestWeighed
				if spoons := off > .1; spoons && grams < .00375*in.litre || printed == "" || printed == "a pinch" {
					continue
				}
				m, problems, err := mixfile.Parse("mixes/test.md", []byte("---\nfor: 1 kg meat\nparts: {"+in.name+": \""+printed+"\"}\n---\n"))
				if err != nil || len(problems) > 0 {
					t.Fatalf("%s %s: %v %v", in.name, printed, problems, err)
				}
				if again := Written(m).Grams; math.Abs(again-grams) > off*grams+.15 {
					t.Errorf("%s: %.2f g is printed as %s and read as %.2f g", in.name, grams, printed, again)
				}
			}
		}
	})
}
