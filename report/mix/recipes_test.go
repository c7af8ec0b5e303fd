package mix

import (
	"math"
	"testing"

	"ashbook/journal/measure"
)

// Eight mixes are weighed out for a cook and compared with sums done by hand, which are
// written here as sums. A teaspoon of table salt is 6.0 g and 4.929 ml, a cup of brown
// sugar 220 g, of water 237 g, of cider vinegar 239 g (household weights of the USDA
// National Nutrient Database); a cup is 48 teaspoons; vinegar is 5 % acid and brown
// sugar 97 % sugar (ingredient.go).
func TestEightRecipes(t *testing.T) {
	for _, c := range []struct {
		name, front       string
		want              Want
		grams             float64 // of all parts
		salt, sugar, acid float64 // g in all
		saltEach          float64 // g for one kg, head or litre
	}{
		{"half salt, half pepper", "for: 1 kg meat\nparts: {kosher salt: 10 g, black pepper: 10 g}", Want{Meat: 6.4},
			6.4*10 + 6.4*10, 6.4 * 10, 0, 0, 10},
		{"sweet rub", "for: 1 kg meat\nparts: {brown sugar: 12 g, salt: 8 g, paprika: 6 g, garlic powder: 2 g}", Want{Meat: 4.5},
			4.5 * (12 + 8 + 6 + 2), 4.5 * 8, 4.5 * 12 * .97, 0, 8},
		{"rub by the pound", "for: 10 lb meat\nparts: {salt: 2 oz, black pepper: 2 oz, brown sugar: 4 oz}", Want{Meat: 20 * .45359237},
			2 * 8 * 28.349523, 2 * 2 * 28.349523, 2 * 4 * 28.349523 * .97, 0, 2 * 28.349523 / (10 * .45359237)},
		{"rub by the spoon", "for: 5 kg meat\nparts: {salt: 2 tbsp, brown sugar: ½ cup, paprika: 4 tbsp}", Want{Meat: 5},
			2*3*6.0 + 220./2 + 4*3*2.3, 2 * 3 * 6.0, 220. / 2 * .97, 0, 2 * 3 * 6.0 / 5},
		{"garlic salt rub", "for: 2 kg meat\nparts: {garlic salt: 12 g, sea salt: 5 g, honey: 20 g}", Want{Meat: 3},
			3. / 2 * (12 + 5 + 20), 3. / 2 * (12*.75 + 5), 3. / 2 * 20 * .82, 0, (12*.75 + 5) / 2},
		{"vinegar sauce", "for: 1 l\nparts: {cider vinegar: 3 cups, water: 1 cup, brown sugar: 60 g, salt: 15 g}", Want{Litres: 2.5},
			2.5 * (3*239 + 237 + 60 + 15), 2.5 * 15, 2.5 * (60*.97 + 3*239*.004), 2.5 * 3 * 239 * .05, 15},
		{"slaw", "for: 12 heads\nparts: {white cabbage: 1.02 kg, sugar: 36 g, salt: 14.4 g, vinegar: 108 g}", Want{Heads: 30},
			30. / 12 * (1020 + 36 + 14.4 + 108), 30. / 12 * 14.4, 30. / 12 * 36, 30. / 12 * 108 * .05, 14.4 / 12},
		{"brine", "for: 1 kg meat\nparts: {water: 800 g, salt: 27 g, sugar: 9 g}", Want{Meat: 7.2},
			7.2 * (800 + 27 + 9), 7.2 * 27, 7.2 * 9, 0, 27},
	} {
		b, err := Scale(parse(t, c.front), c.want, measure.Metric)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		lines := 0.0
		for _, l := range b.Lines {
			lines += l.Grams
		}
		for what, v := range map[string][2]float64{
			"all parts": {b.Grams, c.grams}, "the lines": {lines, c.grams}, "salt": {b.Content.Salt, c.salt}, "sugar": {b.Content.Sugar, c.sugar},
			"acid": {b.Content.Acid, c.acid}, "salt in one": {b.PerUnit.Salt, c.saltEach},
		} {
			if math.Abs(v[0]-v[1]) > .002*v[1]+1e-9 {
				t.Errorf("%s: %s %.2f g, by hand %.2f g", c.name, what, v[0], v[1])
			}
		}
	}
}
