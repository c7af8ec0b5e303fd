package heat

import "math"

const (
	kelvin     = 273.15
	boltzmann  = 5.670374419e-8 // W/(m²K⁴), CODATA 2018
	seaLevel   = 101325.0       // Pa
	airHeat    = 1010.0         // J/(kg K), moist air at constant pressure
	waterHeat  = 4150.0         // J/(kg K), lost with each kg of water (chosen: liquid water 20 to 90 °C is 4180 to 4210, less what the shrinking protein takes up)
	molarRatio = .622           // water over air
	lewis      = 1.11           // of water to dry air
	meltFrom   = 30.0           // °C, fat begins to melt
	meltTo     = 50.0           // °C, fat has melted
	usualHalf  = .058           // m, half thickness of a 4.7 kg shoulder, for which Convection is given
	iceFrom    = -2.0           // °C, below it everything that freezes is frozen
	maxCells   = 129
)

// table stores a function of temperature at equal steps. Between steps it is linear;
// beyond the ends it is constant.
type table struct {
	from, perStep float64
	value         []float64
}

func tabulate(from, to, step float64, f func(float64) float64) table {
	t := table{from: from, perStep: 1 / step}
	for i := 0; from+float64(i)*step <= to; i++ {
		t.value = append(t.value, f(from+float64(i)*step))
	}
	return t
}

// at returns the value and slope at x.
func (t *table) at(x float64) (value, slope float64) {
	u := (x - t.from) * t.perStep
	if !(u > 0) {
		return t.value[0], 0
	}
	i := int(u)
	if i >= len(t.value)-1 {
		return t.value[len(t.value)-1], 0
	}
	rise := t.value[i+1] - t.value[i]
	return t.value[i] + (u-float64(i))*rise, rise * t.perStep
}

// Model is the physics with its tables worked out. It is read-only and may be shared
// between goroutines.
type Model struct {
	Physics
	saturation, release table
}

// NewModel prepares the physics. saturation returns the vapour pressure over water in
// Pa, for 0 to 160 °C.
func NewModel(p Physics, saturation func(celsius float64) float64) *Model {
	return &Model{
		Physics:    p,
		saturation: tabulate(0, 160, .25, saturation),
		release: tabulate(0, 160, .25, func(t float64) float64 {
			return 1 / (1 + math.Exp(-p.ReleaseSlope*(t-p.ReleaseMid)))
		}),
	}
}

// Sim is one piece in a pit. Call Start, then Step. A started Sim may be copied by
// assignment to try different futures.
type Sim struct {
	m    *Model
	meat Meat
	air  Air
	f    Factors
	dt   float64
	n    int // number of cells, from the centre to the surface

	// For each cell: temperature in °C, kg of water per kg of initial mass, and share
	// of the body's volume.
	temperature, water, volume [maxCells]float64
	// For each cell, per m³ of the body: heat conductance to the next cell outwards in
	// W/K, heat capacity in J/K, and free water.
	conductance, storage, surplus [maxCells]float64
	upper, next                   [maxCells]float64 // Thomas sweep

	convection          float64 // W/(m²K)
	surface             float64 // m² per m³ of body
	massArea            float64 // kg per m²
	supplyRate          float64 // 1/s
	film                float64 // water on the surface, kg/m²
	evaporated, dripped float64 // since the start, kg/m²
	heat, evaporation   float64 // in the last step: heat flow into the meat, W/m²; evaporation, kg/(m²s)
	cover               Cover
	steps               int
}

// Start puts the piece in the pit. It uses a grid of 3 to 128 cells and a time step in
// seconds. Ten cells and 60 s are within 1 % of the exact finish time.
func (m *Model) Start(s *Sim, meat Meat, f Factors, air Air, cells int, step float64) {
	n := min(max(cells, 3), maxCells-1)
	shape := m.shape(meat, f)
	s.m, s.meat, s.air, s.f, s.dt, s.n = m, meat, air, f, step, n
	s.convection = f.Transfer * m.Convection * math.Sqrt(air.Pressure/seaLevel) * math.Pow(usualHalf/shape.half, m.ConvectionSize)
	s.massArea = meat.Density * shape.half / shape.exponent
	s.surface = shape.exponent / shape.half
	s.supplyRate = min(f.Supply*meat.Supply/m.SupplyTime*math.Pow(.05/shape.half, 2), .5/step)
	s.film, s.evaporated, s.dripped, s.steps, s.cover = m.FilmStart, 0, 0, 0, Bare
	dr, inner := 1/float64(n-1), 0.0
	for i := range n {
		outer := min((float64(i)+.5)*dr, 1)
		enclosed := math.Pow(outer, shape.exponent)
		s.volume[i] = enclosed - inner
		inner = enclosed
		s.conductance[i] = meat.Conductivity * shape.exponent * math.Pow(outer, shape.exponent-1) / (dr * shape.half * shape.half)
		s.temperature[i], s.water[i] = meat.Start, meat.Water
	}
}

// Wrap changes the cover. A new wrap keeps the water on the surface.
func (s *Sim) Wrap(c Cover) {
	if c >= Bare && int(c) < len(covers) {
		s.cover = c
	}
}

// Spritz adds kg/m² of water to an open surface (spraying all sides with a bottle is
// about .05 to .1). Under a cover it has no effect.
func (s *Sim) Spritz(amount float64) {
	if s.cover == Bare {
		s.film = min(s.film+amount, s.m.FilmMost)
	}
}

// exchange is the heat and water exchanged at the surface, with derivatives by the
// surface temperature.
type exchange struct {
	h                 float64 // W/(m²K)
	rate, slope       float64 // evaporation, kg/(m²s) and per K
	crust, film, leak float64 // water supply by path, kg/(m²s)
	total             float64
	condensing        bool
}

// exchange computes the heat and water exchanged at pit temperature tp. crust is the
// conductance of the crust, held the water in the surface, area the share of the area
// left after shrinking.
func (s *Sim) exchange(tp, crust, held, area float64) exchange {
	ts := s.temperature[s.n-1]
	c := &covers[s.cover]
	hc := s.convection
	a, b := tp+kelvin, ts+kelvin
	hr := s.m.Emissivity * boltzmann * (a*a + b*b) * (a + b)
	e := exchange{h: area * ((1-c.closed)*(hc+hr) + c.closed/(1/(hc+c.radiation*hr)+c.resistance))}

	// Evaporation that the air could take up, by the Lewis relation with Stefan flow.
	psat, dpsat := s.m.saturation.at(ts)
	if limit := .98 * s.air.Pressure; psat > limit {
		psat, dpsat = limit, 0
	}
	transfer := area * hc / airHeat * molarRatio * lewis
	open := transfer * math.Log((s.air.Pressure-s.air.Vapour)/(s.air.Pressure-psat))
	openSlope := transfer * dpsat / (s.air.Pressure - psat)
	if open <= 0 {
		through := 1 - c.closed + c.closed*c.vapour
		e.rate, e.slope, e.condensing = through*open, through*openSlope, true
		return e
	}
	moist := (held/s.meat.Water - s.m.LeakDry) / (1 - s.m.LeakDry)
	leakShare := s.f.Leak * s.m.Leak * max(0, moist) * min(1, s.meat.Supply)
	e.crust, e.film, e.leak = crust, max(0, s.film)/s.m.FilmTime, leakShare*open
	e.total = e.crust + e.film + e.leak
	if e.total <= 0 {
		return e
	}
	// Evaporation is limited by what the air takes up and by the water supplied, like
	// two resistances in series, separately for the open and the covered part of the
	// surface.
	for _, part := range [2]struct{ share, vapour float64 }{{1 - c.closed, 1}, {c.closed, c.vapour}} {
		if part.share == 0 {
			continue
		}
		potential, slope := part.vapour*open, part.vapour*openSlope
		sum := potential + e.total
		e.rate += part.share * potential * e.total / sum
		e.slope += part.share * (slope*e.total*e.total + leakShare*openSlope*potential*potential) / (sum * sum)
	}
	return e
}

// Step advances one time step with the pit at tp.
//
// Conduction inside is integrated by Crank–Nicolson (by backward Euler for the first
// four steps, which damps the jump at the start), the heat exchange at the surface
// implicitly with one linearization, and the water explicitly.
func (s *Sim) Step(tp float64) {
	lost := min((s.evaporated+s.dripped)/s.massArea, .9)
	shrink := math.Cbrt(1 - lost) // length after shrinking relative to before

	surplus, held := s.free()
	released := s.supplyRate * s.massArea * surplus
	e := s.exchange(tp, released/(1+s.f.Crust*s.m.CrustGrowth*s.evaporated), held, shrink*shrink)

	before := s.temperature[s.n-1]
	s.conduct(tp, shrink, e)
	rise := s.temperature[s.n-1] - before

	s.evaporation = e.rate + e.slope*rise
	s.heat = e.h*(tp-before-rise) - s.m.Latent*s.evaporation
	s.dry(e, released, surplus, held)
	s.steps++
}

// free fills surplus with the water that each cell holds beyond what it binds at its
// temperature. It returns the sum of that and of all water, per kg of initial mass.
func (s *Sim) free() (sum, held float64) {
	water, volume, surplus := s.water[:s.n], s.volume[:s.n], s.surplus[:s.n]
	for i, t := range s.temperature[:s.n] {
		held += volume[i] * water[i]
		surplus[i] = 0
		if t > 25 {
			q, _ := s.m.release.at(t)
			surplus[i] = volume[i] * max(0, water[i]-s.meat.Water*(1-s.m.Releasable*q))
			sum += surplus[i]
		}
	}
	return sum, held
}

// conduct advances the temperatures one step (tridiagonal, Thomas).
func (s *Sim) conduct(tp, shrink float64, e exchange) {
	last := s.n - 1
	temperature, water, volume := s.temperature[:s.n], s.water[:s.n], s.volume[:s.n]
	conductance, storage, upper, next := s.conductance[:s.n], s.storage[:s.n], s.upper[:s.n], s.next[:s.n]
	implicit := .5
	if s.steps < 4 {
		implicit = 1
	}
	melt := s.meat.Fat * s.m.FatMelting * 6 / (meltTo - meltFrom)
	thaw := s.meat.Water * s.m.IceMelting * 6 / -iceFrom
	flow := 0.0 // W/m³ into cell i from the next cell inwards
	lower := 0.0
	share, known := 0.0, 0.0 // upper and next of the next cell inwards
	for i, t := range temperature {
		heat := s.meat.HeatCapacity - waterHeat*(s.meat.Water-water[i])
		if t > meltFrom && t < meltTo {
			u := (t - meltFrom) / (meltTo - meltFrom)
			heat += melt * u * (1 - u)
		} else if t > iceFrom && t < 0 {
			u := t / iceFrom
			heat += thaw * u * (1 - u)
		}
		storage[i] = s.meat.Density * heat * volume[i]
		rate := storage[i] / s.dt
		outer, out := 0.0, 0.0
		if i < last {
			outer = shrink * conductance[i]
			out = outer * (t - temperature[i+1])
		}
		d := rate + implicit*(lower+outer)
		b := rate*t + (1-implicit)*(flow-out)
		if i == last {
			slope := -e.h - s.m.Latent*e.slope
			d -= s.surface * slope
			b += s.surface * (e.h*(tp-t) - s.m.Latent*e.rate - slope*t)
		}
		d -= implicit * lower * share
		b += implicit * lower * known
		share, known = implicit*outer/d, b/d
		upper[i], next[i] = share, known
		lower, flow = outer, out
	}
	t := 0.0
	for i := last; i >= 0; i-- {
		t = next[i] + upper[i]*t
		temperature[i] = t
	}
}

// dry removes the step's water from film and cells. Part of the released water that
// does not evaporate drips; the leak is vapour only.
func (s *Sim) dry(e exchange, released, surplus, held float64) {
	if e.condensing {
		s.film = min(s.film-s.evaporation*s.dt, max(s.film, s.m.FilmMost))
		return
	}
	if e.total <= 0 {
		return
	}
	share := s.evaporation / e.total
	s.film -= share * e.film * s.dt
	crust := share * e.crust
	drip := s.m.DripShare * max(0, released-crust)
	leak := share * e.leak
	// Both are per kg of initial mass; the first is for each unit of surplus, the
	// second for each unit of water held.
	fromSurplus, fromAll := 0.0, s.dt*leak/s.massArea/held
	if surplus > 0 {
		fromSurplus = s.dt * (crust + drip) / s.massArea / surplus
	}
	water, free, volume := s.water[:s.n], s.surplus[:s.n], s.volume[:s.n]
	for i, w := range water {
		water[i] = w - (fromSurplus*free[i]/volume[i] + fromAll*w)
	}
	s.evaporated += s.dt * (crust + leak)
	s.dripped += s.dt * drip
}

// Core returns the temperature at the centre, °C.
func (s *Sim) Core() float64 { return s.temperature[0] }

// Skin returns the temperature on the surface, °C.
func (s *Sim) Skin() float64 { return s.temperature[s.n-1] }

// Mean returns the mass-weighted temperature, °C.
func (s *Sim) Mean() float64 {
	t := 0.0
	for i := range s.n {
		t += s.volume[i] * s.temperature[i]
	}
	return t
}

// Elapsed returns the simulated time since the start, s.
func (s *Sim) Elapsed() float64 { return float64(s.steps) * s.dt }

// Loss returns the share of the initial mass lost as vapour, drip and rendered fat, 0
// to 1. It is accurate to .05 at best, so a fit to core readings must not be used for
// yield.
func (s *Sim) Loss() float64 {
	fat := s.m.Rendering * s.meat.Fat / (1 + math.Exp(-(s.Mean()-70)/8))
	return min(1, (s.evaporated+s.dripped)/s.massArea+fat)
}
