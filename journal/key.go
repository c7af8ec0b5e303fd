package journal

import "ashbook/journal/measure"

// Key is one key of a file's front matter: the field for its value, its likely range,
// and its meaning. The keys of a type are listed after its fields, in the order in
// which they are written.
type Key struct {
	Name   string
	To     any // pointer to the field
	Likely Range
	Says   string // its meaning, for FORMAT.md
}

// Range is the range outside which a value is likely a typing slip, in base units: °C,
// K, kg, m, s, m/s, g/kg, shares from 0 to 1. Limits are chosen wide, since they only
// warn. The zero Range has no limits.
type Range struct{ Low, High float64 }

// Ranges that several keys or acts share.
var (
	unlimited  Range
	pitRange   = Range{-40, 400}  // °C
	coreRange  = Range{-30, 130}  // °C
	airRange   = Range{-50, 60}   // °C
	boxRange   = Range{-30, 150}  // °C
	meatRange  = Range{.001, 80}  // kg
	restRange  = Range{0, 80}     // kg
	fuelRange  = Range{0, 500}    // kg
	checkRange = Range{60, 86400} // s
)

// Likely returns the range of the readings and settings of an act.
func (a Act) Likely() Range {
	switch a {
	case ReadPit, SetPit:
		return pitRange
	case ReadCore, SetCore:
		return coreRange
	case ReadAir:
		return airRange
	case ReadBox:
		return boxRange
	case Recheck:
		return checkRange
	}
	return unlimited
}

// LikelyAmount returns the range of the weight of fuel or wood that an act adds, kg.
func (a Act) LikelyAmount() Range { return fuelRange }

// PitIs is the field of a key that says whether pit temperatures are the setting of the
// pit.
type PitIs bool

// Difference is the field of a key for a temperature difference: 10 °F is 5.6 K.
type Difference measure.Temperature
