package provision

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/report/hold"
	"ashbook/report/safety"
)

// longest returns the load for the meal itself that is likely to be held longest.
func (p *Plan) longest() *Load {
	out := p.Main()
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Batch == 0 && l.held(1) > out.held(1) {
			out = l
		}
	}
	return out
}

// held returns the hours in the box of a load that comes off at l.Off[i].
func (l *Load) held(i int) float64 {
	return math.Max(0, l.CutAt.Sub(l.Off[i].Add(l.Rest())).Hours())
}

// Hold is how long the meat is held hot, and in what.
type Hold struct {
	Load              *Load      // the one that is held longest
	Boxes             int        // that it fills, as far as they are there; 0: there is none
	Wanted            int        // boxes that it would fill
	Unboxed           float64    // kg of what comes off that has no room in them
	Boxed             time.Time  // when the first may go into it, one cook in ten
	Short, Mid, Long  float64    // h it has to keep: 90, 50 and 10 % of the cooks are off later
	Keeps             [3]float64 // h it keeps the limit: one time in ten less, half, nine in ten less
	Loads             int        // past loads of the box that it is based on
	Limit             float64    // °C
	Lasts             Lasts
	FallsAt           time.Time // when it may have fallen to the limit if closed at Boxed
	OvenBy            time.Time // when to light the low oven
	ChillBy, ReheatBy time.Time // when to cut up and chill, and to reheat; zero: no time for it
}

// Lasts says whether the box holds the meat until the meal.
type Lasts string

// The values of Lasts.
const (
	Will   Lasts = "is expected to keep the meat hot that long"
	May    Lasts = "keeps the meat hot that long if it comes off when it should, but perhaps not if it comes off early"
	Not    Lasts = "is not expected to keep the meat hot that long"
	NoHold Lasts = "there is no box"
)

// boxedAt is the core at which a box is closed, °C: 94 °C after a rest (chosen).
const boxedAt = 88.0

// ovenHot is how long a low oven takes to heat up, and to move the meat (common
// practice, no source).
const ovenHot = 50 * time.Minute

// held works out whether the box holds the meat until the meal.
func (p *Plan) held(past []journal.Cook) {
	l := p.longest()
	h := &p.Hold
	h.Load = l
	h.Short, h.Mid, h.Long = l.held(2), l.held(1), l.held(0)
	h.Boxed = l.Off[0].Add(l.Rest())
	h.Limit = p.Settings.HoldLimit()
	core := boxedAt
	for _, piece := range l.Forecast.Pieces {
		core = math.Min(core, piece.Target-3) // a bird comes off at a lower core
	}
	p.box()
	defer p.unboxed()
	h.Keeps, h.Loads = hold.Keeps(core, h.Limit, &l.Cook, past)
	switch {
	case p.Request.NoBox:
		h.Lasts, h.Keeps, h.Boxes, h.Unboxed = NoHold, [3]float64{}, 0, 0
	case h.Keeps[0] >= h.Long:
		h.Lasts = Will
		return
	case h.Keeps[0] >= h.Mid:
		h.Lasts = May
	default:
		h.Lasts = Not
	}
	h.FallsAt = h.Boxed.Add(duration(h.Keeps[0])).Truncate(step)
	h.OvenBy = h.FallsAt.Add(-ovenHot)
	if h.OvenBy.Before(h.Boxed) {
		h.OvenBy = h.Boxed.Add(-ovenHot)
	}
	if reheat := p.CarveAt.Add(-duration(safety.ReheatWithin)); !h.Boxed.Add(cutUp + duration(safety.WholeCooling)).After(reheat) {
		h.ChillBy, h.ReheatBy = h.Boxed, reheat
	}
}

// What keeps cooked meat hot (common practice, no source): a box of about 50 l takes
// four shoulders; a kitchen oven takes three, or as much pulled meat in two trays.
const (
	boxTakes  = 20.0 // kg raw
	ovenTakes = 9.0  // kg cooked
)

// box sets how many boxes the meat for the meal fills, and what has no room in those that
// are there.
func (p *Plan) box() {
	raw := 0.0
	for _, l := range p.Loads {
		for _, piece := range l.Cook.Pieces {
			if l.Batch == 0 {
				raw += piece.Raw.Base
			}
		}
	}
	h := &p.Hold
	h.Wanted = int(math.Ceil(raw / boxTakes))
	h.Boxes = h.Wanted
	if there := p.Request.Boxes; there > 0 && there < h.Wanted {
		h.Boxes = there
		h.Unboxed = p.Cooked(false) * (1 - float64(there)*boxTakes/raw)
	}
}

// unboxed sets when a low oven must be hot for the meat that has no room in the boxes.
func (p *Plan) unboxed() {
	if h := &p.Hold; h.Unboxed > 0 {
		h.OvenBy = h.Boxed.Add(-ovenHot)
	}
}

// Ovens returns how many kitchen ovens cooked meat needs, kg.
func Ovens(cooked float64) int { return int(math.Ceil(cooked / ovenTakes)) }

// Cooked returns the weight of cooked meat, kg: from the last fires, for the meal
// itself, or with before from the earlier ones.
func (p *Plan) Cooked(before bool) float64 {
	kg := 0.0
	for _, l := range p.Loads {
		if m := p.Meats[l.Dish]; l.Batch > 0 == before {
			for _, piece := range l.Cook.Pieces {
				kg += piece.Raw.Base * (1 - m.Trim.Lost) * (1 - m.Loss.Lost)
			}
		}
	}
	return kg
}
