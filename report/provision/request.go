// Package provision works back from a meal: how much meat to buy, when it must
// go on, how long it may have to be held, what burns, and what to make ready.
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

// Request is a meal to be cooked for.
type Request struct {
	Title   string // empty: made of the cut
	Serve   time.Time
	Party   quantity.Party
	Serving quantity.Serving
	Portion float64  // kg of cooked meat for a grown eater; 0: by Serving
	Enough  float64  // share of such meals for which the meat is bought, 0.5 to 0.95; 0: quantity.Usually
	Dishes  []Dish   // one a cut; what they need is shared out equally
	Pits    []Pit    // that burn side by side; at least one
	Frozen  bool     // the meat comes from the freezer
	NoBox   bool     // there is no box to hold it in
	Boxes   int      // there are so many; 0: as many as it takes
	Helpers []string // who does it; may be empty
	Money   string   // the sign of the money prices are in; may be empty
	Weather journal.Weather
}

// Dish is one cut of the meal, its pieces and its aim.
type Dish struct {
	Cut    string
	Pieces []journal.Piece // pieces there already; empty: to be bought
	Aim    journal.Aim
	Price  float64 // of a kilogram, in Request.Money; 0: not said
}

// Pit is one fire.
type Pit struct {
	journal.Pit
	Aim   measure.Temperature // temperature wanted of this pit; not recorded: that of the dish's aim
	Takes int                 // pieces of the first dish it takes at once; 0: by its file
	Book  pitbook.Book        // what it does, by the person's cooks on it; Work fills it in
}

// Known is what a plan may use.
type Known struct {
	Experience *forecast.Experience
	Past       []journal.Cook // finished cooks
	Settings   journal.Settings
	Margin     float64 // margin.Look(Experience).Factor(), which takes a second; 0: work it out
	Now        time.Time
}

// Part names the part of a request that cannot be met.
type Part string

// The parts.
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

// Refusal is a request that makes no meal.
type Refusal struct {
	Part Part
	Text string
	Ask  *Ask // of PartFits; else nil
}

func (r Refusal) Error() string { return r.Text }

func refuse(part Part, format string, args ...any) error {
	return Refusal{Part: part, Text: fmt.Sprintf(format, args...)}
}

const (
	mostHeads   = 500  // chosen: past it a hall needs a caterer with a licence
	mostPortion = 1.0  // kg, chosen: twice what any rule calls hearty, and again
	mostBoxes   = 50   // chosen
	leastPit    = 50.0 // °C; the engine believes no other
	mostPit     = 200.0
	leastCore   = 40.0
	mostCore    = 105.0
)

// Check refuses what no plan can be made of, as far as that shows without the
// experience; the error is a Refusal.
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
		return refuse(PartHeads, "heads %d: expected 1 to %d of them to be without something", p.Heads, p.Heads)
	case p.Vegetarians == p.Heads:
		return refuse(PartHeads, "heads %d: nobody of them eats meat", p.Heads)
	case r.Portion < 0 || r.Portion > mostPortion || math.IsNaN(r.Portion):
		return refuse(PartPortion, "portion %s: more than %s of cooked meat for each eater", mass(r.Portion), mass(mostPortion))
	case r.Enough != 0 && !(r.Enough >= .5 && r.Enough <= .95):
		return refuse(PartEnough, "enough in %.0f of 100 meals: expected 50 to 95", 100*r.Enough)
	case r.Boxes < 0 || r.Boxes > mostBoxes:
		return refuse(PartBoxes, "boxes %d: expected 1 to %d", r.Boxes, mostBoxes)
	case len(r.Dishes) == 0:
		return refuse(PartCut, "cut: expected what is to be cooked")
	case len(r.Pits) == 0:
		return refuse(PartGrate, "pit: expected one at least")
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

// aimed reports whether a cook of the same cut had an aim of its own.
func aimed(cut string, past []journal.Cook) bool {
	return slices.ContainsFunc(past, func(c journal.Cook) bool { return strings.EqualFold(c.Cut, cut) && c.Aim.Core.Known })
}

// outside reports a pit no big cut is cooked in.
func outside(t measure.Temperature) bool {
	return t.Known && (t.Base < leastPit || t.Base > mostPit)
}
