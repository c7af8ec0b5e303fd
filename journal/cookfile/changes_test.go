package cookfile

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestChanges(t *testing.T) {
	const was = `---
title: Harvest supper
aim: {pit: 115 °C}
keep: cherry
---

# Harvest supper

Pale words.

## Timeline

- 2026-09-18T19:05+01:00 lit
- 2026-09-18T20:10+01:00 on, pit 112 °C
- 2026-09-18T23:00+01:00 vent
- 2026-09-19T01:04+01:00 pit 104 °C
`
	const is = `---
title: Harvest supper
aim: {pit: 120 °C}
heads: 24
---

# Harvest supper

Other words.

## Timeline

- 2026-09-18T19:05+01:00 lit
- 2026-09-18T20:10+01:00 on, pit 113 °C
- 2026-09-19T01:02+01:00 pit 104 °C
- 2026-09-19T02:00+01:00 off

`
	var got []string
	for _, c := range Changes("2026-09-18-x.md", []byte(was), []byte(is), Options{}) {
		text := c.Was + " > " + c.Is
		if c.Old != nil {
			text = c.Old.Body() + " > " + c.Is
		}
		if c.New != nil {
			text = strings.Replace(text, c.Is, c.New.Time.Format("15:04 ")+c.New.Body(), 1)
		}
		got = append(got, text)
	}
	want := []string{
		"aim: {pit: 115 °C} > aim: {pit: 120 °C}", "keep: cherry > ", "Pale words. > ",
		"on, pit 112 °C > 20:10 on, pit 113 °C", "vent > ", "pit 104 °C > 01:02 pit 104 °C",
		" > heads: 24", " > Other words.", " > 02:00 off",
	}
	if !slices.Equal(got, want) {
		t.Errorf("changes\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if got := Changes("x.md", []byte(was), []byte(was+"\n\n"), Options{}); len(got) != 0 {
		t.Errorf("blank lines: %v", got)
	}
	broken := strings.Replace(was, "aim:", "title:", 1)
	if got := Changes("2026-09-18-x.md", []byte(was), []byte(broken), Options{}); len(got) != 2 || got[0].Was != "aim: {pit: 115 °C}" || got[1].Is != "title: {pit: 115 °C}" {
		t.Errorf("a text that cannot be read: %v", got)
	}
}

// The removed and added lines account for every difference.
func TestChangesAccountForEveryLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c: 1", "c: 2", "- 2026-09-18T19:05+01:00 lit", "- 2026-09-18T19:06+01:00 lit", "## Timeline"}), 0, 12)
		was, is := lines.Draw(t, "was"), lines.Draw(t, "is")
		have := map[string]int{}
		for _, l := range was {
			have[l]++
		}
		for _, c := range Changes("2026-09-18-x.md", []byte(strings.Join(was, "\n")), []byte(strings.Join(is, "\n")), Options{}) {
			if c.Was == "" && c.Is == "" || c.Was == c.Is {
				t.Fatalf("%+v is no change", c)
			}
			have[c.Was]--
			have[c.Is]++
		}
		for _, l := range is {
			have[l]--
		}
		delete(have, "")
		for l, n := range have {
			if n != 0 {
				t.Fatalf("%q %+d times, from %q to %q", l, n, was, is)
			}
		}
	})
}
