package pitbook

import (
	"fmt"
	"math"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/numeric/score"
)

// Possible heat of a fire, kW (chosen): less is a candle, more a bread oven.
const (
	leastHeat = .3
	mostHeat  = 60.0
)

// kilowatts converts kg of charcoal an hour into kW.
func kilowatts(kgPerHour float64) float64 { return kgPerHour * charcoal / 3.6 }

// A burn rate more than slip times above or below the pit's median is ignored once
// there are leastMiddle rates (chosen: a gale in the snow burns less than twice as much
// as a calm summer night).
const (
	slip        = 2.5
	leastMiddle = 5
)

// burn learns the fuel per hour and the effect of the weather on it.
//
// Note: the weight of the meat is not used. To heat 8 kg by 90 K and boil off a third
// takes some 9 MJ in 14 h, .2 kW of five, which is less than two cooks on one pit
// differ by.
func (b *Book) burn(own []Cook, s starts) {
	b.Fuel = mainFuel(own)
	var rates []float64
	var rows [][]float64
	var out leftOut
	var air, wind, over mean
	for _, c := range own {
		if c.Unweighed {
			out.unweighed++
		}
		if !c.Burned.Known {
			continue
		}
		if c.Kind != "" && !strings.EqualFold(c.Kind, b.Fuel) {
			out.other++
			continue
		}
		hours := c.Hours
		if !c.Lit {
			hours += b.Settle.Likely / 60
			out.unlit++
		}
		rate := c.Burned.Value / hours
		if heat := kilowatts(rate); !(heat > leastHeat && heat < mostHeat) {
			out.odd++
			continue
		}
		row := []float64{0, 0}
		if c.Air.Known {
			row[0] = (c.Stood - c.Air.Value - usualOver) / 10
			air.add(c.Air.Value)
			over.add(row[0])
		}
		if c.Wind.Known {
			row[1] = c.Wind.Value - usualWind
			wind.add(c.Wind.Value)
		}
		rates, rows = append(rates, rate), append(rows, row)
	}
	rates, rows, out.slips = believed(rates, rows)
	b.fuel = learn(fuelSpread.at(s.fuel), weatherSlope, weatherSD, rows, rates)
	b.Air, b.HasAir = air.value()
	b.Blow, b.HasWind = wind.value()
	b.over, _ = over.value()
	if b.HasWind {
		b.wind = b.Blow - usualWind
	}
	b.FuelPerHour = Figure{N: len(rates), From: measure.Count(len(rates), "cook")}
	if len(rates) == 0 {
		b.FuelPerHour.From = b.chosen()
	}
	b.FuelPerHour.Likely, b.FuelPerHour.Low, b.FuelPerHour.High = b.fuel.next(b.over, b.wind)
	b.Cold, b.Wind = b.effect(1, air.n), b.effect(2, wind.n)
	if len(rates) > 0 && out.unlit > 0 {
		b.note("%s with fuel did not note when it was lit; %.0f min before the meat went on is assumed.", measure.Count(out.unlit, "cook"), b.Settle.Likely)
	}
	b.noteLeftOut(out)
}

// leftOut counts the cooks that do not count for the fuel, by reason. Those of unlit
// count, but with an assumed start.
type leftOut struct {
	other     int // another fuel
	unlit     int // not noted when it was lit
	odd       int // a heat that no fire has
	slips     int // far from the other cooks
	unweighed int // fuel without a weight
}

// noteLeftOut notes how many cooks do not count for the fuel, and why.
func (b *Book) noteLeftOut(out leftOut) {
	if out.other > 0 {
		b.note("%s with another fuel left out of the fuel: a kilo of wood gives half the heat of a kilo of charcoal.", measure.Count(out.other, "cook"))
	}
	if out.odd > 0 {
		b.note("%s left out of the fuel: the fuel burned and the hours give a heat that no such fire has (under %g or over %g kW).", measure.Count(out.odd, "cook"), leastHeat, mostHeat)
	}
	if out.slips > 0 {
		b.note("%s left out of the fuel: over %g times more or less an hour than the others, probably a mistake in the notes.", measure.Count(out.slips, "cook"), slip)
	}
	if out.unweighed > 0 {
		b.note("%s left out of the fuel: fuel went on later without a weight, or more was left than loaded.", measure.Count(out.unweighed, "cook"))
	}
}

// believed removes rates far from the median and returns how many it removed.
func believed(rates []float64, rows [][]float64) (good []float64, goodRows [][]float64, slips int) {
	if len(rates) < leastMiddle {
		return rates, rows, 0
	}
	middle := score.Quantile(rates, .5)
	for i, r := range rates {
		if r > middle*slip || r < middle/slip {
			slips++
			continue
		}
		good, goodRows = append(good, r), append(goodRows, rows[i])
	}
	return good, goodRows, slips
}

// effect returns the effect of a weather column as a share of the fuel.
func (b *Book) effect(column, n int) Effect {
	likely, low, high, shown := b.fuel.slope(column)
	return Effect{math.Expm1(likely), math.Expm1(low), math.Expm1(high), n, n >= leastWeather && shown >= leastShown}
}

// mainFuel returns the fuel that most cooks name.
func mainFuel(own []Cook) string {
	times := map[string]int{}
	best := ""
	for _, c := range own {
		kind := strings.ToLower(c.Kind)
		if kind == "" {
			continue
		}
		times[kind]++
		if n := times[kind]; n > times[best] || n == times[best] && kind < best {
			best = kind
		}
	}
	return best
}

// mean is a running mean.
type mean struct {
	sum float64
	n   int
}

func (m *mean) add(v float64) { m.sum, m.n = m.sum+v, m.n+1 }

func (m *mean) value() (float64, bool) {
	if m.n == 0 {
		return 0, false
	}
	return m.sum / float64(m.n), true
}

func (b *Book) note(format string, args ...any) {
	b.Notes = append(b.Notes, fmt.Sprintf(format, args...))
}
