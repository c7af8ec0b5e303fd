package heard

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The same words mean the same anywhere in a text, and a "not" cancels them.
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

// Any text is read to its end, and what is quoted is part of it.
func TestAnythingWritten(t *testing.T) {
	var words []string
	for _, w := range lexicon {
		words = append(words, strings.Fields(strings.ReplaceAll(w, "*", ""))...)
	}
	slices.Sort(words)
	words = append(words, ",", ".", "°", "12 °C", "41F", "−3", "3h", "’", "\n", "half an hour", "ß", "\xff", "room temp")
	rapid.Check(t, func(rt *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, 25).Draw(rt, "words"), rapid.SampledFrom([]string{" ", "", "-"}).Draw(rt, "between"))
		for _, s := range Read(Text{Text: text, On: rapid.Bool().Draw(rt, "on"), Off: rapid.Bool().Draw(rt, "off"), Clock: rapid.Float64Range(0, 24).Draw(rt, "clock")}) {
			if s.Words == "" || !strings.Contains(strings.ToValidUTF8(text, "\uFFFD"), s.Words) {
				rt.Fatalf("%q is not in %q", s.Words, text)
			}
		}
	})
}

// Harmless lines of a night raise nothing, whether the meat is not on yet, on or off;
// one in 500 may (chosen: a person reads no more). They were written to test the entry
// line, by others than the authors of these rules.
func TestOrdinaryLines(t *testing.T) {
	files, err := filepath.Glob("../../../journal/shorthand/testdata/*.txt")
	if err != nil {
		t.Fatal(err)
	}
	lines, alarms := 0, 0
	meant := map[string]Meaning{"flames, grease fire, closed everything down": Flames, "dog stole a rib": Fallen, "dog stole a rib lol": Fallen,
		"drip pan overflowed, grease fire, lid shut, out now": Flames, "warmed back up to 65 in a water bath": WaterBath}
	for _, line := range []string{"fire has gone out", "fire went out", "fire died", "fire died 2-3", "fire's dying", "fire's out", "fire went out 5ish found at 5:45, 171 pit. relit", "slept through alarm, pit was 74 at four", "power went out", "power out 3-5", "lost the fire around 1", "fire out", "generator died at 4"} {
		meant[line] = FireOut
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(text)) {
			line, _, ok := strings.Cut(line, " => ")
			if !ok {
				continue
			}
			lines++
			if on := Read(Text{Text: line, Clock: 3, On: true}); meant[line] != "" {
				if len(on) != 1 || on[0].Meaning != meant[line] {
					t.Errorf("%q: %v", line, on)
				}
				continue
			}
			for _, at := range []Text{{Text: line, Clock: 20}, {Text: line, Clock: 3, On: true}, {Text: line, Clock: 13, On: true, Off: true}} {
				for _, s := range Read(at) {
					alarms++
					t.Logf("%+v: %s: %q", at, s.Meaning, s.Words)
				}
			}
		}
	}
	if t.Logf("%d lines, %d alarms", lines, alarms); lines < 1000 || 500*alarms > lines {
		t.Error("too many alarms, or too few lines")
	}
}

// Every frame is the first that matches some sentence of the tests, so none is useless,
// and every family is named in a frame.
func TestFramesAreUsed(t *testing.T) {
	text, err := os.ReadFile("../testdata/spoken.txt")
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]moment{"notes": {}, "on": {clock: 20}, "cooking": {on: true, clock: 22}, "off": {on: true, off: true, clock: 8}}
	used := make([]bool, len(frames))
	for line := range strings.Lines(string(text)) {
		f := strings.SplitN(strings.TrimPrefix(line, "? "), "|", 3)
		if len(f) < 3 {
			continue
		}
		when, _, _ := strings.Cut(strings.TrimSpace(f[0]), " ")
		for _, s := range sentences(f[2], at[when]) {
			if i, _ := s.framed(); i >= 0 {
				used[i] = true
			}
		}
	}
	all := ""
	for i, f := range frames {
		all += f.terms + " "
		if !used[i] {
			t.Errorf("met by no sentence: %+v", f)
		}
	}
	names := strings.FieldsFunc(all, func(r rune) bool { return strings.ContainsRune(" !~->|", r) })
	for name := range families {
		if name != "resolved" && !slices.Contains(names, name) {
			t.Errorf("no frame names %q", name)
		}
	}
}

// A word with a typing slip counts as the word that was meant. An English word is never
// a slip.
func TestSlips(t *testing.T) {
	for word, want := range map[string]string{
		"chiken": "chicken", "garrage": "garage", "overnite": "overnight", "frige": "fridge", "frigde": "fridge", "dropt": "dropped", "fridge'd": "fridge",
		"refridgerator": "refrigerator", "racoon": "raccoon", "meat's": "meat", "there": "there", "stop": "stop", "bought": "bought", "guess": "guess", "whether": "whether", "sour": "sour",
	} {
		if got := meantBy(word); got != want {
			t.Errorf("%q is taken for %q, want %q", word, got, want)
		}
	}
}

// How long something lasted is read from times of day as well.
func TestHours(t *testing.T) {
	for text, want := range map[string]float64{
		"for 3 hours": 3, "3h": 3, "3 1/2 hours": 3.5, "three and a half hours": 3.5, "half an hour": .5, "45 minutes": .75, "an hour": 1,
		"from nine till one": 4, "out at 9 this morning, on at 2": 5, "took it out at 9, on at 9:40": 2. / 3, "left it at 11 pm, found at 7 am": 8, "left it at 7 pm, found at 7 this morning": 12, "since noon": 6.5, "on at 2": 0,
	} {
		s := sentences(text, moment{clock: 18.5})
		if got, _ := s[0].hours(); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q lasts %g h, want %g", text, got, want)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	text := strings.Repeat("Took it out of the fridge at six, rubbed it and let it stand while the pit settled. The fire was lazy, so I opened the lower vent a finger. ", 50)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		Read(Text{Text: text})
	}
}
