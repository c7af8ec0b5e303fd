package text

import (
	"strings"
	"testing"

	"ashbook/report/page"
)

func TestSpoken(t *testing.T) {
	for in, want := range map[string]string{
		"−1 h 25   ± 20 min¹":          "minus 1 h 25 give or take 20 min (note 1)",
		"+0 h 05":                      "plus 0 h 05",
		"− 3 … +61":                    "minus 3 to plus 61",
		"06:50 – 09:40 · hold 3½–6 h":  "06:50 to 09:40, hold 3½ to 6 h",
		"smoke 6+":                     "smoke 6+",
		"as written¹²":                 "as written (note 12)",
		"4.7 + 3.6 kg":                 "4.7 plus 3.6 kg",
		"a \x1b[31mred\x1b[0m line":    "a ‹1B›[31mred‹1B›[0m line",
		"vent — the lower half a turn": "vent, the lower half a turn",
	} {
		if got := Spoken(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

func TestLinear(t *testing.T) {
	p := page.Page{Title: "Harvest supper", Aside: "served", Lead: []string{"2 h 40 early"}}
	p.Add(page.Section{
		Heading: "Early or late",
		Facts:   []page.Fact{{Name: "took", Value: "12 h 30"}},
		Table: page.Table{
			Columns: []page.Column{{}, {Title: "effect"}, {Title: "cooks"}},
			Rows:    []page.Row{{Heading: "what moved it"}, {Mark: true, Cells: []string{"pit hotter" + page.NoteMark(0), "−1 h 25", "–"}}, {Cells: []string{"", "─────"}}},
		},
		Figure: page.Figure{Title: "core", Lines: []page.Series{{X: []float64{0, 1}, Y: []float64{5, 90}}}},
	})
	p.Note("of 9 cooks")
	want := `Harvest supper, served
2 h 40 early
Early or late
took: 12 h 30
what moved it
pit hotter (note 1), effect minus 1 h 25, differs
note 1: of 9 cooks`
	if got := strings.Join(Linear(p), "\n"); got != want {
		t.Errorf("got\n%s", got)
	}
}
