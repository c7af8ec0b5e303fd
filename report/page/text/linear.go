package text

import (
	"fmt"
	"strings"
	"unicode"

	"ashbook/report/page"
)

// Linear renders the page for a screen reader: each fact and row on its own line,
// without columns or pictures, with signs as words.
func Linear(p page.Page) []string {
	var out []string
	add := func(parts ...string) {
		if line := Spoken(join(parts...)); line != "" {
			out = append(out, line)
		}
	}
	add(p.Title, p.Aside)
	for _, l := range p.Lead {
		add(l)
	}
	for _, s := range p.Sections {
		if !tells(s) {
			continue
		}
		add(s.Heading)
		add(s.Figure.Says)
		for _, f := range s.Facts {
			add(strings.TrimSuffix(f.Name+": "+f.Value+"; "+f.Note, "; "))
		}
		for _, r := range s.Table.Rows {
			add(r.Heading)
			add(rowParts(s.Table, r)...)
		}
		for _, l := range s.Lines {
			add(l)
		}
	}
	for i, n := range p.Notes {
		out = append(out, fmt.Sprintf("note %d: %s", i+1, Spoken(n)))
	}
	return out
}

// tells reports whether a section has anything to read aloud. A picture without a
// description has nothing.
func tells(s page.Section) bool {
	return s.Figure.Says != "" || len(s.Facts)+len(s.Table.Rows)+len(s.Lines) > 0
}

// rowParts puts the name of its column before each cell.
func rowParts(t page.Table, r page.Row) []string {
	var parts []string
	for i, c := range r.Cells {
		if strings.Trim(c, "–─ ") == "" { // unknown, or a rule
			continue
		}
		if i < len(t.Columns) && i > 0 {
			c = strings.TrimSpace(t.Columns[i].Title + " " + c)
		}
		parts = append(parts, c)
	}
	if r.Mark && len(parts) > 0 {
		parts = append(parts, "differs")
	}
	return parts
}

// join joins parts into one sentence.
func join(parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p = strings.TrimPrefix(strings.TrimSpace(p), "— "); p != "" { // no dash before remarks
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, ", ")
}

// words replaces signs by words.
var words = strings.NewReplacer(
	" – ", " to ", "–", " to ", " … ", " to ", "± ", "give or take ", "±", "give or take ", "−", "minus ", " · ", ", ", " — ", ", ",
	"→", "to", "≠ ", "", "↑", "rising", "↓", "falling", "×", " by ", " / ", " against ", "°C/h", "°C an hour", "°F/h", "°F an hour",
)

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// Spoken replaces the signs of a text by words and cleans it: "−1 h 25 ± 20 min¹"
// becomes "minus 1 h 25 give or take 20 min (note 1)".
func Spoken(s string) string {
	var b strings.Builder
	number := ""
	flush := func() {
		if number != "" {
			b.WriteString(" (note " + number + ")")
			number = ""
		}
	}
	last := ' '
	runes := []rune(words.Replace(page.Clean(s)))
	for i, r := range runes {
		if at := strings.IndexRune(superscripts, r); at >= 0 {
			number += fmt.Sprint(len([]rune(superscripts[:at])))
			continue
		}
		flush()
		if rest := runes[i+1:]; r == '+' && (last == ' ' || last == '(') && leadsToDigit(rest) {
			b.WriteString("plus ")
		} else {
			b.WriteRune(r)
		}
		last = r
	}
	flush()
	return strings.Join(strings.Fields(b.String()), " ")
}

// leadsToDigit reports whether a digit follows, perhaps after one space.
func leadsToDigit(rest []rune) bool {
	if len(rest) > 0 && rest[0] == ' ' {
		rest = rest[1:]
	}
	return len(rest) > 0 && unicode.IsDigit(rest[0])
}
