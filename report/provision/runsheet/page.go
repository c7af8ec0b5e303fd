package runsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/forecast/people"
	"ashbook/report/page"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
	"ashbook/report/safety"
)

// Page is the plan to be read: the clock first, then what it is based on; one
// sentence at the end says it all.
func (p *Sheet) Page() page.Page {
	r := p.Request
	out := page.Page{Title: r.Title, Aside: fmt.Sprintf("serve %d · %s", r.Party.Heads, p.day(r.Serve)), Lead: p.aims()}
	for _, l := range p.Lessons {
		out.Lead = append(out.Lead, p.lesson(l))
	}
	if h := p.Hurry; h != nil {
		out.Lead = append(out.Lead, fmt.Sprintf("On by has passed%s: it was %s. As planned and lit now it is on at %s and off %s – %s, most likely %s: too late in %.0f of 100.",
			p.Of(h.Load), p.At(h.Missed), p.At(h.On), p.At(h.Off[0]), p.At(h.Off[2]), p.At(h.Off[1]), 100*h.Late), p.possible())
		if p.Taken != nil {
			out.Lead = append(out.Lead, "What follows is planned that way, and no sooner than it must be.")
		}
		out.Add(page.Section{Heading: "Ways out from now", Table: waysTable(p.Ways, p.Request.Serve.Location(), p.Settings.Units)})
	}
	out.Add(page.Section{Heading: "The clock", Table: p.clockTable()})
	for i := range p.Meats {
		if p.nothing() {
			break // only cooked meat saves the meal
		}
		heading := "Meat"
		if len(p.Meats) > 1 {
			heading = "Meat: " + p.Meats[i].Cut
		}
		out.Add(page.Section{Heading: heading, Facts: p.meatFacts(i)})
	}
	if len(p.Loads) > 1 {
		out.Add(page.Section{Heading: "What goes where", Facts: p.loadFacts()})
	}
	if p.Hurry == nil {
		out.Add(page.Section{Heading: p.otherStarts(), Table: p.stripTable(), Lines: []string{
			"Late: not off in time to rest and " + p.knife() + ". Held: hours in the box on average.",
		}})
	}
	if p.Hold.Long > 0 {
		out.Add(page.Section{Heading: "The hold", Facts: p.holdFacts()})
	}
	if !p.nothing() {
		out.Add(page.Section{Heading: "Fire", Facts: p.fireFacts()})
	}
	if len(p.Levers) > 0 {
		out.Add(page.Section{Heading: "What else could be done" + p.Of(p.Main()), Table: p.leverTable()})
	}
	for _, section := range []string{MakeReady, Shopping} {
		out.Add(page.Section{Heading: section, Lines: p.list(section)})
	}
	out.Add(page.Section{Heading: "Who must not have what", Facts: p.without()})
	out.Add(page.Section{Heading: "What this is based on", Lines: append(p.rests(), p.Notes...)})
	out.Add(p.cautions())
	out.Add(page.Section{Heading: "In one sentence", Lines: p.Sentence})
	return out
}

// lesson says what is to be done differently this time.
func (p *Sheet) lesson(l provision.Lesson) string {
	of := ""
	if len(p.Meats) > 1 {
		of = " (" + l.Cut + ")"
	}
	return fmt.Sprintf("To change since %s, %s%s: %s", l.Cook, l.On.Format("2 January"), of, l.Change)
}

// aims says for each cut at which core it comes off, and in what pit.
func (p *Sheet) aims() (lead []string) {
	said := map[string]bool{}
	for i := range p.Loads {
		l := &p.Loads[i]
		core := 0.0
		for _, piece := range l.Forecast.Pieces {
			core = max(core, piece.Target)
		}
		from := "a pit of " + p.pitTemp(l)
		if l.Oven {
			from = "the kitchen oven at " + p.Oven(l.Forecast.Pit)
		}
		text := fmt.Sprintf("%s: off at a core of %s, from %s%s.", l.Cook.Cut, p.Temp(core), from, p.wraps(l))
		if aim := l.Cook.Aim.Core; aim.Known && aim.Base > core {
			text = fmt.Sprintf("%s The aim was %s: no core gets there at this height.", text, aim.In(p.Settings.Units))
		}
		if core > 0 && !said[text] {
			said[text] = true
			lead = append(lead, strings.ToUpper(text[:1])+text[1:])
		}
	}
	return lead
}

func (p *Sheet) clockTable() page.Table {
	t := page.Table{Columns: []page.Column{{}, {}, {Title: "margin"}}}
	if len(p.Request.Helpers) > 0 {
		t.Columns = slices.Insert(t.Columns, 1, page.Column{Title: "who"})
	}
	for _, s := range p.Steps {
		cells := []string{p.At(s.At), s.What, s.Margin}
		if s.Who != "" {
			cells = slices.Insert(cells, 1, s.Who)
		}
		t.Rows = append(t.Rows, page.Row{Mark: s.Kind == OnBy && !strings.HasPrefix(s.What, "or,"), Cells: cells})
	}
	return t
}

func (p *Sheet) leverTable() page.Table {
	t := page.Table{Columns: []page.Column{{}, {Title: "may go on", Right: true}, {Title: "late", Right: true}, {Title: "held", Right: true}, {Title: "price"}}}
	for _, l := range p.Levers {
		if l.Open {
			t.Rows = append(t.Rows, page.Row{Cells: []string{l.What, "–", "–", "–", "may never get there"}})
			continue
		}
		buys := measure.FormatSpan(l.Buys.Abs()) + " later"
		switch {
		case l.Buys < 0:
			buys = measure.FormatSpan(l.Buys.Abs()) + " sooner"
		case l.Buys == 0:
			buys = "no later"
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{l.What, buys, fmt.Sprintf("%.0f %%", 100*l.Late), measure.FormatHalf(l.Hold), l.Risk}})
	}
	return t
}

func (p *Sheet) list(section string) []string {
	var out []string
	for _, t := range p.Tasks {
		if t.Section == section {
			out = append(out, "☐ "+t.Text)
		}
	}
	return out
}

func (p *Sheet) rests() []string {
	f := p.Main().Forecast
	out := append([]string(nil), f.Reasons...)
	if p.Taken != nil {
		out = append(out, "What the way out changes is simulated, and known to about a third.")
	}
	if change := 100 * (p.Margin - 1); math.Abs(change) >= 5 && f.PastCooks < quantity.Enough {
		out = append(out, fmt.Sprintf("The range is %.0f %% wider than the forecast's own, because what people's cooks take is known from only %d people.", change, people.FittedOn))
	} else if math.Abs(change) >= 5 {
		how := "narrower"
		if change > 0 {
			how = "wider"
		}
		out = append(out, fmt.Sprintf("The range is %.0f %% %s than the forecast's own, because of how your past plans turned out.", math.Abs(change), how))
	}
	if p.nothing() {
		return out
	}
	out = append(out, "Guides for caterers say sides of 4 oz and three drinks of 8 oz for each guest; sauce, slaw and buns are common practice.")
	for i := range p.Loads {
		if f := p.Loads[i].Finish; f != nil {
			out = append(out, fmt.Sprintf("What does not keep in a box goes on late, and finishes in a pit of %s if it lags. How much that helps is simulated; the plan does not count on a third of it.", p.Oven(f.Pit)))
			break
		}
	}
	return append(out, fmt.Sprintf("The meat rests for at least %s; cutting starts at %s.", measure.FormatSpan(p.Main().Rest()), p.At(p.CarveAt)))
}

// cautions are those of any fire, and what the plan itself gives reason for.
func (p *Sheet) cautions() page.Section {
	s := page.Section{Heading: "Cautions", Lines: []string{safety.Closing}}
	for _, f := range p.findings() {
		if f.Weight != safety.Note || f.Kind == safety.LowAim || f.Kind == safety.FarAim || f.Kind == safety.Poultry || f.Kind == safety.Opened || f.Kind == safety.Game {
			s.Facts = append(s.Facts, page.Fact{Name: string(f.Kind), Value: f.Text + " " + f.Do + " (" + f.Source + ")"})
		}
	}
	if p.Request.Frozen {
		s.Facts = append(s.Facts, page.Fact{Name: "thawing", Value: fmt.Sprintf("In the cold, at %s or below, on a tray under everything else; never on the counter. (Food Code 3-501.13; USDA-FSIS, The Big Thaw; both from memory)", p.Temp(safety.ColdHold))})
	}
	if p.Batches > 1 || !p.Hold.ChillBy.IsZero() {
		s.Facts = append(s.Facts, page.Fact{Name: "chilling", Value: fmt.Sprintf("Cut small, open trays, no lids: %s within two hours, %s within six; what is not is thrown out. Reheat to %s all through within two hours. (Food Code 3-501.14, 3-403.11)", p.Temp(safety.CoolHalf), p.Temp(safety.ColdHold), p.Temp(safety.ReheatTo))})
	}
	s.Facts = append(s.Facts, p.allergies())
	if p.Request.Party.Heads >= publicMeal {
		s.Facts = append(s.Facts, page.Fact{Name: "many guests", Value: "The local food authority usually wants notice of a meal for the public, or for pay, whoever cooks it: ask before you shop."})
	}
	return s
}

// findings are what safety finds in the plan's cooks, each once.
func (p *Sheet) findings() (out []safety.Finding) {
	for i := range p.Loads {
		for _, f := range safety.Look(&p.Loads[i].Cook, p.Settings, p.Moment).Findings {
			if !slices.ContainsFunc(out, func(o safety.Finding) bool { return o.Kind == f.Kind && o.Text == f.Text }) {
				out = append(out, f)
			}
		}
	}
	return out
}

// allergies says what guests must be able to ask after.
func (p *Sheet) allergies() page.Fact {
	text := "Ask every guest before you shop."
	if len(p.mixes.Hold) > 0 {
		text += " By the names of what goes in, there is " + strings.Join(p.mixes.Hold, ", ") + "."
	}
	if !p.Request.Serving.Plated {
		text += " Buns are of wheat, and often hold milk, egg, soya or sesame."
	}
	text += " What is bought ready may hold more: read its label, and keep it until the meal is over. For who must not have something: a board, knife, tray and serving spoon apart from the start, served first." +
		" (the fourteen allergens of Regulation (EU) 1169/2011, Annex II; nine in the US: FALCPA 2004, FASTER Act 2021)"
	return page.Fact{Name: "allergies", Value: text}
}

// publicMeal is from how many heads on the note on public meals is shown (chosen).
const publicMeal = 30
