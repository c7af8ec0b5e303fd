package frame

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Every column name belongs to one column, and every column has all that printing and
// comparing need.
func TestColumnTable(t *testing.T) {
	groups := []Group{SetUp, Times, Readings, Yield, Scores}
	seen, last := map[string]bool{}, 0
	for _, c := range Columns {
		at := slices.Index(groups, c.Group)
		switch {
		case seen[c.Name], c.Name == "":
			t.Errorf("column %q is there twice", c.Name)
		case at < last:
			t.Errorf("%s: column of group %q among those of %q", c.Name, c.Group, groups[last])
		case c.Of == nil:
			t.Errorf("%s: nothing reads it", c.Name)
		case c.Kind != Word && c.Matters <= 0:
			t.Errorf("%s: no difference is worth a line", c.Name)
		case c.Kind > Score, c.Kind != Word && c.Kind != Count && c.Kind != Score && c.Kind.Unit() == "":
			t.Errorf("%s: kind %d has no unit", c.Name, c.Kind)
		}
		seen[c.Name], last = true, max(at, last)
	}
	file, err := parser.ParseFile(token.NewFileSet(), "frame.go", nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	names := 0
	for _, d := range file.Decls {
		block, ok := d.(*ast.GenDecl)
		if !ok || block.Tok != token.CONST {
			continue
		}
		for _, s := range block.Specs {
			spec := s.(*ast.ValueSpec)
			if spec.Type != nil || len(spec.Values) != 1 {
				continue
			}
			text, ok := spec.Values[0].(*ast.BasicLit)
			if !ok || text.Kind != token.STRING {
				continue
			}
			names++
			if name, _ := strconv.Unquote(text.Value); !seen[name] {
				t.Errorf("%s = %q is the name of no column", spec.Names[0].Name, name)
			}
		}
	}
	if names < 40 {
		t.Errorf("%d names of columns were found in frame.go", names)
	}
}

// wholeCook returns the invented supper with everything noted.
func wholeCook(t *testing.T) *journal.Cook {
	c := supper(t)
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	for i := range c.Pieces {
		c.Pieces[i].Bone = "in"
		must(measure.Read(&c.Pieces[i].Thick, "12 cm", measure.Metric))
	}
	c.Grade = "choice"
	must(measure.Read(&c.Packed, "12 d", measure.Metric))
	c.Supplier, c.Pan, c.Rub.Mix, c.Fuel.Kind = "farm shop", "hot", "plain rub", "lump"
	must(measure.Read(&c.Salted.Rate, "10 g/kg", measure.Metric))
	must(measure.Read(&c.Salted.Ahead, "14 h", measure.Metric))
	must(measure.Read(&c.Fuel.Loaded, "8 kg", measure.Metric))
	must(measure.Read(&c.Fuel.Left, "2 kg", measure.Metric))
	must(measure.Read(&c.Weather.Wind, "3 m/s", measure.Metric))
	c.Wood = []journal.Wood{{Kind: "cherry", Mass: measure.Kilograms(.18)}}
	c.Aim = journal.Aim{Pit: measure.Degrees(115, measure.Metric), Core: measure.Degrees(94, measure.Metric)}
	c.Weather.Air = measure.Degrees(11, measure.Metric)
	c.Yield = journal.Yield{Off: measure.Kilograms(5.16), Discard: measure.Kilograms(.7), Left: measure.Kilograms(.8)}
	vent := journal.Item{Act: journal.Vent}
	c.Entries[2].Items = append(c.Entries[2].Items, vent)
	taste := journal.Taste{Eater: "RT"}
	for i := range taste.Scores {
		taste.Scores[i] = journal.Score{Liked: 7}
	}
	c.Tasting = []journal.Taste{taste}
	return c
}

// The value of every column for a cook with everything noted. A new column needs a line
// here.
func TestEveryColumn(t *testing.T) {
	want := map[string]string{
		Cut: "pork shoulder", Pieces: "2", WeightOn: "8.6 kg", HeaviestPiece: "4.7 kg", ThickestPiece: "12.0 cm", Bone: "in", Supplier: "farm shop", Grade: "choice", SincePacked: "12",
		SaltRate: "10 g/kg", SaltedAhead: "14 h 00", Rub: "plain rub", Wood: "cherry", WoodMass: "180 g", Fuel: "lump", FuelBurned: "6.0 kg",
		Pit: "brick", WaterPan: "hot", PitAim: "115 °C", CoreAim: "94 °C", CoreOn: "7 °C", Air: "11 °C", Wind: "3 m/s",
		LitToOn: "55 min", WentOnAt: "20:00", StallAfter: "5 h 30", StallLasted: "3 h 00", Wrap: "paper", WrappedAfter: "8 h 30", WrappedAt: "71 °C",
		OnToOff: "12 h 00", TimePerMass: "2.6 h/kg", BeforeMeal: "5 h 00", Held: "4 h 00",
		PitMean: "117 °C", PitInStall: "120 °C", PitLowest: "110 °C", PitHighest: "120 °C", CoreOff: "93 °C", FeelOff: "slides in",
		LidOpened: "1", Spritzed: "1", VentsMoved: "1", OffShare: "60 %", LeftOver: "800 g", EatersAsked: "1",
	}
	for _, trait := range journal.Traits {
		want[trait.String()] = "7.0"
	}
	c := wholeCook(t)
	for _, col := range Columns {
		v := col.Of(c)
		if got := col.Format(v, measure.Metric); !v.Known || got != want[col.Name] {
			t.Errorf("%s: %q, want %q", col.Name, got, want[col.Name])
		}
	}
}
