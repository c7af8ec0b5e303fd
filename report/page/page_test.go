package page

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

func TestCleanKeepsHarmlessText(t *testing.T) {
	for _, s := range []string{"", "Harvest supper", "göt — 112 °C · ½ h, ≥ 57 °C", "日本 – naïve", "2 – 4 h ¹"} {
		if got := Clean(s); got != s {
			t.Errorf("Clean(%q) = %q", s, got)
		}
	}
}

// The sequences are from ECMA-48 (CSI, OSC, C1) and Unicode Standard Annex 9 (marks
// that change the writing direction).
func TestCleanDisarms(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"a\x1b[31mb", "a‹1B›[31mb"},
		{"\x1b]52;c;aGk=\x07", "‹1B›]52;c;aGk=‹07›"},
		{"a\u009b31mb", "a‹9B›31mb"},
		{"a\xffb", "a‹FF›b"},
		{"supper\u202etxt.exe", "supper‹202E›txt.exe"},
		{"\u2066x\u2069", "‹2066›x‹2069›"},
		{"a\u200bb\ufeffc", "a‹200B›b‹FEFF›c"},
		{"tab\tline\r\nend", "tab line  end"},
		{"a\u2028b", "a‹2028›b"},
		{"del\x7f", "del‹7F›"},
	} {
		if got := Clean(c.in); got != c.want {
			t.Errorf("Clean(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

func FuzzClean(f *testing.F) {
	f.Add("a\x1b]0;x\x07\u202e\xff")
	f.Fuzz(func(t *testing.T, s string) {
		got := Clean(s)
		if !utf8.ValidString(got) {
			t.Fatalf("Clean(%q) is not valid UTF-8", s)
		}
		for _, r := range got {
			if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Fatalf("Clean(%q) still contains %U", s, r)
			}
		}
		if Clean(got) != got {
			t.Fatalf("Clean(Clean(%q)) differs from Clean", s)
		}
	})
}

func TestNoteNumbersEachTextOnce(t *testing.T) {
	var p Page
	var marks []string
	for range 12 {
		marks = append(marks, p.Note("the same"))
	}
	if got := strings.Join(marks, ""); got != strings.Repeat("¹", 12) || len(p.Notes) != 1 {
		t.Errorf("marks %q, notes %q", got, p.Notes)
	}
	for i := range 11 {
		p.Note(strings.Repeat("x", i+1))
	}
	if got := NoteMark(len(p.Notes) - 1); got != "¹²" {
		t.Errorf("twelfth mark %q", got)
	}
}

func TestAddLeavesOutEmptySections(t *testing.T) {
	var p Page
	p.Add(Section{Heading: "nothing"})
	p.Add(Section{Lines: []string{"something"}})
	if len(p.Sections) != 1 {
		t.Errorf("%d sections", len(p.Sections))
	}
}

func TestMarks(t *testing.T) {
	var p Page
	text := ""
	for i := range 12 {
		text += "x" + p.Note(string(rune('a'+i))) + " "
	}
	got := Marks(text + "⁰ and 10 cm")
	if len(got) != 12 || got[0] != 0 || got[11] != 11 {
		t.Errorf("%v", got)
	}
}

// A page narrowed by words keeps what contains all of them, with its headings and
// footnotes.
func TestHolding(t *testing.T) {
	p := Page{Title: "Harvest supper", Lead: []string{"pork shoulder", "cherry wood"}}
	mark := p.Note("from memory")
	other := p.Note("the setting")
	p.Sections = []Section{
		{Heading: "Set-up", Facts: []Fact{{Name: "rub", Value: "hall-rub" + mark}, {Name: "wood", Value: "cherry", Rests: []string{"two chunks"}}}},
		{Heading: "Timeline", Table: Table{Columns: []Column{{}, {}}, Rows: []Row{
			{Heading: "Fri"}, {Cells: []string{"22:20", "vent"}},
			{Heading: "Sat"}, {Cells: []string{"01:00", "wood Cherry 90 g" + other}}, {Cells: []string{"02:00", "bark 1"}, Rests: []string{"by the cherry light"}},
		}}, Figure: Figure{Title: "pit", Lines: []Series{{Name: "brick"}}}},
		{Heading: "Notes", Lines: []string{"nothing of it"}},
	}
	got := p.Holding([]string{"CHERRY"})
	if len(got.Lead) != 1 || len(got.Sections) != 2 || len(got.Sections[0].Facts) != 1 || len(got.Sections[1].Figure.Lines) != 0 {
		t.Fatalf("%+v", got)
	}
	if rows := got.Sections[1].Table.Rows; len(rows) != 3 || rows[0].Heading != "Sat" {
		t.Errorf("rows %+v", rows)
	}
	if got.Notes[0] != "" || got.Notes[1] != "the setting" {
		t.Errorf("notes %q", got.Notes)
	}
	if got := p.Holding([]string{"timeline", "vent"}); len(got.Sections) != 1 || len(got.Sections[0].Table.Rows) != 2 {
		t.Errorf("by the heading of its section: %+v", got)
	}
	if got := p.Holding([]string{"brick"}); len(got.Sections) != 1 || len(got.Sections[0].Figure.Lines) != 1 || len(got.Sections[0].Table.Rows) != 0 {
		t.Errorf("a picture by its name: %+v", got)
	}
	if got := p.Holding([]string{"cherry", "zebra"}); len(got.Sections) != 0 {
		t.Errorf("%+v", got)
	}
	if got := p.Holding(nil); len(got.Sections) != 3 || got.Notes[0] == "" {
		t.Errorf("no words: %+v", got)
	}
}
