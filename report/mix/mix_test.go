package mix

import (
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/journal/mixfile"
	"ashbook/report/page/text"
	"ashbook/samples"
	"ashbook/samples/published"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden pages")

func sample(t testing.TB, name string) journal.Mix {
	t.Helper()
	file := "mixes/" + name + ".md"
	data, err := fs.ReadFile(samples.FS(), file)
	if err != nil {
		t.Fatal(err)
	}
	m, problems, err := mixfile.Parse(file, data)
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	return m
}

func parse(t testing.TB, front string) journal.Mix {
	t.Helper()
	m, _, err := mixfile.Parse("mixes/test.md", []byte("---\n"+front+"\n---\n"))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func readCook(t testing.TB, id, front, body string) journal.Cook {
	t.Helper()
	f, err := cookfile.Parse("cooks/2026/"+id+".md", []byte("---\n"+front+"\n---\n"+body), cookfile.Options{Zone: time.UTC})
	if err != nil {
		t.Fatal(err)
	}
	return f.Cook
}

func near3(a, b float64) bool { return math.Abs(a-b) < 5e-4*math.Max(1, math.Abs(b)) }

// Worked out by hand from the shares of the tables: salt 18 + .028×25; sugar .97×90 +
// .096×260 + .122×180 + .004×420 + .009×25; acid .05×420 + .005×260.
func TestContentByHand(t *testing.T) {
	m := sample(t, "hall-sauce")
	got := content(&m)
	if !near3(got.Salt, 18.7) || !near3(got.Sugar, 136.125) || !near3(got.Acid, 22.3) {
		t.Errorf("%+v", got)
	}
	if d := Disagreements(&m); len(d) > 0 {
		t.Error(d) // 120 g of sugar stated is within the variation of juices
	}
	b, err := Scale(m, Want{Heads: 24}, measure.Metric)
	if err != nil || !near3(b.Amount, .6) || !near3(b.Grams, 600.6) || !near3(b.Content.Salt, 11.22) || !near3(b.PerUnit.Salt, 18.7) {
		t.Errorf("%+v %v", b, err)
	}
	if got := b.balance(); got != "6.1 g of sugar to 1 g of acid: sweet and sharp about even." {
		t.Error(got)
	}
}

// One line, worked out by hand: six tenths of each part, rounded as on a scale; a part
// without a weight as written.
func TestLine(t *testing.T) {
	b, err := Scale(sample(t, "hall-sauce"), Want{Heads: 24}, measure.Metric)
	if want := "hall-sauce, 600 g: cider vinegar 250 g, apple juice 155 g, tomato purée 110 g, brown sugar 54 g, salt 11 g, mustard 15 g, black pepper 3.6 g, chilli flakes 1.2 g"; err != nil || b.Line(measure.Metric) != want {
		t.Errorf("%q %v", b.Line(measure.Metric), err)
	}
	b = Written(journal.Mix{Name: "odd", Parts: []journal.Part{{Name: "lemon", Text: "two"}, {Name: "oil", Mass: measure.Mass{Base: .28349523, Known: true}}}})
	if got := b.Line(measure.US); got != "odd, 10 oz: lemon two, oil 10 oz" {
		t.Errorf("%q", got)
	}
}

// A mix for meat uses the trimmed weight and the cook's own rate: 18 g/kg on 8.3 kg are
// 149.4 g, and 7 of 22 parts are black pepper.
func TestScaleToACook(t *testing.T) {
	m := sample(t, "hall-rub")
	const pieces = "pieces:\n  - {name: a, raw: 5.2 kg, trimmed: 4.7 kg}\n  - {name: b, raw: 3.9 kg, trimmed: 3.6 kg}\n"
	c := readCook(t, "2026-05-01-a", pieces+"rub: {mix: Hall rub, rate: 18 g/kg}\nsalted: {rate: 10 g/kg}\nheads: 24", "")
	b, err := Scale(m, Want{Cook: &c}, measure.Metric)
	if err != nil || !near3(b.Amount, 8.3) || !near3(b.Grams, 149.4) || !near3(b.Lines[0].Grams, 149.4*7/22) || b.Ahead != 10 {
		t.Errorf("%+v %v", b, err)
	}
	if got := strings.Join(b.Says, " "); got != "For 8.3 kg of meat, trimmed. At the cook's own 18 g/kg; as written it is 22 g/kg." {
		t.Error(got)
	}
	// Another rub; raw weight; the rate of another mix.
	c = readCook(t, "2026-05-02-b", "pieces: [{raw: 5 kg}]\nrub: {mix: visitor, rate: 30 g/kg}", "")
	b, err = Scale(m, Want{Cook: &c}, measure.Metric)
	if err != nil || !near3(b.Grams, 110) || b.Ahead != 0 || !strings.Contains(strings.Join(b.Says, " "), "as bought") || !strings.Contains(strings.Join(b.Says, " "), "another rub, visitor.") {
		t.Errorf("%+v %v", b, err)
	}
	if b, err = Scale(m, Want{Cook: &c, Meat: 9}, measure.Metric); err != nil || !near3(b.Grams, 198) {
		t.Errorf("%+v %v", b, err)
	}
}

func TestScaleSaysWhatIsMissing(t *testing.T) {
	rub, slaw, sauce := sample(t, "hall-rub"), sample(t, "slaw"), sample(t, "hall-sauce")
	none := parse(t, "parts: {salt: 1 g}")
	bare := readCook(t, "2026-05-01-a", "pieces: [{name: a, raw: 5 kg}, {name: b}]", "")
	for _, c := range []struct {
		m    journal.Mix
		w    Want
		want string
	}{
		{none, Want{Meat: 1}, `mix "test" does not say what it is for`},
		{rub, Want{}, `mix "hall-rub" is for 1 kg of meat: no weight of meat is named`},
		{rub, Want{Heads: 4}, "no weight of meat is named"},
		{rub, Want{Cook: &bare}, `cook "2026-05-01-a" has a piece without a weight`},
		{slaw, Want{Cook: &bare}, `mix "slaw" is for 1 person: cook "2026-05-01-a" does not say for how many people`},
		{sauce, Want{}, "the number of people is missing, and no volume"},
	} {
		if b, err := Scale(c.m, c.w, measure.Metric); err == nil || !strings.Contains(err.Error(), c.want) || b.Grams != 0 {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
	if b, err := Scale(sauce, Want{Litres: 2, Heads: 9}, measure.Metric); err != nil || !near3(b.Grams, 2002) {
		t.Errorf("%+v %v", b, err)
	}
	if b, err := Scale(sauce, Want{Heads: 10, PerHead: .05}, measure.Metric); err != nil || !near3(b.Amount, .5) {
		t.Errorf("%+v %v", b, err)
	}
}

// 12 g/kg in the rub and 10 ahead are 22 together.
func TestSaltTwice(t *testing.T) {
	m := parse(t, "for: 1 kg meat\nparts: {salt: 12 g, paprika: 6 g}\nsalt: 5 g")
	c := readCook(t, "2026-05-01-a", "pieces: [{trimmed: 5 kg}]\nsalted: {rate: 10 g/kg}\nrub: {mix: test}", "")
	b, err := Scale(m, Want{Cook: &c}, measure.Metric)
	if err != nil {
		t.Fatal(err)
	}
	want := "Salt goes on twice: 10 g/kg ahead and 12 g/kg in the mix, 22 g/kg together. That is over 15 g/kg, which most find too much: leave the salt out of one of the two."
	if got := b.Cautions(measure.Metric); len(got) != 2 || got[0] != want {
		t.Error(got)
	}
	if got := b.Cautions(measure.US)[0]; !strings.Contains(got, "1 % of the meat ahead and 1.2 % of the meat in the mix, 2.2 % of the meat together") {
		t.Error(got)
	}
	if got := Disagreements(&m); len(got) != 1 || got[0] != "salt is stated as 5 g, the parts add up to 12 g." {
		t.Error(got)
	}
	unsaid := readCook(t, "2026-05-01-a", "pieces: [{trimmed: 5 kg}]\nrub: {mix: test}", "")
	if b, err := Scale(m, Want{Cook: &unsaid}, measure.Metric); err != nil || !strings.Contains(strings.Join(b.Says, " "), "notes no salt put on ahead") {
		t.Errorf("%+v %v", b, err)
	}
	little := parse(t, "for: 1 kg meat\nparts: {salt: 2 g}")
	if b, err = Scale(little, Want{Cook: &c}, measure.Metric); err != nil || b.Cautions(measure.Metric)[0] != "Salt goes on twice: 10 g/kg ahead and 2 g/kg in the mix, 12 g/kg together." {
		t.Error(b.Cautions(measure.Metric), err)
	}
	much := parse(t, "for: 1 kg meat\nparts: {curing salt: 2 g, kosher salt: 14 g}")
	b = Written(much)
	if got := strings.Join(b.Cautions(measure.Metric), "\n"); !strings.Contains(got, "Salt is 16 g/kg in all, over 15 g/kg") || !strings.Contains(got, "curing salts are poisonous in excess") {
		t.Error(got)
	}
}

// A part may be given in spoons or cups and is weighed by a level one (USDA National
// Nutrient Database: a teaspoon of salt 6.0 g, a cup of brown sugar 220 g).
func TestSpoonedIn(t *testing.T) {
	m := parse(t, "for: 1 kg meat\nparts: {salt: 1 tbsp, brown sugar: 1/2 cup, black pepper: 1½ tsp, paprika: 10 g}")
	b := Written(m)
	for i, want := range []float64{18, 110, 3.45, 10} {
		if got := b.Lines[i].Grams; got < .97*want || got > 1.03*want {
			t.Errorf("%s: %.2f g, want %.2f", b.Lines[i].Name, got, want)
		}
	}
	if len(b.Short) != 0 || b.Content.Salt < 17.5 || b.Content.Salt > 18.5 {
		t.Errorf("%+v", b)
	}
}

// What the name of a part does not show is reported, not guessed.
func TestPartsWithUnknownContent(t *testing.T) {
	m := parse(t, "for: 1 kg meat\nparts: {fish sauce: 20 g, no-salt seasoning: 5 g, kosher salt: 2 tbsp, sugar snap peas: 3 g, celery salt: 4 g}\nsalt: 20 g")
	b := Written(m)
	if got := strings.Join(b.Untold, ", "); got != "fish sauce, no-salt seasoning" {
		t.Error(got)
	}
	if len(b.Short) != 1 || b.Content.Salt != 20 || b.Content.Sugar != 0 {
		t.Errorf("%+v", b)
	}
	if got := Disagreements(&m); len(got) != 1 || got[0] != "salt is stated as 20 g, the parts add up to 3 g; not counted: kosher salt." {
		t.Error(got)
	}
	got := text.Render(b.Page(Tasted{}, nil, journal.Settings{}), 0)
	for _, want := range []string{"2 tbsp as written: weigh it", "parts with a weight", "the file states: fish sauce, no-salt seasoning.", "fish, celery (Regulation"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in:\n%s", want, got)
		}
	}
}

// Without a word of the file's on salt, what has no known share is not counted.
func TestUnknownContentIsNotCounted(t *testing.T) {
	b := Written(parse(t, "for: 1 kg meat\nparts: {fish sauce: 20 g, celery salt: 4 g}"))
	got := text.Render(b.Page(Tasted{}, nil, journal.Settings{}), 0)
	if b.Content.Salt != 3 || !strings.Contains(got, "Not counted, as the name does not show what is in it: fish sauce. Look at the label") {
		t.Error(got)
	}
}

// Kitchen measures agree with the household weights of the USDA; each row names its
// source.
func TestHouseholdMeasures(t *testing.T) {
	_, rows := published.Table(t, "household.csv")
	for _, r := range rows {
		g, err := strconv.ParseFloat(r[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := spooned(r[0], g, measure.US); got != r[2] {
			t.Errorf("%s %s g: got %s, want %s", r[0], r[1], got, r[2])
		}
	}
	for _, name := range []string{"kosher salt", "pink salt", "chilli flakes", "thyme", "demerara sugar", "white cabbage"} {
		if got := spooned(name, 50, measure.US); got != "" {
			t.Errorf("%s: %s, but what a spoon of it weighs is not known", name, got)
		}
	}
	// Water is about 1 kg a litre: 237 g in a cup.
	for _, c := range []struct {
		g          float64
		metric, us string
	}{
		{.2, "a pinch", "a pinch"}, {.7, "⅛ tsp", "⅛ tsp"}, {1.3, "¼ tsp", "¼ tsp"}, {7.4, "1½ tsp", "1½ tsp"}, {19.8, "1 tbsp + 1 tsp", "1 tbsp + 1 tsp"}, {22.3, "1½ tbsp", "1½ tbsp"},
		{79, "80 ml", "⅓ cup"}, {104, "105 ml", "¼ cup + 3 tbsp"}, {119, "120 ml", "½ cup"}, {237, "240 ml", "1 cup"}, {415, "420 ml", "1¾ cups"}, {987.5, "1 l", "4¼ cups"}, {2370, "2.4 l", "10 cups"}, {9350, "9.47 l", "10 qt"},
	} {
		if m, us := spooned("water", c.g, measure.Metric), spooned("water", c.g, measure.US); m != c.metric || us != c.us {
			t.Errorf("%g g: %s and %s, want %s and %s", c.g, m, us, c.metric, c.us)
		}
		// What is printed can be typed into a mix: a quarter teaspoon of water is 1.2 g.
		for _, typed := range []string{c.metric, c.us} {
			part := parse(t, "for: 1 kg meat\nparts: {water: "+typed+"}").Parts[0]
			if got := 1000 * part.Volume.Base; math.Abs(got-c.g) > .07*c.g+.15 {
				t.Errorf("%s of water are read as %.2f g, want %g", typed, got, c.g)
			}
		}
	}
}

func TestWeighed(t *testing.T) {
	for _, c := range []struct {
		g          float64
		metric, us string
	}{
		{.04, "0 g", "0 oz"}, {1.25, "1.2 g", "0.04 oz"}, {9.94, "9.9 g", "0.35 oz"}, {9.95, "10 g", "0.35 oz"}, {99.4, "99 g", "3.5 oz"}, {99.5, "100 g", "3.5 oz"},
		{102.4, "100 g", "3.6 oz"}, {102.6, "105 g", "3.6 oz"}, {997.4, "995 g", "2 lb 3 oz"}, {997.5, "1.00 kg", "2 lb 3 oz"}, {5100, "5.10 kg", "11 lb 4 oz"},
		{453.59237, "455 g", "1 lb"}, {467.8, "470 g", "1 lb ½ oz"}, {28.3, "28 g", "1 oz"},
	} {
		if m, us := weighed(c.g, measure.Metric), weighed(c.g, measure.US); m != c.metric || us != c.us {
			t.Errorf("%g g: %s and %s, want %s and %s", c.g, m, us, c.metric, c.us)
		}
	}
	// The printed weight is within a twentieth of the exact one.
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.Float64Range(1.5, 40000).Draw(t, "g")
		for _, sys := range []measure.System{measure.Metric, measure.US} {
			s := weighed(g, sys)
			m, err := measure.ParseMass(strings.ReplaceAll(strings.ReplaceAll(s, " ½", " .5"), "½", ".5"), sys)
			if err != nil || math.Abs(1000*m.Base-g) > .05*g+.15 {
				t.Errorf("%g g: %s, %v", g, s, err)
			}
		}
	})
}

// From ¾ of a teaspoon on, the kitchen measure is within a sixth of the weight; below
// that, steps of a quarter teaspoon are coarser.
func TestSpoonedHolds(t *testing.T) {
	amount := map[string]float64{"tsp": measure.Teaspoon, "tbsp": measure.Tablespoon, "cup": measure.Cup, "cups": measure.Cup, "qt": measure.Quart, "ml": .001, "l": 1}
	signs := strings.NewReplacer("⅛", ".125", "¼", ".25", "⅓", ".3333", "½", ".5", "⅔", ".6667", "¾", ".75")
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SampledFrom(ingredients).Draw(t, "part")
		if in.litre == 0 {
			return
		}
		litres := math.Exp(rapid.Float64Range(math.Log(.00375), math.Log(3)).Draw(t, "ln l"))
		for _, sys := range []measure.System{measure.Metric, measure.US} {
			s := spooned(in.name, litres*in.litre, sys)
			got := 0.0
			for _, part := range strings.Split(s, " + ") {
				n, unit, _ := strings.Cut(signs.Replace(part), " ")
				v, err := strconv.ParseFloat(n, 64)
				if err != nil || amount[unit] == 0 {
					t.Fatalf("%g l of %s: %q", litres, in.name, s)
				}
				got += v * amount[unit]
			}
			if math.Abs(got/litres-1) > 1./6 {
				t.Errorf("%g l of %s: %s", litres, in.name, s)
			}
		}
	})
}

func TestTaste(t *testing.T) {
	m := sample(t, "hall-rub")
	sauce := sample(t, "hall-sauce")
	end := "\n\nThe hall sauce was too thin. So was the tea.\n\n## Timeline\n\n- 2026-05-01T20:00+00:00 on — rub on late\n- 2026-05-02T06:00+00:00 off\n"
	cooks := []journal.Cook{
		readCook(t, "2026-05-01-a", "rub: {mix: hall-rub, rate: 20 g/kg}\nsalted: {rate: 6 g/kg}\ntasting: [{eater: RT, salt: 5-}, {eater: MB, salt: 7}]\nchange: \"half the wood, more salt\"", end),
		readCook(t, "2026-05-03-b", "rub: {mix: other}\nsalted: {rate: 6 g/kg}\ntasting: [{eater: RT, salt: 1+}]\nchange: less salt in this rub\nkeep: more acid in the hall sauce", strings.ReplaceAll(end, "05-0", "05-1")),
		readCook(t, "2026-05-05-c", "rub: {mix: hall-rub}", "\n## Timeline\n\n- 2026-05-05T20:00+00:00 on\n"),
		readCook(t, "2026-05-07-d", "rub: {mix: hall-rub}\ntasting: [{eater: RT, salt: 4-}]\nkeep: fat side up", strings.ReplaceAll(end, "05-0", "05-2")),
	}
	got := Taste(&m, cooks)
	want := []Rate{{GPerKg: 6, Known: true, Cooks: 1, Scores: 2, Liked: 6, Little: 1}, {Cooks: 1, Scores: 1, Liked: 4, Little: 1}}
	if got.Cooks != 2 || len(got.Rates) != 2 || got.Rates[0] != want[0] || got.Rates[1] != want[1] {
		t.Errorf("%+v", got)
	}
	if len(got.Remarks) != 3 || got.Remarks[0].Text != "half the wood, more salt" || got.Remarks[1].Text != "rub on late" {
		t.Errorf("%+v", got.Remarks)
	}
	ofSauce := Taste(&sauce, cooks)
	if ofSauce.Cooks != 3 || len(ofSauce.Rates) != 0 || ofSauce.Remarks[0].Text != "more acid in the hall sauce" || ofSauce.Remarks[1].Text != "The hall sauce was too thin." {
		t.Errorf("%+v", ofSauce)
	}
}

func TestPages(t *testing.T) {
	tasted := Tasted{Cooks: 4, Rates: []Rate{{GPerKg: 10, Known: true, Cooks: 3, Scores: 7, Liked: 6.9, Little: 1}, {Cooks: 1, Scores: 2, Liked: 5, Much: 2}},
		Remarks: []Remark{{Cook: "2026-05-01-a", Date: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC), Kind: "change", Text: "half the wood, more salt"}}}
	c := readCook(t, "2026-05-01-a", "title: Supper\npieces: [{trimmed: 8.3 kg}]\nrub: {mix: hall-rub, rate: 18 g/kg}\nsalted: {rate: 10 g/kg}\nheads: 60", "")
	for _, sys := range []measure.System{measure.Metric, measure.US} {
		s := journal.Settings{Units: sys}
		for _, width := range []int{60, 80, 132} {
			pages := map[string]string{"list": text.Render(List([]journal.Mix{sample(t, "hall-rub"), sample(t, "hall-sauce"), sample(t, "slaw")}, []journal.Problem{{File: "mixes/x.md", Line: 3, Col: 1, Text: "for: not there"}}, s), width)}
			for _, name := range []string{"hall-rub", "hall-sauce", "slaw"} {
				b, err := Scale(sample(t, name), Want{Cook: &c}, sys)
				if err != nil {
					t.Fatal(err)
				}
				pages[name] = text.Render(b.Page(tasted, nil, s), width)
			}
			for name, got := range pages {
				file := fmt.Sprintf("testdata/%s-%s-%d.txt", name, sys, width)
				if *update {
					if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				if want, err := os.ReadFile(file); err != nil || got != string(want) {
					t.Errorf("%s: %v, or not as it was:\n%s", file, err, got)
				}
			}
		}
	}
}
