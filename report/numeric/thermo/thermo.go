// Package thermo gives physical properties for the heat model: food as a mixture, moist
// air, the standard atmosphere.
//
// Temperatures are in °C, pressures in Pa, everything else in SI units.
package thermo

import "math"

// Composition is a food as mass fractions (kg per kg, 0 to 1, summing to 1).
// A missing component is 0.
type Composition struct {
	Water, Protein, Fat, Carbohydrate, Fibre, Ash float64
}

// component has the polynomials c0 + c1·t + c2·t² (t in °C) of one food component:
// conductivity W/(m K), density kg/m³, heat capacity J/(kg K).
type component struct {
	k, rho, cp [3]float64
}

// Choi & Okos (1986), as printed in ASHRAE Handbook Refrigeration 2006,
// ch. 9, tables 1 and 2; valid from -40 to 150 °C. The heat capacity of water
// has the constant 4.1762 of the original paper (0 to 150 °C): the handbook's
// 4.1289 is 1 % below real water.
var components = [6]component{
	{[3]float64{0.57109, 1.7625e-3, -6.7036e-6}, [3]float64{997.18, 3.1439e-3, -3.7574e-3}, [3]float64{4176.2, -9.0864e-2, 5.4731e-3}},
	{[3]float64{0.17881, 1.1958e-3, -2.7178e-6}, [3]float64{1329.9, -0.5184, 0}, [3]float64{2008.2, 1.2089, -1.3129e-3}},
	{[3]float64{0.18071, -2.7604e-4, -1.7749e-7}, [3]float64{925.59, -0.41757, 0}, [3]float64{1984.2, 1.4733, -4.8008e-3}},
	{[3]float64{0.20141, 1.3874e-3, -4.3312e-6}, [3]float64{1599.1, -0.31046, 0}, [3]float64{1548.8, 1.9625, -5.9399e-3}},
	{[3]float64{0.18331, 1.2497e-3, -3.1683e-6}, [3]float64{1311.5, -0.36589, 0}, [3]float64{1845.9, 1.8306, -4.6509e-3}},
	{[3]float64{0.32962, 1.4011e-3, -2.9069e-6}, [3]float64{2423.8, -0.28063, 0}, [3]float64{1092.6, 1.8896, -3.6817e-3}},
}

func poly(c [3]float64, t float64) float64 { return c[0] + t*(c[1]+t*c[2]) }

func (c Composition) fractions() [6]float64 {
	return [6]float64{c.Water, c.Protein, c.Fat, c.Carbohydrate, c.Fibre, c.Ash}
}

// Density returns the density of the food without pores at t, kg/m³.
func (c Composition) Density(t float64) float64 {
	volume := 0.0
	for i, x := range c.fractions() {
		volume += x / poly(components[i].rho, t)
	}
	return 1 / volume
}

// HeatCapacity returns the specific heat of the unfrozen food at t, J/(kg K).
func (c Composition) HeatCapacity(t float64) float64 {
	cp := 0.0
	for i, x := range c.fractions() {
		cp += x * poly(components[i].cp, t)
	}
	return cp
}

// ConductivityParallel returns the conductivity at t for components side by side along
// the heat flow, W/(m K): the upper bound.
func (c Composition) ConductivityParallel(t float64) float64 {
	rho, k := c.Density(t), 0.0
	for i, x := range c.fractions() {
		k += x * rho / poly(components[i].rho, t) * poly(components[i].k, t)
	}
	return k
}

// ConductivityPerpendicular returns the conductivity at t for components in layers
// across the heat flow, W/(m K): the lower bound.
func (c Composition) ConductivityPerpendicular(t float64) float64 {
	rho, r := c.Density(t), 0.0
	for i, x := range c.fractions() {
		r += x * rho / poly(components[i].rho, t) / poly(components[i].k, t)
	}
	return 1 / r
}

// SaturationPressure returns the vapour pressure over liquid water at t (0 to 200 °C),
// Pa. Hyland & Wexler (1983), as ASHRAE Fundamentals ch. 1, eq. 6.
//
// Note: the Magnus form, made for weather, is 2.4 % too high at 100 °C.
func SaturationPressure(t float64) float64 {
	k := t + 273.15
	return math.Exp(-5800.2206/k + 1.3914993 + k*(-0.048640239+k*(4.1764768e-5-1.4452093e-8*k)) + 6.5459673*math.Log(k))
}

// Pressure returns the pressure of the standard atmosphere at an altitude in m (-500 to
// 11,000), Pa. ASHRAE Fundamentals 2017 ch. 1, eq. 3.
func Pressure(altitude float64) float64 {
	return 101325 * math.Pow(1-2.25577e-5*altitude, 5.2559)
}

// AirTemperature returns the temperature of the standard atmosphere at an altitude in
// m, °C. ASHRAE Fundamentals 2017 ch. 1, eq. 4.
func AirTemperature(altitude float64) float64 { return 15 - 0.0065*altitude }

// molarRatio is the molar mass of water divided by that of dry air (ASHRAE Fundamentals
// 2017 ch. 1).
const molarRatio = 0.621945

// HumidityRatio returns kg of vapour per kg of dry air at vapour pressure pv and total
// pressure p (pv < p), both Pa.
func HumidityRatio(pv, p float64) float64 { return molarRatio * pv / (p - pv) }

// VapourPressure returns the vapour pressure at humidity ratio w (kg/kg) and total
// pressure p, Pa. It is the inverse of HumidityRatio.
func VapourPressure(w, p float64) float64 { return p * w / (molarRatio + w) }

// HumidityRatioFromWetBulb returns the humidity ratio (kg/kg) of air at t with
// thermodynamic wet bulb wet (0 °C or more), at total pressure p in Pa. ASHRAE
// Fundamentals 2017 ch. 1, eq. 33.
func HumidityRatioFromWetBulb(t, wet, p float64) float64 {
	saturated := HumidityRatio(SaturationPressure(wet), p)
	return ((2501-2.326*wet)*saturated - 1.006*(t-wet)) / (2501 + 1.86*t - 4.186*wet)
}

// WetBulb returns the thermodynamic wet bulb of air at t with vapour pressure pv and
// total pressure p, °C, between 0 °C and t.
func WetBulb(t, pv, p float64) float64 {
	w := HumidityRatio(pv, p)
	return bisect(0, math.Min(t, BoilingPoint(p)-1e-6), func(wet float64) bool {
		return HumidityRatioFromWetBulb(t, wet, p) < w
	})
}

// BoilingPoint returns the temperature at which water boils at pressure p in Pa (612 to
// 1.5 million), °C.
func BoilingPoint(p float64) float64 {
	return bisect(0, 200, func(t float64) bool { return SaturationPressure(t) < p })
}

// bisect narrows [lo, hi] to the point where below becomes false.
func bisect(lo, hi float64, below func(float64) bool) float64 {
	for range 60 {
		mid := (lo + hi) / 2
		if below(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
