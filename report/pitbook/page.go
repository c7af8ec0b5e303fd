package pitbook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// line is one figure of the page.
type line struct {
	name, key string
	figure    func(*Book) Figure
	unit      unit
	start     bool // show the starting value if there are no cooks
}

var lines = []line{
	{"fuel from lit to off", "fuel_kg_per_h", func(b *Book) Figure { return b.FuelPerHour }, perHour, true},
	{"settles in", "settle_min", func(b *Book) Figure { return b.Settle }, minutes, true},
	{"open lid, falls by", "dip_k", func(b *Book) Figure { return b.Dip }, degrees, true},
	{"back within 5 °C in", "recovery_min", func(b *Book) Figure { return b.Recovery }, minutes, true},
	{"keeps within ±", "steady_k", func(b *Book) Figure { return b.Steady }, degrees, true},
	{"over its aim", "over_k", func(b *Book) Figure { return b.Over }, difference, false},
	{"drift, tended, hours 2–8", "night_k_per_h", func(b *Book) Figure { return b.Night }, slope, false},
	{"drift, untended", "alone_k_per_h", func(b *Book) Figure { return b.Alone }, slope, true},
	{"hand notes over probe", "hand_k", func(b *Book) Figure { return b.Hand }, difference, false},
}

// Named is a figure with its JSON key, which ends in the unit.
type Named struct {
	Key string
	Figure
}

// Figures returns the figures in the order of the page, without those that have neither
// cooks nor a starting value.
func (b *Book) Figures() []Named {
	var out []Named
	for _, l := range lines {
		if f := l.figure(b); f.Own() || l.start {
			out = append(out, Named{l.key, f})
		}
	}
	return out
}

// unit formats a value as a number and a unit.
type unit func(v float64, sys measure.System) (number, symbol string)

func perHour(v float64, sys measure.System) (string, string) {
	if sys == measure.US {
		return fmt.Sprintf("%.1f", v/pound), "lb/h"
	}
	return fmt.Sprintf("%.2f", v), "kg/h"
}

func minutes(v float64, _ measure.System) (string, string) { return fmt.Sprintf("%.0f", v), "min" }

func degrees(v float64, sys measure.System) (string, string) {
	return strings.TrimPrefix(kelvin(v, 0, sys), "+"), symbol(sys)
}

func difference(v float64, sys measure.System) (string, string) {
	return kelvin(v, 0, sys), symbol(sys)
}

func slope(v float64, sys measure.System) (string, string) {
	return kelvin(v, 1, sys), symbol(sys) + "/h"
}

const pound = .45359237

func symbol(sys measure.System) string { return measure.Degrees(0, sys).Unit.Symbol }

// kelvin formats a temperature difference in the reader's unit, without the unit.
func kelvin(v float64, decimals int, sys measure.System) string {
	n, _, _ := strings.Cut(measure.FormatDifference(v, decimals, sys), " ")
	return n
}

// rename converts the temperature in a figure's name into the reader's unit.
func rename(name string, sys measure.System) string {
	return strings.Replace(name, "5 °C", strings.TrimPrefix(measure.FormatDifference(backWithin, 0, sys), "+"), 1)
}

// between formats a range: "0.53 – 0.68".
func between(l line, f Figure, sys measure.System) string {
	low, _ := l.unit(f.Low, sys)
	high, _ := l.unit(f.High, sys)
	return low + " – " + high
}

// Page builds the page of one pit.
func (b *Book) Page(s journal.Settings) page.Page {
	p := page.Page{Title: b.Name, Aside: measure.Count(b.Cooks, "cook")}
	if b.Pit.Kind != "" && !strings.EqualFold(string(b.Pit.Kind), b.Name) {
		p.Title += " · " + string(b.Pit.Kind)
	}
	p.Lead = b.says(s.Units)
	t := page.Table{Columns: []page.Column{{}, {Title: "likely", Right: true}, {Title: "8 in 10 cooks", Right: true}, {Title: "based on"}}}
	for _, l := range lines {
		f := l.figure(b)
		row := []string{rename(l.name, s.Units), "–", "", "nothing noted yet"}
		if f.Own() || l.start {
			number, symbol := l.unit(f.Likely, s.Units)
			row = []string{row[0], number + " " + symbol, between(l, f, s.Units), f.From}
		}
		t.Rows = append(t.Rows, page.Row{Cells: row})
	}
	p.Add(page.Section{Table: t})
	p.Add(page.Section{Heading: "Fuel and weather", Lines: b.weather(s.Units)})
	p.Add(page.Section{Heading: "The pit", Facts: b.facts(s.Units)})
	p.Add(page.Section{Heading: "To know more, note next time", Lines: b.Next})
	p.Add(page.Section{Heading: "Left out, or odd", Lines: b.Notes})
	p.Note(restsOn)
	if b.Dip.Own() {
		p.Note("The fall at an open lid is what the readings show; the real one is deeper.")
	}
	return p
}

const restsOn = "Each range should hold 8 in 10 of your next cooks. With few cooks it stays near a typical figure for this kind of pit, which we chose without a source."

// says sums up the book in a sentence or two.
func (b *Book) says(sys measure.System) []string {
	var out []string
	fuel := b.FuelPerHour
	name := b.Fuel
	if name == "" {
		name = "fuel"
	}
	if fuel.Own() && b.Hours > 0 {
		out = append(out, fmt.Sprintf("Your usual %s here burn %s of %s (%s to %s). It settles in %.0f min; in 9 of 10 cooks %.0f min are enough.",
			measure.FormatHalf(b.Hours), measure.FormatMass(fuel.Likely*b.Hours, sys), name, measure.FormatMass(fuel.Low*b.Hours, sys), measure.FormatMass(fuel.High*b.Hours, sys), b.Settle.Likely, roundUp(b.Settle.High)))
	}
	if f := b.Over; f.Own() && math.Abs(f.Likely) >= 2 {
		gap := strings.Trim(measure.FormatDifference(f.Likely, 0, sys), "+−")
		says := "It runs %s below its aim: set it that much higher, or allow more time."
		if f.Likely > 0 {
			says = "It runs %s above its aim: set it that much lower, or expect the meat sooner."
		}
		out = append(out, fmt.Sprintf(says, gap))
	}
	return out
}

// roundUp rounds up to a multiple of five.
func roundUp(v float64) float64 { return 5 * math.Ceil(v/5) }

// weather says how cold and wind change the fuel needed.
func (b *Book) weather(sys measure.System) []string {
	cold, wind, kelvins, speed := "10 °C colder", "1 m/s more wind", 10.0, 1.0
	if sys == measure.US {
		cold, wind, kelvins, speed = "20 °F colder", "5 mph more wind", 100.0/9, 5*1609.344/3600
	}
	var out []string
	if b.FuelPerHour.Own() {
		out = append(out, b.usualWeather(sys))
	}
	out = append(out, b.Cold.says(cold, kelvins/10, "because the pit loses heat in proportion to its gap to the air"), b.Wind.says(wind, speed, "a chosen figure"))
	if b.FuelPerHour.Own() && slices.Contains(charcoals, b.Fuel) {
		out = append(out, fmt.Sprintf("As charcoal at %g MJ/kg that is %.0f kW.", charcoal, kilowatts(b.FuelPerHour.Likely)))
	}
	return out
}

// charcoals lists the fuels that give as much heat as charcoal.
var charcoals = []string{"", "charcoal", "lump"}

func (b *Book) usualWeather(sys measure.System) string {
	if !b.HasAir {
		return "No weather is noted, so the rate is for the average weather of your cooks."
	}
	s := "The rate is in your usual weather here, " + measure.FormatTemperature(b.Air, sys)
	if b.HasWind {
		n, unit := b.Blow, "m/s"
		if sys == measure.US {
			n, unit = n*3600/1609.344, "mph"
		}
		s += fmt.Sprintf(" and %.0f %s of wind", n, unit)
	}
	return s + "."
}

// says formats an effect for a number of steps of 10 °C or 1 m/s: 2 steps for 20 °C
// colder.
func (e Effect) says(what string, steps float64, why string) string {
	percent := func(share float64) string {
		return fmt.Sprintf("%.0f", 100*(math.Pow(1+share, steps)-1))
	}
	if !e.Told {
		return fmt.Sprintf("%s: cannot tell yet (%s); %s %% more is assumed, %s.", what, measure.Count(e.N, "cook"), percent(e.Likely), why)
	}
	return fmt.Sprintf("%s: %s %% more fuel (%s to %s), from %s.", what, percent(e.Likely), percent(e.Low), percent(e.High), measure.Count(e.N, "cook"))
}

func (b *Book) facts(sys measure.System) []page.Fact {
	var out []page.Fact
	add := func(name, value string) { out = append(out, page.Fact{Name: name, Value: value}) }
	if !b.Filed {
		add("file", "none; pits/"+b.Name+".md can say its kind and how its lid gauge reads")
		return out
	}
	add("pit readings", map[bool]string{false: "measured at the grate", true: "the setting, not a measurement"}[b.Pit.Setting])
	if grate := b.Pit.Grate.In(sys); grate != "" {
		if b.Pit.Tiers > 1 {
			grate += fmt.Sprintf(", %d tiers", b.Pit.Tiers)
		}
		add("grate", grate)
	}
	if f := b.Pit.Fits; f.Pieces > 0 {
		add("fits", fmt.Sprintf("%d × %s of %s at once", f.Pieces, f.Each.In(sys), f.Cut))
	}
	if o := b.Pit.Offset; o.Known {
		gap := strings.Trim(measure.FormatDifference(o.Base, 0, sys), "+−")
		switch {
		case strings.HasPrefix(gap, "0 "):
			add("lid gauge", "shows the same as the grate")
		case o.Base > 0:
			add("lid gauge", "shows "+gap+" more than the grate")
		default:
			add("lid gauge", "shows "+gap+" less than the grate")
		}
	}
	return out
}

// columns is how many pits fit in one table (chosen: three fit 60 columns of text).
const columns = 3

// Table builds the page that compares all pits.
func Table(books []Book, s journal.Settings) page.Page {
	p := page.Page{Title: "Pits", Aside: measure.Count(len(books), "pit")}
	if len(books) == 0 {
		p.Lead = []string{"No pit has a file in pits, and no cook names one."}
		return p
	}
	for from := 0; from < len(books); from += columns {
		p.Add(page.Section{Table: tableOf(books[from:min(from+columns, len(books))], s.Units)})
	}
	p.Note("The most likely value; in brackets the range of 8 in 10 cooks, and the number of cooks behind it (for lids, the number of openings). Without cooks it is a typical figure for that kind of pit.")
	return p
}

func tableOf(books []Book, sys measure.System) page.Table {
	t := page.Table{Columns: []page.Column{{}}}
	kinds, cooks := page.Row{Cells: []string{"kind"}}, page.Row{Cells: []string{"cooks"}}
	for i := range books {
		kind := string(books[i].Pit.Kind)
		if kind == "" {
			kind = "–"
		}
		t.Columns = append(t.Columns, page.Column{Title: books[i].Name})
		kinds.Cells, cooks.Cells = append(kinds.Cells, kind), append(cooks.Cells, strconv.Itoa(books[i].Cooks))
	}
	t.Rows = append(t.Rows, kinds, cooks)
	for _, l := range lines {
		_, symbol := l.unit(0, sys)
		row := page.Row{Cells: []string{rename(l.name, sys) + ", " + symbol}}
		for i := range books {
			f := l.figure(&books[i])
			number, _ := l.unit(f.Likely, sys)
			switch {
			case f.Own():
				low, _ := l.unit(f.Low, sys)
				high, _ := l.unit(f.High, sys)
				row.Cells = append(row.Cells, fmt.Sprintf("%s (%s…%s; %d)", number, low, high, f.N))
			case l.start:
				row.Cells = append(row.Cells, number+" chosen")
			default:
				row.Cells = append(row.Cells, "–")
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
