package course

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/chart"
)

// beforeLit is how much of the chart is before the lighting of the fire.
const beforeLit = 10 * time.Minute

// Said is one past forecast of when the last piece comes off.
type Said struct {
	At                  time.Time // when it was made
	Early, Likely, Late time.Time // 10th, 50th and 90th percentile
}

// Page returns the chart of a cook for its page: pit, settings and cores from shortly
// before the fire was lit to the meal, the longest stall, and the range expected when it
// went on; below, a lane for each kind of act and one for each forecast. It is empty for a
// cook not yet on, and ends at now for a running one.
func Page(c *journal.Cook, units measure.System, now time.Time, expected []Expected, said []Said) chart.Chart {
	on, ok := c.OnAt()
	if !ok {
		return chart.Chart{}
	}
	zone := on.Location()
	last, _ := c.LastEntry()
	if now.After(last) && c.Running(now) {
		last = now.In(zone)
	}
	v := Course{Cook: c, Units: units, Zone: zone, Now: last, Pit: c.PitReadings(), Band: expected}
	v.Cores = coresOf(c)
	ch := v.Chart()
	ch.Marks, ch.Rules, ch.YTitle = nil, nil, measure.Degrees(0, units).Unit.Symbol
	from, end := on, last
	if lit, ok := c.First(journal.Lit); ok && lit.Before(on) && on.Sub(lit) < 12*time.Hour {
		from = lit
	}
	if c.Serve.After(end) && c.Serve.Sub(end) < 24*time.Hour {
		end = c.Serve
	}
	ch.From, ch.To = ch.X.At(from.Add(-beforeLit)), ch.X.At(end.Add(beforeLit))
	rule := func(word string, t time.Time) {
		ch.Rules = append(ch.Rules, chart.Rule{X: ch.X.At(t), Word: word + " " + measure.FormatTime(t.In(zone), measure.Clock, units)})
	}
	rule("on", on)
	if off, ok := c.Finish(); ok {
		rule("off", off)
		if s, ok := c.LongestStall(off); ok {
			low := math.Inf(1)
			for _, r := range c.CoreReadings(s.Piece) {
				if !r.Time.Before(s.From) && !r.Time.After(s.To) {
					low = math.Min(low, v.show(r.C))
				}
			}
			if !math.IsInf(low, 1) {
				ch.Spans = append(ch.Spans, chart.Span{From: ch.X.At(s.From), To: ch.X.At(s.To), Y: low - 8, Word: "stall " + s.Words(units)})
			}
		}
	}
	if !c.Serve.IsZero() {
		rule("meal", c.Serve)
	}
	ch.BandWord = "expected"
	ch.Band = slices.DeleteFunc(ch.Band, func(i chart.Interval) bool { return i.X > ch.To })
	ch.Lanes = append(lanes(c, ch), forecasts(ch, said)...)
	return ch
}

// coresOf returns the readings of each piece. The piece that came off last, or has not, is
// chart.Main.
func coresOf(c *journal.Cook) []Core {
	slowest := 0
	for i := range max(1, len(c.Pieces)) {
		a, aok := c.OffAt(i)
		b, bok := c.OffAt(slowest)
		if !aok && bok || aok && bok && a.After(b) {
			slowest = i
		}
	}
	var out []Core
	for i := range max(1, len(c.Pieces)) {
		core := Core{Name: "core", Kind: chart.Other, Readings: c.CoreReadings(i)}
		if i < len(c.Pieces) && c.Pieces[i].Name != "" {
			core.Name = c.Pieces[i].Name
		}
		if i == slowest {
			core.Kind = chart.Main
		}
		out = append(out, core)
	}
	return out
}

// forecasts returns a lane for each forecast.
func forecasts(ch chart.Chart, said []Said) []chart.Lane {
	var out []chart.Lane
	for i, s := range said {
		lane := chart.Lane{Name: "at " + ch.X.Time(ch.X.At(s.At)).Round(time.Minute).Format("15"), Bars: []chart.Bar{{From: ch.X.At(s.Early), To: ch.X.At(s.Late), At: ch.X.At(s.Likely), Thin: true}}}
		if i == 0 {
			lane.Title, lane.Name = "Forecasts of when it comes off", "on"
		}
		out = append(out, lane)
	}
	return out
}

// laneActs are the acts that get a lane on a page, in this order.
var laneActs = []journal.Act{journal.AddFuel, journal.AddWood, journal.Vent, journal.OpenLid, journal.Spritz, journal.Turn, journal.Bark, journal.PutWrap}

// lanes returns a lane for each kind of act that occurs.
func lanes(c *journal.Cook, ch chart.Chart) []chart.Lane {
	var out []chart.Lane
	for _, act := range laneActs {
		lane := chart.Lane{Name: act.Word()}
		for _, e := range c.Entries {
			x := ch.X.At(e.Time)
			for _, it := range e.Items {
				switch {
				case it.Act == journal.Unwrap && act == journal.PutWrap && len(lane.Bars) > 0:
					lane.Bars[len(lane.Bars)-1].To = x
				case it.Act != act:
				case act == journal.PutWrap:
					end := ch.To
					if off, ok := c.Finish(); ok {
						end = ch.X.At(off)
					}
					lane.Bars = append(lane.Bars, chart.Bar{From: x, To: math.Max(x, end), At: math.NaN(), Word: strings.TrimSpace(strings.TrimPrefix(it.String(), act.Word()))})
				case act == journal.Bark:
					lane.Marks = append(lane.Marks, chart.Mark{X: x, Word: fmt.Sprint(it.Grade)})
				default:
					lane.Marks = append(lane.Marks, chart.Mark{X: x})
				}
			}
		}
		if len(lane.Marks)+len(lane.Bars) > 0 {
			out = append(out, lane)
		}
	}
	return out
}
