// Package frame turns cooks into named columns: numbers with a unit, or words. A value
// that was not noted is marked as not known. All comparisons of cooks use these columns.
package frame

import (
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Kind is the unit of a column.
type Kind uint8

// The kinds, each with the unit of Value.Number.
const (
	Word        Kind = iota // no number
	Count                   // 1
	Temperature             // °C
	Mass                    // kg
	Length                  // m
	Hours                   // h
	PerMass                 // h/kg
	Rate                    // g/kg
	Speed                   // m/s
	Share                   // 1
	Score                   // 1 to 9
)

// Group is a heading for several columns.
type Group string

// The groups, in printed order.
const (
	SetUp    Group = "set-up"
	Times    Group = "times"
	Readings Group = "readings"
	Yield    Group = "yield"
	Scores   Group = "scores"
)

// Value is what one column has for one cook.
type Value struct {
	Number float64 // in the unit of the column's Kind
	Word   string  // set for Kind Word
	Known  bool    // false: not noted, or cannot be computed
}

// Column is one property of a cook.
type Column struct {
	Name  string
	Group Group
	Kind  Kind
	Of    func(*journal.Cook) Value
	// Matters is the least difference that is printed, in the unit of Kind; smaller ones
	// are within the error of notes and probes (chosen).
	Matters float64
	// Outcome is set for a result of the cook, not something done.
	Outcome bool
	// Unnoted is set for counts of an act that people only note if they did it: a missing
	// value counts as 0 if another cook of the journal has one.
	Unnoted bool
}

// Names of the columns; score columns have the names of the traits.
const (
	Cut           = "cut"
	Pieces        = "pieces"
	WeightOn      = "weight on"
	HeaviestPiece = "heaviest piece"
	ThickestPiece = "thickest piece"
	Bone          = "bone"
	Supplier      = "supplier"
	Grade         = "grade"
	SincePacked   = "days since packed"
	SaltRate      = "salt rate"
	SaltedAhead   = "salted ahead"
	Rub           = "rub"
	Wood          = "wood"
	WoodMass      = "wood, mass"
	Fuel          = "fuel"
	FuelBurned    = "fuel burned"
	Pit           = "pit"
	WaterPan      = "water pan"
	PitAim        = "pit aimed at"
	CoreAim       = "core aimed at"
	CoreOn        = "core when it went on"
	Air           = "outdoor air"
	Wind          = "wind"
	LitToOn       = "lit to on"
	WentOnAt      = "went on at"
	StallAfter    = "stall began after"
	StallLasted   = "stall lasted"
	Wrap          = "wrap"
	WrappedAfter  = "wrapped after"
	WrappedAt     = "wrapped at core"
	OnToOff       = "on to off"
	TimePerMass   = "time for its weight"
	BeforeMeal    = "off before the meal"
	Held          = "held"
	PitMean       = "pit, mean"
	PitInStall    = "pit in the stall, mean"
	PitLowest     = "pit, lowest"
	PitHighest    = "pit, highest"
	CoreOff       = "core when it came off"
	FeelOff       = "feel when it came off"
	LidOpened     = "lid opened"
	Spritzed      = "spritzed"
	VentsMoved    = "vents moved"
	OffShare      = "weight off / weight on"
	LeftOver      = "left over"
	EatersAsked   = "eaters asked"
)

func number(v float64, ok bool) Value {
	if !ok || math.IsNaN(v) || math.IsInf(v, 0) {
		return Value{}
	}
	return Value{Number: v, Known: true}
}

func word(s string) Value { return Value{Word: s, Known: s != ""} }

func count(n int, known bool) Value { return number(float64(n), known) }

func quantity(base float64, known bool) Value { return number(base, known) }

// Columns lists all columns, in printed order.
var Columns = []Column{
	{Name: Cut, Group: SetUp, Of: func(c *journal.Cook) Value { return word(c.Cut) }},
	{Name: Pieces, Group: SetUp, Kind: Count, Matters: 1, Of: func(c *journal.Cook) Value { return count(len(c.Pieces), true) }},
	{Name: WeightOn, Group: SetUp, Kind: Mass, Matters: .2, Of: func(c *journal.Cook) Value { return number(c.OnWeight()) }},
	{Name: HeaviestPiece, Group: SetUp, Kind: Mass, Matters: .2, Of: heaviest},
	{Name: ThickestPiece, Group: SetUp, Kind: Length, Matters: .01, Of: thickest},
	{Name: Bone, Group: SetUp, Of: func(c *journal.Cook) Value {
		if len(c.Pieces) == 0 {
			return Value{}
		}
		return word(c.Pieces[0].Bone)
	}},
	{Name: Supplier, Group: SetUp, Of: func(c *journal.Cook) Value { return word(c.Supplier) }},
	{Name: Grade, Group: SetUp, Of: func(c *journal.Cook) Value { return word(c.Grade) }},
	{Name: SincePacked, Group: SetUp, Kind: Count, Matters: 2, Of: func(c *journal.Cook) Value { return quantity(c.Packed.Base/86400, c.Packed.Known) }},
	{Name: SaltRate, Group: SetUp, Kind: Rate, Matters: 1, Of: func(c *journal.Cook) Value { return quantity(c.Salted.Rate.Base, c.Salted.Rate.Known) }},
	{Name: SaltedAhead, Group: SetUp, Kind: Hours, Matters: 2, Of: func(c *journal.Cook) Value {
		return quantity(c.Salted.Ahead.Base/3600, c.Salted.Ahead.Known)
	}},
	{Name: Rub, Group: SetUp, Of: func(c *journal.Cook) Value { return word(c.Rub.Mix) }},
	{Name: Wood, Group: SetUp, Of: woods},
	{Name: WoodMass, Group: SetUp, Kind: Mass, Matters: .05, Of: woodMass},
	{Name: Fuel, Group: SetUp, Of: func(c *journal.Cook) Value { return word(c.Fuel.Kind) }},
	{Name: FuelBurned, Group: SetUp, Kind: Mass, Matters: .3, Outcome: true, Of: func(c *journal.Cook) Value { return number(c.FuelBurned()) }},
	{Name: Pit, Group: SetUp, Of: func(c *journal.Cook) Value { return word(c.Pit) }},
	{Name: WaterPan, Group: SetUp, Of: func(c *journal.Cook) Value { return word(c.Pan) }},
	{Name: PitAim, Group: SetUp, Kind: Temperature, Matters: 2, Of: func(c *journal.Cook) Value { return quantity(c.Aim.Pit.Base, c.Aim.Pit.Known) }},
	{Name: CoreAim, Group: SetUp, Kind: Temperature, Matters: 1, Of: func(c *journal.Cook) Value { return quantity(c.Aim.Core.Base, c.Aim.Core.Known) }},
	{Name: CoreOn, Group: SetUp, Kind: Temperature, Matters: 2, Of: startCore},
	{Name: Air, Group: SetUp, Kind: Temperature, Matters: 5, Of: func(c *journal.Cook) Value { return quantity(c.Weather.Air.Base, c.Weather.Air.Known) }},
	{Name: Wind, Group: SetUp, Kind: Speed, Matters: 2, Of: func(c *journal.Cook) Value { return quantity(c.Weather.Wind.Base, c.Weather.Wind.Known) }},

	{Name: LitToOn, Group: Times, Kind: Hours, Matters: .25, Of: func(c *journal.Cook) Value { return between(c, journal.Lit, journal.On) }},
	{Name: WentOnAt, Group: Times, Of: func(c *journal.Cook) Value {
		on, ok := c.OnAt()
		if !ok {
			return Value{}
		}
		return word(on.Format(measure.Clock))
	}},
	{Name: StallAfter, Group: Times, Kind: Hours, Matters: .5, Outcome: true, Of: stallFrom},
	{Name: StallLasted, Group: Times, Kind: Hours, Matters: .5, Outcome: true, Of: stallLasted},
	{Name: Wrap, Group: Times, Of: wrapKinds},
	{Name: WrappedAfter, Group: Times, Kind: Hours, Matters: .5, Of: wrappedAfter},
	{Name: WrappedAt, Group: Times, Kind: Temperature, Matters: 2, Of: wrappedAt},
	{Name: OnToOff, Group: Times, Kind: Hours, Matters: .25, Outcome: true, Of: func(c *journal.Cook) Value {
		d, ok := c.Took()
		return number(d.Hours(), ok)
	}},
	{Name: TimePerMass, Group: Times, Kind: PerMass, Matters: .2, Outcome: true, Of: hoursPerKg},
	{Name: BeforeMeal, Group: Times, Kind: Hours, Matters: .5, Outcome: true, Of: func(c *journal.Cook) Value {
		off, ok := c.Finish()
		return number(c.Serve.Sub(off).Hours(), ok && !c.Serve.IsZero())
	}},
	{Name: Held, Group: Times, Kind: Hours, Matters: .5, Outcome: true, Of: func(c *journal.Cook) Value { return between(c, journal.Boxed, journal.Unboxed) }},

	{Name: PitMean, Group: Readings, Kind: Temperature, Matters: 2, Of: func(c *journal.Cook) Value { return number(MeanPit(c, time.Time{}, time.Time{})) }},
	{Name: PitInStall, Group: Readings, Kind: Temperature, Matters: 3, Of: stallPit},
	{Name: PitLowest, Group: Readings, Kind: Temperature, Matters: 5, Of: func(c *journal.Cook) Value { return extreme(c, -1) }},
	{Name: PitHighest, Group: Readings, Kind: Temperature, Matters: 5, Of: func(c *journal.Cook) Value { return extreme(c, 1) }},
	{Name: CoreOff, Group: Readings, Kind: Temperature, Matters: 1, Of: offCore},
	{Name: FeelOff, Group: Readings, Of: lastFeel},
	{Name: LidOpened, Group: Readings, Kind: Count, Unnoted: true, Matters: 2, Of: func(c *journal.Cook) Value { return times(c, only(journal.OpenLid)) }},
	{Name: Spritzed, Group: Readings, Kind: Count, Unnoted: true, Matters: 1, Of: func(c *journal.Cook) Value { return times(c, journal.Act.WetsSurface) }},
	{Name: VentsMoved, Group: Readings, Kind: Count, Matters: 2, Of: func(c *journal.Cook) Value { return times(c, only(journal.Vent)) }},

	{Name: OffShare, Group: Yield, Kind: Share, Matters: .02, Outcome: true, Of: func(c *journal.Cook) Value {
		on, ok := c.OnWeight()
		return number(c.Yield.Off.Base/on, ok && c.Yield.Off.Known && on > 0)
	}},
	{Name: LeftOver, Group: Yield, Kind: Mass, Matters: .3, Outcome: true, Of: func(c *journal.Cook) Value { return quantity(c.Yield.Left.Base, c.Yield.Left.Known) }},

	{Name: EatersAsked, Group: Scores, Kind: Count, Matters: math.MaxInt32, Outcome: true, Of: func(c *journal.Cook) Value { return count(len(c.Tasting), len(c.Tasting) > 0) }},
	score(journal.Tenderness), score(journal.Moisture), score(journal.BarkTaste),
	score(journal.Smoke), score(journal.Salt), score(journal.Overall),
}

// Named returns the column with this name. It panics if there is none.
func Named(name string) Column {
	for _, c := range Columns {
		if c.Name == name {
			return c
		}
	}
	panic("no column " + name)
}

func score(t journal.Trait) Column {
	return Column{Name: t.String(), Group: Scores, Kind: Score, Matters: .5, Outcome: true, Of: func(c *journal.Cook) Value {
		m, n := c.MeanScore(t)
		return number(m, n > 0)
	}}
}

func heaviest(c *journal.Cook) Value {
	return largest(c, func(p journal.Piece) (float64, bool) { w := p.Weight(); return w.Base, w.Known })
}

func thickest(c *journal.Cook) Value {
	return largest(c, func(p journal.Piece) (float64, bool) { return p.Thick.Base, p.Thick.Known })
}

func largest(c *journal.Cook, of func(journal.Piece) (float64, bool)) Value {
	most, known := 0.0, len(c.Pieces) > 0
	for _, p := range c.Pieces {
		v, ok := of(p)
		most, known = max(most, v), known && ok
	}
	return number(most, known)
}

func startCore(c *journal.Cook) Value {
	var n, total float64
	for _, p := range c.Pieces {
		if p.Core.Known {
			n, total = n+1, total+p.Core.Base
		}
	}
	return number(total/n, n > 0)
}

func woods(c *journal.Cook) Value {
	var kinds []string
	for _, w := range c.Wood {
		if w.Kind != "" {
			kinds = append(kinds, w.Kind)
		}
	}
	return word(strings.Join(kinds, ", "))
}

func woodMass(c *journal.Cook) Value {
	kg, known := 0.0, len(c.Wood) > 0
	for _, w := range c.Wood {
		kg, known = kg+w.Mass.Base, known && w.Mass.Known
	}
	return number(kg, known)
}

func between(c *journal.Cook, from, to journal.Act) Value {
	a, ok := c.First(from)
	b, done := c.First(to)
	return number(b.Sub(a).Hours(), ok && done && !b.Before(a))
}

// Stall returns the longest stall of a cook, up to its last entry if it is running.
func Stall(c *journal.Cook) (s journal.Stall, ok bool) {
	off, done := c.Finish()
	if !done {
		off, _ = c.LastEntry()
	}
	return c.LongestStall(off)
}

func stallFrom(c *journal.Cook) Value {
	s, ok := Stall(c)
	on, started := c.OnAt()
	return number(s.From.Sub(on).Hours(), ok && started)
}

func stallLasted(c *journal.Cook) Value {
	s, ok := Stall(c)
	return number(s.Lasted().Hours(), ok)
}

func stallPit(c *journal.Cook) Value {
	s, ok := Stall(c)
	if !ok {
		return Value{}
	}
	return number(MeanPit(c, s.From, s.To))
}

func wrapKinds(c *journal.Cook) Value {
	var kinds []string
	for _, w := range c.Wrappings() {
		k := string(w.Kind)
		if w.Loose {
			k += ", loose"
		}
		kinds = append(kinds, k)
	}
	if _, done := c.Finish(); len(kinds) == 0 && done {
		return word("none")
	}
	return word(strings.Join(kinds, ", then "))
}

func wrappedAfter(c *journal.Cook) Value { return between(c, journal.On, journal.PutWrap) }

func wrappedAt(c *journal.Cook) Value {
	at, ok := c.First(journal.PutWrap)
	if !ok {
		return Value{}
	}
	return CoolestAt(c, at)
}

// CoolestAt returns the core of the coolest piece at a time, °C: the last reading from one
// hour before to 10 min after, since people note a reading a little late.
func CoolestAt(c *journal.Cook, at time.Time) Value {
	coolest := math.Inf(1)
	for i := range max(1, len(c.Pieces)) {
		if r, found := journal.Last(c.CoreReadings(i), at.Add(10*time.Minute)); found && at.Sub(r.Time) < time.Hour {
			coolest = min(coolest, r.C)
		}
	}
	return number(coolest, true)
}

func hoursPerKg(c *journal.Cook) Value {
	took, ok := c.Took()
	w := heaviest(c)
	return number(took.Hours()/w.Number, ok && w.Known && w.Number > 0)
}

// offCore returns the lowest of the pieces' last core readings, °C, each at most two hours
// before the piece came off.
func offCore(c *journal.Cook) Value {
	coolest := math.Inf(1)
	for i := range c.Pieces {
		off, ok := c.OffAt(i)
		if r, found := journal.Last(c.CoreReadings(i), off); ok && found && off.Sub(r.Time) <= 2*time.Hour {
			coolest = min(coolest, r.C)
		}
	}
	return number(coolest, true)
}

func lastFeel(c *journal.Cook) Value {
	off, done := c.Finish()
	felt := ""
	for _, e := range c.Entries {
		if it, ok := e.Item(journal.Feel); ok && done && !e.Time.After(off) {
			felt = it.GradeWord()
		}
	}
	return word(felt)
}

// times counts the entries with such an act. If there are none, the value is not known,
// because somebody may have done it without noting it.
func times(c *journal.Cook, is func(journal.Act) bool) Value {
	n := 0
	for _, e := range c.Entries {
		if slices.ContainsFunc(e.Items, func(it journal.Item) bool { return is(it.Act) }) {
			n++
		}
	}
	return count(n, n > 0)
}

// only matches one act.
func only(act journal.Act) func(journal.Act) bool {
	return func(a journal.Act) bool { return a == act }
}

func extreme(c *journal.Cook, sign float64) Value {
	on, ok := c.OnAt()
	off, done := c.Finish()
	most := math.Inf(-1)
	for _, r := range c.PitReadings() {
		if ok && done && !r.Time.Before(on.Add(settling)) && !r.Time.After(off) {
			most = max(most, sign*r.C)
		}
	}
	return number(sign*most, true)
}
