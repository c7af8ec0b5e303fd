package provision

import (
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report/numeric/score"
	"ashbook/report/provision/quantity"
)

// Fuel is the fuel for one pit.
type Fuel struct {
	Pit     int
	Kind    string
	Hours   float64 // h that the pit is lit if the cook is late, all fires together
	Likely  float64 // kg burned if the cook takes its most likely time
	Rate    float64 // kg/h in usual weather
	Own     int     // cooks that Rate is based on; 0: a starting value
	Weather float64 // factor for the expected weather
	Need    float64 // kg burned if the cook is late
	Buy     float64 // kg, with the reserve
	Wood    quantity.Wood
	Splits  int           // splits of wood to buy; 0: the pit does not burn splits
	Every   time.Duration // time between splits; 0: the pit does not burn splits
	Full    float64       // kg of a full load; 0: fed bit by bit
	Lasts   float64       // h that a full load burns
	More    float64       // kg of each top-up
	TopUps  []time.Time   // when to top up, at the most likely burn rate
}

// Split is the usual weight of a split of wood, kg: as long as a forearm, as thick as a
// wrist (common practice: half a kilogram to one).
const Split = .75

// full is the load of a kind of pit, kg (common practice, no source). Offset and
// cabinet pits are fed bit by bit, so they have no full load.
var full = map[journal.PitKind]float64{
	journal.Ceramic: 5, journal.Kettle: 3, journal.Bullet: 4, journal.Drum: 6, journal.Brick: 8, journal.Pellet: 8, journal.OtherPit: 4, "": 4,
}

// topUpAt is the share of a load that is burned when the next fuel goes on: the last
// fifth still lights it (common practice, no source).
const topUpAt = .8

// topUps sets when a fire, burning from lit to end, needs more fuel.
func (f *Fuel) topUps(lit, end time.Time) {
	if f.Lasts <= 0 {
		return
	}
	each := duration(f.Lasts * topUpAt)
	if end.Sub(lit) <= duration(f.Lasts) {
		return
	}
	for at := lit.Add(each); at.Before(end.Add(-time.Hour)); at = at.Add(each) {
		f.TopUps = append(f.TopUps, at.Truncate(step))
	}
}

// fullOf returns the usual full load of a pit, kg: from the person's own cooks on it,
// else by its kind.
func fullOf(pit Pit, past []journal.Cook) float64 {
	var loaded []float64
	for _, c := range past {
		if c.Pit == pit.Name && c.Fuel.Loaded.Known {
			loaded = append(loaded, c.Fuel.Loaded.Base)
		}
	}
	if len(loaded) >= quantity.Enough {
		return score.Quantile(loaded, .5)
	}
	return full[pit.Kind]
}

// mostWeather is the largest factor for frost and wind until the pit's own cooks show
// more ("some 15 % in frost": common practice, no source).
const mostWeather = 1.15

// burn sets the fuel and wood for each pit.
func (p *Plan) burn(past []journal.Cook) {
	for i := range p.Pits {
		if fires := p.fires(i); len(fires) > 0 {
			p.Fuel = append(p.Fuel, p.fuelFor(i, fires, past))
		}
	}
}

// burning is one fire in a pit: when it is lit, and when its last meat is off, at the
// likely and at the late time.
type burning struct{ lit, likely, late time.Time }

// fires returns the fires of a pit, first the one for the meal.
func (p *Plan) fires(pit int) (out []burning) {
	for b := range p.Batches {
		var fire burning
		for _, l := range p.Loads {
			if l.Pit != pit || l.Batch != b || l.Oven {
				continue
			}
			if fire.lit.IsZero() || l.Light.Before(fire.lit) && !l.Light.IsZero() {
				fire.lit = l.Light
			}
			fire.likely, fire.late = later(fire.likely, l.Off[1]), later(fire.late, l.Off[2])
		}
		if !fire.lit.IsZero() {
			out = append(out, fire)
		}
	}
	return out
}

// weatherFor returns by how much the weather changes what a pit burns.
func (p *Plan) weatherFor(i int) float64 {
	book, factor := p.Pits[i].Book, 1.
	for _, l := range p.Loads {
		if l.Pit == i && !l.Oven {
			factor = book.FuelAt(l.Forecast.Pit, p.Request.Weather).Likely / book.FuelPerHour.Likely
		}
	}
	if !book.Cold.Told && !book.Wind.Told {
		factor = math.Min(factor, mostWeather)
	}
	return factor
}

// fuelFor returns the fuel and wood for the fires of one pit.
func (p *Plan) fuelFor(i int, fires []burning, past []journal.Cook) Fuel {
	pit := p.Pits[i]
	usual := pit.Book.FuelPerHour
	f := Fuel{Pit: i, Kind: pit.Book.Fuel, Own: usual.N, Rate: usual.Likely, Weather: p.weatherFor(i)}
	if f.Kind == "" {
		f.Kind = quantity.FuelOf(pit.Kind)
	}
	likely := 0.0
	for _, fire := range fires {
		f.Hours += fire.late.Sub(fire.lit).Hours()
		likely += fire.likely.Sub(fire.lit).Hours()
	}
	f.Likely = f.Rate * likely * f.Weather
	f.Need = f.Rate * f.Hours * f.Weather
	f.Buy = math.Ceil(f.Need*(1+quantity.Reserve)*2) / 2
	if f.Full = fullOf(pit, past); f.Full > 0 {
		f.Lasts, f.More = f.Full/(f.Rate*f.Weather), f.Full*topUpAt
		for _, fire := range slices.Backward(fires) {
			f.topUps(fire.lit, fire.likely)
		}
	}
	if pit.Kind == journal.Offset {
		f.Splits = int(math.Ceil(f.Buy / Split))
		f.Every = duration(Split / (f.Rate * f.Weather)).Round(15 * time.Minute)
	}
	f.Wood = quantity.WoodFor(pit.Name, pit.Kind, past, float64(len(fires)))
	return f
}
