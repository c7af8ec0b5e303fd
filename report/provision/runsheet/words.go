package runsheet

import (
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/report/mix"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
	"fmt"
	"math"
	"time"
)

// day formats t with its weekday, and with its date if it is more than six days away.
func (p *Sheet) day(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if d := t.Sub(p.Moment); d > 6*24*time.Hour {
		return measure.FormatTime(t, measure.DayDateClock, p.Settings.Units)
	}
	return measure.FormatTime(t, measure.DayClock, p.Settings.Units)
}

// said formats t as "20:10 Friday", with the date if day adds one.
func (p *Sheet) said(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if t.Sub(p.Moment) > 6*24*time.Hour {
		return measure.FormatTime(t, measure.ClockDay+" 2 January", p.Settings.Units)
	}
	return measure.FormatTime(t, measure.ClockDay, p.Settings.Units)
}

// clock formats t as a clock time if it is on the day of the meal, else with its day.
func (p *Sheet) clock(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if t.YearDay() == p.Request.Serve.YearDay() {
		return measure.FormatTime(t, measure.Clock, p.Settings.Units)
	}
	return p.At(t)
}

// tenths formats a temperature to a tenth of a degree.
func (p *Sheet) tenths(c float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.1f °F", c*1.8+32)
	}
	return fmt.Sprintf("%.1f °C", c)
}

// pitTemp formats the pit temperature of a load. A starting value is rounded to five
// degrees Fahrenheit, as thermometers are read.
func (p *Sheet) pitTemp(l *provision.Load) string {
	if p.Settings.Units == measure.US && !l.Cook.Aim.Pit.Known {
		return fmt.Sprintf("%.0f °F", 5*math.Round((l.Forecast.Pit*1.8+32)/5))
	}
	return p.Temp(l.Forecast.Pit)
}

// wraps returns ", in foil from 72 °C on", or "".
func (p *Sheet) wraps(l *provision.Load) string {
	w := l.Cook.Aim.Wrap
	switch {
	case w.Kind == journal.NoWrap:
		return ""
	case !w.At.Known:
		return ", in " + string(w.Kind)
	}
	return fmt.Sprintf(", in %s from %s on", w.Kind, p.Temp(w.At.Base))
}

// salted formats the salt for a load, per kilogram and in all. A small amount is also
// given in spoons, for readers who measure that way.
func (p *Sheet) salted(l *provision.Load) string {
	grams := 0.0
	for _, piece := range l.Cook.Pieces {
		grams += piece.Raw.Base * (1 - p.Meats[l.Dish].Trim.Lost) * p.Salts[l.Dish].Rate
	}
	out := p.rate(p.Salts[l.Dish].Rate) + ", " + p.Mass(math.Round(grams)/1000) + " in all"
	if spoons := mix.Spooned(mix.Line{Name: "salt", Grams: grams}, p.Settings.Units); spoons != "" && p.Settings.Units == measure.US {
		out += ", or " + spoons + " of table salt"
	}
	return out
}

// rate formats g/kg in the reader's unit.
func (p *Sheet) rate(perKg float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.2f oz/lb", perKg*.016)
	}
	return fmt.Sprintf("%.0f g/kg", perKg)
}

// batch returns the name of a load's fire, "" if there is only one.
func (p *Sheet) batch(l *provision.Load) string {
	if p.Batches == 1 {
		return ""
	}
	return ", " + provision.Ordinal(p.Batches-l.Batch) + " fire"
}

func (p *Sheet) oneIn(share float64) string {
	if share >= .099 {
		return "1 in 10"
	}
	return fmt.Sprintf("%.0f in 100", 100*share)
}

func (p *Sheet) knife() string {
	for _, m := range p.Meats {
		if len(p.Meats) > 1 && quantity.Find(m.Cut).Sliced != quantity.Find(p.Meats[0].Cut).Sliced {
			return "cut"
		}
	}
	if p.Request.Serving.Sliced {
		return "slice"
	}
	return "pull"
}

// holds describes in a few words how the meat is held until the meal.
func (p *Sheet) holds() string {
	return fmt.Sprintf("held for %s; the box %s", measure.FormatRange(p.Hold.Short, p.Hold.Long), p.Hold.Lasts)
}

// weights formats pieces as "2 × 4.8 kg", or their weights if they differ.
func weights(all []journal.Piece, sys measure.System) string {
	for _, piece := range all {
		if piece.Raw.Base != all[0].Raw.Base {
			return frame.Weights(&journal.Cook{Pieces: all}, sys)
		}
	}
	return fmt.Sprintf("%d × %s", len(all), all[0].Raw.In(sys))
}

// piecesOf returns weights, or "one piece" for a single one.
func (p *Sheet) piecesOf(m *quantity.Meat) string {
	if len(m.Pieces) == 1 {
		return "one piece"
	}
	return weights(m.Pieces, p.Settings.Units)
}
