package mix

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
)

// Tasted is how a mix was liked in past cooks.
type Tasted struct {
	Cooks   int      // finished cooks that used it
	Rates   []Rate   // of a rub: scores by salt on the meat, least first
	Remarks []Remark // advice for next time first, then the newest
}

// Rate is how the salt was liked at one rate of salt.
type Rate struct {
	GPerKg       float64 // on the meat, ahead and in the rub together, to a whole gram
	Known        bool    // false: salt put on ahead was not noted
	Cooks        int
	Scores       int
	Liked        float64 // mean of the scores, 1 to 9
	Little, Much int     // scores that say too little or too much
}

// Remark is a line of a cook about the mix.
type Remark struct {
	Cook string // ID
	Date time.Time
	Kind string // "keep", "change", "notes"
	Text string
}

// meant returns 1 for a line meant for next time, else 0.
func (r Remark) meant() int {
	if r.Kind == "notes" {
		return 0
	}
	return 1
}

// Words about taste, as whole words.
var tasteWords = []string{
	"salt", "salty", "salted", "sweet", "sweeter", "sugar", "pepper", "peppery", "acid", "acidic", "sour", "vinegar", "spice", "spicy",
	"bland", "rub", "seasoning",
}

// Taste collects what past cooks say about a mix: the scores for salt of cooks whose
// rub it was, and the lines about it. A mix that is not a rub is found by its name in
// the notes.
func Taste(m *journal.Mix, cooks []journal.Cook) Tasted {
	var t Tasted
	rates := map[Rate]*Rate{}
	names, short := namesOf(m)
	for i := range cooks {
		c := &cooks[i]
		if _, done := c.Finish(); !done {
			continue
		}
		rub := Named(m, c.Rub.Mix)
		names := names
		if rub || m.For.Of != journal.ForMeat {
			names = append(names, short...)
		}
		remarks := remarksOf(c, names, rub)
		t.Remarks = append(t.Remarks, remarks...)
		if rub || len(remarks) > 0 {
			t.Cooks++
		}
		if !rub || m.For.Of != journal.ForMeat {
			continue
		}
		key := rateOf(m, c)
		if rates[key] == nil {
			rates[key] = &Rate{GPerKg: key.GPerKg, Known: key.Known}
		}
		rates[key].add(c)
	}
	for _, r := range rates {
		if r.Scores > 0 {
			r.Liked /= float64(r.Scores)
			t.Rates = append(t.Rates, *r)
		}
	}
	slices.SortFunc(t.Rates, func(a, b Rate) int {
		if a.Known != b.Known {
			return cmp.Compare(map[bool]int{true: 0, false: 1}[a.Known], map[bool]int{true: 0, false: 1}[b.Known])
		}
		return cmp.Compare(a.GPerKg, b.GPerKg)
	})
	slices.SortStableFunc(t.Remarks, func(a, b Remark) int {
		if a.meant() != b.meant() {
			return cmp.Compare(b.meant(), a.meant())
		}
		return b.Date.Compare(a.Date)
	})
	return t
}

// remarksOf returns the lines of a cook about a mix with these names. If it was the
// cook's rub, what to do again and differently also counts when it is about taste.
func remarksOf(c *journal.Cook, names []string, rub bool) (out []Remark) {
	for _, r := range []Remark{{Kind: "keep", Text: c.Keep}, {Kind: "change", Text: c.Change}} {
		if speaks(r.Text, names) || rub && holdsWord(r.Text, tasteWords...) {
			out = append(out, Remark{c.ID, c.Date(), r.Kind, r.Text})
		}
	}
	for _, s := range sentences(c) {
		if speaks(s, names) {
			out = append(out, Remark{c.ID, c.Date(), "notes", s})
		}
	}
	return out
}

// rateOf returns the rate of salt of a cook whose rub was the mix, without scores.
func rateOf(m *journal.Mix, c *journal.Cook) Rate {
	r := Rate{Known: c.Salted.Rate.Known}
	if !r.Known {
		return r
	}
	saltOf, on := 0.0, 0.0 // share of salt in the mix; g of the mix for 1 kg of meat
	if g := grams(m); g > 0 {
		saltOf, on = content(m).Salt/g, g/m.For.Amount
	}
	if c.Rub.Rate.Known {
		on = c.Rub.Rate.Base
	}
	r.GPerKg = math.Round(c.Salted.Rate.Base + on*saltOf)
	return r
}

// add adds a cook and its scores for salt. Liked is their sum until all are added.
func (r *Rate) add(c *journal.Cook) {
	r.Cooks++
	for _, eater := range c.Tasting {
		s := eater.Scores[journal.Salt]
		if s.Liked <= 0 {
			continue
		}
		r.Scores++
		r.Liked += float64(s.Liked)
		switch s.Lean {
		case -1:
			r.Little++
		case 1:
			r.Much++
		}
	}
}

// namesOf returns the names of a mix: file name and heading. short has their last
// words, such as "sauce", which may mean another mix.
func namesOf(m *journal.Mix) (names, short []string) {
	for _, n := range []string{plain(m.Name), plain(m.Title)} {
		if n == "" || slices.Contains(names, n) {
			continue
		}
		names = append(names, n)
		if i := strings.LastIndexByte(n, ' '); i >= 0 {
			short = append(short, n[i+1:])
		}
	}
	return slices.Clip(names), short
}

// speaks reports whether a text contains one of the names, as whole words.
func speaks(text string, names []string) bool {
	hay := " " + strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !isLetter(r) }), " ") + " "
	return slices.ContainsFunc(names, func(n string) bool {
		return strings.Contains(hay, " "+strings.Join(strings.FieldsFunc(n, func(r rune) bool { return !isLetter(r) }), " ")+" ")
	})
}

// sentences returns the sentences of a cook's prose and the remarks of its timeline.
func sentences(c *journal.Cook) []string {
	var out []string
	for _, p := range strings.Split(c.Prose, "\n\n") {
		if strings.HasPrefix(strings.TrimSpace(p), "#") {
			continue
		}
		text := strings.Join(strings.Fields(p), " ")
		for text != "" {
			end := strings.IndexAny(text, ".!?")
			if end < 0 {
				end = len(text) - 1
			}
			out = append(out, strings.TrimSpace(text[:end+1]))
			text = strings.TrimSpace(text[end+1:])
		}
	}
	for _, e := range c.Entries {
		if e.Words != "" {
			out = append(out, e.Words)
		}
	}
	return out
}
