package text

import (
	"strings"
	"testing"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

func lines(p page.Page, width int) []string {
	var out []string
	for _, l := range Set(p, width, -1).Lines {
		out = append(out, l.Text)
	}
	return out
}

var sample = page.Page{
	Title: "Harvest supper", Aside: "Sat 19 Sep 2026 · on",
	Lead: []string{"pork shoulder, 4.7 + 3.6 kg, brick pit; serve 24 at Sat 13:00."},
	Sections: []page.Section{
		{Heading: "Set-up", Facts: []page.Fact{{Name: "rub", Value: "hall-rub"}, {Name: "outdoor air", Value: "9 °C"}}},
		{Heading: "What differed", Table: page.Table{
			Columns: []page.Column{{}, {Title: "this cook", Right: true}, {Title: "usual", Right: true}},
			Rows: []page.Row{
				{Heading: "readings"},
				{Mark: true, Cells: []string{"pit, mean", "119 °C¹", "110 °C"}},
				{Cells: []string{"lid opened", "3", "4"}},
			},
		}},
	},
	Notes: []string{"the setting; no pit reading was noted"},
}

func TestRender(t *testing.T) {
	const want = `Harvest supper                Sat 19 Sep 2026 · on
pork shoulder, 4.7 + 3.6 kg, brick pit; serve 24
at Sat 13:00.

Set-up
  rub          hall-rub
  outdoor air  9 °C

What differed
              this cook   usual
  readings
≠ pit, mean     119 °C¹  110 °C
  lid opened          3       4
  ¹ the setting; no pit reading was noted
`
	if got := Render(sample, 50); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

func TestNoLineIsWiderThanAsked(t *testing.T) {
	p := sample
	p.Sections = append(p.Sections, page.Section{Lines: []string{strings.Repeat("word ", 60)}},
		page.Section{Facts: []page.Fact{{Name: "notes", Value: strings.Repeat("long text ", 30)}}})
	for _, width := range []int{40, 60, 80, 132} {
		for _, l := range lines(p, width) {
			if w := ansi.StringWidth(l); w > width {
				t.Errorf("at %d: %d cells: %q", width, w, l)
			}
		}
	}
}

func TestTextOfFilesIsCleaned(t *testing.T) {
	evil := "x\x1b]52;c;aGk=\x07\u202e\ny"
	p := page.Page{Title: evil, Aside: evil, Lead: []string{evil}, Notes: []string{evil}, Sections: []page.Section{{
		Heading: evil, Lines: []string{evil}, Facts: []page.Fact{{Name: evil, Value: evil}},
		Table: page.Table{Columns: []page.Column{{Title: evil}}, Rows: []page.Row{{Heading: evil, Cells: []string{evil}}}},
	}}}
	for _, width := range []int{0, 30, 200} {
		if got := Render(p, width); strings.ContainsAny(got, "\x1b\x07\u202e") {
			t.Errorf("at %d: %q", width, got)
		}
	}
}

// Numbers stay with their units, and cook IDs stay whole.
func TestWrapKeepsTogether(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  string
	}{
		{"pit hotter by +2 °C for 3 h 05", 28, "pit hotter by +2 °C for|3 h 05"},
		{"it may be off by ± 20 min or so", 21, "it may be off by|± 20 min or so"},
		{"with it: 2025-03-05-snow-lunch alone", 16, "with it:|2025-03-05-snow-|lunch alone"},
		{"with it: 2025-03-05-snow-lunch alone", 24, "with it:|2025-03-05-snow-lunch|alone"},
		{"hall-rub or so", 7, "hall-|rub or|so"},
		{"held 8 in 10 cooks", 12, "held 8 in 10|cooks"},
	} {
		if got := strings.Join(wrap(c.text, c.width), "|"); got != c.want {
			t.Errorf("%q at %d: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}
