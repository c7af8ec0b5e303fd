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

// day formats t with its weekday, and with its date where it is more than six days off.
func (p *Sheet) day(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if d := t.Sub(p.Moment); d > 6*24*time.Hour {
		return measure.FormatTime(t, measure.DayDateClock, p.Settings.Units)
	}
	return measure.FormatTime(t, measure.DayClock, p.Settings.Units)
}

// said is "20:10 Friday", with the date where day has it.
func (p *Sheet) said(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if t.Sub(p.Moment) > 6*24*time.Hour {
		return measure.FormatTime(t, measure.ClockDay+" 2 January", p.Settings.Units)
	}
	return measure.FormatTime(t, measure.ClockDay, p.Settings.Units)
}

// clock is a bare clock time on the day of the meal, else at.
func (p *Sheet) clock(t time.Time) string {
	t = t.In(p.Request.Serve.Location())
	if t.YearDay() == p.Request.Serve.YearDay() {
		return measure.FormatTime(t, measure.Clock, p.Settings.Units)
	}
	return p.At(t)
}

// tenths is a temperature to a tenth.
func (p *Sheet) tenths(c float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.1f °F", c*1.8+32)
	}
	return fmt.Sprintf("%.1f °C", c)
}

// pitTemp is the pit wanted for a load: a starting value as a thermometer is read, to
// five degrees Fahrenheit.
func (p *Sheet) pitTemp(l *provision.Load) string {
	if p.Settings.Units == measure.US && !l.Cook.Aim.Pit.Known {
		return fmt.Sprintf("%.0f °F", 5*math.Round((l.Forecast.Pit*1.8+32)/5))
	}
	return p.Temp(l.Forecast.Pit)
}

// wraps is ", in foil from 72 °C on", or nothing.
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

// salted is how much salt a load gets: a kilogram of it, and all; a small amount in
// spoons too, where that is how it is measured.
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

// rate is a rate in the reader's unit.
func (p *Sheet) rate(perKg float64) string {
	if p.Settings.Units == measure.US {
		return fmt.Sprintf("%.2f oz/lb", perKg*.016)
	}
	return fmt.Sprintf("%.0f g/kg", perKg)
}

// batch names the fire of a load where there are several fires.
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

// holds is the hold in a few words.
func (p *Sheet) holds() string {
	return fmt.Sprintf("held %s; it %s", measure.FormatRange(p.Hold.Short, p.Hold.Long), p.Hold.Lasts)
}

// weights is "2 × 4.8 kg", or the weights where they differ.
func weights(all []journal.Piece, sys measure.System) string {
	for _, piece := range all {
		if piece.Raw.Base != all[0].Raw.Base {
			return frame.Weights(&journal.Cook{Pieces: all}, sys)
		}
	}
	return fmt.Sprintf("%d × %s", len(all), all[0].Raw.In(sys))
}

// piecesOf is weights, where there is more than one.
func (p *Sheet) piecesOf(m *quantity.Meat) string {
	if len(m.Pieces) == 1 {
		return "one piece"
	}
	return weights(m.Pieces, p.Settings.Units)
}
