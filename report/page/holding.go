package page

import "strings"

// Holding returns the page with only those rows, facts, paragraphs and pictures that
// contain all words, ignoring upper and lower case; the words of their section's
// heading count too. Footnotes without a reference become empty, so that the others
// keep their numbers. Without words the page is unchanged.
func (p Page) Holding(words []string) Page {
	if len(words) == 0 {
		return p
	}
	f := finder{}
	for _, w := range words {
		f.words = append(f.words, strings.ToLower(w))
	}
	out := Page{Title: p.Title, Aside: p.Aside, Lead: f.lines("", p.Lead)}
	for _, s := range p.Sections {
		out.Add(f.section(s))
	}
	out.Notes = make([]string, len(p.Notes))
	for _, i := range Marks(strings.Join(f.kept, " ")) {
		if i < len(p.Notes) {
			out.Notes[i] = p.Notes[i]
		}
	}
	return out
}

type finder struct {
	words []string // in lower case
	kept  []string // texts that contain the words
}

// holds reports whether the texts together contain every word.
func (f *finder) holds(texts ...string) bool {
	text := strings.ToLower(strings.Join(texts, " "))
	for _, w := range f.words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	f.kept = append(f.kept, texts...)
	return true
}

func (f *finder) lines(heading string, lines []string) []string {
	var out []string
	for _, l := range lines {
		if f.holds(heading, l) {
			out = append(out, l)
		}
	}
	return out
}

func (f *finder) section(s Section) Section {
	out := Section{Heading: s.Heading, Lines: f.lines(s.Heading, s.Lines)}
	for _, fact := range s.Facts {
		if f.holds(append([]string{s.Heading, fact.Name, fact.Value}, fact.Rests...)...) {
			out.Facts = append(out.Facts, fact)
		}
	}
	out.Table.Columns = s.Table.Columns
	heading, told := Row{}, true
	for _, r := range s.Table.Rows {
		if len(r.Cells) == 0 {
			heading, told = r, false
			continue
		}
		if f.holds(append(append([]string{s.Heading, heading.Heading}, r.Cells...), r.Rests...)...) {
			if !told {
				out.Table.Rows, told = append(out.Table.Rows, heading), true
			}
			out.Table.Rows = append(out.Table.Rows, r)
		}
	}
	names := []string{s.Heading, s.Figure.Title}
	for _, l := range s.Figure.Lines {
		names = append(names, l.Name)
	}
	if len(s.Figure.Lines) > 0 && f.holds(names...) {
		out.Figure = s.Figure
	}
	return out
}

// Marks returns the indexes of the footnotes that a text refers to, from 0.
func Marks(text string) []int {
	if IsPlain(text) || !strings.ContainsAny(text, digits) {
		return nil
	}
	var out []int
	n := 0
	for _, r := range text + " " {
		d := strings.IndexRune(digits, r)
		switch {
		case d >= 0:
			n = min(10*n+len([]rune(digits[:d])), 1e6)
		case n > 0:
			out, n = append(out, n-1), 0
		}
	}
	return out
}
