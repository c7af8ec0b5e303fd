// Package heat simulates one piece of meat in a pit: conduction inside, heat and vapour
// exchange at the surface, and water that reaches the surface and evaporates, which
// causes the stall.
//
// The piece is one-dimensional: a slab, cylinder or sphere, or a shape between them,
// with half thickness R and shape exponent E (1, 2, 3). Temperatures are in °C, times
// in seconds, everything else in SI units. Quantities per surface area refer to the
// surface before shrinking.
package heat

import "math"

// Meat describes a raw, trimmed piece as it goes on.
type Meat struct {
	Mass      float64 // kg; must be positive
	Thickness float64 // m, smallest dimension; 0: not measured, derived from the mass
	Width     float64 // width over thickness, 1 or more
	Length    float64 // length over thickness, 1 or more
	Fill      float64 // share of the bounding box that is meat, 0 to 1
	Supply    float64 // rate of giving off water relative to a pork shoulder; 0: dry
	Start     float64 // temperature when it goes on, °C

	Water, Fat   float64 // mass fractions
	Density      float64 // kg/m³
	HeatCapacity float64 // J/(kg K), before water leaves
	Conductivity float64 // W/(m K)
}

// Factors scale what is unknown about a single piece. 1 is the usual piece; 0 is not
// allowed.
type Factors struct {
	Shape    float64 // half thickness
	Transfer float64 // surface heat and vapour transfer
	Supply   float64 // rate at which water reaches the surface
	Crust    float64 // growth of the crust's resistance
	Leak     float64 // vapour leaving through the crust
}

// Usual is a piece with usual factors.
var Usual = Factors{Shape: 1, Transfer: 1, Supply: 1, Crust: 1, Leak: 1}

// Air describes the air in the pit, except for its temperature.
type Air struct {
	Pressure float64 // Pa
	Vapour   float64 // vapour pressure in the pit, Pa
}

// Cover is what the meat is wrapped in.
type Cover int

// The values of Cover. Boat and Pan leave the upper half open.
const (
	Bare Cover = iota
	Foil
	Paper
	LoosePaper
	Boat
	Pan
)

// cover describes a wrap: the share of the surface that it closes; for the closed part,
// the vapour conductance and the radiation as shares of those of bare meat; and the
// thermal resistance of the air under it, m²K/W.
type cover struct{ closed, vapour, radiation, resistance float64 }

// Chosen: dull foil halves the radiation and is closed except for its folds; paper gets
// wet and lets some vapour through. Loose paper was seen to behave almost like no
// cover. A boat or pan is foil below and bare above.
var covers = [...]cover{
	Bare:       {0, 1, 1, 0},
	Foil:       {1, .005, .5, .010},
	Paper:      {1, .027, 1, .004},
	LoosePaper: {1, .5, 1, .001},
	Boat:       {.5, .005, .5, .010},
	Pan:        {.5, .005, .5, .010},
}

// Physics holds the constants of the model. The zero value is not usable; start from
// Default.
type Physics struct {
	Convection     float64 // convective coefficient at sea level, W/(m²K)
	ConvectionSize float64 // exponent of its decrease with the size of the piece
	Emissivity     float64 // effective exchange between meat and pit wall, 0 to 1
	Latent         float64 // heat of evaporation at about 70 °C, J/kg
	Releasable     float64 // share of the initial water that heating can release
	ReleaseMid     float64 // temperature at which half of that is released, °C
	ReleaseSlope   float64 // steepness of the release, 1/K
	SupplyTime     float64 // time constant of the release at R = 5 cm, s
	CrustGrowth    float64 // growth of the crust's resistance for each kg/m² evaporated, m²/kg
	FilmTime       float64 // time in which a wet surface gives off its water film, s
	FilmStart      float64 // water on the surface at the start, kg/m²
	FilmMost       float64 // most water that the surface holds before it runs off, kg/m²
	DripShare      float64 // share of the water that reaches the surface and does not evaporate that drips off
	Leak           float64 // vapour conductance of a crust relative to the open surface
	LeakDry        float64 // share of the initial water below which nothing leaks
	FatMelting     float64 // heat to melt the fat, J/kg fat, spread over 30 to 50 °C
	Shape          float64 // exponent of the formula that turns the proportions of a piece into its shape exponent
	Rendering      float64 // share of the fat that has run out well above 70 °C
	IceMelting     float64 // heat to thaw the water that freezes, J/kg water, spread over -2 to 0 °C
}

// Default is the model as fitted to real cooks.
//
// The release curve follows the water-holding capacity of van der Sman (2007, Meat
// Science 76:730), midpoint 65.6 °C. Its slope, the transfer coefficient and the leak
// were chosen together, each within its plausible range, on the development half of a
// set of real cooks, leaving out one cook at a time. Convection falls with the fourth
// root of the size (laminar natural convection, textbook). The shape exponent was
// fitted to a three-dimensional brick with the same surface (finish time within 6 %).
// Latent heat: steam table at 70 °C. Emissivity .55 is meat (.75) facing sooty but
// partly shaded walls (chosen). Fat: 80 kJ/kg, lard (from memory). Ice: 334 kJ/kg
// (steam table); 15 % of the water in meat does not freeze at kitchen temperatures
// (from memory).
//
// Note: tried without gain: a late pool of bound water, falling conductivity, an
// insulating crust, saturating supply, collagen's heat of melting (1 K). Making the
// leak and the covers proportional to the vapour pressure, with a release slope of .25
// and a supply twice as fast, reduced the simulation's error by a quarter with 3 to 15
// K to go, but increased it with 15 to 22 K to go in a thermostat cabinet. Once the
// forecast was corrected by past cooks, no gain was left.
var Default = Physics{
	Convection: 9.5, ConvectionSize: .25, Emissivity: .55, Latent: 2.33e6,
	Releasable: .49, ReleaseMid: 65.6, ReleaseSlope: .5, SupplyTime: 2.95 * 3600,
	CrustGrowth: .08, FilmTime: 900, FilmStart: .2, FilmMost: .3, DripShare: .6,
	Leak: .015, LeakDry: .35, FatMelting: 80e3, Shape: 1.3, Rendering: .45, IceMelting: 334e3 * .85,
}

// form is the one-dimensional body that represents a piece.
type form struct {
	half     float64 // R, m
	exponent float64 // E
}

// shape returns the body for a piece.
func (p Physics) shape(m Meat, f Factors) form {
	width, length, thick := m.Width, m.Length, m.Thickness
	if thick > 0 {
		// A measured thickness keeps the ratio of width to length and scales both until
		// the mass is right.
		stretch := math.Sqrt(m.Mass / (m.Density * m.Fill * width * length * thick * thick * thick))
		width, length = math.Max(1, width*stretch), math.Max(1, length*stretch)
	} else {
		thick = math.Cbrt(m.Mass / (m.Density * m.Fill * width * length))
	}
	return form{
		half:     f.Shape * thick / 2,
		exponent: 1 + math.Pow(width, -p.Shape) + math.Pow(length, -p.Shape),
	}
}
