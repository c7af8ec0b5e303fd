package text

import (
	"fmt"
	"strings"
	"unicode"

	"ashbook/report/page"
)

// Linear draws the page to be heard: every fact and every row of a table as a line by
// itself, no columns, no pictures, signs as words.
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

// tells reports whether a section has anything to be heard: a picture of which nothing is
// said has not.
func tells(s page.Section) bool {
	return s.Figure.Says != "" || len(s.Facts)+len(s.Table.Rows)+len(s.Lines) > 0
}

// rowParts names each cell by its column, where that has a name.
func rowParts(t page.Table, r page.Row) []string {
	var parts []string
	for i, c := range r.Cells {
		if strings.Trim(c, "–─ ") == "" { // not known, or a rule
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

// join sets parts behind each other, as one sentence has them.
func join(parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p = strings.TrimPrefix(strings.TrimSpace(p), "— "); p != "" { // words alone
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, ", ")
}

// words are what signs are read as.
var words = strings.NewReplacer(
	" – ", " to ", "–", " to ", " … ", " to ", "± ", "give or take ", "±", "give or take ", "−", "minus ", " · ", ", ", " — ", ", ",
	"→", "to", "≠ ", "", "↑", "rising", "↓", "falling", "×", " by ", " / ", " against ", "°C/h", "°C an hour", "°F/h", "°F an hour",
)

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// Spoken turns the signs of a text into words: "−1 h 25 ± 20 min¹" is "minus 1 h 25
// give or take 20 min (note 1)". The text is cleaned.
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

// leadsToDigit tells whether a number follows, perhaps after a space.
func leadsToDigit(rest []rune) bool {
	if len(rest) > 0 && rest[0] == ' ' {
		rest = rest[1:]
	}
	return len(rest) > 0 && unicode.IsDigit(rest[0])
}
