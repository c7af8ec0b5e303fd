// Package roast is the physics behind the invented cooks: meat in a pit, and the pit
// over its fire. It is plausible rather than exact, and deliberately different from the
// forecast's model: the heat of a brick in Fourier modes instead of a grid, and
// Sherwood's two drying periods behind a growing crust instead of a law of water
// holding.
package roast

import "math"

// A piece of meat is a brick. Each of its three sides has the first odd Fourier modes
// of a slab with a given surface temperature (Carslaw and Jaeger, Conduction of Heat in
// Solids, 2nd ed. 1959, section 3.4; from memory); the products of these modes are the
// modes of the brick. The surface temperature follows from a balance of the heat from
// the air, the heat conducted inwards and the heat of drying. Drying has the two
// periods of Sherwood (Industrial and Engineering Chemistry 21:12, 1929; from memory):
// first at the rate that air and crust allow, while the surface is wet, then in
// proportion to the free water left.
const (
	sideModes = 3
	modes     = sideModes*sideModes*sideModes + 1 // the last one represents all faster modes

	diffusivity = 1.5e-7 // m²/s (chosen above the 1.3e-7 of lean meat: thawing fat and hot juice carry heat too)
	density     = 1050.0 // kg/m³
	heatCap     = 3500.0 // J/kg K, including the melting of fat
	latent      = 2.33e6 // J/kg, water at 70 °C
	filmRes     = 1.9e7  // m² s Pa/kg, from a wet surface to the air at 10 W/m² K
	crustRes    = 9.4e7  // m² s Pa/kg, of a fully dried crust (chosen: plateau near 70 °C)
	crustDry    = .55    // kg/m² dried when the crust has two thirds of crustRes (chosen)
	stewLoss    = .06    // kg of juice per kg of meat finally lost into a wrap (chosen: yields of practice)
	barkHours   = 6.0    // h at 70 °C for each grade of bark; half at 15 °C more (chosen)
	sprayFilm   = .06    // kg/m² of water that a spritz leaves (chosen)
)

// Cut has the properties of a kind of meat.
type Cut struct {
	Name     string
	long     float64 // length over width, seen from above
	free     float64 // kg free water per kg meat
	crit     float64 // share of free water left when the drying rate begins to fall
	skin     float64 // factor on the resistance of the crust
	fat      float64 // kg of fat per kg of meat that drips off by the time it is done
	juice    float64 // kg of juice per kg of meat lost by the time it is done
	Trim     float64 // share of the raw weight trimmed off
	Waste    float64 // share of the raw weight that is bone and fat when served
	Off      float64 // usual core when done, °C
	Collagen float64 // hours near 90 °C until tender; 0: done by temperature
	Pit      float64 // usual pit, °C
}

// Cuts lists the kinds of meat. Shares are common practice, no source; those of water
// are chosen so that unwrapped meat loses 36 to 44 % of its weight.
var Cuts = []Cut{
	{"pork shoulder", 1.45, .305, .20, 1, .05, .04, .09, .11, 94, 1.7, 114},
	{"brisket", 1.55, .31, .20, 1, .05, .05, .20, .05, 94, 1.9, 116},
	{"lamb shoulder", 1.3, .28, .28, 1.05, .07, .05, .07, .16, 92, 1.1, 116},
	{"beef plate ribs", 1.4, .25, .28, 1.05, .10, .04, .08, .24, 95, 1.5, 120},
	{"turkey breast", 1.3, .24, .30, 3.2, .01, .05, .02, .03, 74, 0, 126},
}

// CutNamed finds a cut by name; an unknown name gives the first.
func CutNamed(name string) Cut {
	for _, c := range Cuts {
		if c.Name == name {
			return c
		}
	}
	return Cuts[0]
}

// wrap is the effect of a wrap at the surface.
type wrap struct {
	res  float64 // m² s Pa/kg, added resistance to vapour
	heat float64 // factor on the heat from the air
	leak float64 // share of the surface left open
}

// wraps: chosen so that from 70 °C on foil saves more time than paper, and paper more
// than a boat. Loose paper has almost no effect.
var wraps = map[string]wrap{
	"":            {0, 1, 1},
	"foil":        {4e9, .95, .01},
	"paper":       {1.1e9, .97, .02},
	"boat":        {4e9, .96, .08},
	"pan":         {4e9, .90, .10},
	"paper loose": {7e7, .99, .5},
	"foil loose":  {9e8, .95, .10},
}

// tight is the resistance above which juice collects inside a wrap.
const tight = 1e8

// Meat is one piece being cooked.
type Meat struct {
	Cut    Cut
	Mass   float64 // kg when it went on
	Tender float64 // 1 is tender
	Dark   float64 // bark; grades 0 to 4, may be more
	Wrap   string  // "", "foil", "paper", "boat", "pan", "paper loose", "foil loose"

	area       float64        // m²
	rate       [modes]float64 // 1/s
	core, mean [modes]float64 // weights of the modes; each adds up to 1
	y          [modes]float64 // °C
	surface    float64        // °C
	film       float64        // kg/m² of water on the surface
	gone       float64        // kg/m² of water dried from the meat
	free       float64        // kg/m² of free water at the start
	rendered   float64        // 0 to 1
	squeezed   float64        // 0 to 1
	stewed     float64        // 0 to 1: share of juice lost into a wrap
}

// NewMeat returns a piece of mass kg, thickness m and uniform temperature start, °C.
// juicy is how much less of its weight than usual it will lose; 0: as usual.
func NewMeat(c Cut, mass, thick, start, juicy float64) *Meat {
	c.juice -= juicy
	b := &Meat{Cut: c, Mass: mass, surface: start}
	plan := mass / density / thick
	width := math.Sqrt(plan / c.long)
	sides := [3]float64{thick, width, width * c.long}
	b.area = 2 * (sides[0]*sides[1] + sides[0]*sides[2] + sides[1]*sides[2])
	b.free = c.free * mass / b.area
	var slow [3][sideModes]float64
	for s, side := range sides {
		for k := range sideModes {
			n := float64(2*k + 1)
			slow[s][k] = diffusivity * (n * math.Pi / side) * (n * math.Pi / side)
		}
	}
	var coreSum, meanSum float64
	for m := range modes - 1 {
		i, j, k := m/9, m/3%3, m%3
		b.rate[m] = slow[0][i] + slow[1][j] + slow[2][k]
		b.core[m] = centre(i) * centre(j) * centre(k)
		b.mean[m] = average(i) * average(j) * average(k)
		coreSum += b.core[m]
		meanSum += b.mean[m]
	}
	for m := range modes - 1 {
		b.core[m] /= coreSum
	}
	b.rate[modes-1] = 49 * slow[0][0]
	b.mean[modes-1] = 1 - meanSum
	for m := range b.y {
		b.y[m] = start
	}
	return b
}

// centre returns the weight of side mode k at the centre. Lanczos factors smooth the
// series, so that three terms do not oscillate.
func centre(k int) float64 {
	n := float64(2*k + 1)
	x := math.Pi * n / (2*sideModes + 2)
	return 4 / math.Pi * math.Cos(float64(k)*math.Pi) / n * math.Sin(x) / x
}

// average returns the weight of side mode k in the mean temperature.
func average(k int) float64 {
	n := float64(2*k + 1)
	return 8 / (math.Pi * math.Pi * n * n)
}

// Air is the air around the meat during one step.
type Air struct {
	Temp   float64 // °C
	Vapour float64 // Pa
	Heat   float64 // heat transfer to a bare surface, W/m² K
}

// Step advances the meat by dt seconds. It returns the heat from the air, the heat
// conducted inwards and the heat of drying, J.
func (b *Meat) Step(dt float64, a Air) (brought, stored, dried float64) {
	var grip, pull float64 // W/K into the meat, and W/K × °C that it returns
	var part [modes]float64
	for m := range b.y {
		part[m] = 1 - math.Exp(-b.rate[m]*dt)
		g := b.Mass * heatCap * b.mean[m] * part[m] / dt
		grip += g
		pull += g * b.y[m]
	}
	w := wraps[b.Wrap]
	h := a.Heat * w.heat
	drying := b.drying(a, w, dt)
	lo, hi := -5.0, math.Max(a.Temp, b.surface)+1
	for range 26 { // accurate to 1e-6 °C
		mid := (lo + hi) / 2
		if h*b.area*(a.Temp-mid)-latent*b.area*drying(mid)-(grip*mid-pull) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	ts := (lo + hi) / 2
	j := drying(ts)
	b.surface = ts
	for m := range b.y {
		b.y[m] += (ts - b.y[m]) * part[m]
	}
	fromFilm := math.Min(b.film, j*dt)
	b.film -= fromFilm
	b.gone += j*dt - fromFilm
	b.change(dt, ts, w)
	return h * b.area * (a.Temp - ts) * dt, (grip*ts - pull) * dt, latent * b.area * j * dt
}

// change advances the rendering of fat, loss of juice, bark and collagen.
func (b *Meat) change(dt, ts float64, w wrap) {
	mean := b.Mean()
	b.rendered += (1 - b.rendered) * dt / 3600 * .22 * logistic((mean-68)/6)
	b.squeezed = math.Max(b.squeezed, logistic((mean-66)/5))
	if w.res > tight {
		b.stewed += (1 - b.stewed) * dt / 3600 * .35 * (1 - w.leak) * logistic((mean-75)/4)
	}
	b.Dark += math.Exp2((ts-70)/15) * dt / barkHours / 3600 * filmRes / (filmRes + w.res/60)
	if b.Cut.Collagen > 0 { // twice as fast for every 4 °C
		b.Tender += math.Exp2((b.Core()-90)/4) / (b.Cut.Collagen * 3600) * dt
	}
}

// drying returns the water lost in one step as a function of the surface temperature,
// kg/m² s; negative if water condenses on a cold surface.
func (b *Meat) drying(a Air, w wrap, dt float64) func(ts float64) float64 {
	film := filmRes * 10 / a.Heat
	crust := film + crustRes*b.Cut.skin*(1-math.Exp(-b.gone/crustDry))
	left := max(0, 1-b.gone/b.free)
	fall := min(1, left/b.Cut.crit)
	return func(ts float64) float64 {
		drive := Saturation(ts) - a.Vapour
		if drive < 0 {
			return drive / (film + w.res)
		}
		bare := drive / film
		wet := min(1, b.film/(bare*dt+1e-12))
		open := wet*bare + (1-wet)*fall*drive/crust
		shut := fall * drive / (crust + w.res)
		return w.leak*open + (1-w.leak)*shut
	}
}

// Spritz sprays water on the meat.
func (b *Meat) Spritz() { b.film += sprayFilm }

// Core returns the temperature of the centre, °C.
func (b *Meat) Core() float64 { return weigh(b.core, b.y) }

// Mean returns the mean temperature, °C.
func (b *Meat) Mean() float64 { return weigh(b.mean, b.y) }

// Done reports whether it is tender; for a bird, whether it is at its temperature.
func (b *Meat) Done() bool {
	return b.Tender >= 1 || b.Cut.Collagen == 0 && b.Core() >= b.Cut.Off
}

// Yield returns the weight as a share of the weight when it went on.
func (b *Meat) Yield() float64 {
	return 1 - b.gone*b.area/b.Mass - b.Cut.fat*b.rendered - b.Cut.juice*b.squeezed - stewLoss*b.stewed
}

func weigh(w, y [modes]float64) (sum float64) {
	for m := range w {
		sum += w[m] * y[m]
	}
	return sum
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// Saturation returns the vapour pressure of water at c °C, Pa: Buck, Journal of Applied
// Meteorology 20:1527, 1981; from memory. Accurate to 1 % up to 100 °C.
func Saturation(c float64) float64 {
	return 611.21 * math.Exp((18.678-c/234.5)*c/(257.14+c))
}
