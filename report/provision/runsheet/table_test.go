package runsheet

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page/text"
	"ashbook/report/provision/quantity"
)

// Every step has a helper, and each fire its own if there are enough. Without helpers
// nobody is named.
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
		if s.Kind == Watch || slices.ContainsFunc(p.turns, func(t turn) bool { return !s.At.Before(t.from) && s.At.Before(t.to) }) {
			continue // by night: TestNights
		}
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

// While meat is on a fire, the night is divided into watches without a gap. As many
// helpers take one as leave each at least two hours. What is due during a watch is for
// the helper who has it. The clocks go back in one night and forward in the other
// (Europe/London, 25 October 2026 and 28 March 2027; IANA time zone database): ten
// hours from ten to seven, and eight.
func TestNights(t *testing.T) {
	for day, hours := range map[string]float64{"2026-09-19": 9, "2026-10-25": 10, "2027-03-28": 8} {
		for helpers, most := range map[int]int{1: 1, 3: 3, 7: 5} {
			r, k := request(t, day)
			r.Helpers = strings.Fields("ann bo cy di ed flo gus")[:helpers]
			p := work(t, r, k)
			main := p.Main()
			if main.Light.Hour() >= bedtime || main.Off[2].Hour() < breakfast {
				t.Fatalf("the fire of %s burns from %s to %s", day, main.Light, main.Off[2])
			}
			all := 0.0
			for i, turn := range p.turns {
				all += turn.to.Sub(turn.from).Hours()
				if i > 0 && !turn.from.Equal(p.turns[i-1].to) || turn.to.Sub(turn.from) < leastTurn-fine || i > 0 && helpers > 1 && turn.who == p.turns[i-1].who {
					t.Errorf("%s, %d helpers: %v", day, helpers, p.turns)
				}
			}
			if n := len(p.turns); all != hours || n != min(most, int(hours/2)) || p.turns[0].from.Hour() != bedtime || p.turns[n-1].to.Hour() != breakfast {
				t.Errorf("%s, %d helpers: %.1f h in %v", day, helpers, all, p.turns)
			}
			watches := 0
			for _, s := range p.Steps {
				for _, turn := range p.turns {
					if !s.At.Before(turn.from) && s.At.Before(turn.to) && s.Who != turn.who {
						t.Errorf("%s at %s is for %s, %s has the watch", s.What, s.At, s.Who, turn.who)
					}
				}
				if s.Kind == Watch {
					watches++
				}
			}
			if watches != len(p.turns) {
				t.Errorf("%d watches on the clock, %d turns", watches, len(p.turns))
			}
		}
	}
	r, k := request(t, "2026-09-19")
	r.Dishes[0].Cut, r.Dishes[0].Aim, r.Helpers = "chicken", journal.Aim{}, []string{"ann"}
	r.Serve = r.Serve.Add(6 * time.Hour)
	if p := work(t, r, k); len(p.turns) > 0 {
		t.Errorf("chicken for seven in the evening: %v", p.turns)
	}
}

// What a guest must not have is looked for in the mixes and the buns.
func TestWithout(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Party.Without = []quantity.Without{{Allergen: "mustard", Heads: 2}, {Allergen: "gluten", Heads: 4}, {Allergen: "fish", Heads: 1}}
	p := work(t, r, k)
	p = Of(p.Plan, Mixes{Hold: []string{"mustard (hall-rub, hall-sauce)"}})
	all := text.Render(p.Page(), 0)
	for _, want := range []string{"2: it is in hall-rub, hall-sauce: season one piece separately", "4: it is in the buns", "1: the names of the ingredients do not show it", "25 buns\n", "5 buns without gluten"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
}

// A rub that is three tenths salt brings 6 g/kg at 20 g/kg, and the step of salting
// says so. With a rub without salt it says nothing.
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

// Three glasses of 8 oz for 24: 17 l, or 18 quarts. Children drink as much and eat half
// of two side dishes of 4 oz (guides for caterers).
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

// Where meat is bought, the plan names the supplier, the grade and the age of the last
// meat of that cut.
func TestLastTime(t *testing.T) {
	r, k := request(t, "2026-09-19")
	on := r.Serve.AddDate(0, -1, 0)
	past := journal.Cook{ID: "2026-08-18-supper", Title: "Supper", Cut: "pork shoulder", Supplier: "hill farm", Grade: "choice", Entries: []journal.Entry{
		{Time: on, Items: []journal.Item{{Act: journal.On}}}, {Time: on.Add(11 * time.Hour), Items: []journal.Item{{Act: journal.Off}}}}}
	if err := measure.Read(&past.Packed, "12 d", measure.Metric); err != nil {
		t.Fatal(err)
	}
	k.Past = []journal.Cook{past}
	if all := text.Render(work(t, r, k).Page(), 0); !strings.Contains(all, "last time         from hill farm, grade choice, packed 12 days before it went on (Supper)") {
		t.Error(all)
	}
	r.Dishes[0].Cut = "brisket"
	if all := text.Render(work(t, r, k).Page(), 0); strings.Contains(all, "hill farm") {
		t.Error("that was no brisket")
	}
}
