package mixfile

import (
	"errors"
	"math"
	"strings"
	"testing"

	"ashbook/journal"
)

const good = `---
# by the hand that made it
ashbook: 1
for: 2 kg meat
parts:
  black pepper: 14 g
  "salt, flaky": 0.5 oz
own: {anything: 3}
salt: 14 g
---

# The rub

Grind it late.
`

func TestParse(t *testing.T) {
	m, problems, err := Parse("mixes/the-rub.md", []byte(good))
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	if m.Name != "the-rub" || m.Title != "The rub" || m.For != (journal.Portion{Of: journal.ForMeat, Amount: 2}) || !strings.HasSuffix(m.Prose, "Grind it late.\n") {
		t.Errorf("%+v", m)
	}
	if len(m.Parts) != 2 || m.Parts[0].Name != "black pepper" || m.Parts[1].Name != "salt, flaky" || math.Abs(m.Parts[1].Mass.Base-.014174762) > 1e-9 {
		t.Errorf("%+v", m.Parts)
	}
	if !m.Salt.Known || m.Salt.Base != .014 || m.Sugar.Known {
		t.Errorf("%+v", m)
	}
}

// Each fault is reported with its place, and the rest is read.
func TestProblems(t *testing.T) {
	for _, c := range []struct{ front, want string }{
		{"for: 1 kg meat\nparts: {salt: 0 tbsp}", `3:15: salt "0 tbsp": a volume, and what it weighs depends on how it is filled; expected a weight such as 12 g`},
		{"for: 1 kg meat\nparts: {salt: 0 g}", `3:15: salt "0 g": no weight; expected a weight above zero, or delete it`},
		{"for: 1 kg meat\nparts: {salt: -3 g}", `3:15: salt "-3 g": below zero; expected a weight such as 12 g`},
		{"for: 1 kg meat\nparts: {salt: 12}", `3:15: salt "12": no unit; expected a weight such as 12 g`},
		{"for: 1 kg meat\nparts: {salt: }", `3:15: salt has no weight; expected a weight such as 12 g`},
		{"for: 1 kg meat\nparts: {salt: [1 g]}", `3:15: salt has more than one value; expected a weight such as 12 g`},
		{"for: 1 kg meat\nparts: {salt: some}", `3:15: salt weight "some": "some" is not a number; expected a number and kg, g, lb or oz`},
		{"for: 1 kg meat\nparts: {salt: 60 kg}", `3:15: salt "60 kg": likely a slip; expected at most 50 kg`},
		{"for: 1 kg meat\nparts: [salt]", `3:8: parts: expected names and weights, such as {salt: 12 g}`},
		{"for: 1 kg meat", `2:1: parts: missing; expected names and weights, such as {salt: 12 g}`},
		{"parts: {salt: 1 g}", `2:1: for: missing; expected the amount that the parts are enough for, such as 1 kg meat, 1 head or 1 l`},
		{"for: 1 kg meat, 1 head\nparts: {salt: 1 g}", `2:6: for "1 kg meat, 1 head": expected one amount above zero, such as 1 kg meat, 1 head or 1 l`},
		{"for: 1 head\nparts: {salt: 1 g}\nacid: 5 ml", `4:7: acid "5 ml": a volume, and what it weighs depends on how it is filled; expected a weight such as 12 g`},
		{"ashbook: 2\nfor: 1 head\nparts: {salt: 1 g}", `2:10: ashbook "2": expected the version of the format, 1`},
	} {
		m, problems, err := Parse("mixes/x.md", []byte("---\n"+c.front+"\n---\n"))
		if err != nil || len(problems) != 1 || !problems[0].Warning || problems[0].Error() != "mixes/x.md:"+c.want {
			t.Errorf("%s:\ngot  %v %v\nwant %s", c.front, problems, err, c.want)
		}
		if m.Name != "x" {
			t.Errorf("%+v", m)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"---\nfor: [\n---\n", "mixes/x.md:3:1: front matter: "},
		{"---\nfor: 1 l\nfor: 2 l\n---\n", `mixes/x.md:3:1: key "for" is there twice, first on line 2; keep one`},
		{"---\nfor: 1 l\n", "mixes/x.md:1:1: front matter is not closed"},
	} {
		_, _, err := Parse("mixes/x.md", []byte(c.text))
		var p journal.Problem
		if !errors.As(err, &p) || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q: %v, want %s", c.text, err, c.want)
		}
	}
	if _, problems, err := Parse("mixes/x.md", []byte("# Rub\n\nsalt and pepper\n")); err != nil || len(problems) != 1 {
		t.Error(problems, err)
	}
}

// For any file, weights are above zero or not recorded, and every problem has a place.
func FuzzParse(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte("---\nfor: 1 l\nparts: {a: 1 g, b: [], c: {}}\nsalt: {x: y}\n---\n# "))
	f.Add([]byte("---\n---\n"))
	f.Add([]byte("---\n? [a]\n: b\nparts: {? {a: 1} : 2 g}\n---\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, problems, err := Parse("mixes/x.md", data)
		if err != nil && (len(problems) > 0 || m.Name != "") {
			t.Fatalf("%v beside %+v %v", err, m, problems)
		}
		for _, p := range problems {
			if p.File != "mixes/x.md" || p.Line < 1 || p.Text == "" {
				t.Fatalf("%+v", p)
			}
		}
		for _, p := range m.Parts {
			if p.Mass.Known && !(p.Mass.Base > 0) {
				t.Fatalf("%+v", p)
			}
		}
		if m.For.Of != journal.NoPortion && !(m.For.Amount > 0) {
			t.Fatalf("%+v", m.For)
		}
	})
}
