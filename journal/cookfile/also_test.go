package cookfile

import (
	"strings"
	"testing"

	"ashbook/journal/measure"
)

const settled = `---
title: Harvest supper
pieces:
  - {name: large, raw: 4.6 kg} # the one with the cap
wood: [{kind: oak, mass: 230 g}]
serve: 2026-09-19T14:00+01:00
rub: hall-rub
tasting:
  - {eater: RT, moisture: 6}
---

## Timeline

- 2026-09-19T00:52+01:00 core large 62 °C, vent
- 00:52 core large 65 °C, vent
- 2026-09-19T10:00+01:00 off
`

// withAlso returns a cook with these also rows.
func withAlso(rows ...string) string {
	return strings.Replace(settled, "  - {eater: RT, moisture: 6}\n", "  - {eater: RT, moisture: 6}\nalso:\n  - "+strings.Join(rows, "\n  - ")+"\n", 1)
}

// A conflict is described in words, either value can be chosen, and nothing else in the
// file changes.
func TestSettle(t *testing.T) {
	cases := []struct{ row, says, stands, other string }{
		{"{serve: 2026-09-19T12:30+01:00, by: Ann, at: 2026-09-18T21:04+01:00}", "serve 14:00; Ann said 12:30", settled, strings.Replace(settled, "T14:00", "T12:30", 1)},
		{"{serve: 2026-09-20T12:30+01:00}", "serve Sat 19 Sep 14:00; someone said Sun 20 Sep 12:30", settled, strings.Replace(settled, "2026-09-19T14:00", "2026-09-20T12:30", 1)},
		{"{tasting: {eater: rt, moisture: 8+}, by: Ann}", "tasting rt moisture 6; Ann said 8+", settled, strings.Replace(settled, "moisture: 6", "moisture: 8+", 1)},
		{"{pieces: {name: large, raw: 4.5 kg}, by: Ann}", "pieces large raw 4.6 kg; Ann said 4.5 kg", settled, strings.Replace(settled, "4.6 kg", "4.5 kg", 1)},
		{"{wood: {kind: oak, mass: 240 g}, by: Ann}", "wood oak mass 230 g; Ann said 240 g", settled, strings.Replace(settled, "230 g", "240 g", 1)},
		{"{wood: {kind: apple, mass: 90 g}, by: Ann}", "wood apple not set; Ann said {kind: apple, mass: 90 g}", settled, strings.Replace(settled, "mass: 230 g}", "mass: 230 g}, {kind: apple, mass: 90 g}", 1)},
		{"{supplier: market hall, by: Ann}", "supplier not set; Ann said market hall", settled, strings.Replace(settled, "moisture: 6}\n", "moisture: 6}\nsupplier: market hall\n", 1)},
		{"{rub: {mix: other-rub, rate: 12 g/kg}, by: Ann}", "rub hall-rub; Ann said {mix: other-rub, rate: 12 g/kg}", settled, strings.Replace(settled, "rub: hall-rub\n", "", 1)},
		{`{entry: "2026-09-19T00:52+01:00 core large 65 °C, vent", other: "2026-09-18T23:52Z core large 62 °C, vent", by: Ann}`,
			"00:52 core large 65 °C, vent; Ann said 00:52 core large 62 °C, vent",
			strings.Replace(settled, "- 2026-09-19T00:52+01:00 core large 62 °C, vent\n", "", 1), strings.Replace(settled, "- 00:52 core large 65 °C, vent\n", "", 1)},
	}
	for _, c := range cases {
		f, err := Parse("cooks/2026/2026-09-18-harvest.md", []byte(withAlso(c.row)), Options{})
		if err != nil || len(f.Cook.Others) != 1 || len(f.Problems) != 1 {
			t.Fatalf("%s: %v, %v, %v", c.row, f.Cook.Others, f.Problems, err)
		}
		if got := f.Cook.Others[0].String(); got != c.says {
			t.Errorf("%s\nsays %q, want %q", c.row, got, c.says)
		}
		for take, want := range map[bool]string{false: c.stands, true: c.other} {
			is, err := f.Settle(0, take)
			if err != nil {
				t.Errorf("%s: take %t: %v", c.row, take, err)
				continue
			}
			got := string(is.Bytes())
			// the mapping is where the value was, or below
			if strings.HasPrefix(c.row, "{rub") && take {
				if !strings.Contains(got, "rub: {mix: other-rub, rate: 12 g/kg}\n") {
					t.Errorf("%s: taken:\n%s", c.row, got)
				}
				got = strings.Replace(got, "rub: {mix: other-rub, rate: 12 g/kg}\n", "", 1)
			}
			if strings.Contains(c.row, "entry") { // the line below may now have its date
				got, want = strings.ReplaceAll(got, "- 2026-09-19T00:52+01:00", "- 00:52"), strings.ReplaceAll(want, "- 2026-09-19T00:52+01:00", "- 00:52")
			}
			if got != want {
				t.Errorf("%s: take %t:\n%s\nwant:\n%s", c.row, take, got, want)
			}
			if len(is.Cook.Others) != 0 {
				t.Errorf("%s: take %t leaves %v", c.row, take, is.Cook.Others)
			}
		}
	}
}

// Of several rows one is decided at a time.
func TestSettleOneOfTwo(t *testing.T) {
	f, err := Parse("c.md", []byte(withAlso("{serve: 2026-09-19T12:30+01:00, by: Ann}", "{serve: 2026-09-19T13:00+01:00, by: Ben}")), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if f, err = f.Settle(0, true); err != nil {
		t.Fatal(err)
	}
	if len(f.Cook.Others) != 1 || f.Cook.Others[0].String() != "serve 12:30; Ben said 13:00" {
		t.Errorf("left: %v", f.Cook.Others)
	}
	if f.Cook.Serve.Format(measure.Clock) != "12:30" {
		t.Errorf("serve %v", f.Cook.Serve)
	}
}

// An also row about an entry is decided once one of its lines is gone: it gives no
// warning, and the next correction removes it.
func TestSettledEntry(t *testing.T) {
	row := `{entry: "2026-09-19T00:52+01:00 core large 65 °C, vent", other: "2026-09-19T00:52+01:00 core large 66 °C", by: Ann}`
	f, err := Parse("c.md", []byte(withAlso(row)), Options{})
	if err != nil || len(f.Problems) > 0 || len(f.Cook.Others) > 0 {
		t.Fatalf("%v %v %v", f.Problems, f.Cook.Others, err)
	}
	if f, err = f.WithoutSettled(); err != nil || string(f.Bytes()) != settled {
		t.Errorf("%v:\n%s", err, f.Bytes())
	}
}
