package safety

import (
	"slices"
	"time"

	"ashbook/journal"
)

// Cooling is a published rule for cooling cooked meat.
type Cooling struct {
	Name   string
	Cured  bool // the rule is for cured meat; notes never show that, so it is never used as an excuse
	Source string
	Steps  []Step
}

// Step is one step of cooling with its time limit.
type Step struct {
	From, To float64 // °C
	Within   float64 // h
}

const sourceStabilise = "USDA-FSIS Appendix B (64 FR 732, 1999)"

// FoodCode is the rule of the FDA Food Code for kitchens. Both its steps start at 57
// °C: six hours in all.
var FoodCode = Cooling{"Food Code", false, sourceCool, []Step{{journal.SafeHold, CoolHalf, FirstCooling}, {journal.SafeHold, ColdHold, WholeCooling}}}

// Stabilising lists the rules for plants that cook meat.
var Stabilising = []Cooling{
	{"Appendix B, option 1", false, sourceStabilise, []Step{{fahrenheit(130), fahrenheit(80), 1.5}, {fahrenheit(80), fahrenheit(40), 5}}},
	{"Appendix B, option 2", false, sourceStabilise, []Step{{fahrenheit(120), fahrenheit(80), 1}, {fahrenheit(120), fahrenheit(55), 6}}},
	{"Appendix B, option 3", true, sourceStabilise, []Step{{fahrenheit(130), fahrenheit(80), 5}, {fahrenheit(80), fahrenheit(45), 10}}},
}

// Overrun is a cooling step that took, or may have taken, too long.
type Overrun struct {
	Step  Step
	Took  Range // h; for an unfinished step, the time so far
	Ended bool  // a reading shows that the lower temperature was reached
}

// InTime reports whether the step may have been in time.
func (o Overrun) InTime() bool { return o.Took.Low <= o.Step.Within }

// Overran returns the steps that took, or may have taken, longer than their limit. If a
// temperature was passed between two readings, the longest possible time runs from the
// last reading above it to the first below.
func (k Cooling) Overran(readings []journal.Reading) []Overrun {
	v := toCurve(slices.Clone(readings))
	var out []Overrun
	for _, s := range k.Steps {
		first, begun := v.falls(s.From)
		if !begun {
			continue
		}
		end, ended := v.falls(s.To)
		if !ended {
			last := v[len(v)-1].at
			end = fall{last, last, last}
		}
		o := Overrun{Step: s, Ended: ended, Took: Range{max(0, end.line.Sub(first.line).Hours()), end.after.Sub(first.before).Hours()}}
		if o.Took.High > s.Within+1e-9 {
			out = append(out, o)
		}
	}
	return out
}

// fall is when a curve passed a temperature on its way down: last reading at or above
// it, crossing on the straight line, first reading at or below it.
type fall struct{ before, line, after time.Time }

// falls returns where the curve first falls to a temperature. A curve that begins below
// it fell at its first reading or before.
func (v curve) falls(celsius float64) (fall, bool) {
	for i, p := range v {
		if p.c > celsius {
			continue
		}
		if i == 0 {
			return fall{p.at, p.at, p.at}, true
		}
		a := v[i-1]
		share := (a.c - celsius) / (a.c - p.c)
		line := a.at.Add(time.Duration(share * float64(p.at.Sub(a.at))))
		return fall{a.at, line, p.at}, true
	}
	return fall{}, false
}
