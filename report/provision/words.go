package provision

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// Mass formats kg in the reader's unit.
func (p *Plan) Mass(kg float64) string { return measure.FormatMass(kg, p.Settings.Units) }

// Temp formats °C in the reader's unit.
func (p *Plan) Temp(celsius float64) string {
	return measure.FormatTemperature(celsius, p.Settings.Units)
}

// Money formats a sum with the request's currency sign.
func (p *Plan) Money(sum float64) string { return fmt.Sprintf("%s%.2f", p.Request.Money, sum) }

// Oven formats an oven setting, °C, as on an oven's knob: °F in steps of 25.
func (p *Plan) Oven(celsius float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.0f °F", math.Round((celsius*1.8+32)/25)*25)
	}
	return p.Temp(celsius)
}

// Length formats m in the reader's unit.
func (p *Plan) Length(m float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.0f in", m/.0254)
	}
	return fmt.Sprintf("%.0f cm", 100*m)
}

// At formats a clock time with its day.
func (p *Plan) At(t time.Time) string {
	return measure.FormatTime(t.In(p.Request.Serve.Location()), measure.DayClock, p.Settings.Units)
}

// PitName names a pit in a sentence.
func (p *Plan) PitName(i int) string {
	if name := p.Pits[i].Name; name != "" {
		return "the " + strings.TrimPrefix(name, "the ")
	}
	return "the pit"
}

func (p *Plan) pitNames() string {
	var names []string
	for i := range p.Pits {
		names = append(names, p.PitName(i))
	}
	return strings.Join(names, " and ")
}

// Named returns the shortest name of a load that no other load has: "brisket", or "pork
// shoulder, the drum, first fire".
func (p *Plan) Named(l *Load) string {
	pits := false
	for _, o := range p.Loads {
		pits = pits || o.Dish == l.Dish && o.Pit != l.Pit
	}
	var parts []string
	if len(p.Meats) > 1 || !pits {
		parts = append(parts, l.Cook.Cut)
	}
	if pits {
		parts = append(parts, p.PitName(l.Pit))
	}
	if p.Batches > 1 {
		parts = append(parts, Ordinal(p.Batches-l.Batch)+" fire")
	}
	return strings.Join(parts, ", ")
}

// Ordinal names the n-th fire.
func Ordinal(n int) string {
	return [...]string{"first", "second", "third"}[min(n, mostBatches)-1]
}

// Of returns Named in parentheses, or "" if there is only one load.
func (p *Plan) Of(l *Load) string {
	if len(p.Loads) == 1 {
		return ""
	}
	return " (" + p.Named(l) + ")"
}
