package journal

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/journal/measure"
)

var twoPieces = Grammar{Pieces: []string{"large", "small"}}

func TestParseItem(t *testing.T) {
	celsius := func(c float64, text string) measure.Temperature {
		q, err := measure.ParseTemperature(text, measure.Metric)
		if err != nil || q.Base != c {
			t.Fatalf("%q is %v, %v", text, q, err)
		}
		return q
	}
	weight := func(text string) measure.Mass {
		q, err := measure.ParseMass(text, measure.Metric)
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
	wait := func(text string) measure.Span {
		q, err := measure.ParseSpan(text)
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
	tests := []struct {
		in   string
		want Item
	}{
		{"pit 112 °C", Item{Act: ReadPit, Temp: celsius(112, "112 °C")}},
		{"PIT  112", Item{Act: ReadPit, Temp: celsius(112, "112")}},
		{"air -5 °C", Item{Act: ReadAir, Temp: celsius(-5, "-5 °C")}},
		{"box 66 °C", Item{Act: ReadBox, Temp: celsius(66, "66 °C")}},
		{"aim pit 120 °C", Item{Act: SetPit, Temp: celsius(120, "120 °C")}},
		{"aim core 94 °C", Item{Act: SetCore, Temp: celsius(94, "94 °C")}},
		{"core 71 °C", Item{Act: ReadCore, Temp: celsius(71, "71 °C")}},
		{"core Large 212 F", Item{Act: ReadCore, Piece: "large", Temp: celsius(100, "212 F")}},
		{"lit", Item{Act: Lit}},
		{"on", Item{Act: On}},
		{"on small", Item{Act: On, Piece: "small"}},
		{"off", Item{Act: Off}},
		{"vent", Item{Act: Vent}},
		{"vent bottom  half", Item{Act: Vent, Detail: "bottom half"}},
		{"wood cherry 90 g", Item{Act: AddWood, Detail: "cherry 90 g", Amount: weight("90 g")}},
		{"fuel 1 lb 4 oz", Item{Act: AddFuel, Detail: "1 lb 4 oz", Amount: weight("1 lb 4 oz")}},
		{"wood 2 chunks", Item{Act: AddWood, Detail: "2 chunks"}},
		{"wood cherry 90", Item{Act: AddWood, Detail: "cherry 90"}}, // no unit, so not a weight
		{"wrap paper", Item{Act: PutWrap, Wrap: Paper}},
		{"wrap Foil Loose", Item{Act: PutWrap, Wrap: Foil, Loose: true}},
		{"unwrap", Item{Act: Unwrap}},
		{"bark 0", Item{Act: Bark}},
		{"bark 4", Item{Act: Bark, Grade: 4}},
		{"feel small 3", Item{Act: Feel, Piece: "small", Grade: 3}},
		{"feel 0", Item{Act: Feel}},
		{"recheck 1 h 30 min", Item{Act: Recheck, After: wait("1 h 30 min")}},
	}
	for _, tt := range tests {
		if got, err := ParseItem(tt.in, twoPieces); err != nil || got != tt.want {
			t.Errorf("%q: %+v, %v\nwant %+v", tt.in, got, err, tt.want)
		}
	}
}

// Words that only begin like an act are words. A part that begins with an act's whole
// word gives an error that says what is missing.
func TestWordsThatBeginLikeActs(t *testing.T) {
	tests := []struct{ in, err string }{
		{"", ""},
		{"pale on the left", ""},
		{"offer it round", ""},
		{"pits", ""},
		{"aim", ""},
		{"aim high", ""},
		{"off to bed", `off: no piece is named "to bed"; the pieces are large, small`},
		{"off largest", `off: no piece is named "largest"; the pieces are large, small`},
		{"lit the stove", `lit: nothing was expected after it, found "the stove"`},
		{"pit", `pit: temperature "": nothing there; expected a number and °C or °F`},
		{"pit steady", `pit: temperature "steady": "steady" is not a number; expected a number and °C or °F`},
		{"core medium 71 °C", `core: temperature "medium 71 °C": "medium" is not a number; expected a number and °C or °F`},
		{"wrap", `wrap: "" is not a kind of wrap; expected foil, paper, boat or pan, perhaps then loose`},
		{"wrap towel", `wrap: "towel" is not a kind of wrap; expected foil, paper, boat or pan, perhaps then loose`},
		{"wrap paper tight", `wrap: "paper tight" is not a kind of wrap; expected foil, paper, boat or pan, perhaps then loose`},
		{"bark 5", `bark: "5" is not a grade; expected 0 to 4`},
		{"bark +1", `bark: "+1" is not a grade; expected 0 to 4`},
		{"bark still pale", `bark: "still pale" is not a grade; expected 0 to 4`},
		{"feel large", `feel: "large" is not a grade; expected 0 to 3`},
		{"recheck -5 min", `recheck: "-5 min" is not a time to wait; expected one such as 30 min`},
		{"recheck later", `recheck: "later" is not a time to wait; expected one such as 30 min`},
	}
	for _, tt := range tests {
		it, err := ParseItem(tt.in, twoPieces)
		got := ""
		if err != nil {
			got = err.Error()
		}
		if it != (Item{}) || got != tt.err {
			t.Errorf("%q: %+v, %q\nwant %q", tt.in, it, got, tt.err)
		}
	}
}

func TestPieceNamesLikeFigures(t *testing.T) {
	g := Grammar{Pieces: []string{"1", "2", "left", "left half"}}
	tests := []struct {
		in    string
		piece string
		rest  string
	}{
		{"core 2 71 °C", "2", "71 °C"},
		{"core 2 °C", "", "2 °C"},
		{"feel 2", "", "2"},
		{"feel 2 2", "2", "2"},
		{"core left half 70 °C", "left half", "70 °C"},
		{"core left 70 °C", "left", "70 °C"},
	}
	for _, tt := range tests {
		it, err := ParseItem(tt.in, g)
		want := it.Act.Word() + strings.TrimRight(" "+tt.piece, " ") + " " + tt.rest
		if err != nil || it.Piece != tt.piece || it.String() != want {
			t.Errorf("%q: %+v, %v", tt.in, it, err)
		}
	}
}

func TestActTable(t *testing.T) {
	seen := map[string]bool{}
	for _, a := range Acts() {
		w := a.Word()
		if w == "" || seen[w] {
			t.Errorf("act %d has the word %q", a, w)
		}
		seen[w] = true
		if got, ok := ActByWord(strings.ToUpper(w)); !ok || got != a {
			t.Errorf("%q is read as act %d", w, got)
		}
		if a.TakesDetail() && a.TakesTemperature() || a.TopGrade() > 0 && a.TakesTemperature() {
			t.Errorf("%q takes two arguments", w)
		}
		for g := range a.TopGrade() + 1 {
			if a.TopGrade() > 0 && (Item{Act: a, Grade: g}).GradeWord() == "" {
				t.Errorf("%s %d has no word", w, g)
			}
		}
		if (Item{Act: a, Grade: a.TopGrade() + 1}).GradeWord() != "" || (Item{Act: a, Grade: -1}).GradeWord() != "" {
			t.Errorf("%s has a word past its top", w)
		}
	}
	if a, ok := ActByWord("smoke"); ok || a != NoAct || a.Word() != "" {
		t.Errorf("smoke is read as %v", a)
	}
	keys := map[byte]bool{}
	for _, a := range Acts() {
		if a.Gloss() == "" || a.Key() != 0 && keys[a.Key()] || a.WetsSurface() && !a.OpensPit() {
			t.Errorf("%q: gloss %q, key %q taken %v, opens %v", a.Word(), a.Gloss(), a.Key(), keys[a.Key()], a.OpensPit())
		}
		keys[a.Key()] = true
	}
	// Intervals of common practice, no source.
	for a, minutes := range map[Act]int{Vent: 20, AddWood: 60, Bark: 60, Spritz: 45, Feel: 20, Boxed: 60, ReadPit: 0, Off: 0} {
		if got := a.DefaultRecheck(); got != time.Duration(minutes)*time.Minute {
			t.Errorf("%s: look again after %v", a.Word(), got)
		}
	}
}

// plainWord generates words that are safe inside an item: without a comma and no lone
// dash.
var plainWord = rapid.StringMatching(`[a-zäöüß½½/%'’.-]{0,7}[a-zé]`)

// anyItem generates an item of any act, as in a file.
func anyItem(pieces []string) *rapid.Generator[Item] {
	return rapid.Custom(func(t *rapid.T) Item {
		a := rapid.SampledFrom(Acts()).Draw(t, "act")
		it := Item{Act: a}
		if a.TakesPiece() {
			it.Piece = rapid.SampledFrom(append([]string{""}, pieces...)).Draw(t, "piece")
		}
		switch actTable[a].arg {
		case argTemp, argMaybe:
			it.Temp = measure.Degrees(float64(rapid.IntRange(-300, 3000).Draw(t, "tenths"))/10, rapid.SampledFrom([]measure.System{measure.Metric, measure.US}).Draw(t, "scale"))
		case argDetail:
			it.Detail = strings.Join(rapid.SliceOfN(plainWord, 0, 3).Draw(t, "detail"), " ")
			if rapid.Bool().Draw(t, "weighed") {
				text := rapid.SampledFrom([]string{"90 g", "1,5 kg", "4 lb 6 oz", "3oz", "1.25 kg"}).Draw(t, "weight")
				it.Amount, _ = measure.ParseMass(text, measure.Metric)
				it.Detail = strings.TrimLeft(it.Detail+" "+text, " ")
			}
		case argName:
			it.Detail = rapid.SampledFrom([]string{"MB", "Åsa", "R.T.", "O'N"}).Draw(t, "who")
		case argKeeper:
			it.Detail = rapid.SampledFrom([]string{"MB", "Åsa until 03:00", "RT until 3:15"}).Draw(t, "who")
		case argWrap:
			it.Wrap, it.Loose = rapid.SampledFrom(Wraps).Draw(t, "wrap"), rapid.Bool().Draw(t, "loose")
		case argGrade:
			it.Grade = rapid.IntRange(0, a.TopGrade()).Draw(t, "grade")
		case argSpan:
			it.After, _ = measure.ParseSpan(rapid.SampledFrom([]string{"30 min", "1 h", "1 h 30", "1h30", "90 s", "0 min"}).Draw(t, "wait"))
		}
		return it
	})
}

func TestItemStringParses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		it := anyItem(twoPieces.Pieces).Draw(t, "item")
		got, err := ParseItem(it.String(), Grammar{Pieces: twoPieces.Pieces, Units: measure.US})
		if err != nil || got != it {
			t.Fatalf("%q reads as %+v, %v\nwant %+v", it, got, err, it)
		}
	})
}

func TestEntryStringParses(t *testing.T) {
	words := rapid.OneOf(rapid.Just(""), rapid.StringMatching(`[a-z,—–-]([a-z ,—–-]{0,20}[a-z,—–-])?`))
	rapid.Check(t, func(t *rapid.T) {
		zone := time.FixedZone("", 60*rapid.IntRange(-14*60, 14*60).Draw(t, "offset"))
		e := Entry{
			Time:  time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "time"), 0).In(zone),
			Items: rapid.SliceOfN(anyItem(twoPieces.Pieces), 0, 5).Draw(t, "items"),
			Words: words.Draw(t, "words"),
		}
		line := e.String()
		stamp, body, _ := strings.Cut(strings.TrimPrefix(line, "- "), " ")
		at, err := ParseTime(stamp)
		if err != nil || !at.Equal(e.Time) || FormatTime(at) != stamp {
			t.Fatalf("%q: time %v, %v", line, at, err)
		}
		items, words, notes := ParseBody(body, twoPieces)
		got := Entry{Time: e.Time, Items: items, Words: words}
		if len(notes) > 0 || len(items) != len(e.Items) || words != e.Words || got.String() != line {
			t.Fatalf("%q\nreads %q %q %v", line, got.String(), words, notes)
		}
		for i := range items {
			if items[i] != e.Items[i] {
				t.Fatalf("%q: item %d is %+v, want %+v", line, i, items[i], e.Items[i])
			}
		}
	})
}
