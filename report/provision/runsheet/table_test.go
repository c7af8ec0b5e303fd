package runsheet

import (
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page/text"
	"ashbook/report/provision/quantity"
)

// Every step has its helper, each fire one of its own where there are enough; nobody is
// named where nobody was.
func TestHelpers(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Party.Heads = 48
	r.Pits = append(r.Pits, pit("kettle", journal.Kettle, .54))
	for _, s := range work(t, r, k).Steps {
		if s.Who != "" {
			t.Errorf("%q is for %q", s.What, s.Who)
		}
	}
	r.Helpers = []string{"fire", "meat", "table", "second fire"}
	p := work(t, r, k)
	seen := map[string]bool{}
	for _, s := range p.Steps {
		want := "meat"
		switch {
		case strings.Contains(s.What, "light the kettle"), strings.Contains(s.What, "kettle steady"), strings.Contains(s.What, "top up the kettle"):
			want = "second fire"
		case strings.Contains(s.What, "light the drum"), strings.Contains(s.What, "drum steady"), strings.Contains(s.What, "top up the drum"):
			want = "fire"
		case s.Kind == Sides, s.Kind == Carve, s.Kind == Serve:
			want = "table"
		}
		if s.Who != want {
			t.Errorf("%q is for %q, want %s", s.What, s.Who, want)
		}
		seen[s.Who] = true
	}
	if len(seen) != 4 {
		t.Errorf("who does it: %v", seen)
	}
	if cal := string(p.Calendar()); !strings.Contains(cal, "second fire: light the kettle") {
		t.Error("the calendar does not say who")
	}
}

// What a guest must not have is looked for in the mixes and the buns.
func TestWithout(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Party.Without = []quantity.Without{{Allergen: "mustard", Heads: 2}, {Allergen: "gluten", Heads: 4}, {Allergen: "fish", Heads: 1}}
	p := work(t, r, k)
	p = Of(p.Plan, Mixes{Hold: []string{"mustard (hall-rub, hall-sauce)"}})
	all := text.Render(p.Page(), 0)
	for _, want := range []string{"2: it is in hall-rub, hall-sauce: season a piece apart", "4: it is in the buns", "1: the names of what goes in do not show it", "25 buns\n", "5 buns without gluten"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
}

// A rub that is three tenths salt brings 6 g/kg at 20 g/kg, and that is said where
// the meat is salted; of one without salt nothing is said.
func TestSaltOfTheRub(t *testing.T) {
	r, k := request(t, "2026-09-19")
	p := work(t, r, k).Plan
	for salt, want := range map[float64]string{.3: "the rub brings 6 g/kg: salt that much less; ", 0: ""} {
		for _, s := range Of(p, Mixes{Salt: salt}).Steps {
			if s.Kind == SaltMeat && (!strings.HasPrefix(s.Margin, want) || strings.Contains(s.Margin, "the rub") != (want != "")) {
				t.Errorf("%g: %q", salt, s.Margin)
			}
		}
	}
}

// Three glasses of 8 oz for twenty-four: 17 l, or 18 quarts; children drink as much and
// eat half of two sides of 4 oz (guides for caterers).
func TestSides(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Party.Children = 8
	for sys, want := range map[measure.System][]string{
		measure.Metric: {"drinks without alcohol, 18 l", "another hot side, 2.3 kg"},
		measure.US:     {"drinks without alcohol, 19 qt", "another hot side, 5.1 lb"},
	} {
		k.Settings.Units = sys
		all := text.Render(work(t, r, k).Page(), 0)
		for _, w := range want {
			if !strings.Contains(all, w) {
				t.Errorf("no %q in\n%s", w, all)
			}
		}
	}
}
