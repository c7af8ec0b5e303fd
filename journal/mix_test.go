package journal

import (
	"math"
	"testing"

	"ashbook/journal/measure"
)

func TestParsePortion(t *testing.T) {
	for _, c := range []struct {
		in   string
		want Portion
	}{
		{"1 kg meat", Portion{ForMeat, 1}},
		{" 500 g  of Meat ", Portion{ForMeat, .5}},
		{"10 lb meat", Portion{ForMeat, 4.5359237}}, // NIST Handbook 44, appendix C
		{"1 head", Portion{ForHeads, 1}},
		{"12 Heads", Portion{ForHeads, 12}},
		{"1 l", Portion{ForVolume, 1}},
		{"2 litres", Portion{ForVolume, 2}},
		{"750ml", Portion{ForVolume, .75}},
		{"1 qt", Portion{ForVolume, .946352946}}, // NIST Handbook 44, appendix C
	} {
		if got, err := ParsePortion(c.in, measure.Metric); err != nil || got.Of != c.want.Of || math.Abs(got.Amount-c.want.Amount) > 1e-9 {
			t.Errorf("%q: %+v, %v; want %+v", c.in, got, err, c.want)
		}
	}
	for _, in := range []string{"", "1", "1 kg", "meat", "kg meat", "0 heads", "-1 l", "1 kg meat 1 head", "1 head, 1 l", "1 l 1 kg meat", "heads", "NaN heads", "Inf heads", "1e400 heads", "5 meat"} {
		got, err := ParsePortion(in, measure.Metric)
		if want := `: expected one amount above zero, such as 1 kg meat, 1 head or 1 l`; err == nil || got != (Portion{}) || err.Error() != quoted(in)+want {
			t.Errorf("%q: %+v, %v", in, got, err)
		}
	}
}

func quoted(s string) string { return `"` + s + `"` }

func TestFuelBurned(t *testing.T) {
	kg := measure.Kilograms
	add := func(m measure.Mass) Entry { return Entry{Items: []Item{{Act: AddFuel, Amount: m}}} }
	for _, c := range []struct {
		name    string
		fuel    Fuel
		entries []Entry
		want    float64
		ok      bool
	}{
		{"loaded less left", Fuel{Loaded: kg(6), Left: kg(1.5)}, nil, 4.5, true},
		{"and what went on later", Fuel{Loaded: kg(6), Left: kg(1.5)}, []Entry{add(kg(1)), add(kg(.5))}, 6, true},
		{"all of it", Fuel{Loaded: kg(6), Left: kg(0)}, nil, 6, true},
		{"left not weighed", Fuel{Loaded: kg(6)}, nil, 0, false},
		{"went on unweighed", Fuel{Loaded: kg(6), Left: kg(1)}, []Entry{add(measure.Mass{})}, 0, false},
	} {
		got, ok := (&Cook{Fuel: c.fuel, Entries: c.entries}).FuelBurned()
		if ok != c.ok || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g, %v; want %g, %v", c.name, got, ok, c.want, c.ok)
		}
	}
	if _, ok := (&Cook{Fuel: Fuel{Loaded: kg(1), Left: kg(2)}}).FuelBurned(); ok {
		t.Error("more was left than loaded")
	}
}
