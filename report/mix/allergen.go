package mix

import (
	"slices"
	"strings"
	"unicode"
)

// allergens lists the allergens of Regulation (EU) 1169/2011, Annex II, in its order,
// each with names of ingredients that contain it. The names are common practice, no
// source: malt and beer are made of barley, Worcestershire sauce of anchovies and malt
// vinegar, mayonnaise of egg and mustard.
var allergens = []struct {
	name  string
	words string
}{
	{"gluten", "wheat flour bread breadcrumb bun barley rye oat oats malt beer ale lager stout soy soya worcestershire semolina couscous"},
	{"crustaceans", "prawn shrimp crab lobster crayfish"},
	{"egg", "egg mayonnaise mayo aioli"},
	{"fish", "fish anchovy anchovies worcestershire"},
	{"peanuts", "peanut"},
	{"soya", "soy soya tofu tamari miso tempeh"},
	{"milk", "milk buttermilk butter cream yoghurt yogurt cheese whey ghee"},
	{"nuts", "nut almond hazelnut walnut cashew pecan pistachio macadamia praline marzipan"},
	{"celery", "celery celeriac"},
	{"mustard", "mustard mayonnaise mayo"},
	{"sesame", "sesame tahini"},
	{"sulphites", "wine sulphite sulfite"},
	{"lupin", "lupin"},
	{"molluscs", "oyster mussel squid clam scallop"},
}

// AllergenNames returns the names of the fourteen allergens.
func AllergenNames() []string {
	var out []string
	for _, a := range allergens {
		out = append(out, a.name)
	}
	return out
}

// Allergens returns those of the fourteen allergens of Regulation (EU) 1169/2011, Annex
// II, that the names of ingredients point to, in its order. Ready-made products may
// contain more; their labels say.
func Allergens(ingredients string) []string {
	said := strings.FieldsFunc(strings.ToLower(ingredients), func(r rune) bool { return !unicode.IsLetter(r) })
	var out []string
	for _, a := range allergens {
		if slices.ContainsFunc(strings.Fields(a.words), func(w string) bool { return slices.Contains(said, w) || slices.Contains(said, w+"s") }) {
			out = append(out, a.name)
		}
	}
	return out
}
