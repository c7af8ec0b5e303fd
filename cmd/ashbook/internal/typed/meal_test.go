package typed

import (
	"errors"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/provision"
)

var noon = time.Date(2026, 9, 17, 12, 0, 0, 0, time.UTC) // a Thursday

// meal returns a meal that is parsed without an error.
func meal() Meal {
	return Meal{Serve: "sat 13:00", Heads: "24, children 6", Cuts: []string{" Brisket ", "pork shoulder"}, Enough: 80}
}

// pits finds a journal's pits: brick and drum.
func pits(name string, aim measure.Temperature) (provision.Pit, error) {
	if name != "" && name != "brick" && name != "drum" {
		return provision.Pit{}, Mistaken(NoSuchPit, name, "no pit is called %q", name)
	}
	return provision.Pit{Pit: journal.Pit{Name: name}, Aim: aim}, nil
}

func TestMealRequest(t *testing.T) {
	m := meal()
	m.Pieces = []string{"brisket: flat 5 kg 4.2 kg", "pork shoulder: 3 kg", "Brisket: point 2 kg"}
	m.Prices = []string{"brisket: £14.50"}
	m.AimPit, m.Wrap, m.Air = "115", "paper at 72 °C", "4 °C"
	m.Pits, m.Fits = []string{"brick=110C", "drum"}, []string{"drum=4"}
	r, err := m.Request(provision.Known{Now: noon}, pits)
	if err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2026, 9, 19, 13, 0, 0, 0, time.UTC); !r.Serve.Equal(want) {
		t.Errorf("serve %s, want %s", r.Serve, want)
	}
	if r.Party.Heads != 24 || r.Party.Children != 6 || r.Enough != .8 || r.Weather.Air.Base != 4 {
		t.Errorf("%+v", r)
	}
	if len(r.Dishes) != 2 || r.Dishes[0].Cut != "brisket" || len(r.Dishes[0].Pieces) != 2 || len(r.Dishes[1].Pieces) != 1 {
		t.Fatalf("dishes %+v", r.Dishes)
	}
	if p := r.Dishes[0].Pieces[0]; p.Name != "flat" || p.Raw.Base != 5 || p.Trimmed.Base != 4.2 {
		t.Errorf("piece %+v", p)
	}
	if aim := r.Dishes[1].Aim; aim.Pit.Base != 115 || aim.Wrap.Kind != "paper" || aim.Wrap.At.Base != 72 {
		t.Errorf("aim %+v", aim)
	}
	if r.Money != "£" || r.Dishes[0].Price != 14.5 || r.Dishes[1].Price != 0 {
		t.Errorf("price %s%g, %g", r.Money, r.Dishes[0].Price, r.Dishes[1].Price)
	}
	if len(r.Pits) != 2 || r.Pits[0].Aim.Base != 110 || r.Pits[1].Takes != 4 {
		t.Errorf("pits %+v", r.Pits)
	}
}

// A core to reach applies to the cut it names and to no other.
func TestCoresByCut(t *testing.T) {
	m := meal()
	m.Cores = []string{"brisket: 57 C"}
	r, err := m.Request(provision.Known{Now: noon}, pits)
	if err != nil || r.Dishes[0].Aim.Core.Base != 57 || r.Dishes[1].Aim.Core.Known {
		t.Errorf("%+v, %v", r.Dishes, err)
	}
	m.Cuts, m.Cores = m.Cuts[:1], []string{"57 C"}
	m.Pieces, m.Prices = nil, nil
	if r, err = m.Request(provision.Known{Now: noon}, pits); err != nil || r.Dishes[0].Aim.Core.Base != 57 {
		t.Errorf("of one cut: %+v, %v", r.Dishes, err)
	}
}

// A price for a pound of meat becomes that of a kilogram: a pound is 0.45359237 kg
// (international yard and pound agreement, 1959).
func TestPriceOfAPound(t *testing.T) {
	m := meal()
	m.Prices = []string{"brisket: 4.5359237"}
	r, err := m.Request(provision.Known{Now: noon, Settings: journal.Settings{Units: measure.US}}, pits)
	if err != nil || r.Dishes[0].Price < 9.9999 || r.Dishes[0].Price > 10.0001 {
		t.Errorf("%g a kg, %v; want 10", r.Dishes[0].Price, err)
	}
}

// The error of every field that cannot be parsed names the field and, if possible, a
// correct value.
func TestMealWrong(t *testing.T) {
	for _, c := range []struct {
		change     func(*Meal)
		says, such string
	}{
		{func(m *Meal) { m.Serve = "noonish" }, `serve: time "noonish"`, ""},
		{func(m *Meal) { m.Cores = []string{"brisket: hot"} }, "aim-core: ", ""},
		{func(m *Meal) { m.Cores = []string{"57 C"} }, `aim-core "57 C": of which cut?`, "brisket: 57 C"},
		{func(m *Meal) { m.Cores = []string{"lamb: 57 C"} }, `"lamb" is not one of the cuts`, "brisket: 94 °C"},
		{func(m *Meal) { m.Wrap = "newspaper" }, "wrap: ", ""},
		{func(m *Meal) { m.Wind = "4 kg" }, "wind: ", ""},
		{func(m *Meal) { m.Portion = "0 g" }, `portion: portion "0 g"`, ""},
		{func(m *Meal) { m.Cuts[1] = "brisket" }, `cut "brisket": it is there already`, ""},
		{func(m *Meal) { m.Pieces = []string{"5 kg"} }, `piece "5 kg": of which cut?`, "Brisket: 5 kg"},
		{func(m *Meal) { m.Pieces = []string{"lamb: 5 kg"} }, `"lamb" is not one of the cuts`, "Brisket: 5 kg"},
		{func(m *Meal) { m.Pieces = []string{"brisket: 5 miles"} }, "piece: ", ""},
		{func(m *Meal) { m.Prices = []string{"brisket: dear"} }, "price: ", ""},
		{func(m *Meal) { m.As = "raw" }, `as: "raw"`, "pulled, buns"},
		{func(m *Meal) { m.Pits = []string{"brick=hot"} }, `pit "brick=hot"`, ""},
		{func(m *Meal) { m.Pits = []string{"brick", "brick"} }, `pit "brick": it is there already`, ""},
		{func(m *Meal) { m.Pits, m.Fits = []string{"brick", "drum"}, []string{"4"} }, `fits "4": in which pit?`, "brick=4"},
		{func(m *Meal) { m.Fits = []string{"oven=4"} }, `"oven" is not one of the pits`, ""},
		{func(m *Meal) { m.Fits = []string{"0"} }, "expected 1 to 500 pieces", "6"},
	} {
		m := meal()
		c.change(&m)
		_, err := m.Request(provision.Known{Now: noon}, pits)
		var w Wrong
		if !errors.As(err, &w) || !strings.Contains(err.Error(), c.says) || w.Such != c.such {
			t.Errorf("got %v, such %q; want %s, such %q", err, w.Such, c.says, c.such)
		}
	}
}

// A meal without a needed part is refused as the plan itself refuses it.
func TestMealRefused(t *testing.T) {
	for part, change := range map[provision.Part]func(*Meal){
		provision.PartServe:  func(m *Meal) { m.Serve = "" },
		provision.PartHeads:  func(m *Meal) { m.Heads = "" },
		provision.PartEnough: func(m *Meal) { m.Enough = 0 },
		provision.PartCut:    func(m *Meal) { m.Cuts = nil }, // and no cook shows the usual one
	} {
		m := meal()
		change(&m)
		_, err := m.Request(provision.Known{Now: noon}, pits)
		var r provision.Refusal
		if !errors.As(err, &r) || r.Part != part {
			t.Errorf("%s: %v", part, err)
		}
	}
}

// A pit without a file is accepted if it is said how many pieces it takes, and only
// then.
func TestPitWithoutFile(t *testing.T) {
	m := meal()
	m.Pits = []string{"trough"}
	if _, err := m.Request(provision.Known{Now: noon}, pits); !errors.As(err, new(Mistake)) {
		t.Errorf("got %v, want a Mistake", err)
	}
	m.Fits = []string{"trough=9"}
	if r, err := m.Request(provision.Known{Now: noon}, pits); err != nil || r.Pits[0].Name != "trough" || r.Pits[0].Takes != 9 {
		t.Errorf("%+v, %v", r.Pits, err)
	}
}

func TestCook(t *testing.T) {
	c := Cook{Serve: "13:00", Heads: 12, AimPit: "240 F", Wood: "cherry 180 g", Pieces: []string{"large 5.2 kg", "3.9 kg"}}
	got, err := c.Read("pork shoulder", measure.Metric, noon)
	if err != nil || got.Cut != "pork shoulder" || got.Heads != 12 || len(got.Wood) != 1 || got.Wood[0].Kind != "cherry" || len(got.Pieces) != 2 || got.Pieces[1].Name != "B" {
		t.Errorf("%+v, %v", got, err)
	}
	if c.Empty() || !(&Cook{}).Empty() {
		t.Error("a cook that was typed is empty, or one that was not is not")
	}
	for _, bad := range []Cook{{Heads: -1}, {Serve: "x"}, {Wrap: "cling film"}, {Pieces: []string{"5 miles"}}} {
		if _, err := bad.Read("brisket", measure.Metric, noon); !errors.As(err, new(Wrong)) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}
