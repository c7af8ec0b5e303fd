package drivers

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/report/frame"
)

// tasted returns a cook scored overall by these eaters.
func tasted(i int, scores map[string]int) journal.Cook {
	return cook(i, 10, func(c *journal.Cook) {
		for _, eater := range []string{"AL", "JK", "MB", "RT", "mb"} {
			if liked := scores[eater]; liked > 0 {
				s := journal.Taste{Eater: eater}
				s.Scores[journal.Overall] = journal.Score{Liked: liked}
				c.Tasting = append(c.Tasting, s)
			}
		}
	})
}

// Adjusted scores and sentences for every kind of table.
func TestJudge(t *testing.T) {
	var table []journal.Cook
	for i := range 10 {
		table = append(table, tasted(i, map[string]int{"MB": 7 + i%2, "RT": 5 + i%2, "JK": 6 + i%2}))
	}
	for _, c := range []struct {
		name  string
		cook  journal.Cook
		all   []journal.Cook
		fair  float64 // Adjusted of overall
		words []string
	}{
		{"alone in the journal", tasted(20, map[string]int{"RT": 5}), nil, 5, []string{"Only one eater", "No other cook is scored"}},
		{"two alone in the journal", tasted(20, map[string]int{"RT": 5, "MB": 8}), nil, 6.5, []string{"No other cook is scored"}},
		{"the strict one alone", tasted(20, map[string]int{"RT": 5}), table, 5.9, []string{"Only one eater", "RT scores 1.0 lower", "agree in part"}},
		{"the kind one, typed in small letters", tasted(20, map[string]int{"mb": 8}), table, 7.1, []string{"MB scores 1.0 higher"}},
		{"a stranger", tasted(20, map[string]int{"AL": 9}), table, 7.55, []string{"Nobody who scored this one scored another of the 10 other cooks"}},
		{"among those it is compared with", table[3], table, 7, []string{"RT scores"}},
		{"of a group of two cooks", tasted(20, map[string]int{"AL": 9}), append([]journal.Cook{tasted(19, map[string]int{"AL": 8})}, table...), 7.7, []string{"Compared with 1 cook; the eaters of the other 10"}},
		{"not scored", cook(20, 10, nil), table, 0, nil},
	} {
		j := Judge(&c.cook, frame.Cooks(c.all))
		said := strings.Join(j.Says, " ")
		for _, w := range c.words {
			if !strings.Contains(said, w) {
				t.Errorf("%s: no %q in %q", c.name, w, said)
			}
		}
		if c.words == nil {
			if len(j.Traits) > 0 || said != "" {
				t.Errorf("%s: %+v", c.name, j)
			}
			continue
		}
		x := j.Traits[0]
		if len(j.Traits) != 1 || x.Trait != journal.Overall || math.Abs(x.Adjusted-c.fair) > .15 || !(x.Doubt > 0) || math.IsNaN(x.Shrunk) || x.Low > x.High || x.Eaters != len(c.cook.Tasting) {
			t.Errorf("%s: %+v, want %.1f", c.name, x, c.fair)
		}
	}
}

// A cook is judged in the same way alone, among many, and if the others have other scores
// for it.
func TestEatersJudgeAlike(t *testing.T) {
	var table []journal.Cook
	for i := range 10 {
		table = append(table, tasted(i, map[string]int{"MB": 7 + i%2, "RT": 5 + i%2, "JK": 6 + i%2}))
	}
	eaters := NewEaters(frame.Cooks(table))
	other := tasted(3, map[string]int{"MB": 2, "AL": 9})
	for _, c := range append(slices.Clone(table), other, tasted(30, map[string]int{"RT": 4})) {
		with := append(slices.DeleteFunc(slices.Clone(table), func(o journal.Cook) bool { return o.ID == c.ID }), c)
		got, want := eaters.Judge(&c), Judge(&c, frame.Cooks(with))
		if len(got.Traits) != 1 || math.Abs(got.Traits[0].Adjusted-want.Traits[0].Adjusted) > 1e-9 || !slices.Equal(got.Says, want.Says) {
			t.Errorf("%s: %+v, alone %+v", c.ID, got, want)
		}
	}
}
