// Package provision plans a meal backwards: how much meat to buy, when it must go on,
// how long it may have to be held, how much fuel it needs, and what to prepare.
package provision

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/forecast/model"
	"ashbook/report/pitbook"
	"ashbook/report/provision/quantity"
)

// Request describes the meal to be planned.
type Request struct {
	Title   string // empty: named after the cut
	Serve   time.Time
	Party   quantity.Party
	Serving quantity.Serving
	Portion float64  // kg of cooked meat for a grown eater; 0: by Serving
	Enough  float64  // share of such meals for which the meat is bought, 0.5 to 0.95; 0: quantity.Usually
	Dishes  []Dish   // one for each cut; they share the weight of the meat equally
	Pits    []Pit    // pits used side by side; at least one
	Frozen  bool     // the meat comes from the freezer
	NoBox   bool     // there is no box to hold it in
	Boxes   int      // number of boxes there are; 0: as many as needed
	Helpers []string // names of the people who help; may be empty
	Money   string   // the sign of the money prices are in; may be empty
	Weather journal.Weather
}

// Dish is one cut of the meal with its pieces and its aim.
type Dish struct {
	Cut    string
	Pieces []journal.Piece // pieces already there; empty: to be bought
	Aim    journal.Aim
	Price  float64 // price of a kilogram, in Request.Money; 0: unknown
}

// Pit is one pit to use.
type Pit struct {
	journal.Pit
	Aim   measure.Temperature // pit temperature; not recorded: the dish's aim
	Takes int                 // pieces of the first dish that fit at once; 0: as in its file
	Book  pitbook.Book        // its behaviour in the person's cooks; set by Work
}

// Known is what the plan may use.
type Known struct {
	Experience *forecast.Experience
	Past       []journal.Cook // finished cooks
	Settings   journal.Settings
	Margin     float64 // buffer.Look(Experience).Factor(), which takes about a second; 0: worked out
	Now        time.Time
}

// Part names the part of a request that is wrong.
type Part string

// The values of Part.
const (
	PartServe   Part = "serve"
	PartHeads   Part = "heads"
	PartPortion Part = "portion"
	PartEnough  Part = "enough"
	PartPiece   Part = "piece"
	PartAim     Part = "aim"
	PartGrate   Part = "grate"
	PartFits    Part = "fits"
	PartCut     Part = "cut"
	PartBoxes   Part = "boxes"
)

// Refusal is the error for a request that cannot be planned.
type Refusal struct {
	Part Part
	Text string
	Ask  *Ask // for PartFits; else nil
}

func (r Refusal) Error() string { return r.Text }

func refuse(part Part, format string, args ...any) error {
	return Refusal{Part: part, Text: fmt.Sprintf(format, args...)}
}

const (
	mostHeads   = 500  // chosen: more guests need a caterer with a licence
	mostPortion = 1.0  // kg, chosen: four times what any rule calls hearty
	mostBoxes   = 50   // chosen
	leastPit    = 50.0 // °C; the simulation is not made for less
	mostPit     = 200.0
	leastCore   = 40.0
	mostCore    = 105.0
)

// Check refuses requests that are wrong in themselves. The error is a Refusal.
func (r *Request) Check(k Known) error {
	mass := func(kg float64) string { return measure.FormatMass(kg, k.Settings.Units) }
	degrees := func(c float64) string { return measure.FormatTemperature(c, k.Settings.Units) }
	switch p := r.Party; {
	case r.Serve.IsZero():
		return refuse(PartServe, "serving hour: expected the time of the meal")
	case !r.Serve.After(k.Now):
		return refuse(PartServe, "serving hour %s: it has passed, it is %s now", journal.FormatTime(r.Serve), journal.FormatTime(k.Now))
	case p.Heads < 1 || p.Heads > mostHeads:
		return refuse(PartHeads, "heads %d: expected 1 to %d", p.Heads, mostHeads)
	case p.Children < 0 || p.Hearty < 0 || p.Vegetarians < 0 || p.Children+p.Hearty+p.Vegetarians > p.Heads:
		return refuse(PartHeads, "heads %d: %d children, %d hearty eaters and %d vegetarians are more than that", p.Heads, p.Children, p.Hearty, p.Vegetarians)
	case slices.ContainsFunc(p.Without, func(w quantity.Without) bool { return w.Heads < 1 || w.Heads > p.Heads }):
		return refuse(PartHeads, "heads %d: expected 1 to %d of them to avoid an allergen", p.Heads, p.Heads)
	case p.Vegetarians == p.Heads:
		return refuse(PartHeads, "heads %d: none of them eats meat", p.Heads)
	case r.Portion < 0 || r.Portion > mostPortion || math.IsNaN(r.Portion):
		return refuse(PartPortion, "portion %s: more than %s of cooked meat for each eater", mass(r.Portion), mass(mostPortion))
	case r.Enough != 0 && !(r.Enough >= .5 && r.Enough <= .95):
		return refuse(PartEnough, "enough in %.0f of 100 meals: expected 50 to 95", 100*r.Enough)
	case r.Boxes < 0 || r.Boxes > mostBoxes:
		return refuse(PartBoxes, "boxes %d: expected 1 to %d", r.Boxes, mostBoxes)
	case len(r.Dishes) == 0:
		return refuse(PartCut, "cut: expected what you cook")
	case len(r.Pits) == 0:
		return refuse(PartGrate, "pit: expected at least one")
	}
	for _, d := range r.Dishes {
		if !d.Aim.Core.Known && !model.Usual(d.Cut) && !aimed(d.Cut, k.Past) {
			return refuse(PartCut, "cut %q: no usual core is known for it; expected the core at which it is to come off", d.Cut)
		}
		like := quantity.Find(d.Cut)
		for _, p := range d.Pieces {
			switch w := p.Raw; {
			case !w.Known:
				return refuse(PartPiece, "piece %q of %s: its weight is missing", p.Name, d.Cut)
			case w.Base <= 0 || w.Base > like.Largest:
				return refuse(PartPiece, "piece of %s: %s grows to about %s", w.In(k.Settings.Units), d.Cut, mass(like.Largest))
			}
		}
		if a := d.Aim.Core; a.Known && (a.Base < leastCore || a.Base > mostCore) {
			return refuse(PartAim, "core at %s: expected %s to %s", a.In(k.Settings.Units), degrees(leastCore), degrees(mostCore))
		}
		if a := d.Aim.Pit; outside(a) {
			return refuse(PartAim, "pit at %s: expected %s to %s", a.In(k.Settings.Units), degrees(leastPit), degrees(mostPit))
		}
	}
	for _, p := range r.Pits {
		if outside(p.Aim) {
			return refuse(PartAim, "%s at %s: expected %s to %s", p.Name, p.Aim.In(k.Settings.Units), degrees(leastPit), degrees(mostPit))
		}
	}
	return nil
}

// aimed reports whether a past cook of the same cut set a core aim.
func aimed(cut string, past []journal.Cook) bool {
	return slices.ContainsFunc(past, func(c journal.Cook) bool { return strings.EqualFold(c.Cut, cut) && c.Aim.Core.Known })
}

// outside reports whether a pit temperature is too low or too high for any big cut.
func outside(t measure.Temperature) bool {
	return t.Known && (t.Base < leastPit || t.Base > mostPit)
}
