package shorthand

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal"
)

// Once a piece is off, bare figures are the cores of the other pieces. Figures for all
// pieces are still accepted.
func TestPiecesOff(t *testing.T) {
	ctx := twoPieces(t)
	ctx.Cook = cook(t, []string{"large", "small"}, "300 on", "40 pit 110 °C, core large 93 °C, core small 72 °C", "30 off large")
	tests := map[string]string{
		"112 74":    "pit 112 °C, core small 74 °C",
		"74":        "core small 74 °C",
		"core 74":   "core small 74 °C",
		"112 90 74": "pit 112 °C, core large 90 °C, core small 74 °C",
		"c l 90":    "core large 90 °C",
	}
	for line, want := range tests {
		if got := body(t, line, ctx); got != want {
			t.Errorf("%q: %s, want %s", line, got, want)
		}
	}
	three := Context{Now: night, Cook: cook(t, []string{"a1", "b1", "c1"}, "300 on", "30 off a1")}
	for line, want := range map[string]string{
		"112 70 71":       "pit 112 °C, core b1 70 °C, core c1 71 °C",
		"112 70 71 72":    "pit 112 °C, core a1 70 °C, core b1 71 °C, core c1 72 °C",
		"112 70 71 72 73": `— 112 70 71 72 73 !"73": one reading too many: type the pit, then the 2 cores still in the pit, or all 3`,
	} {
		if got := body(t, line, three); got != want {
			t.Errorf("%q: %s, want %s", line, got, want)
		}
	}
	unnamed := Context{Now: night, Cook: &journal.Cook{Pieces: make([]journal.Piece, 2)}}
	if got, want := body(t, "112 70 71", unnamed), `— 112 70 71 !"70": piece 1 has no name; name the pieces to read them apart`; got != want {
		t.Errorf("pieces without names: %s", got)
	}
}

func TestPieceNames(t *testing.T) {
	ctx := Context{Now: night, Cook: cook(t, []string{"left half", "left end", "point", "2", "off"}, "300 on")}
	tests := map[string]string{
		"core left half 70": "core left half 70 °C",
		"core LEFT end 70":  "core left end 70 °C",
		"core left 70":      "— core left 70",
		"c po 70":           "core point 70 °C",
		"c 2 70":            "core 2 70 °C",
		"c off 70":          "core off 70 °C",
		"off off":           "off off",
		"off po":            "off point",
		"off p":             "— off p",
		"off left":          "— off left",
		"off, rest":         "off, rest",
		"off rest":          "off, rest",
	}
	for line, want := range tests {
		got := body(t, line, ctx)
		if cut, _, ok := strings.Cut(got, " !"); ok {
			got = cut
		}
		if got != want {
			t.Errorf("%q: %s, want %s", line, got, want)
		}
	}
}

// A piece named A is not read as an article, and an article is not read as that piece.
func TestPieceNamedLikeAnArticle(t *testing.T) {
	ctx := twoPieces(t)
	ctx.Cook.Pieces[0].Name, ctx.Cook.Pieces[1].Name = "A", "B"
	for typed, want := range map[string]string{
		"feel A 2": "feel A 2", "feel a 2": "feel A 2", "core a 91": "core A 91 °C", "added a chunk of oak": "wood chunk oak",
	} {
		line, err := Parse(typed, ctx)
		if got := line.Entry.Body(); err != nil || got != want {
			t.Errorf("%q is read as %q (%v), want %q", typed, got, err, want)
		}
	}
}

// Wood and fuel typed as the timeline writes them ("wood cherry 90 g") come out the
// same.
func TestWordOfTheActOnce(t *testing.T) {
	for line, want := range map[string]string{
		"wood cherry 90 g":            "wood cherry 90 g",
		"Wood oak 2 chunks":           "wood oak 2 chunks",
		"fuel 1 kg":                   "fuel 1 kg",
		"fuel lump 1 kg":              "fuel lump 1 kg",
		"pit 104, wood cherry 90 g":   "pit 104 °C, wood cherry 90 g",
		"112 68 wood cherry 90g vent": "pit 112 °C, core 68 °C, wood cherry 90g, vent",
		"112 68, oak 90 g":            "pit 112 °C, core 68 °C, wood oak 90 g",
		"112 68 oak 90 g":             "pit 112 °C, core 68 °C, wood oak 90 g", // 68 is no count of oak
		"2 wood chunks":               "wood 2 chunks",
		"pit 112 fuel lump 1 kg":      "pit 112 °C, fuel lump 1 kg",
		"112 68 fuel lump 1 kg":       "pit 112 °C, core 68 °C, fuel lump 1 kg",
		"110 fuel 1 kg":               "pit 110 °C, fuel 1 kg",
		"112 68 2 chunks oak":         "pit 112 °C, core 68 °C, wood 2 chunks oak",
	} {
		l, err := Parse(line, Context{Now: time.Date(2026, 9, 19, 1, 4, 0, 0, time.UTC), Cook: &journal.Cook{}})
		if got := l.Entry.Body(); err != nil || got != want {
			t.Errorf("%q: got %q, %v; want %q", line, got, err, want)
		}
	}
}
