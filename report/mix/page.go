package mix

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// balances describes the taste of a sauce by g of sugar to 1 g of acid. The limits are
// chosen; common practice, no source.
var balances = []struct {
	below float64
	says  string
}{
	{2, "sharp, the vinegar leads"},
	{5, "sharp, with some sweetness"},
	{9, "sweet and sharp about even"},
	{15, "sweet, with an edge"},
}

// balance returns a sentence about sugar and acid, or "" if the mix has neither.
func (b *Batch) balance() string {
	c := b.Content
	switch {
	case c.Acid <= 0 && c.Sugar <= 0:
		return ""
	case c.Acid <= 0:
		return "No acid is known in the parts: only sweet."
	}
	ratio := c.Sugar / c.Acid
	says := "sweet"
	for _, band := range balances {
		if ratio < band.below {
			says = band.says
			break
		}
	}
	return fmt.Sprintf("%s g of sugar to 1 g of acid: %s.", trimmed(ratio, 1), says)
}

const (
	measuresNote = "A level teaspoon is 5 ml, a tablespoon 15 ml, a cup 240 ml (21 CFR 101.9(b)(5)(viii)). Weights of a spoonful: USDA National Nutrient Database, some from memory. Spoons are less exact than the scale."
	contentNote  = "Counted from the parts, with the same tables: vinegar as 5 % acid, brown sugar as 97 % sugar, tomato purée as concentrated. Sugar of spices and vegetables is not counted."
)

// Page builds the printable page of a mix weighed out, with how it was liked and the
// problems in its file.
func (b *Batch) Page(t Tasted, wrong []journal.Problem, s journal.Settings) page.Page {
	p := page.Page{Title: Title(&b.Mix), Aside: b.aside(s.Units), Lead: b.Says}
	table := page.Table{Columns: []page.Column{{}, {Right: true}, {}}}
	spoons := false
	for _, l := range b.Lines {
		row := []string{l.Name, "", ""}
		if l.Grams > 0 {
			row[1], row[2] = l.weighs(s.Units), spooned(l.Name, l.Grams, s.Units)
			spoons = spoons || row[2] != ""
		} else {
			row[1], row[2] = "?", fmt.Sprintf("%q is not a weight", l.Text)
			if l.Spooned {
				row[2] = l.Text + " as written: weigh it"
			}
		}
		table.Rows = append(table.Rows, page.Row{Cells: row})
	}
	total := "all together"
	if len(b.Short) > 0 {
		total = "parts with a weight"
	}
	table.Rows = append(table.Rows, page.Row{Cells: []string{total, weighed(b.Grams, s.Units), ""}})
	if spoons {
		table.Columns[2].Title = "about" + p.Note(measuresNote)
	}
	p.Add(page.Section{Table: table})
	content := page.Section{Heading: "Salt, sugar, acid" + p.Note(contentNote), Facts: b.facts(s.Units)}
	x, isBrine := b.brine()
	if isBrine {
		content.Facts = append(content.Facts, x.facts(s.Units)...)
	} else if b.Mix.For.Of == journal.ForVolume {
		if says := b.balance(); says != "" {
			content.Lines = append(content.Lines, says)
		}
	}
	if len(b.Untold) > 0 {
		if m := b.Mix; m.Salt.Known {
			content.Lines = append(content.Lines, "Where the names do not show it, the file states: "+strings.Join(b.Untold, ", ")+".")
		} else {
			content.Lines = append(content.Lines, "Not counted, as the name does not show what is in it: "+strings.Join(b.Untold, ", ")+". Look at the label, and state salt: in the file.")
		}
	}
	for _, d := range Disagreements(&b.Mix) {
		content.Lines = append(content.Lines, "The file disagrees with itself: "+d)
	}
	p.Add(content)
	p.Add(page.Section{Heading: "Take care", Lines: b.Cautions(s.Units)})
	t.add(&p, s.Units)
	look := page.Section{Heading: "To look at"}
	for _, w := range wrong {
		look.Lines = append(look.Lines, w.Error())
	}
	p.Add(look)
	return p
}

// aside returns the name of the cook that the mix is for.
func (b *Batch) aside(sys measure.System) string {
	switch c := b.Cook; {
	case c != nil:
		out := c.Name() + ", " + c.Date().Format("2 Jan 2006")
		if w := frame.Weights(c, sys); w != "" {
			out += ", " + w
		}
		return out
	case b.Written:
		return "as written"
	}
	return ""
}

// Line formats a mix on one line: "hall-rub, 190 g: black pepper 60 g, …". A part
// without a weight is shown as written.
func (b *Batch) Line(sys measure.System) string {
	var parts []string
	for _, l := range b.Lines {
		amount := l.Text
		if l.Grams > 0 {
			amount = l.weighs(sys)
		}
		parts = append(parts, strings.TrimSpace(l.Name+" "+amount))
	}
	return b.Mix.Name + ", " + weighed(b.Grams, sys) + ": " + strings.Join(parts, ", ")
}

// Title returns the heading of a mix, or its name.
func Title(m *journal.Mix) string {
	if m.Title != "" {
		return m.Title
	}
	return m.Name
}

func (b *Batch) facts(sys measure.System) []page.Fact {
	var out []page.Fact
	each := func(g float64) string {
		switch {
		case b.Amount <= 0:
			return ""
		case b.Mix.For.Of == journal.ForMeat:
			return rate(g, sys)
		case b.Mix.For.Of == journal.ForHeads:
			return weighed(g, sys) + " a head"
		case sys == measure.US:
			return weighed(g*measure.Cup, sys) + " a cup"
		}
		return trimmed(g, 1) + " g/l"
	}
	add := func(name string, all, per float64) {
		if all > 0 {
			out = append(out, page.Fact{Name: name, Value: strings.TrimSuffix(weighed(all, sys)+", "+each(per), ", ")})
		}
	}
	if b.Content.Salt == 0 {
		out = append(out, page.Fact{Name: "salt", Value: "none"})
	}
	add("salt", b.Content.Salt, b.PerUnit.Salt)
	add("sugar", b.Content.Sugar, b.PerUnit.Sugar)
	add("acid", b.Content.Acid, b.PerUnit.Acid)
	if b.Ahead > 0 {
		out = append(out,
			page.Fact{Name: "salt ahead", Value: weighed(b.Ahead*b.Amount, sys) + ", " + rate(b.Ahead, sys) + ", by the cook's notes"},
			page.Fact{Name: "salt on the meat", Value: rate(b.Ahead+b.PerUnit.Salt, sys) + " together"})
	}
	return out
}

// mostRemarks is how many lines of past cooks are shown (chosen).
const mostRemarks = 6

func (t Tasted) add(p *page.Page, sys measure.System) {
	if t.Cooks == 0 {
		return
	}
	heading := fmt.Sprintf("How it was liked, %d cooks", t.Cooks)
	if t.Cooks == 1 {
		heading = "How it was liked, 1 cook"
	}
	table := page.Table{Columns: []page.Column{{Title: "salt on the meat"}, {Title: "cooks", Right: true}, {Title: "salt liked", Right: true}, {Title: "too little", Right: true}, {Title: "too much", Right: true}}}
	for _, r := range t.Rates {
		name := "not noted"
		if r.Known {
			name = rate(r.GPerKg, sys)
		}
		table.Rows = append(table.Rows, page.Row{Cells: []string{
			name, fmt.Sprint(r.Cooks), fmt.Sprintf("%.1f", r.Liked), fmt.Sprintf("%d of %d", r.Little, r.Scores), fmt.Sprintf("%d of %d", r.Much, r.Scores),
		}})
	}
	s := page.Section{Heading: heading, Table: table}
	for i, r := range t.Remarks {
		if i == mostRemarks {
			s.Lines = append(s.Lines, fmt.Sprintf("and %d more", len(t.Remarks)-i))
			break
		}
		s.Lines = append(s.Lines, fmt.Sprintf("%s, %s: %s", r.Date.Format("2 Jan 2006"), r.Kind, r.Text))
	}
	if s.Empty() {
		s.Lines = []string{"No scores for salt, and no notes about it."}
	}
	p.Add(s)
}

// List builds the page of all mixes, with the problems in their files.
func List(mixes []journal.Mix, problems []journal.Problem, s journal.Settings) page.Page {
	p := page.Page{Title: "Mixes", Aside: fmt.Sprint(len(mixes))}
	if len(mixes) == 0 && len(problems) == 0 {
		p.Lead = []string{"No mix has a file in mixes."}
	}
	t := page.Table{Columns: []page.Column{{}, {Title: "for"}, {Title: "weighs", Right: true}, {Title: "salt", Right: true}, {Title: "sugar", Right: true}, {Title: "parts", Right: true}}}
	for i := range mixes {
		m := &mixes[i]
		c := content(m)
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			m.Name, portion(m.For, s.Units), weighed(grams(m), s.Units), weighed(c.Salt, s.Units), weighed(c.Sugar, s.Units), fmt.Sprint(len(m.Parts)),
		}})
	}
	p.Add(page.Section{Table: t})
	var wrong []string
	for _, pr := range problems {
		wrong = append(wrong, pr.Error())
	}
	for i := range mixes {
		for _, d := range Disagreements(&mixes[i]) {
			wrong = append(wrong, mixes[i].Name+": "+d)
		}
	}
	p.Add(page.Section{Heading: "To look at", Lines: wrong})
	return p
}
