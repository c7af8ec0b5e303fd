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

// Page returns the plan as a page: first the times, then what they are based on, and at
// the end one sentence that sums it up.
func (p *Sheet) Page() page.Page {
	r := p.Request
	out := page.Page{Title: r.Title, Aside: fmt.Sprintf("serve %d · %s", r.Party.Heads, p.day(r.Serve)), Lead: p.aims()}
	for _, l := range p.Lessons {
		out.Lead = append(out.Lead, p.lesson(l))
	}
	if h := p.Hurry; h != nil {
		out.Lead = append(out.Lead, fmt.Sprintf("The time to put it on has passed%s: it was %s. If you light now and cook as planned, it goes on at %s and comes off %s – %s, most likely %s: too late in %.0f of 100 cooks.",
			p.Of(h.Load), p.At(h.Missed), p.At(h.On), p.At(h.Off[0]), p.At(h.Off[2]), p.At(h.Off[1]), 100*h.Late), p.possible())
		if p.Taken != nil {
			out.Lead = append(out.Lead, "The rest of this plan is made that way, and starts no sooner than it must.")
		}
		out.Add(page.Section{Heading: "What can still save the meal", Table: waysTable(p.Ways, p.Request.Serve.Location(), p.Settings.Units)})
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
			"Late: not off in time to rest and " + p.knife() + ". Held: average hours in the box.",
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
	out.Add(page.Section{Heading: "Guests who must avoid something", Facts: p.without()})
	out.Add(page.Section{Heading: "What this is based on", Lines: append(p.rests(), p.Notes...)})
	out.Add(p.cautions())
	out.Add(page.Section{Heading: "In one sentence", Lines: p.Sentence})
	return out
}

// lesson returns what the person wanted to do differently this time.
func (p *Sheet) lesson(l provision.Lesson) string {
	of := ""
	if len(p.Meats) > 1 {
		of = " (" + l.Cut + ")"
	}
	return fmt.Sprintf("To change since %s, %s%s: %s", l.Cook, l.On.Format("2 January"), of, l.Change)
}

// aims returns for each cut the core temperature at which it comes off, and its pit.
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
			text = fmt.Sprintf("%s The aim was %s: at this altitude no core gets that hot.", text, aim.In(p.Settings.Units))
		}
		if core > 0 && !said[text] {
			said[text] = true
			lead = append(lead, strings.ToUpper(text[:1])+text[1:])
		}
	}
	return lead
}

func (p *Sheet) clockTable() page.Table {
	t := page.Table{Columns: []page.Column{{}, {}, {Title: "remark"}}}
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
	t := page.Table{Columns: []page.Column{{}, {Title: "may go on", Right: true}, {Title: "late", Right: true}, {Title: "held", Right: true}, {Title: "drawback"}}}
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
		out = append(out, "The effect of the faster way is worked out from physics alone, and may be a third more or less.")
	}
	if change := 100 * (p.Margin - 1); math.Abs(change) >= 5 && f.PastCooks < quantity.Enough {
		out = append(out, fmt.Sprintf("The range is %.0f %% wider than that of the forecast, since only %d people's cooks are known.", change, people.FittedOn))
	} else if math.Abs(change) >= 5 {
		how := "narrower"
		if change > 0 {
			how = "wider"
		}
		out = append(out, fmt.Sprintf("The range is %.0f %% %s than that of the forecast, from how your past plans turned out.", math.Abs(change), how))
	}
	out = append(out, "Guides for caterers name sides of 4 oz and three drinks of 8 oz a head; sauce, slaw and buns are common practice.")
	for i := range p.Loads {
		if f := p.Loads[i].Finish; f != nil {
			out = append(out, fmt.Sprintf("Meat that does not keep in a box is planned to come off late; if it lags, it finishes in a pit of %s. How much that helps is simulated, and the plan counts on only two thirds of it.", p.Oven(f.Pit)))
			break
		}
	}
	return append(out, fmt.Sprintf("The shortest rest is %s; cutting starts at %s.", measure.FormatSpan(p.Main().Rest()), p.At(p.CarveAt)))
}

// cautions returns the cautions for any fire, and those that this plan gives reason
// for.
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
		s.Facts = append(s.Facts, page.Fact{Name: "many guests", Value: "A meal for the public, or for money, usually has to be announced to the local food authority, whoever cooks it: ask before you shop."})
	}
	return s
}

// findings returns what package safety finds in the plan's cooks, each finding once.
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

// allergies returns the note on allergens: what the meal contains, and that guests must
// be asked.
func (p *Sheet) allergies() page.Fact {
	text := "Ask every guest before you shop."
	if len(p.mixes.Hold) > 0 {
		text += " By the names of the ingredients, there is " + strings.Join(p.mixes.Hold, ", ") + "."
	}
	if !p.Request.Serving.Plated {
		text += " Buns are of wheat, and often hold milk, egg, soya or sesame."
	}
	text += " Food that is bought ready-made may contain more: read its label, and keep the label until the meal is over. For guests who must avoid something: use a separate board, knife, tray and serving spoon from the start, and serve them first." +
		" (the fourteen allergens of Regulation (EU) 1169/2011, Annex II; nine in the US: FALCPA 2004, FASTER Act 2021)"
	return page.Fact{Name: "allergies", Value: text}
}

// publicMeal is the number of guests from which on the note on public meals is shown
// (chosen).
const publicMeal = 30
