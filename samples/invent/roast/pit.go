package roast

import (
	"math"
	"math/rand/v2"
	"time"
)

// Pit has the properties of a pit, chosen to be plausible: brick is slow and even, the
// drum fast and needs much attention.
type Pit struct {
	Heat    float64 // heat transfer at the grate to a bare surface, W/m² K
	Sag     float64 // K an hour that an untended fire falls
	Dip     float64 // K the pit falls when the lid is opened
	Recover float64 // minutes until two thirds of that are recovered
	Drift   float64 // K, standard deviation of random changes
	Burn    float64 // kg of fuel an hour for 95 K above the outdoor air
	Spread  float64 // K between the warmest and coolest place
}

// Pits by name.
var Pits = map[string]Pit{
	"brick": {14.8, 1.3, 15, 16, 2.6, .52, 4},
	"drum":  {15.8, 2.1, 36, 8, 3.6, .36, 6},
}

const (
	fireVapour = 5500. // Pa of vapour from the fire, added to that of the outdoor air (chosen)
	mendTime   = 16    // minutes until a vent or fuel has an effect (chosen)
	driftTime  = 110.  // minutes over which random changes decay (chosen)
)

// Weather is the weather of one night in a hill village.
type Weather struct {
	Air  float64 // °C
	Wind float64 // m/s
	Damp float64 // relative humidity, %
}

var monthAir = [12]float64{4, 4.5, 6, 8.5, 12, 15, 17, 16.5, 14, 10.5, 7, 4.5}

// WeatherOn draws the weather of a day.
func WeatherOn(day time.Time, rng *rand.Rand) Weather {
	return Weather{
		Air:  monthAir[day.Month()-1] + 2.5*rng.NormFloat64(),
		Wind: math.Abs(3 + 2.2*rng.NormFloat64()),
		Damp: min(98, 78+9*rng.NormFloat64()),
	}
}

// Vapour returns the vapour pressure in the pit, Pa.
func (w Weather) Vapour() float64 { return fireVapour + w.Damp/100*Saturation(w.Air) }

// Fire is a burning pit, simulated minute by minute.
type Fire struct {
	Pit
	Weather
	Aim    float64 // °C that the people want
	Low    float64 // K that the pit is below its aim because of the fire
	Burned float64 // kg so far
	Rand   *rand.Rand

	mend  float64 // K being recovered
	drift float64 // K
	lid   float64 // K still missing after the lid was opened
}

// Minute advances the fire by a minute and returns the temperature at the grate, °C.
func (f *Fire) Minute() float64 {
	f.Low += f.Sag / 60 * (1 + .05*f.Wind)
	give := f.mend / mendTime
	f.mend -= give
	f.Low -= give
	keep := math.Exp(-1. / driftTime)
	f.drift = f.drift*keep + f.Drift*math.Sqrt(1-keep*keep)*f.Rand.NormFloat64()
	f.lid *= math.Exp(-1 / f.Recover)
	t := f.temp()
	f.Burned += f.Burn / 60 * max(.2, t-f.Air) / 95 * (1 + .03*f.Wind)
	return t
}

func (f *Fire) temp() float64 { return f.Aim - f.Low + f.drift - f.lid }

// Correct adjusts the vents so that the pit returns approximately to its aim.
func (f *Fire) Correct() { f.mend = (f.Aim - f.temp() - f.lid) * (.6 + .4*f.Rand.Float64()) }

// Feed adds fuel; the fire recovers after some minutes.
func (f *Fire) Feed() { f.mend = max(f.mend, f.Low+2) }

// Raise raises the aim by k K and opens the vents.
func (f *Fire) Raise(k float64) {
	f.Aim += k
	f.mend += k
}

// OpenLid lowers the pit temperature as opening the lid does.
func (f *Fire) OpenLid() { f.lid += f.Dip * (.7 + .5*f.Rand.Float64()) * (1 - f.lid/100) }
