package runsheet

import (
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
	"ashbook/report/safety"
	"fmt"
	"math"
	"strings"
)

// allCost returns the cost of all meat in Request.Money. ok is false if a dish that is
// bought has no price.
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
		add(verb, "%s as %s; %s is enough in half of such meals, %s in 9 of 10", p.Mass(m.Buy), p.piecesOf(m), p.Mass(m.Raw[1]), p.Mass(m.Raw[2]))
	} else {
		add(verb, "%s as %s: enough in %s such meals; %s is enough in half, %s in 9 of 10", p.Mass(m.Buy), p.piecesOf(m), outOf(m.Odds), p.Mass(m.Raw[1]), p.Mass(m.Raw[2]))
	}
	if over := m.Over(); over >= p.Portion {
		add("leftovers", "about %s cooked on average, %s", p.Mass(math.Max(.05, math.Round(over*20)/20)), measure.Count(int(over/p.Portion), "portion"))
	}
	if last := p.Last[dish]; last != nil && !m.Ready {
		if says := boughtAs(last); says != "" {
			add("last time", "%s (%s)", says, last.Name())
		}
	}
	if price := p.Request.Dishes[dish].Price; price > 0 && !m.Ready {
		add("cost", "%s, %s a head", p.Money(m.Buy*price), p.Money(m.Buy*price/float64(p.Request.Party.Heads)))
	}
	if all, ok := p.allCost(); ok && len(p.Meats) > 1 && dish == len(p.Meats)-1 {
		add("all the meat", "%s, %s a head", p.Money(all), p.Money(all/float64(p.Request.Party.Heads)))
	}
	party := p.Request.Party
	who := measure.Count(party.Heads, "guest")
	if party.Children > 0 {
		who += fmt.Sprintf(", %d of them children who eat half", party.Children)
	}
	if party.Hearty > 0 {
		who += fmt.Sprintf(", %d who eat half as much again", party.Hearty)
	}
	if party.Vegetarians > 0 {
		who += fmt.Sprintf(", %d who eat no meat", party.Vegetarians)
	}
	source := "caterers' third of a pound in a bun"
	switch {
	case p.Request.Portion > 0:
		source = "as asked"
	case p.Request.Serving.Plated:
		source = "caterers' half pound on a plate"
	}
	if n := len(p.Meats); n > 1 {
		source += fmt.Sprintf("; shared equally between %d cuts", n)
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
	practice := "caterers plan with 50 %, from 40 to 60"
	if quantity.Find(m.Cut).Bony() {
		practice = "it has more bone than other cuts"
	} else if quantity.Find(m.Cut).Roast() {
		practice = "it loses less than meat that is cooked until it pulls apart"
	}
	add("raw to plate", "%.0f %%; %s", 100*m.Left(), practice)
	if m.USDA != "" {
		add("published", "USDA yields: %s; no meat in that table was smoked", m.USDA)
	} else {
		add("published", "the USDA table of yields has no row for %s, and no meat in it was smoked", named(rowless(m.Cut), "it"))
	}
	if e := m.Eaten; e.Cooks > 0 {
		add("your guests ate", "%s each over %s (%s – %s)", p.Mass(e.Mid), measure.Count(e.Cooks, "cook"), p.Mass(e.Low), p.Mass(e.High))
	}
	if !m.Ready {
		add("pieces", "%s", p.piecesWords(m))
	}
	add("thickness", "assumed to be %s at most; measure it, as thickness changes the hours more than weight does", p.Length(p.Thick[dish]))
	return out
}

// boughtAs returns where the meat of a cook came from, its grade and its age; "" if
// none is noted.
func boughtAs(c *journal.Cook) string {
	var parts []string
	if c.Supplier != "" {
		parts = append(parts, "from "+c.Supplier)
	}
	if c.Grade != "" {
		parts = append(parts, "grade "+c.Grade)
	}
	if c.Packed.Known {
		parts = append(parts, fmt.Sprintf("packed %s before it went on", measure.Count(int(math.Round(c.Packed.Base/86400)), "day")))
	}
	return strings.Join(parts, ", ")
}

// outOf formats a share as "9 of 10" or "85 of 100".
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
	return fmt.Sprintf("near %s; they cook side by side, so %d pieces come off long before one of the same total weight", usual, len(m.Pieces))
}

// rowless returns the name of a cut for which the table of yields has no row.
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
		name := p.Named(l)
		if pit := p.PitName(l.Pit); !strings.Contains(name, pit) {
			name += " · " + pit
		}
		out = append(out, page.Fact{Name: name, Value: value})
	}
	if p.loadsFor(0) > 1 {
		out = append(out, page.Fact{Name: "together", Value: p.together()})
	}
	return out
}

// together says how often the whole meal is in time, and how often each load is.
func (p *Sheet) together() string {
	var each []string
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Batch == 0 {
			each = append(each, fmt.Sprintf("%s in %.0f", p.Named(l), 100*l.Sure))
		}
	}
	return fmt.Sprintf("all of it is off in time in %.0f of 100 such meals or more (%s); the spare time goes to the meat that keeps best in a box", 100*p.Together(), strings.Join(each, "; "))
}

// smallLoad is the weight of cooked meat that leaves most of a box empty, kg (common
// practice, no source).
const smallLoad = 3.0

// barCells is the width of a full bar, in cells.
const barCells = 12

func bar(share float64) string {
	n := int(math.Round(barCells * math.Max(0, math.Min(1, share))))
	return strings.Repeat("█", n) + strings.Repeat("·", barCells-n)
}

func (p *Sheet) stripTable() page.Table {
	t := page.Table{Columns: []page.Column{{Title: "on"}, {Title: "late", Right: true}, {}, {Title: "held", Right: true}, {Gives: 1}}}
	var each []string
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Batch == 0 {
			each = append(each, p.Named(l))
		}
	}
	if len(each) > 1 {
		t.Columns[0].Title, t.Columns[1].Title = "the first on", "any late"
		for _, name := range each {
			t.Columns = append(t.Columns, page.Column{Title: name, Right: true, Gives: 2})
		}
	}
	most := 1.0
	for _, s := range p.Strip {
		most = math.Max(most, s.Hold)
	}
	for _, s := range p.Strip {
		cells := []string{p.At(s.On), fmt.Sprintf("%.0f %%", 100*s.Late), bar(s.Late), measure.FormatHalf(s.Hold), bar(s.Hold / most)}
		for _, late := range s.Each {
			if len(each) > 1 {
				cells = append(cells, fmt.Sprintf("%.0f %%", 100*late))
			}
		}
		t.Rows = append(t.Rows, page.Row{Mark: s.Is, Cells: cells})
	}
	return t
}

// otherStarts returns the heading of the table of other start times.
func (p *Sheet) otherStarts() string {
	if p.loadsFor(0) == 1 {
		return "Too late, or too long in the box: if it goes on at this hour, " + p.Named(p.Main())
	}
	return "Too late, or too long in the box: if all fires for the meal start earlier or later together"
}

func (p *Sheet) holdFacts() []page.Fact {
	h := p.Hold
	var out []page.Fact
	add := func(name, format string, args ...any) {
		out = append(out, page.Fact{Name: name, Value: fmt.Sprintf(format, args...)})
	}
	add("to be held", "most likely %s, 8 in 10 for %s%s", measure.FormatHalf(h.Mid), measure.FormatRange(h.Short, h.Long), p.Of(h.Load))
	switch {
	case h.Lasts == provision.NoHold:
		add("the box", "there is no box: use a low oven from the start")
		if n := provision.Ovens(p.Cooked(false)); n > 1 {
			add("ovens", "%d: a kitchen oven takes about three shoulders", n)
		}
	case h.Loads == 0:
		add("the box", "keeps %s for %s, as any box does (yours has no history). It %s", p.Temp(h.Limit), measure.FormatRange(h.Keeps[0], h.Keeps[2]), h.Lasts)
	default:
		add("the box", "keeps %s for %s, %s. It %s", p.Temp(h.Limit), measure.FormatRange(h.Keeps[0], h.Keeps[2]), "by "+measure.Count(h.Loads, "load")+" of yours", h.Lasts)
	}
	switch {
	case h.Unboxed > 0:
		add("boxes", "you have %d, the meat needs %d: %s of it does not fit. It is held in %s, %s, lit by %s, with a probe in it",
			h.Boxes, h.Wanted, p.Mass(h.Unboxed), several(provision.Ovens(h.Unboxed), "a low oven", "low ovens"), p.Oven(90), p.At(h.OvenBy))
	case h.Boxes > 1:
		add("boxes", "%d: one of about 50 l takes four shoulders", h.Boxes)
	case h.Boxes == 1 && p.Cooked(false) < smallLoad:
		add("boxes", "so little meat cools faster than a full box: use a small box and fill it up with towels")
	}
	if !h.OvenBy.IsZero() && (!h.FallsAt.IsZero() || h.Lasts == provision.NoHold) {
		falls := fmt.Sprintf("if it comes off early, it goes into the box at %s and may cool to %s from %s on", p.At(h.Boxed), p.Temp(h.Limit), p.At(h.FallsAt))
		if h.Lasts == provision.NoHold {
			falls = "if it comes off early, it is rested at " + p.At(h.Boxed)
		}
		add("low oven", "%s: have the oven at %s from %s on, and keep a probe in the meat", falls, p.Oven(90), p.At(h.OvenBy))
	}
	if !h.ChillBy.IsZero() {
		add("or chill", "if it comes off early: cut it small into open trays from %s, chill it to %s within two hours and to %s within six; reheat it to %s from %s on, within two hours",
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
		value := fmt.Sprintf("buy %s of %s: %s an hour (%s) for %s", p.Mass(f.Buy), f.Kind, p.Mass(math.Round(100*f.Rate)/100), rests, measure.FormatHalf(math.Round(f.Hours)))
		if math.Abs(f.Weather-1) > .02 {
			value += fmt.Sprintf(", %+.0f %% for the weather", 100*(f.Weather-1))
		}
		value += fmt.Sprintf(", and a quarter more in reserve; most likely it burns %s", p.Mass(f.Likely))
		out = append(out, page.Fact{Name: p.PitName(f.Pit), Value: value})
		if f.Full > 0 {
			value := fmt.Sprintf("a full load, about %s, is most likely enough", p.Mass(f.Full))
			if n := len(f.TopUps); n > 0 {
				var at []string
				for _, t := range f.TopUps {
					at = append(at, p.At(t))
				}
				value = fmt.Sprintf("a full load, about %s, lasts about %s: top up with about %s at %s, or when the pit cools and opening the vents does not help", p.Mass(f.Full), measure.FormatHalf(f.Lasts), p.Mass(f.More), strings.Join(at, ", "))
			}
			out = append(out, page.Fact{Name: "loading", Value: value})
		}
		if f.Splits > 0 {
			out = append(out, page.Fact{Name: "feeding", Value: fmt.Sprintf("a split of about %s every %s, before the last one falls apart; about %d in all, dry; warm the next ones by the firebox",
				p.Mass(provision.Split), measure.FormatSpan(f.Every), f.Splits)})
		}
		if w := f.Wood; w.Buy > 0 {
			rests := fmt.Sprintf("a chunk of %s to %s an hour, for the first three to four hours", p.Mass(quantity.ChunkSmall), p.Mass(quantity.ChunkLarge))
			if w.Own > 0 {
				rests = fmt.Sprintf("your cooks took %s to %s", p.Mass(w.Low), p.Mass(w.High))
			}
			out = append(out, page.Fact{Name: "wood", Value: fmt.Sprintf("%s of %s: %s, and a quarter more in reserve", p.Mass(w.Buy), named(w.Kind, "smoke wood"), rests)})
		}
	}
	return out
}
