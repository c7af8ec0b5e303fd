package merge

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal/cookfile"
)

const night = `---
ashbook: 1
title: Shearing supper
cut: pork shoulder
pieces:
  - {name: large, raw: 4.6 kg, bone: in} # the one with the cap
  - {name: small, raw: 3.1 kg}
wood: [{kind: oak, mass: 230 g}]
pit: drum
aim: {pit: 110 °C, core: 94 °C}
serve: 2024-06-08T13:00+01:00
tasting:
  - {eater: RT, moisture: 7, bark: 6+}
---

# Shearing supper

First one for the hall.

## Timeline

- 2024-06-07T19:15+01:00 lit
- 2024-06-07T20:30+01:00 on, pit 115 °C
- 22:20 pit 107 °C, core large 35 °C
- 00:52 core large 63 °C, vent, bark 0
- 2024-06-08T10:00+01:00 core large 94 °C, feel 3, off

## Afterwards

- [ ] wash the drum
`

func edited(t *testing.T, text string, pairs ...string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if strings.Count(text, pairs[i]) != 1 {
			t.Fatalf("%q stands %d times in the text", pairs[i], strings.Count(text, pairs[i]))
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

var (
	early = time.Date(2024, 6, 7, 21, 4, 0, 0, time.FixedZone("", 3600))
	late  = early.Add(time.Hour)
)

// both merges two versions in both orders and requires the same bytes.
func both(t *testing.T, base, ann, ben string) (string, []Conflict) {
	t.Helper()
	a, b := Version{Text: []byte(ann), By: "Ann", At: early}, Version{Text: []byte(ben), By: "Ben", At: late}
	text, conflicts := Cook("cooks/2024/2024-06-07-shearing.md", []byte(base), a, b, cookfile.Options{})
	other, _ := Cook("cooks/2024/2024-06-07-shearing.md", []byte(base), b, a, cookfile.Options{})
	if string(text) != string(other) {
		t.Errorf("the other way round:\n%s\nis not\n%s", other, text)
	}
	return string(text), conflicts
}

func TestCook(t *testing.T) {
	cases := []struct {
		name      string
		ann, ben  []string // replacements made by each, in pairs of old and new
		want      []string // replacements that give the merge, in pairs of old and new
		conflicts []string
	}{{
		name: "an entry of each",
		ann:  []string{"- 00:52", "- 2024-06-07T23:05+01:00 pit 106 °C\n- 00:52"},
		ben:  []string{"- 00:52", "- 2024-06-07T23:49+01:00 lid\n- 00:52"},
		want: []string{"- 00:52", "- 2024-06-07T23:05+01:00 pit 106 °C\n- 2024-06-07T23:49+01:00 lid\n- 00:52"},
	}, {
		name: "the same entry of both is one",
		ann:  []string{"- 00:52", "- 2024-06-07T23:05+01:00 pit 106 °C\n- 00:52"},
		ben:  []string{"- 00:52", "- 2024-06-07T23:05+01:00 pit 106 °C\n- 2024-06-07T23:49+01:00 lid\n- 00:52"},
		want: []string{"- 00:52", "- 2024-06-07T23:05+01:00 pit 106 °C\n- 2024-06-07T23:49+01:00 lid\n- 00:52"},
	}, {
		name: "taken out by one",
		ann:  []string{"- 22:20 pit 107 °C, core large 35 °C\n", ""},
		ben:  []string{"feel 3, off\n", "feel 3, off\n- 10:22 boxed\n"},
		want: []string{"- 22:20 pit 107 °C, core large 35 °C\n", "", "feel 3, off\n", "feel 3, off\n- 10:22 boxed\n"},
	}, {
		name: "two corrections of one entry",
		ann:  []string{"core large 63 °C, vent, bark 0", "core large 62 °C, vent, bark 0"},
		ben:  []string{"core large 63 °C, vent, bark 0", "core large 63 °C, vent, bark 1"},
		want: []string{"- 00:52 core large 63 °C, vent, bark 0", "- 2024-06-08T00:52+01:00 core large 62 °C, vent, bark 1"},
	}, {
		name: "one item corrected by both: both lines stay",
		ann:  []string{"core large 63 °C, vent, bark 0", "core large 62 °C, vent, bark 0"},
		ben:  []string{"core large 63 °C, vent, bark 0", "core large 65 °C, vent, bark 0"},
		want: []string{"- 00:52 core large 63 °C, vent, bark 0", "- 2024-06-08T00:52+01:00 core large 65 °C, vent, bark 0\n- 2024-06-08T00:52+01:00 core large 62 °C, vent, bark 0",
			"bark: 6+}\n---", "bark: 6+}\nalso:\n  - {entry: \"2024-06-08T00:52+01:00 core large 65 °C, vent, bark 0\", other: \"2024-06-08T00:52+01:00 core large 62 °C, vent, bark 0\", by: Ann, at: 2024-06-07T21:04+01:00}\n---"},
		conflicts: []string{"core large 6"},
	}, {
		name:      "corrected by one, taken out by the other",
		ann:       []string{"core large 63 °C, vent, bark 0", "core large 62 °C, vent, bark 0"},
		ben:       []string{"- 00:52 core large 63 °C, vent, bark 0\n", ""},
		want:      []string{"core large 63 °C, vent, bark 0", "core large 62 °C, vent, bark 0"},
		conflicts: []string{"Ben removed it"},
	}, {
		name: "an entry above a bare clock time dates that",
		ann:  []string{"- 00:52", "- 2024-06-07T23:05+01:00 pit 106 °C\n- 00:52"},
		ben:  []string{"- 2024-06-07T20:30+01:00 on, pit 115 °C\n", ""},
		want: []string{"- 2024-06-07T20:30+01:00 on, pit 115 °C\n", "", "- 00:52", "- 2024-06-07T23:05+01:00 pit 106 °C\n- 00:52"},
	}, {
		name: "keys of each",
		ann:  []string{"pit: drum\n", "pit: brick\n", "raw: 3.1 kg}", "raw: 3.1 kg, trimmed: 2.9 kg}"},
		ben:  []string{"pit: drum\n", "pit: drum\npan: dry\n", "{name: large, raw: 4.6 kg", "{name: large, raw: 4.5 kg"},
		want: []string{"pit: drum\n", "pit: brick\npan: dry\n", "raw: 3.1 kg}", "raw: 3.1 kg, trimmed: 2.9 kg}", "{name: large, raw: 4.6 kg", "{name: large, raw: 4.5 kg"},
	}, {
		name:      "one key set by both: the later stands, the other beside it",
		ann:       []string{"serve: 2024-06-08T13:00+01:00", "serve: 2024-06-08T12:30+01:00"},
		ben:       []string{"serve: 2024-06-08T13:00+01:00", "serve: 2024-06-08T14:00+01:00"},
		want:      []string{"serve: 2024-06-08T13:00+01:00", "serve: 2024-06-08T14:00+01:00", "bark: 6+}\n---", "bark: 6+}\nalso:\n  - {serve: 2024-06-08T12:30+01:00, by: Ann, at: 2024-06-07T21:04+01:00}\n---"},
		conflicts: []string{"serve: 2024-06-08T14:00+01:00 is kept; Ann wrote 2024-06-08T12:30+01:00"},
	}, {
		name:      "two keys set by both: the rows in order of their bytes",
		ann:       []string{"title: Shearing supper", "title: Lambs", "pit: drum\n", "pit: kettle\n"},
		ben:       []string{"title: Shearing supper", "title: Wool", "pit: drum\n", "pit: brick\n"},
		want:      []string{"title: Shearing supper", "title: Wool", "pit: drum\n", "pit: brick\n", "bark: 6+}\n---", "bark: 6+}\nalso:\n  - {pit: kettle, by: Ann, at: 2024-06-07T21:04+01:00}\n  - {title: Lambs, by: Ann, at: 2024-06-07T21:04+01:00}\n---"},
		conflicts: []string{"title: Wool is kept", "pit: brick is kept"},
	}, {
		name: "a correction beside a new entry of the same minute",
		ann:  []string{"- 00:52 core large 63 °C, vent, bark 0", "- 00:52 core small 60 °C\n- 00:52 core large 62 °C, vent, bark 0"},
		ben:  []string{"vent, bark 0", "vent, bark 1"},
		want: []string{"- 00:52 core large 63 °C, vent, bark 0", "- 2024-06-08T00:52+01:00 core large 62 °C, vent, bark 1\n- 00:52 core small 60 °C"},
	}, {
		name:      "within a row",
		ann:       []string{"moisture: 7, bark: 6+", "moisture: 8, bark: 6+"},
		ben:       []string{"moisture: 7, bark: 6+", "moisture: 6, bark: 5"},
		want:      []string{"moisture: 7, bark: 6+}\n---", "moisture: 6, bark: 5}\nalso:\n  - {tasting: {eater: RT, moisture: 8}, by: Ann, at: 2024-06-07T21:04+01:00}\n---"},
		conflicts: []string{"moisture: 6 is kept; Ann wrote 8"},
	}, {
		name: "two eaters, two woods",
		ann:  []string{"  - {eater: RT", "  - {eater: MB, overall: 7}\n  - {eater: RT", "mass: 230 g}]", "mass: 230 g}, {kind: cherry, mass: 90 g}]"},
		ben:  []string{"bark: 6+}\n", "bark: 6+}\n  - {eater: GH, overall: 5}\n", "kind: oak, mass: 230 g}]", "kind: oak, mass: 240 g}, {kind: apple}]"},
		want: nil, // its conflict is checked below
	}, {
		name: "a row added by one, the only other one taken out by the other",
		ann:  []string{"wood: [{kind: oak, mass: 230 g}]\n", ""},
		ben:  []string{"kind: oak, mass: 230 g}]", "kind: oak, mass: 230 g}, {kind: apple}]"},
		want: []string{"wood: [{kind: oak, mass: 230 g}]\n", "", "bark: 6+}\n", "bark: 6+}\nwood:\n  - {kind: apple}\n"},
	}, {
		name:      "changed by one, taken out by the other: the change stays",
		ann:       []string{"pit: drum\n", "pit: brick\n"},
		ben:       []string{"pit: drum\n", ""},
		want:      []string{"pit: drum\n", "pit: brick\n"},
		conflicts: []string{"pit: brick stays; Ben removed it"},
	}, {
		name: "prose and tasks",
		ann:  []string{"First one for the hall.\n", "First one for the hall.\n\nNever again.\n", "- [ ] wash", "- [x] wash"},
		ben:  []string{"First one for the hall.\n", "First one for the hall.\n\nMore salt.\n", "the drum\n", "the drum\n- [ ] buy foil\n"},
		want: []string{"First one for the hall.\n", "First one for the hall.\n\nMore salt.\n\nNever again.\n", "- [ ] wash the drum\n", "- [x] wash the drum\n- [ ] buy foil\n"},
	}}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, conflicts := both(t, night, edited(t, night, c.ann...), edited(t, night, c.ben...))
			if want := edited(t, night, c.want...); c.want != nil && got != want {
				t.Errorf("merged:\n%s\nwant:\n%s", got, want)
			}
			if c.want == nil {
				for _, w := range []string{"eater: MB", "eater: GH", "kind: cherry, mass: 90 g", "kind: oak, mass: 240 g", "kind: apple"} {
					if strings.Count(got, w) != 1 {
						t.Errorf("%q stands %d times in\n%s", w, strings.Count(got, w), got)
					}
				}
			}
			if len(conflicts) != len(c.conflicts) {
				t.Fatalf("conflicts %v, want %q", conflicts, c.conflicts)
			}
			for i, w := range c.conflicts {
				if !strings.Contains(conflicts[i].String(), w) {
					t.Errorf("conflicts %q, want %q in it", conflicts[i], w)
				}
			}
		})
	}
}
