package cookfile

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
)

// unreadable are texts that cannot be read as a cook at all.
var unreadable = []string{
	"", "\n", "\ufeff", " \t\r\n\r\n", "---\ntitle: x\n", "---\ntitle: \xff\n---\n", "---\ntitle: x\ntitle: y\n---\n", "---\na: &a [*a]\n---\n", "---\n- [\n---\n", "---\n\ttitle: x\n---\n"}

func TestUnreadable(t *testing.T) {
	for _, text := range unreadable {
		f, err := Parse("cook.md", []byte(text), Options{})
		var p journal.Problem
		if !errors.As(err, &p) || p.Warning || p.Line == 0 {
			t.Errorf("%q: error is %#v", text, err)
		}
		if f.Bytes() != nil || f.Cook.Title != "" || f.Cook.Pieces != nil || f.Problems != nil {
			t.Errorf("%q: not zero: %+v", text, f)
		}
	}
}

// doubtful are texts that are read with warnings, with the title and the number of
// entries read.
var doubtful = []struct {
	name, text string
	entries    int
	want       []string
}{
	{"no front matter", "# x\n\n## Timeline\n\n- 2026-09-18T19:05+01:00 lit\n", 1,
		[]string{"1: no front matter; expected a line --- at the top, keys such as title:, and --- again"}},
	{"entries without a heading", "---\ntitle: x\n---\n\n# x\n\n- 2026-09-18 was a Friday\n- 2026-09-18T19:05+01:00 lit\n- 2026-09-18T20:10+01:00 on, pit 112 °C\n", 0,
		[]string{"8:1: this entry and 1 below it are outside the timeline, so kept as prose; put a line \"## Timeline\" above them"}},
	{"an entry after the timeline", "---\ntitle: x\n---\n\n## Timeline\n\n- 2026-09-18T19:05+01:00 lit\n\n## Notes\n\n- 2026-09-18T20:10+01:00 on\n- 2026-09-18T21:00+01:00 a fine evening\n", 1,
		[]string{"11:1: this entry is outside the timeline, so kept as prose; put a line \"## Timeline\" above it"}},
	{"prose alone", "words\n", 0, []string{"1: no front matter; expected a line --- at the top, keys such as title:, and --- again"}},
	{"newer", "---\nashbook: 2\n---\n", 0, []string{"2:10: format version 2 is newer than 1, the newest known here; some of it may be read wrongly"}},
	{"no version", "---\nashbook: two\n---\n", 0, []string{"2:10: ashbook \"two\": expected the version of the format, 1"}},
	{"bad values", `---
pieces:
  - {name: é, raw: five kilo, core: 300 °C}
  - {name: É, thick: 90 cm, raw: 0 kg}
  - {name: 'a, b'}
weather: {air: 12, wind: 5 bananas, humidity: 180 %}
aim: {pit: 500 °F, core: hot, wrap: leaf at 72 °C}
serve: tomorrow
heads: -3
title: {a: b}
pan: [x]
fuel: [lump]
yield: none
salted:
  rate: 900 g/kg
tasting:
  - {eater: RT, salt: 6+, bark: 11}
  - {eater: rt}
---
`, 0, []string{
		`3:20: raw: weight "five kilo": "five" is not a number; expected a number and kg, g, lb or oz`,
		`3:37: core "300 °C": likely a slip; expected -30 to 130 °C`,
		`4:5: two pieces are named "É"; give each its own name`,
		`4:22: thick "90 cm": likely a slip; expected 0.1 to 60 cm`,
		`4:34: raw "0 kg": likely a slip; expected 0.001 to 80 kg`,
		`5:5: piece "a, b": a line of the timeline cannot name it; expected a name without comma or dash`,
		`6:16: air "12": no unit; read as °C`,
		`6:26: wind: speed "5 bananas": unit "bananas" not known; expected a number and m/s, km/h or mph`,
		`6:47: humidity "180 %": likely a slip; expected 0 to 100 %`,
		`7:26: core: temperature "hot": "hot" is not a number; expected a number and °C or °F`,
		`7:37: wrap: "leaf at 72 °C": expected none, foil, paper, boat or pan, perhaps with the core such as paper at 72 °C`,
		`8:8: serve: time "tomorrow": expected one such as 2026-09-19T13:00+01:00`,
		`9:8: heads: "-3": expected a whole number`,
		`10:8: title has keys of its own: expected one value`,
		`11:6: pan is a list: expected one value`,
		`12:7: fuel is a list: expected keys in braces, such as {kind: …}; known are kind, loaded, left`,
		`13:8: yield "none": expected keys in braces, such as {off: …}; known are off, discard, left`,
		`15:9: rate "900 g/kg": likely a slip; expected 0 to 100 g/kg`,
		`17:33: bark: score "11": expected 1 to 9, with + for too much or - for too little`,
		`18:5: eater "rt" has two rows; keep one`,
	}},
	{"bad lines", `---
pieces: [large, small]
---
## Timeline
- 2026-09-18T19:05+01:00 lit
- 2026-13-40T01:00 vent
- 25:00 vent
- 2:15 pm wrap foil
-20:05 spritz
2026-09-18T20:06+01:00 lid
- hello
2026-09 was a good year
- é 20:10 not a time
- 20:10 größer, pit 112, core larg 68 °C, bark 9 -- pit 113, bark 9
- 20:20 pit 900 °C, core large 290 °F, aim core 140 °C, wood cherry 900 kg, recheck 3000 min
- 20:30 off to bed, pit 112,5
- 20:40 pit 900, off to the hall and bed
`, 5, []string{
		`6:3: time "2026-13-40T01:00": expected one such as 2026-09-19T13:00+01:00; the line is kept as prose`,
		`7:3: time "25:00": expected a clock of 24 hours such as 01:04, or a date and time such as 2026-09-19T01:04+01:00; the line is kept as prose`,
		`8:3: time "2:15": expected a clock of 24 hours such as 01:04, or a date and time such as 2026-09-19T01:04+01:00; the line is kept as prose`,
		`9:2: time "20:05": expected a hyphen and a space before it; the line is kept as prose`,
		`10:1: time "2026-09-18T20:06+01:00": expected a hyphen and a space before it; the line is kept as prose`,
		`14:17: pit "112": no unit; read as °C`,
		`14:26: core: temperature "larg 68 °C": "larg" is not a number; expected a number and °C or °F; kept as words`,
		`14:43: bark: "9" is not a grade; expected 0 to 4; kept as words`,
		`15:9: pit "900 °C": likely a slip; expected -40 to 400 °C`,
		`15:21: core "290 °F": likely a slip; expected -22 to 266 °F`,
		`15:40: aim core "140 °C": likely a slip; expected -30 to 130 °C`,
		`15:57: wood "900 kg": likely a slip; expected 0 to 500 kg`,
		`15:77: recheck "3000 min": likely a slip; expected 1 to 1440 min`,
		`16:21: pit "112,5": no unit; read as °C`,
		`17:9: pit "900": no unit; read as °C`,
	}},
}

func TestDoubtful(t *testing.T) {
	for _, test := range doubtful {
		t.Run(test.name, func(t *testing.T) {
			for _, nl := range []string{"\n", "\r\n"} {
				f, err := Parse("cook.md", []byte(strings.ReplaceAll(test.text, "\n", nl)), Options{})
				if err != nil {
					t.Fatal(err)
				}
				var got []string
				for _, p := range f.Problems {
					if !p.Warning {
						t.Errorf("not a warning: %v", p)
					}
					got = append(got, strings.TrimPrefix(p.Error(), "cook.md:"))
				}
				if !slices.Equal(got, test.want) {
					t.Errorf("got\n%s", strings.Join(got, "\n"))
				}
				if len(f.Cook.Entries) != test.entries {
					t.Errorf("%d entries, want %d", len(f.Cook.Entries), test.entries)
				}
				if len(f.Cook.Pieces) == 0 {
					t.Error("no pieces")
				}
			}
		})
	}
}

func TestLenient(t *testing.T) {
	f := parse(t, "\ufeff\n---  \ntitle: 0079\ncut: 'null'\nsupplier: null\npan: ~\nwood: cherry\nfuel: lump\nrub: hall-rub\npieces: [large, {name: small}]\naim: {wrap: Foil}\nown: {x: 1}\nheads:\n---")
	if len(f.Problems) > 0 {
		t.Error(f.Problems)
	}
	c := f.Cook
	got := fmt.Sprint(c.Title, c.Cut, c.Supplier, c.Pan, c.Wood, c.Fuel.Kind, c.Rub.Mix, c.PieceNames(), c.Aim.Wrap.Kind, c.Heads)
	if want := "0079null[{cherry }]lumphall-rub[large small]foil0"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestUnitsOfTheReader(t *testing.T) {
	text := "---\naim: {pit: 230}\n---\n## Timeline\n- 2026-09-18T19:05-06:00 pit 234\n"
	f, err := Parse("cook.md", []byte(text), Options{Settings: journal.Settings{Units: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := fmt.Sprint(f.Problems), `[cook.md:2:12: pit "230": no unit; read as °F cook.md:5:26: pit "234": no unit; read as °F]`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if pit := f.Cook.Aim.Pit.Base; pit != 110 {
		t.Errorf("230 °F is %g °C", pit)
	}
}

func TestParseSettings(t *testing.T) {
	const text = `---
units: us
hot hold: 140
pit: drum
altitude: 1400 m
recheck: {vent: 15 min, wood: 45, lunch: 5 min, bark: soon}
---
`
	s, problems, err := ParseSettings("journal.md", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if s.HotHold.Base != 60 || s.Pit != "drum" || s.Altitude.Base != 1400 || len(s.Recheck) != 2 || s.Recheck[journal.Vent].Base != 900 {
		t.Errorf("read as %+v", s)
	}
	want := []string{
		`journal.md:3:11: hot hold "140": no unit; read as °F`,
		`journal.md:6:31: recheck wood "45": no unit; read as min`,
		`journal.md:6:35: recheck "lunch": expected an act such as vent, wood or bark`,
		`journal.md:6:55: recheck bark: duration "soon": "soon" is not a number; expected a number and min, h, s or d`,
	}
	for i, p := range problems {
		if i >= len(want) || p.Error() != want[i] {
			t.Errorf("problem %v", p)
		}
	}
	if len(problems) != len(want) {
		t.Errorf("%d problems, want %d", len(problems), len(want))
	}
}

// The limit is that of the FDA Food Code 2022, section 3-501.16(A)(1).
func TestHotHoldBelowTheLimit(t *testing.T) {
	for text, kept := range map[string]bool{"56.9 °C": false, "134 °F": false, "57 °C": true, "135 °F": true, "63 °C": true} {
		s, problems, err := ParseSettings("journal.md", []byte("---\nhot hold: "+text+"\n---\n"))
		if err != nil {
			t.Fatal(err)
		}
		if s.HotHold.Known != kept || kept != (len(problems) == 0) {
			t.Errorf("%s: kept %v, problems %v", text, s.HotHold.Known, problems)
		}
	}
	_, problems, _ := ParseSettings("journal.md", []byte("---\nhot hold: 50 °C\n---\n"))
	if got, want := fmt.Sprint(problems), `[journal.md:2:11: hot hold "50 °C": below 57 °C, the lowest the FDA Food Code allows; 60 °C is used instead]`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestParsePit(t *testing.T) {
	p, problems, err := ParsePit("pits/brick.md", []byte("---\nkind: Brick\npit is: setting\ngrate: 60 cm\noffset: 10 °F\n---\nBuilt by hand.\n"))
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	// A difference of 10 °F is 10 × 5/9 K.
	if p.Name != "brick" || p.Kind != journal.Brick || !p.Setting || p.Grate.Across.Base != .6 || p.Offset.Base < 5.555 || p.Offset.Base > 5.556 {
		t.Errorf("read as %+v", p)
	}
	p, problems, err = ParsePit("pits/cabinet.md", []byte("---\ngrate: 100 x 50 cm\ntiers: 2\nfits: 14 of 4.7 kg pork shoulder\n---\n"))
	if err != nil || len(problems) > 0 || p.Grate.Across.Base != 1 || p.Grate.Deep.Base != .5 || p.Tiers != 2 || p.Fits.Pieces != 14 || p.Fits.Cut != "pork shoulder" {
		t.Errorf("read as %+v, %v, %v", p, problems, err)
	}
	_, problems, _ = ParsePit("pits/x.md", []byte("---\ngrate: 100 x 50 m\ntiers: two\nfits: plenty\n---\n"))
	if got, want := fmt.Sprint(problems), `[pits/x.md:2:8: grate "100 m": likely a slip; expected 0.1 to 5 m pits/x.md:2:8: grate "50 m": likely a slip; expected 0.1 to 5 m pits/x.md:3:8: tiers: "two": expected a whole number pits/x.md:4:7: fits: "plenty": expected how many of which piece, such as 6 of 4.7 kg pork shoulder]`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	_, problems, _ = ParsePit("pits/x.md", []byte("---\nkind: rocket\npit is: guessed\n---\n"))
	if got, want := fmt.Sprint(problems), `[pits/x.md:2:7: kind: "rocket": expected one of [ceramic kettle bullet drum offset brick cabinet pellet other] pits/x.md:3:9: pit is: "guessed": expected measured or setting]`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// A line of a megabyte is read normally, in prose and in the timeline.
func TestLongLines(t *testing.T) {
	long := strings.Repeat("smoke ", 1<<20/6)
	f := parse(t, "---\ntitle: x\n---\n"+long+"\n\n## Timeline\n- 2026-09-18T19:05+01:00 lit — "+long+"\n- 2026-09-18T20:05+01:00 on\n")
	if len(f.Cook.Entries) != 2 || len(f.Cook.Entries[0].Words) != len(long)-1 {
		t.Errorf("%d entries", len(f.Cook.Entries))
	}
}
