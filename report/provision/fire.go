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
	for i, pit := range p.Pits {
		usual := pit.Book.FuelPerHour
		f := Fuel{Pit: i, Own: usual.N, Rate: usual.Likely, Weather: 1}
		var fires, ends []time.Time // by batch: when lit, and when most likely off
		likelyHours := 0.0
		for b := range p.Batches {
			var lit, likely, off time.Time
			for _, l := range p.Loads {
				if l.Pit != i || l.Batch != b || l.Oven {
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
				if !pit.Book.Cold.Told && !pit.Book.Wind.Told {
					f.Weather = math.Min(f.Weather, mostWeather)
				}
			}
			if !lit.IsZero() {
				fires, ends = append(fires, lit), append(ends, likely)
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
		if f.Full = fullOf(pit, past); f.Full > 0 {
			f.Lasts, f.More = f.Full/(f.Rate*f.Weather), f.Full*topUpAt
			for i, lit := range slices.Backward(fires) {
				f.topUps(lit, ends[i])
			}
		}
		if pit.Kind == journal.Offset {
			f.Splits = int(math.Ceil(f.Buy / Split))
			f.Every = duration(Split / (f.Rate * f.Weather)).Round(15 * time.Minute)
		}
		f.Wood = quantity.WoodFor(pit.Name, pit.Kind, past, float64(len(fires)))
		p.Fuel = append(p.Fuel, f)
	}
}
