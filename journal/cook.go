// Package journal has the types of a cook: what was planned, what happened and when,
// and how people liked it. It does no input or output and reads no clock.
package journal

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// Cook is one fire for one meal. Any field may be missing; a zero quantity, string or
// time means "not recorded".
type Cook struct {
	ID       string // file name without its extension: "2026-09-18-harvest-supper"
	Title    string
	Cut      string
	Pieces   []Piece // never empty after reading; meat that is not divided is one unnamed piece
	Supplier string
	Grade    string       // as the label has it
	Packed   measure.Span // how long before it went on it was packed
	Salted   Salting
	Rub      Rub
	Wood     []Wood
	Fuel     Fuel
	Pit      string // name of a pit file
	Pan      string // state of the water pan in the cook's words: "hot", "dry", "none"
	Aim      Aim
	Serve    time.Time // when the meal is to be eaten
	Heads    int
	Weather  Weather
	Yield    Yield
	Tasting  []Taste
	Keep     string // what to do again
	Change   string // what to do differently
	Aside    string // why the cook is left out of reports; "" if it is not
	Prose    string // the body outside the timeline, as written
	Entries  []Entry
	Series   Series         // probe series from the CSV file of the same name, if read
	Altitude measure.Length // from the journal's settings; not recorded counts as sea level
	Others   []Other        // pairs of values between which nobody has decided yet
}

// Keys lists the keys of a cook's front matter.
func (c *Cook) Keys() []Key {
	return []Key{
		{"title", &c.Title, unlimited, "what the cook is called"},
		{"cut", &c.Cut, unlimited, "the cut of meat, such as pork shoulder"},
		{"pieces", &c.Pieces, unlimited, "see pieces"},
		{"supplier", &c.Supplier, unlimited, "who the meat is from"},
		{"grade", &c.Grade, unlimited, "the grade of the meat, as its label has it"},
		{"packed", &c.Packed, Range{0, 120 * 86400}, "how long before it went on it was packed, such as 12 d"},
		{"salted", &c.Salted, unlimited, "salt ahead of the cook"},
		{"rub", &c.Rub, unlimited, "which mix, and how much"},
		{"wood", &c.Wood, unlimited, "smoke wood by kind; a single one needs no brackets"},
		{"fuel", &c.Fuel, unlimited, "what burns"},
		{"pit", &c.Pit, unlimited, "the name of a file in `pits`, without its extension"},
		{"pan", &c.Pan, unlimited, "the water pan: hot, dry, none, or your own word"},
		{"aim", &c.Aim, unlimited, "the plan: pit, core, wrap"},
		{"serve", &c.Serve, unlimited, "when the meal is"},
		{"heads", &c.Heads, unlimited, "how many eat"},
		{"weather", &c.Weather, unlimited, "around the pit"},
		{"yield", &c.Yield, unlimited, "what is left of the raw weight"},
		{"tasting", &c.Tasting, unlimited, "one row for each eater"},
		{"keep", &c.Keep, unlimited, "what to do again"},
		{"change", &c.Change, unlimited, "what to do differently"},
		{"aside", &c.Aside, unlimited, "why the cook is left out of reports; without the key it counts"},
	}
}

// Piece is one piece of meat.
type Piece struct {
	Name    string
	Raw     measure.Mass // weight as bought
	Trimmed measure.Mass // weight as it goes on
	Thick   measure.Length
	Bone    string              // "in", "out"
	Core    measure.Temperature // core when it went on
}

// Keys lists the keys of a piece.
func (p *Piece) Keys() []Key {
	return []Key{
		{"name", &p.Name, unlimited, "the name that the timeline uses"},
		{"raw", &p.Raw, meatRange, "as bought"},
		{"trimmed", &p.Trimmed, meatRange, "as it goes on"},
		{"thick", &p.Thick, Range{.001, .6}, "thickness through the thickest part"},
		{"bone", &p.Bone, unlimited, "in or out"},
		{"core", &p.Core, coreRange, "when it goes on"},
	}
}

// Weight returns the weight that goes on the grate: trimmed, or raw if trimmed is not
// recorded.
func (p Piece) Weight() measure.Mass {
	if p.Trimmed.Known {
		return p.Trimmed
	}
	return p.Raw
}

// Salting is salt put on ahead of the cook.
type Salting struct {
	Rate  measure.Rate // g of salt per kg of meat
	Ahead measure.Span // time before it goes on
}

// Keys lists the keys of salting.
func (s *Salting) Keys() []Key {
	return []Key{
		{"rate", &s.Rate, Range{0, 100}, "grams of salt for each kg of meat"},
		{"ahead", &s.Ahead, Range{0, 30 * 86400}, "before it goes on"},
	}
}

// Rub is the mix used and its amount.
type Rub struct {
	Mix  string
	Rate measure.Rate
}

// Keys lists the keys of a rub.
func (r *Rub) Keys() []Key {
	return []Key{
		{"mix", &r.Mix, unlimited, "the name of a file in `mixes`"},
		{"rate", &r.Rate, Range{0, 300}, "grams of the mix for each kg of meat"},
	}
}

// Wood is one kind of smoke wood.
type Wood struct {
	Kind string
	Mass measure.Mass
}

// Keys lists the keys of a kind of wood.
func (w *Wood) Keys() []Key {
	return []Key{{"kind", &w.Kind, unlimited, ""}, {"mass", &w.Mass, fuelRange, ""}}
}

// Fuel is what was burned.
type Fuel struct {
	Kind   string
	Loaded measure.Mass
	Left   measure.Mass // unburned fuel found the next day
}

// Keys lists the keys of fuel.
func (f *Fuel) Keys() []Key {
	return []Key{
		{"kind", &f.Kind, unlimited, "lump, briquettes, or your own word"},
		{"loaded", &f.Loaded, fuelRange, ""},
		{"left", &f.Left, fuelRange, "found the next day"},
	}
}

// Aim is the plan: pit temperature, final core temperature, and wrap. Changes during
// the cook are entries (SetPit, SetCore).
type Aim struct {
	Pit  measure.Temperature
	Core measure.Temperature
	Wrap WrapPlan
}

// Keys lists the keys of an aim.
func (a *Aim) Keys() []Key {
	return []Key{
		{"pit", &a.Pit, pitRange, ""},
		{"core", &a.Core, coreRange, ""},
		{"wrap", &a.Wrap, coreRange, "`paper at 72 °C`; `none` to leave it unwrapped"},
	}
}

// WrapPlan is the planned wrap, and the core temperature at which to wrap. The zero
// WrapPlan means no plan.
type WrapPlan struct {
	Kind Wrap
	At   measure.Temperature
	Bare bool // the meat is to stay unwrapped; Kind is NoWrap
}

// Weather is the weather at the pit.
type Weather struct {
	Air      measure.Temperature
	Wind     measure.Speed
	Humidity measure.Share // relative humidity
}

// Keys lists the keys of the weather.
func (w *Weather) Keys() []Key {
	return []Key{
		{"air", &w.Air, airRange, "outdoors"},
		{"wind", &w.Wind, Range{0, 60}, ""},
		{"humidity", &w.Humidity, Range{0, 1}, "relative, `80 %`"},
	}
}

// Yield is what became of the raw weight.
type Yield struct {
	Off     measure.Mass // weight as it came off
	Discard measure.Mass // weight of bone and fat thrown away
	Left    measure.Mass // weight left over
}

// Keys lists the keys of a yield.
func (y *Yield) Keys() []Key {
	return []Key{
		{"off", &y.Off, meatRange, "as it came off"},
		{"discard", &y.Discard, restRange, "bone and fat"},
		{"left", &y.Left, restRange, "not eaten"},
	}
}

// Wrap is a kind of wrap.
type Wrap string

// The kinds of wrap. In a plan NoWrap can also mean "not recorded".
const (
	NoWrap Wrap = ""
	Foil   Wrap = "foil"
	Paper  Wrap = "paper"
	Boat   Wrap = "boat" // foil below, open above
	InPan  Wrap = "pan"
)

// Wraps lists the kinds that can be named.
var Wraps = []Wrap{Foil, Paper, Boat, InPan}

// ParseWrap parses a kind of wrap; ok is false for any other word.
func ParseWrap(s string) (Wrap, bool) {
	s = strings.ToLower(s)
	for _, w := range Wraps {
		if s == string(w) {
			return w, true
		}
	}
	return NoWrap, false
}

// ParseWrapPlan parses "paper at 72 °C", "foil" or "none". sys is the unit of a bare
// number.
func ParseWrapPlan(s string, sys measure.System) (WrapPlan, error) {
	kind, at, timed := strings.Cut(strings.TrimSpace(s), " at ")
	if strings.EqualFold(kind, "none") {
		return WrapPlan{Bare: true}, nil
	}
	wrap, ok := ParseWrap(strings.TrimSpace(kind))
	if !ok {
		return WrapPlan{}, fmt.Errorf("%q: expected none, foil, paper, boat or pan, perhaps with the core such as paper at 72 °C", s)
	}
	plan := WrapPlan{Kind: wrap}
	if !timed {
		return plan, nil
	}
	return plan, measure.Read(&plan.At, at, sys)
}

// String formats the plan so that ParseWrapPlan reads it back; "" for no plan.
func (w WrapPlan) String() string {
	switch {
	case w.Bare:
		return "none"
	case w.Kind != NoWrap && w.At.Known:
		return string(w.Kind) + " at " + w.At.String()
	}
	return string(w.Kind)
}

// Settings are the user's settings in journal.md.
type Settings struct {
	Units    measure.System
	HotHold  measure.Temperature // never below SafeHold
	Pit      string              // the usual pit
	Altitude measure.Length
	// the user's own intervals; an act that is missing has its DefaultRecheck
	Recheck map[Act]measure.Span
}

// Keys lists the keys of journal.md.
func (s *Settings) Keys() []Key {
	return []Key{
		{"units", &s.Units, unlimited, "the units of numbers typed without one"},
		{"hot hold", &s.HotHold, Range{-40, 100}, "the least core in the box; never below 57 °C"},
		{"pit", &s.Pit, unlimited, "the usual pit"},
		{"altitude", &s.Altitude, Range{-500, 6000}, "of the pit"},
		{"recheck", &s.Recheck, checkRange, "when to look again after an act: `{vent: 20 min}`"},
	}
}

// SafeHold is the hot-holding limit of the FDA Food Code 2022, section 3-501.16(A)(1):
// 57 °C (135 °F). Local codes may require more.
const SafeHold = 57.0

// UsualHold is the hot-holding limit used unless the user sets another, °C: SafeHold
// and three degrees for a probe that reads too high (chosen).
const UsualHold = 60.0

// HoldLimit returns the hot-holding limit in °C, never below SafeHold.
func (s Settings) HoldLimit() float64 {
	if !s.HotHold.Known {
		return UsualHold
	}
	return max(SafeHold, s.HotHold.Base)
}

// Pit is one pit, as its file describes it.
type Pit struct {
	Name    string // file name without its extension
	Kind    PitKind
	Setting bool // its temperatures are the setting, not measured
	Grate   Grate
	Tiers   int                 // number of grates above each other; 0 means one
	Fits    Fits                // how much it takes according to its owner; overrides the grate
	Offset  measure.Temperature // lid gauge minus grate, K
}

// Keys lists the keys of a pit.
func (p *Pit) Keys() []Key {
	return []Key{
		{"kind", &p.Kind, unlimited, "what sort of pit"},
		{"pit is", (*PitIs)(&p.Setting), unlimited, "whether pit temperatures are measured at the grate, or are the setting"},
		{"grate", &p.Grate, Range{.1, 5}, "across, or the sides of a rectangle: `100 x 50 cm`"},
		{"tiers", &p.Tiers, unlimited, "number of grates above each other, if more than one"},
		{"fits", &p.Fits, meatRange, "how many pieces it takes at once, raw: `6 of 4.7 kg pork shoulder`. If it is given, it is used instead of the grate"},
		{"offset", (*Difference)(&p.Offset), Range{-150, 150}, "what the pit's own gauge shows above the grate"},
	}
}

// PitKind is a way of building a pit.
type PitKind string

// The kinds of pit.
const (
	Ceramic  PitKind = "ceramic"
	Kettle   PitKind = "kettle"
	Bullet   PitKind = "bullet"
	Drum     PitKind = "drum"
	Offset   PitKind = "offset"
	Brick    PitKind = "brick"
	Cabinet  PitKind = "cabinet"
	Pellet   PitKind = "pellet"
	OtherPit PitKind = "other"
)

// PitKinds lists all kinds of pit.
var PitKinds = []PitKind{Ceramic, Kettle, Bullet, Drum, Offset, Brick, Cabinet, Pellet, OtherPit}

// PieceNames returns the names of the pieces in order, without unnamed ones.
func (c *Cook) PieceNames() []string {
	var names []string
	for _, p := range c.Pieces {
		if p.Name != "" {
			names = append(names, p.Name)
		}
	}
	return names
}

// RawWeight returns the weight bought, kg; ok is false if the raw weight of any piece
// is missing.
func (c *Cook) RawWeight() (kg float64, ok bool) {
	return sum(c.Pieces, func(p Piece) measure.Mass { return p.Raw })
}

// OnWeight returns the weight on the grate, kg; ok is false if the weight of any piece
// is missing.
func (c *Cook) OnWeight() (kg float64, ok bool) { return sum(c.Pieces, Piece.Weight) }

func sum(pieces []Piece, of func(Piece) measure.Mass) (kg float64, ok bool) {
	for _, p := range pieces {
		m := of(p)
		if !m.Known {
			return 0, false
		}
		kg += m.Base
	}
	return kg, len(pieces) > 0
}

// FuelBurned returns the fuel burned, kg: loaded plus added minus left. ok is false if
// loaded or left is not recorded, if fuel was added without a weight, or if more was
// left than there was.
func (c *Cook) FuelBurned() (kg float64, ok bool) {
	if !c.Fuel.Loaded.Known || !c.Fuel.Left.Known {
		return 0, false
	}
	kg = c.Fuel.Loaded.Base - c.Fuel.Left.Base
	for _, e := range c.Entries {
		for _, it := range e.Items {
			if it.Act != AddFuel {
				continue
			}
			if !it.Amount.Known {
				return 0, false
			}
			kg += it.Amount.Base
		}
	}
	return kg, kg >= 0
}

// Date returns the day of the cook: of its first entry, or else of its serving hour, or
// else of its ID.
func (c *Cook) Date() time.Time {
	switch {
	case len(c.Entries) > 0:
		return c.Entries[0].Time
	case !c.Serve.IsZero():
		return c.Serve
	}
	t, _ := DateOfID(c.ID)
	return t
}

// Offset returns a space and the entry's offset from UTC, " +02:00", if it differs from
// the first entry's: the entry was written elsewhere, or the clocks changed that night.
// Otherwise it returns "".
func (c *Cook) Offset(e Entry) string {
	if len(c.Entries) == 0 {
		return ""
	}
	_, first := c.Entries[0].Time.Zone()
	if _, own := e.Time.Zone(); own == first {
		return ""
	}
	return e.Time.Format(" -07:00")
}

// DateOfID returns the day at the start of a cook's ID, as midnight UTC.
func DateOfID(id string) (time.Time, bool) {
	if len(id) < len(time.DateOnly) {
		return time.Time{}, false
	}
	t, err := time.Parse(time.DateOnly, id[:len(time.DateOnly)])
	return t, err == nil
}

// Name returns the title, or the ID if there is no title.
func (c *Cook) Name() string {
	if c.Title != "" {
		return c.Title
	}
	return c.ID
}
