package typed

import (
	"reflect"
	"testing"

	"ashbook/report/provision/quantity"
)

func TestParty(t *testing.T) {
	for text, want := range map[string]quantity.Party{
		"24":                             {Heads: 24},
		"24, children 6, hearty 2":       {Heads: 24, Children: 6, Hearty: 2},
		"24, 6 chi, VEGETARIANS 3":       {Heads: 24, Children: 6, Vegetarians: 3},
		"24, no mustard 2, 1 no gluten":  {Heads: 24, Without: []quantity.Without{{Allergen: "mustard", Heads: 2}, {Allergen: "gluten", Heads: 1}}},
		"9, no nuts 1, children 2, no m": {},
		"9, no m 1":                      {}, // milk, mustard, molluscs
		"9, no garlic 1":                 {}, // none of the fourteen
		"children 6":                     {},
		"24, 6":                          {},
		"24, 6 7":                        {},
		"":                               {},
	} {
		got, err := Party(text)
		if (err != nil) != (want.Heads == 0) || err == nil && !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
	}
}
