package provision

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/report/provision/larder"
)

// Fuel is what one pit burns for the meal.
type Fuel struct {
	Pit     int
	Kind    string
	Hours   float64 // h lit, on the late side, all batches together
	Rate    float64 // kg/h in usual weather
	Own     int     // cooks the rate rests on; 0: a starting value
	Weather float64 // factor
	Need    float64 // kg
	Buy     float64 // kg, with the reserve
	Wood    larder.Wood
}

// burn works out fuel and wood for each pit.
func (p *Plan) burn(past []journal.Cook) {
	for i, pit := range p.Pits {
		f := Fuel{Pit: i, Own: pit.N, Rate: pit.Rate, Weather: 1}
		if pit.N == 0 {
			f.Rate = larder.RateOf(pit.Kind)
		}
		var fires []time.Time // lit, by batch
		for b := range p.Batches {
			var lit, off time.Time
			for _, l := range p.Loads {
				if l.Pit != i || l.Batch != b {
					continue
				}
				if lit.IsZero() || l.Light.Before(lit) && !l.Light.IsZero() {
					lit = l.Light
				}
				if l.Off[2].After(off) {
					off = l.Off[2]
				}
				f.Weather = larder.Weather(p.Request.Weather, l.Forecast.Pit)
			}
			if !lit.IsZero() {
				fires = append(fires, lit)
				f.Hours += off.Sub(lit).Hours()
			}
		}
		if len(fires) == 0 {
			continue
		}
		f.Kind = larder.FuelKind(pit.Name, pit.Kind, past)
		f.Need = f.Rate * f.Hours * f.Weather
		f.Buy = math.Ceil(f.Need*(1+larder.Reserve)*2) / 2
		f.Wood = larder.WoodFor(pit.Name, pit.Kind, past, float64(len(fires)))
		p.Fuel = append(p.Fuel, f)
	}
}
