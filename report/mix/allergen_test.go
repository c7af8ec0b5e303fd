package mix

import (
	"strings"
	"testing"
)

// The fourteen allergens are those of Regulation (EU) 1169/2011, Annex II; which food
// contains which is common practice, no source. Words that only look similar have no
// allergen.
func TestAllergens(t *testing.T) {
	for ingredients, want := range map[string]string{
		"black pepper 175 g, sweet paprika 150 g, mustard powder 50 g": "mustard",
		"white cabbage, mayonnaise, celery seed":                       "egg celery mustard",
		"Worcestershire sauce, brown sugar":                            "gluten fish",
		"soy sauce, sesame oil, honey":                                 "gluten soya sesame",
		"butter, egg yolks, almonds":                                   "egg milk nuts",
		"peanut oil; oyster sauce; red wine":                           "peanuts sulphites molluscs",
		"malt vinegar, prawns, lupin flour":                            "gluten crustaceans lupin",
		"nutmeg, eggplant, butternut squash, coconut, sea salt":        "",
		"": "",
	} {
		if got := strings.Join(Allergens(ingredients), " "); got != want {
			t.Errorf("%q holds %q, want %q", ingredients, got, want)
		}
	}
}
