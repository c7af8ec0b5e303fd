package mix

import (
	"strings"

	"ashbook/journal/measure"
)

// ingredient is what is known about an ingredient of mixes.
type ingredient struct {
	name  string
	litre float64 // g of one litre when spooned or poured; 0: it is only weighed
	pours bool
	salt  float64 // share of its weight
	sugar float64
	acid  float64 // share as acetic, citric or malic acid
}

// Weights of household measures and contents are from the USDA National Nutrient
// Database for Standard Reference. Read there: spices, salt, mustard, vinegars and
// apple juice. From memory: sugars, syrups, oil, sauces, tomato, other juices, and all
// shares. Salt is sodium times 2.54, the ratio of the molar masses. Vinegar is taken at
// 5 % acid, as on most labels; the FDA asks for at least 4 % (CPG 525.825, read). Lemon
// juice has 48 g/l citric acid (Penniston et al. 2008, J Endourol 22:567, from memory).
var ingredients = []ingredient{
	{name: "salt", litre: spoon(6.0), salt: 1},
	{name: "table salt", litre: spoon(6.0), salt: 1},
	{name: "fine salt", litre: spoon(6.0), salt: 1},
	// Coarse salts differ by half in the weight of a spoonful, so they have no measure.
	{name: "coarse salt", salt: 1}, {name: "kosher salt", salt: 1}, {name: "sea salt", salt: 1}, {name: "flaky salt", salt: 1},
	{name: "rock salt", salt: 1}, {name: "smoked salt", salt: 1}, {name: "pink salt", salt: 1}, {name: "curing salt", salt: 1},
	// The shares are chosen: three parts of salt to one of the other, since labels name
	// salt first.
	{name: "garlic salt", salt: .75}, {name: "onion salt", salt: .75}, {name: "celery salt", salt: .75},

	{name: "sugar", litre: cup(200), sugar: 1},
	{name: "white sugar", litre: cup(200), sugar: 1},
	{name: "caster sugar", litre: cup(200), sugar: 1},
	{name: "brown sugar", litre: cup(220), sugar: .97},
	{name: "demerara sugar", sugar: .97}, {name: "muscovado sugar", sugar: .97}, {name: "cane sugar", sugar: 1}, {name: "icing sugar", sugar: .98},
	{name: "honey", litre: cup(339), pours: true, sugar: .82},
	{name: "molasses", litre: cup(337), pours: true, sugar: .75},
	{name: "treacle", sugar: .67},
	{name: "maple syrup", litre: cup(315), pours: true, sugar: .60},

	{name: "black pepper", litre: spoon(2.3)},
	{name: "white pepper", litre: spoon(2.4)},
	{name: "cayenne", litre: spoon(1.8)}, {name: "cayenne pepper", litre: spoon(1.8)},
	{name: "paprika", litre: spoon(2.3)},
	{name: "chilli powder", litre: spoon(2.7)}, {name: "chili powder", litre: spoon(2.7)},
	{name: "garlic powder", litre: spoon(3.1)}, {name: "onion powder", litre: spoon(2.4)},
	{name: "mustard powder", litre: spoon(2.0)},
	{name: "dried thyme", litre: spoon(1.0)}, {name: "dried oregano", litre: spoon(1.0)}, {name: "dried rosemary", litre: spoon(1.2)}, {name: "dried sage", litre: spoon(.7)},
	{name: "caraway", litre: spoon(2.1)}, {name: "caraway seed", litre: spoon(2.1)}, {name: "celery seed", litre: spoon(2.0)},
	{name: "coriander seed", litre: spoon(1.8)}, {name: "cumin seed", litre: spoon(2.1)}, {name: "fennel seed", litre: spoon(2.0)},
	{name: "cinnamon", litre: spoon(2.6)}, {name: "ground cloves", litre: spoon(2.1)}, {name: "ground ginger", litre: spoon(1.8)},
	{name: "nutmeg", litre: spoon(2.2)}, {name: "turmeric", litre: spoon(3.0)},

	{name: "cider vinegar", litre: cup(239), pours: true, acid: .05, sugar: .004},
	{name: "vinegar", litre: cup(238), pours: true, acid: .05},
	{name: "wine vinegar", litre: cup(239), pours: true, acid: .05},
	{name: "balsamic vinegar", litre: cup(255), pours: true, acid: .06, sugar: .15},
	{name: "lemon juice", litre: cup(244), pours: true, acid: .048, sugar: .025},
	{name: "lime juice", litre: cup(246), pours: true, acid: .046, sugar: .017},
	{name: "apple juice", litre: cup(248), pours: true, acid: .005, sugar: .096},
	{name: "orange juice", litre: cup(248), pours: true, acid: .009, sugar: .084},
	{name: "water", litre: cup(237), pours: true},
	{name: "oil", litre: cup(218), pours: true},
	{name: "mustard", litre: cup(249), salt: .028, sugar: .009},
	{name: "ketchup", litre: cup(272), salt: .023, sugar: .213, acid: .015},
	{name: "tomato purée", litre: cup(262), sugar: .122}, {name: "tomato puree", litre: cup(262), sugar: .122}, {name: "tomato paste", litre: cup(262), sugar: .122},
	{name: "worcestershire sauce", litre: cup(275), pours: true, salt: .025, sugar: .10},
	{name: "soy sauce", litre: cup(255), pours: true, salt: .14},
	{name: "mayonnaise", litre: cup(220), salt: .016, sugar: .006},
}

// spoon and cup convert the grams of a level teaspoon or a cup into those of a litre.
func spoon(g float64) float64 { return g / measure.Teaspoon }
func cup(g float64) float64   { return g / measure.Cup }

// find returns the longest known name that a part's name equals or ends with: "sweet
// paprika" is paprika. exact is true if they are equal, or differ by a word that does
// not change the weight of a spoonful.
func find(name string) (in ingredient, exact, ok bool) {
	lower := strings.ToLower(strings.Join(strings.Fields(name), " "))
	lower = strings.TrimRight(lower, " .,%0123456789") // "curing salt .6 %"
	for _, i := range ingredients {
		head, ends := strings.CutSuffix(lower, i.name)
		if ends && (head == "" || strings.HasSuffix(head, " ")) && len(i.name) > len(in.name) {
			in, ok = i, true
			exact = head == "" || sameSpoon[strings.TrimSpace(head)]
		}
	}
	return in, exact, ok
}

// sameSpoon lists words before a name that do not change the weight of a spoonful.
var sameSpoon = map[string]bool{
	"sweet": true, "hot": true, "smoked": true, "ground": true, "light": true, "dark": true, "soft": true, "white": true, "red": true, "olive": true,
	"rapeseed": true, "sunflower": true, "vegetable": true, "malt": true, "apple": true, "yellow": true, "dijon": true, "fresh": true, "cold": true, "iced": true, "warm": true,
}

// salty lists words for ingredients with an amount of salt or sugar that the name does
// not show.
var salty = []string{
	"sauce", "stock", "broth", "bouillon", "seasoning", "blend", "rub", "mix", "pickle", "pickles", "brine", "cheese", "bacon", "ham", "miso", "soy", "olives",
	"capers", "anchovies", "anchovy", "salted", "relish", "chutney", "jam", "marmalade", "syrup", "cola", "beer", "cider", "wine",
}

// untold reports whether the name of a part does not show how much salt and sugar it
// has.
func untold(name string) bool {
	_, _, ok := find(name)
	return !ok && holdsWord(name, salty...)
}

// holdsWord reports whether a text contains one of the words as a whole word.
func holdsWord(text string, words ...string) bool {
	fields := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !isLetter(r) })
	for _, f := range fields {
		for _, w := range words {
			if f == w {
				return true
			}
		}
	}
	return false
}
