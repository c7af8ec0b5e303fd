package runsheet

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
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
		out.Lead = append(out.Lead, fmt.Sprintf("On by has passed%s: it was %s. Lit now it is on at %s and off %s – %s, most likely %s: too late in %.0f of 100.",
			p.Of(h.Load), p.At(h.Load.Missed), p.At(h.On), p.At(h.Off[0]), p.At(h.Off[2]), p.At(h.Off[1]), 100*h.Late), p.possible())
		out.Add(page.Section{Heading: "Ways out from now", Table: waysTable(p.Ways, p.Request.Serve.Location())})
	}
	out.Add(page.Section{Heading: "The clock", Table: p.clockTable()})
	for i := range p.Meats {
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
		out.Add(page.Section{Heading: "Two regrets: on at this hour, " + p.Named(p.Main()), Table: p.stripTable(), Lines: []string{
			"Late: not off in time to rest and " + p.knife() + ". Held: hours in the box on average.",
		}})
	}
	if p.Hold.Long > 0 {
		out.Add(page.Section{Heading: "The hold", Facts: p.holdFacts()})
	}
	out.Add(page.Section{Heading: "Fire", Facts: p.fireFacts()})
	if len(p.Levers) > 0 {
		out.Add(page.Section{Heading: "What else could be done" + p.Of(p.Main()), Table: p.leverTable()})
	}
	for _, section := range []string{MakeReady, Shopping} {
		out.Add(page.Section{Heading: section, Lines: p.list(section)})
	}
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
		text := fmt.Sprintf("%s: off at a core of %s, from a pit of %s.", l.Cook.Cut, p.Temp(core), p.Temp(l.Forecast.Pit))
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
	for _, s := range p.Steps {
		t.Rows = append(t.Rows, page.Row{Mark: s.Kind == OnBy && !strings.HasPrefix(s.What, "or,"), Cells: []string{p.At(s.At), s.What, s.Margin}})
	}
	return t
}

// allCost is what all the meat costs, in Request.Money; ok is false unless every dish
// that is bought has its price.
func (p *Sheet) allCost() (cost float64, ok bool) {
	for i, m := range p.Meats {
		if m.Ready {
			continue
		}
		price := p.Request.Dishes[i].Price
		if price <= 0 {
			return 0, false
		}
		cost += m.Buy * price
	}
	return cost, cost > 0
}

func (p *Sheet) meatFacts(dish int) []page.Fact {
	m := &p.Meats[dish]
	var out []page.Fact
	add := func(name, format string, args ...any) {
		out = append(out, page.Fact{Name: name, Value: fmt.Sprintf(format, args...)})
	}
	verb := "buy"
	if m.Ready {
		verb = "ready"
	}
	if m.Ready {
		add(verb, "%s as %s; enough in half of such meals is %s, in 9 of 10 %s", p.Mass(m.Buy), p.piecesOf(m), p.Mass(m.Raw[1]), p.Mass(m.Raw[2]))
	} else {
		add(verb, "%s as %s: enough in %s such meals; %s is in half, %s in 9 of 10", p.Mass(m.Buy), p.piecesOf(m), outOf(m.Odds), p.Mass(m.Raw[1]), p.Mass(m.Raw[2]))
	}
	if over := m.Over(); over >= p.Portion {
		add("left over", "%s cooked on average, %s", p.Mass(over), measure.Count(int(over/p.Portion), "portion"))
	}
	if price := p.Request.Dishes[dish].Price; price > 0 && !m.Ready {
		add("cost", "%s, %s a head", p.Money(m.Buy*price), p.Money(m.Buy*price/float64(p.Request.Party.Heads)))
	}
	if all, ok := p.allCost(); ok && len(p.Meats) > 1 && dish == len(p.Meats)-1 {
		add("all the meat", "%s, %s a head", p.Money(all), p.Money(all/float64(p.Request.Party.Heads)))
	}
	party := p.Request.Party
	who := fmt.Sprintf("%d heads", party.Heads)
	if party.Children > 0 {
		who += fmt.Sprintf(", %d of them children at half", party.Children)
	}
	if party.Hearty > 0 {
		who += fmt.Sprintf(", %d hearty at half again", party.Hearty)
	}
	if party.Vegetarians > 0 {
		who += fmt.Sprintf(", %d without meat", party.Vegetarians)
	}
	source := "caterers' third of a pound in a bun"
	switch {
	case p.Request.Portion > 0:
		source = "as asked"
	case p.Request.Serving.Plated:
		source = "caterers' half pound on a plate"
	}
	add("on the plates", "%s: %s, %s each (%s)", p.Mass(m.Cooked), who, p.Mass(p.Portion), source)
	step := func(s quantity.Share) string {
		if s.N > 0 {
			return fmt.Sprintf("%.0f %%, %s of yours", 100*s.Lost, measure.Count(s.N, "cook"))
		}
		return fmt.Sprintf("%.0f %%, a starting value", 100*s.Lost)
	}
	if m.Trim.Lost == 0 && m.Trim.N > 0 {
		add("trimmed and lost", "%s", step(m.Loss))
	} else {
		add("trimmed off", "%s", step(m.Trim))
		add("lost in the pit", "%s", step(m.Loss))
	}
	add("bone and fat out", "%s", step(m.Discard))
	practice := "caterers plan with 50, 40 to 60"
	if quantity.Find(m.Cut).Bony() {
		practice = "more is bone than of other cuts"
	} else if quantity.Find(m.Cut).Roast() {
		practice = "it loses less than what is cooked until it pulls"
	}
	add("raw to plate", "%.0f %%; %s", 100*m.Left(), practice)
	if m.USDA != "" {
		add("published", "USDA yields: %s; nothing in that table was smoked", m.USDA)
	} else {
		add("published", "the USDA table of yields has no row for %s, and nothing in it was smoked", named(rowless(m.Cut), "it"))
	}
	if e := m.Eaten; e.Cooks > 0 {
		add("your guests ate", "%s a head over %s (%s – %s)", p.Mass(e.Mid), measure.Count(e.Cooks, "cook"), p.Mass(e.Low), p.Mass(e.High))
	}
	if !m.Ready {
		add("pieces", "%s", p.piecesWords(m))
	}
	add("thickness", "taken for %s at most; measure it, the hours hang on it more than on the weight", p.Length(p.Thick[dish]))
	return out
}

// outOf says a share of a whole: "9 of 10", "85 of 100".
func outOf(share float64) string {
	if tenths := share * 10; math.Abs(tenths-math.Round(tenths)) < 1e-9 {
		return fmt.Sprintf("%.0f of 10", tenths)
	}
	return fmt.Sprintf("%.0f of 100", 100*share)
}

func (p *Sheet) piecesWords(m *quantity.Meat) string {
	usual := "what a butcher sells, about " + p.Mass(m.Usual)
	if m.Own > 0 {
		usual = fmt.Sprintf("the usual of your %d pieces, %s", m.Own, p.Mass(m.Usual))
	}
	switch each := m.Pieces[0].Raw.Base; {
	case each < m.Usual*.6:
		return "cut from a whole one: less than " + usual
	case len(m.Pieces) == 1:
		return "near " + usual
	}
	return fmt.Sprintf("near %s; they cook side by side, so %d are off long before one", usual, len(m.Pieces))
}

// rowless names what the table of yields has no row for.
func rowless(cut string) string {
	switch c := strings.ToLower(cut); {
	case strings.Contains(c, "pork"), strings.Contains(c, "butt"):
		return "Boston butt"
	default:
		return cut
	}
}

func (p *Sheet) loadFacts() []page.Fact {
	var out []page.Fact
	for i := range p.Loads {
		l := &p.Loads[i]
		value := fmt.Sprintf("%s; on by %s, off %s – %s", weights(l.Cook.Pieces, p.Settings.Units), p.At(l.OnBy), p.At(l.Off[0]), p.At(l.Off[2]))
		if l.Batch > 0 {
			value += "; chilled, and reheated for the meal"
		}
		out = append(out, page.Fact{Name: p.Named(l) + " · " + p.PitName(l.Pit), Value: value})
	}
	if p.loadsFor(0) > 1 {
		out = append(out, page.Fact{Name: "together", Value: fmt.Sprintf("each is planned for %.0f of 100 to be off in time, so that all are in 9 of 10", 100*p.Main().Sure)})
	}
	return out
}

// barCells is the width of a full bar.
const barCells = 12

func bar(share float64) string {
	n := int(math.Round(barCells * math.Max(0, math.Min(1, share))))
	return strings.Repeat("█", n) + strings.Repeat("·", barCells-n)
}

func (p *Sheet) stripTable() page.Table {
	t := page.Table{Columns: []page.Column{{Title: "on"}, {Title: "late", Right: true}, {}, {Title: "held", Right: true}, {}}}
	most := 1.0
	for _, s := range p.Strip {
		most = math.Max(most, s.Hold)
	}
	for _, s := range p.Strip {
		t.Rows = append(t.Rows, page.Row{Mark: s.Is, Cells: []string{
			p.At(s.On), fmt.Sprintf("%.0f %%", 100*s.Late), bar(s.Late), measure.FormatHalf(s.Hold), bar(s.Hold / most),
		}})
	}
	return t
}

func (p *Sheet) holdFacts() []page.Fact {
	h := p.Hold
	var out []page.Fact
	add := func(name, format string, args ...any) {
		out = append(out, page.Fact{Name: name, Value: fmt.Sprintf(format, args...)})
	}
	add("to be held", "%s, 8 in 10; most likely %s", measure.FormatRange(h.Short, h.Long), measure.FormatHalf(h.Mid))
	switch {
	case h.Lasts == provision.NoHold:
		add("the box", "there is none: a low oven from the start")
		if n := provision.Ovens(p.Cooked(false)); n > 1 {
			add("ovens", "%d: a kitchen oven takes about three shoulders", n)
		}
	case h.Loads == 0:
		add("the box", "keeps %s for %s (any box; yours has no history); it %s", p.Temp(h.Limit), measure.FormatRange(h.Keeps[0], h.Keeps[2]), h.Lasts)
	default:
		add("the box", "keeps %s for %s, %s; it %s", p.Temp(h.Limit), measure.FormatRange(h.Keeps[0], h.Keeps[2]), "by "+measure.Count(h.Loads, "load")+" of yours", h.Lasts)
	}
	if h.Boxes > 1 {
		add("boxes", "%d: one of about 50 l takes four shoulders", h.Boxes)
	}
	if !h.OvenBy.IsZero() {
		falls := fmt.Sprintf("off early it goes into the box at %s and may be at %s from %s on", p.At(h.Boxed), p.Temp(h.Limit), p.At(h.FallsAt))
		if h.Lasts == provision.NoHold {
			falls = "off early it is rested at " + p.At(h.Boxed)
		}
		add("low oven", "%s; light it, %s, by %s and keep a probe in the meat", falls, p.Oven(90), p.At(h.OvenBy))
	}
	if !h.ChillBy.IsZero() {
		add("or chill", "off early: cut small into open trays from %s, %s two hours later and %s six hours later; reheat to %s from %s, within two hours",
			p.At(h.ChillBy), p.Temp(safety.CoolHalf), p.Temp(safety.ColdHold), p.Temp(safety.ReheatTo), p.At(h.ReheatBy))
	}
	return out
}

func (p *Sheet) fireFacts() []page.Fact {
	var out []page.Fact
	for _, f := range p.Fuel {
		rests := "a starting value for such a pit"
		if f.Own > 0 {
			rests = measure.Count(f.Own, "cook") + " of yours"
		}
		value := fmt.Sprintf("%s of %s: %s an hour (%s) for %s", p.Mass(f.Buy), f.Kind, p.Mass(math.Round(100*f.Rate)/100), rests, measure.FormatHalf(math.Round(f.Hours)))
		if math.Abs(f.Weather-1) > .02 {
			value += fmt.Sprintf(", %+.0f %% for the weather", 100*(f.Weather-1))
		}
		value += fmt.Sprintf(", and a quarter over; most likely it burns %s", p.Mass(f.Likely))
		out = append(out, page.Fact{Name: p.PitName(f.Pit), Value: value})
		if f.Splits > 0 {
			out = append(out, page.Fact{Name: "feeding", Value: fmt.Sprintf("a split of about %s every %s, before the last one falls apart; about %d in all, dry, the next ones warming by the firebox",
				p.Mass(provision.Split), measure.FormatSpan(f.Every), f.Splits)})
		}
		if w := f.Wood; w.Buy > 0 {
			rests := fmt.Sprintf("a chunk of %s to %s an hour, in the first three to four", p.Mass(quantity.ChunkSmall), p.Mass(quantity.ChunkLarge))
			if w.Own > 0 {
				rests = fmt.Sprintf("yours took %s to %s", p.Mass(w.Low), p.Mass(w.High))
			}
			out = append(out, page.Fact{Name: "wood", Value: fmt.Sprintf("%s of %s: %s, and a quarter over", p.Mass(w.Buy), named(w.Kind, "smoke wood"), rests)})
		}
	}
	return out
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
	if change := 100 * (p.Margin - 1); math.Abs(change) >= 5 {
		how := "narrower"
		if change > 0 {
			how = "wider"
		}
		out = append(out, fmt.Sprintf("The range is %.0f %% %s than the forecast's own: so your past plans turned out.", math.Abs(change), how))
	}
	return append(out, fmt.Sprintf("The shortest rest is %s; the knife starts at %s.", measure.FormatSpan(provision.ShortestRest), p.At(p.CarveAt)))
}

// cautions are those of any fire, and what the plan itself gives reason for.
func (p *Sheet) cautions() page.Section {
	s := page.Section{Heading: "Cautions", Lines: []string{safety.Closing}}
	for _, f := range safety.Look(&p.Main().Cook, p.Settings, p.Moment).Findings {
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
		s.Facts = append(s.Facts, page.Fact{Name: "many guests", Value: "A meal for the public, or for pay, usually wants notice to the local food authority, whoever cooks it: ask before you shop."})
	}
	return s
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

// day formats t with its weekday, and with its date where it is more than six days off.
func (p *Sheet) day(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if d := t.Sub(p.Moment); d > 6*24*time.Hour {
		return t.Format(measure.DayDateClock)
	}
	return t.Format(measure.DayClock)
}

// said is "20:10 Friday", with the date where day has it.
func (p *Sheet) said(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if t.Sub(p.Moment) > 6*24*time.Hour {
		return t.Format(measure.ClockDay + " 2 January")
	}
	return t.Format(measure.ClockDay)
}

// clock is a bare clock time on the day of the meal, else at.
func (p *Sheet) clock(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if t.YearDay() == p.Request.Serve.YearDay() {
		return t.Format(measure.Clock)
	}
	return p.At(t)
}

// tenths is a temperature to a tenth.
func (p *Sheet) tenths(c float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.1f °F", c*1.8+32)
	}
	return fmt.Sprintf("%.1f °C", c)
}

// rate is a rate in the reader's unit.
func (p *Sheet) rate(perKg float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.2f oz/lb", perKg*.016)
	}
	return fmt.Sprintf("%.0f g/kg", perKg)
}

// batch names the fire of a load where there are several fires.
func (p *Sheet) batch(l *provision.Load) string {
	if p.Batches == 1 {
		return ""
	}
	return ", " + provision.Ordinal(p.Batches-l.Batch) + " fire"
}

func (p *Sheet) oneIn(share float64) string {
	if share >= .099 {
		return "1 in 10"
	}
	return fmt.Sprintf("%.0f in 100", 100*share)
}

func (p *Sheet) knife() string {
	for _, m := range p.Meats {
		if len(p.Meats) > 1 && quantity.Find(m.Cut).Sliced != quantity.Find(p.Meats[0].Cut).Sliced {
			return "cut"
		}
	}
	if p.Request.Serving.Sliced {
		return "slice"
	}
	return "pull"
}

// holds is the hold in a few words.
func (p *Sheet) holds() string {
	return fmt.Sprintf("held %s; it %s", measure.FormatRange(p.Hold.Short, p.Hold.Long), p.Hold.Lasts)
}

// weights is "2 × 4.8 kg", or the weights where they differ.
func weights(all []journal.Piece, sys measure.System) string {
	for _, piece := range all {
		if piece.Raw.Base != all[0].Raw.Base {
			return frame.Weights(&journal.Cook{Pieces: all}, sys)
		}
	}
	return fmt.Sprintf("%d × %s", len(all), all[0].Raw.In(sys))
}

// piecesOf is weights, where there is more than one.
func (p *Sheet) piecesOf(m *quantity.Meat) string {
	if len(m.Pieces) == 1 {
		return "one piece"
	}
	return weights(m.Pieces, p.Settings.Units)
}
