package pitbook

import "ashbook/journal"

// starts are the figures of a kind of pit before it has cooks of its own.
//
// They have no source. Fuel in kg/h is chosen to give a few kilowatts (charcoal 30
// MJ/kg, wood pellets 18). Times to settle and to recover from a lid are chosen by the
// mass to be warmed: long for brick, short for thin steel.
type starts struct {
	fuel    float64 // kg/h
	settle  float64 // min
	dip     float64 // K
	recover float64 // min
	steady  float64 // K
	alone   float64 // K/h
}

var byKind = map[journal.PitKind]starts{
	journal.Ceramic:  {fuel: .25, settle: 60, dip: 15, recover: 15, steady: 4, alone: -1},
	journal.Kettle:   {fuel: .40, settle: 40, dip: 30, recover: 15, steady: 7, alone: -2.5},
	journal.Bullet:   {fuel: .30, settle: 45, dip: 20, recover: 15, steady: 6, alone: -1.5},
	journal.Drum:     {fuel: .50, settle: 45, dip: 30, recover: 15, steady: 7, alone: -2},
	journal.Offset:   {fuel: 1.5, settle: 60, dip: 20, recover: 12, steady: 10, alone: -8},
	journal.Brick:    {fuel: .60, settle: 75, dip: 15, recover: 20, steady: 6, alone: -1.5},
	journal.Cabinet:  {fuel: .50, settle: 40, dip: 25, recover: 12, steady: 6, alone: -2},
	journal.Pellet:   {fuel: .60, settle: 20, dip: 25, recover: 10, steady: 6, alone: -.5},
	journal.OtherPit: {fuel: .50, settle: 50, dip: 22, recover: 15, steady: 7, alone: -2},
}

// startsOf returns the values of a kind of pit; an unknown kind has those of "other".
func startsOf(k journal.PitKind) starts {
	if s, ok := byKind[k]; ok {
		return s
	}
	return byKind[journal.OtherPit]
}

// Spreads of the starting values (chosen): between pits of one kind, and between cooks
// on one pit.
var (
	fuelSpread   = start{between: .5, within: .15, log: true}
	settleSpread = start{between: .5, within: .3, log: true}
	dipSpread    = start{between: .5, within: .4, log: true}
	backSpread   = start{between: .5, within: .4, log: true}
	steadySpread = start{between: .4, within: .3, log: true}
	overSpread   = start{between: 6, within: 4}
	aloneSpread  = start{between: 2, within: 1.5}
	nightSpread  = start{between: 1.5, within: 1}
	handSpread   = start{between: 8, within: 3}
)

// at returns the spread around a middle.
func (s start) at(middle float64) start {
	s.middle = middle
	return s
}

// The effect of the weather on the fuel that is assumed until cooks show it. Heat lost
// is proportional to the gap from pit to air, about 100 K, so 10 K add a tenth. Wind
// adds some 3 % for each m/s (chosen; none to a buried pit, more to thin steel).
var (
	weatherSlope = []float64{.10, .03}
	weatherSD    = []float64{.05, .03}
)

// The weather from which the slopes are counted.
const (
	usualOver = 100.0 // K the pit is over the air
	usualWind = 3.0   // m/s
	usualPit  = 115.0 // °C, for a cook that names no temperature
)

// charcoal is the heat of burning charcoal, MJ/kg (general tables of heating values,
// read); wood has half of it.
const charcoal = 30.0
