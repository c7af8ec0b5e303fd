package heard

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The same words mean the same wherever they stand, and "not" unsays them.
func TestRead(t *testing.T) {
	for _, tt := range []struct {
		text Text
		want []Meaning
	}{
		{Text{Text: "The shoulder lay on the counter overnight."}, []Meaning{NightOut}},
		{Text{Text: "The shoulder never lay on the counter overnight."}, nil},
		{Text{Text: "Sat out on the porch all night."}, []Meaning{LeftOut}},
		{Text{Text: "Sat out on the porch all night, the pit never moved."}, nil},
		{Text{Text: "It sat out for 90 minutes."}, nil},
		{Text{Text: "It sat out for half an hour."}, nil},
		{Text{Text: "It sat out for three hours."}, []Meaning{LeftOut}},
		{Text{Text: "The fridge read 9 °C.", Off: false}, []Meaning{LeftOut}},
		{Text{Text: "The fridge read 48.", US: true}, []Meaning{LeftOut}},
		{Text{Text: "The fridge read 38.", US: true}, nil},
		{Text{Text: "Out of the fridge, pit at 35 °C and climbing."}, nil},
		{Text{Text: "Out of the fridge and in the pit at 35 °C."}, nil},
		{Text{Text: "The fridge was off overnight; brushed it with the marinade it lay in."}, []Meaning{NightOut, RawTouched}},
		{Text{Text: "The fridge was not off overnight."}, nil},
		{Text{Text: "Rolled the pit into the garage.", On: true}, []Meaning{UnderRoof}},
		{Text{Text: "\xff\xfe It lay on the counter \xff overnight\xff"}, []Meaning{NightOut}},
		{Text{Text: "Wood from the garage.", On: true}, nil},
		{Text{Text: "The meat sat on the counter for three hours.", Off: true}, []Meaning{Standing}},
	} {
		var got []Meaning
		for _, s := range Read(tt.text) {
			got = append(got, s.Meaning)
		}
		if !slices.Equal(got, tt.want) {
			t.Errorf("%+v: %q, want %q", tt.text, got, tt.want)
		}
	}
}

// Whatever is written is read to the end, and what is quoted stands in it.
func TestAnythingWritten(t *testing.T) {
	var words []string
	for _, w := range lexicon {
		words = append(words, strings.Fields(strings.ReplaceAll(w, "*", ""))...)
	}
	slices.Sort(words)
	words = append(words, ",", ".", "°", "12 °C", "41F", "−3", "3h", "’", "\n", "half an hour", "ß", "\xff", "room temp")
	rapid.Check(t, func(rt *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, 25).Draw(rt, "words"), rapid.SampledFrom([]string{" ", "", "-"}).Draw(rt, "between"))
		for _, s := range Read(Text{Text: text, On: rapid.Bool().Draw(rt, "on"), Off: rapid.Bool().Draw(rt, "off")}) {
			if s.Words == "" || !strings.Contains(strings.ToValidUTF8(text, "\uFFFD"), s.Words) {
				rt.Fatalf("%q is not in %q", s.Words, text)
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	text := strings.Repeat("Took it out of the fridge at six, rubbed it and let it stand while the pit settled. The fire was lazy, so I opened the lower vent a finger. ", 50)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		Read(Text{Text: text})
	}
}
