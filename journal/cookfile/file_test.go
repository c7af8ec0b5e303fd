package cookfile

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
)

// harvest is a cook of a village hall. Both are invented.
const harvest = `---
ashbook: 1
title: Harvest supper
cut: pork shoulder
pieces:
  - {name: large, raw: 5.2 kg, trimmed: 4.7 kg, thick: 13 cm, bone: in, core: 5 °C}
  - {name: small, raw: 3.9 kg, trimmed: 3.6 kg, thick: 11 cm, bone: in, core: 5 °C}
supplier: market hall
salted: {rate: 10 g/kg, ahead: 14 h}
rub: {mix: hall-rub, rate: 22 g/kg}
wood: [{kind: cherry, mass: 180 g}]
fuel: {kind: lump, loaded: 6 kg, left: 1.6 kg}
pit: brick
pan: hot
aim: {pit: 115 °C, core: 94 °C, wrap: paper at 72 °C}
serve: 2026-09-19T13:00+01:00
heads: 24
weather: {air: 9 °C, wind: 4 m/s, humidity: 80 %}
yield: {off: 5.2 kg, discard: 0.7 kg, left: 0.8 kg}
tasting:
  - {eater: RT, tenderness: 8, moisture: 7, bark: 7, smoke: 6, salt: 6+, overall: 8}
keep: cherry only in the first two hours
change: start an hour later
---

# Harvest supper

Any prose, anywhere, is the cook's own and is never touched.

## Timeline

- 2026-09-18T19:05+01:00 lit — two starters, left side
- 2026-09-18T20:10+01:00 on, pit 112 °C
- 2026-09-19T01:04+01:00 pit 104 °C, core large 68 °C, core small 70 °C, bark 1, vent, wood cherry 90 g, recheck 60 min — pale on the left
- 2026-09-19T04:20+01:00 wrap paper, core large 74 °C
- 2026-09-19T08:32+01:00 feel large 3, core large 93 °C
- 2026-09-19T08:40+01:00 off, rest
- 2026-09-19T08:55+01:00 boxed, core large 88 °C
- 2026-09-19T12:45+01:00 unboxed, core large 66 °C
- 2026-09-19T13:05+01:00 pulled, served
`

const harvestPath = "cooks/2026/2026-09-18-harvest-supper.md"

func parse(t testing.TB, text string) File {
	t.Helper()
	f, err := Parse(harvestPath, []byte(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := string(f.Bytes()); got != text {
		t.Fatalf("Bytes changed the text:\n%q\n%q", got, text)
	}
	return f
}

func TestParse(t *testing.T) {
	f := parse(t, harvest)
	for _, p := range f.Problems {
		t.Error(p)
	}
	c := f.Cook
	large := c.Pieces[0]
	for _, check := range []struct{ what, got, want string }{
		{"id", c.ID, "2026-09-18-harvest-supper"},
		{"title", c.Title, "Harvest supper"},
		{"pieces", strings.Join(c.PieceNames(), " "), "large small"},
		{"piece", fmt.Sprint(large.Raw, large.Trimmed, large.Thick, large.Bone, large.Core), "5.2 kg 4.7 kg 13 cmin5 °C"},
		{"salted", fmt.Sprint(c.Salted.Rate, c.Salted.Ahead), "10 g/kg 14 h"},
		{"rub", fmt.Sprint(c.Rub.Mix, " ", c.Rub.Rate), "hall-rub 22 g/kg"},
		{"wood", fmt.Sprint(c.Wood), "[{cherry 180 g}]"},
		{"fuel", fmt.Sprint(c.Fuel), "{lump 6 kg 1.6 kg}"},
		{"aim", fmt.Sprint(c.Aim), "{115 °C 94 °C paper at 72 °C}"},
		{"serve", journal.FormatTime(c.Serve), "2026-09-19T13:00+01:00"},
		{"heads", fmt.Sprint(c.Heads), "24"},
		{"weather", fmt.Sprint(c.Weather), "{9 °C 4 m/s 80 %}"},
		{"yield", fmt.Sprint(c.Yield), "{5.2 kg 0.7 kg 0.8 kg}"},
		{"tasting", fmt.Sprint(c.Tasting), "[{RT [8 7 7 6 6+ 8] }]"},
		{"keep", c.Keep, "cherry only in the first two hours"},
		{"change", c.Change, "start an hour later"},
		{"prose", c.Prose, "# Harvest supper\n\nAny prose, anywhere, is the cook's own and is never touched."},
		{"entries", fmt.Sprint(len(c.Entries)), "9"},
		{"third", c.Entries[2].String(), "- 2026-09-19T01:04+01:00 pit 104 °C, core large 68 °C, core small 70 °C, bark 1, vent, wood cherry 90 g, recheck 60 min — pale on the left"},
		{"line", fmt.Sprint(c.Entries[2].Line), "34"},
	} {
		if check.got != check.want {
			t.Errorf("%s: got %q, want %q", check.what, check.got, check.want)
		}
	}
	if got := c.Aim.Pit.Base; got != 115 {
		t.Errorf("aim pit is %g °C", got)
	}
}

func TestNewIsTheLayout(t *testing.T) {
	got, err := New(parse(t, harvest).Cook)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != harvest {
		t.Errorf("got\n%s", got)
	}
}

func TestRealCooks(t *testing.T) {
	shared := os.Getenv("ASHBOOK_SHARED")
	if shared == "" {
		t.Skip("ASHBOOK_SHARED names no folder of real cooks")
	}
	files, _ := filepath.Glob(filepath.Join(shared, "realcooks/cooks/*/*.md"))
	if len(files) == 0 {
		t.Fatalf("no cooks below %s", shared)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Parse(filepath.Base(file), data, Options{})
		if err != nil {
			t.Error(err)
			continue
		}
		for _, p := range f.Problems {
			t.Log(p)
		}
		if len(f.Cook.Entries) < 2 {
			t.Errorf("%s: %d entries", file, len(f.Cook.Entries))
		}
	}
}

func BenchmarkParse(b *testing.B) {
	data := []byte(long())
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse(harvestPath, data, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAddEntry(b *testing.B) {
	f := parse(b, long())
	e := journal.Entry{Time: f.Cook.Entries[20].Time, Words: "pale on the left"}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.AddEntry(e); err != nil {
			b.Fatal(err)
		}
	}
}

// long returns the harvest supper with thirty entries, about 3 KB.
func long() string {
	var b strings.Builder
	b.WriteString(harvest)
	at := time.Date(2026, 9, 19, 1, 10, 0, 0, time.FixedZone("", 3600))
	for i := range 21 {
		fmt.Fprintf(&b, "- %s pit %d °C, core large %d °C, vent bottom half\n", journal.FormatTime(at.Add(time.Duration(i)*10*time.Minute)), 104+i, 68+i)
	}
	return b.String()
}
