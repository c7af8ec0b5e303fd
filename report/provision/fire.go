package provision

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/report/provision/quantity"
)

// Fuel is what one pit burns for the meal.
type Fuel struct {
	Pit     int
	Kind    string
	Hours   float64 // h lit, on the late side, all batches together
	Likely  float64 // kg it burns, most likely
	Rate    float64 // kg/h in usual weather
	Own     int     // cooks the rate is based on; 0: a starting value
	Weather float64 // factor, of the weather expected
	Need    float64 // kg
	Buy     float64 // kg, with the reserve
	Wood    quantity.Wood
	Splits  int           // of wood to buy; 0: the pit burns something else
	Every   time.Duration // a split goes on so often; 0 likewise
}

// Split is the usual weight of a split of wood, kg: as long as a forearm and as thick as
// a wrist (common practice: half a kilogram to one).
const Split = .75

// burn works out fuel and wood for each pit.
func (p *Plan) burn(past []journal.Cook) {
	for i, pit := range p.Pits {
		usual := pit.Book.FuelPerHour
		f := Fuel{Pit: i, Own: usual.N, Rate: usual.Likely, Weather: 1}
		var fires []time.Time // lit, by batch
		likelyHours := 0.0
		for b := range p.Batches {
			var lit, likely, off time.Time
			for _, l := range p.Loads {
				if l.Pit != i || l.Batch != b {
					continue
				}
				if lit.IsZero() || l.Light.Before(lit) && !l.Light.IsZero() {
					lit = l.Light
				}
				if l.Off[1].After(likely) {
					likely = l.Off[1]
				}
				if l.Off[2].After(off) {
					off = l.Off[2]
				}
				f.Weather = pit.Book.FuelAt(l.Forecast.Pit, p.Request.Weather).Likely / usual.Likely
			}
			if !lit.IsZero() {
				fires = append(fires, lit)
				f.Hours += off.Sub(lit).Hours()
				likelyHours += likely.Sub(lit).Hours()
			}
		}
		if len(fires) == 0 {
			continue
		}
		if f.Kind = pit.Book.Fuel; f.Kind == "" {
			f.Kind = quantity.FuelOf(pit.Kind)
		}
		f.Likely = f.Rate * likelyHours * f.Weather
		f.Need = f.Rate * f.Hours * f.Weather
		f.Buy = math.Ceil(f.Need*(1+quantity.Reserve)*2) / 2
		if pit.Kind == journal.Offset {
			f.Splits = int(math.Ceil(f.Buy / Split))
			f.Every = duration(Split / (f.Rate * f.Weather)).Round(5 * time.Minute)
		}
		f.Wood = quantity.WoodFor(pit.Name, pit.Kind, past, float64(len(fires)))
		p.Fuel = append(p.Fuel, f)
	}
}
