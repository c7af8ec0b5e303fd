package hindsight

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/floats"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/numeric/bayes"
	"ashbook/report/numeric/score"
)

// moment is a finished cook as it was at now.
type moment struct {
	known
	now     time.Time
	elapsed float64 // h
}

// rule predicts the time to go from other finished cooks, h.
type rule struct {
	method Method
	left   func(m moment, past []known) (hours float64, ok bool)
}

// known holds the numbers of a finished cook that the rules use.
type known struct {
	cook *journal.Cook
	took float64 // h
	cut  string
	kg   float64 // weight of the heaviest piece; 0: not noted
	raw  float64 // raw weight of all pieces, kg; 0: not noted for all

	marks forecast.Marks
}

func figures(c *journal.Cook) known {
	took, _ := c.Took()
	k := known{cook: c, took: took.Hours(), cut: strings.ToLower(strings.TrimSpace(c.Cut)), marks: forecast.MarksOf(c)}
	for _, p := range c.Pieces {
		if w := p.Weight(); w.Known {
			k.kg = math.Max(k.kg, w.Base)
		}
	}
	for _, p := range c.Pieces {
		if !p.Raw.Known {
			k.raw = 0
			break
		}
		k.raw += p.Raw.Base
	}
	return k
}

var rules = []rule{
	{CutAverage, cutAverage},
	{CoreFraction, coreFraction},
	{HoursPerKg, hoursPer(func(k known) float64 { return k.kg })},
	{HoursPerRaw, hoursPer(func(k known) float64 { return k.raw })},
	{StraightLine, straightLine},
	{Regression, regression},
}

// least is the smallest prediction, for cooks on for longer than predicted, h.
const least = .2

// average returns the mean length of cooks of the cut, or of all cooks if there is none.
func average(cut string, past []known) (hours float64, ok bool) {
	sum, n := 0.0, 0.0
	for _, same := range []bool{true, false} {
		for _, k := range past {
			if !same || k.cut == cut {
				sum, n = sum+k.took, n+1
			}
		}
		if n > 0 {
			return sum / n, true
		}
	}
	return 0, false
}

func cutAverage(m moment, past []known) (float64, bool) {
	mean, ok := average(m.cut, past)
	return math.Max(least, mean-m.elapsed), ok
}

// coldest returns the last reading of the piece that has most to go, and its aim, °C.
func coldest(m moment) (core journal.Reading, aim float64, ok bool) {
	for i := range max(1, len(m.cook.Pieces)) {
		last, seen := journal.Last(m.cook.CoreReadings(i), m.now)
		off, done := m.cook.OffAt(i)
		if !seen || done && !off.After(m.now) {
			continue
		}
		if !ok || last.C < core.C {
			core, ok = last, true
		}
	}
	aim, aimed := m.cook.AimCore(m.now)
	if !aimed {
		aim = usualAim
	}
	aim = math.Min(aim, journal.HottestCore(m.cook.Altitude))
	return core, aim, ok
}

// Values for cooks without an aim or a first core, °C (common practice).
const (
	usualAim = 94.0
	fridge   = 5.0
)

func coreFraction(m moment, past []known) (float64, bool) {
	mean, ok := average(m.cut, past)
	core, aim, seen := coldest(m)
	if !ok || !seen {
		return 0, false
	}
	return math.Max(least, mean*(1-(core.C-fridge)/(aim-fridge))), true
}

// hoursPer returns the rule of mean hours per kg, for one kind of weight.
func hoursPer(weight func(known) float64) func(moment, []known) (float64, bool) {
	return func(m moment, past []known) (float64, bool) {
		mine := weight(m.known)
		sum, n := 0.0, 0.0
		for _, k := range past {
			if kg := weight(k); kg > 0 {
				sum, n = sum+k.took/kg, n+1
			}
		}
		if n == 0 || mine == 0 {
			return 0, false
		}
		return math.Max(least, sum/n*mine-m.elapsed), true
	}
}

// straightLine extends the rise of the last hour, or between the last two notes.
func straightLine(m moment, _ []known) (float64, bool) {
	worst, ok := 0.0, false
	_, aim, _ := coldest(m)
	for i := range max(1, len(m.cook.Pieces)) {
		if off, done := m.cook.OffAt(i); done && !off.After(m.now) {
			continue
		}
		var r []journal.Reading
		for _, x := range m.cook.CoreReadings(i) {
			if !x.Time.After(m.now) {
				r = append(r, x)
			}
		}
		n := len(r)
		if n < 2 {
			continue
		}
		last, before := r[n-1], r[n-2]
		for k := n - 2; k >= 0 && last.Time.Sub(r[k].Time) <= time.Hour; k-- {
			before = r[k]
		}
		dt := last.Time.Sub(before.Time).Hours()
		if dt <= 0 {
			continue
		}
		rate := math.Max(.3, (last.C-before.C)/dt) // assume a small rise if the core does not rise
		worst = math.Max(worst, (aim-last.C)/rate-m.now.Sub(last.Time).Hours())
		ok = true
	}
	return math.Max(least, worst), ok
}

// regression predicts ln(hours) from ln(kg) and the cut by least squares. A weak prior
// on everything but the constant makes few cooks enough.
func regression(m moment, past []known) (float64, bool) {
	mine := m.known
	if mine.kg == 0 {
		return 0, false
	}
	var rows []known
	cuts := map[string]int{}
	for _, k := range past {
		if k.kg > 0 {
			rows = append(rows, k)
			if _, seen := cuts[k.cut]; !seen {
				cuts[k.cut] = 2 + len(cuts)
			}
		}
	}
	if len(rows) < 3 {
		return 0, false
	}
	d := 2 + len(cuts)
	design := func(k known) []float64 {
		v := make([]float64, d)
		v[0], v[1] = 1, math.Log(k.kg/4)
		if c, seen := cuts[k.cut]; seen {
			v[c] = 1
		}
		return v
	}
	// Prior standard deviations: √10 has the weight of a tenth of a cook with a scatter
	// of 1; the constant is practically free.
	priors := slices.Repeat([]bayes.Prior{{SD: math.Sqrt(10)}}, d)
	priors[0].SD = 1000
	var x [][]float64
	var y []float64
	for _, k := range rows {
		x, y = append(x, design(k)), append(y, math.Log(k.took))
	}
	found, _, ok := bayes.Update(priors, x, y, 1)
	if !ok {
		return 0, false
	}
	return math.Max(least, math.Exp(floats.Dot(design(mine), found))-m.elapsed), true
}

// alikeAnswer returns the prediction from a similar core, with range and sample from a
// lognormal distribution of the spread between the cooks.
func alikeAnswer(m moment, past []known) (Answer, bool) {
	marks := make([]forecast.Marks, len(past))
	for i := range past {
		marks[i] = past[i].marks
	}
	a, ok := forecast.LookAlikes(m.cook, m.now, marks)
	if !ok || math.IsNaN(a.Hours) {
		return Answer{}, false
	}
	out := Answer{Method: LookAlikes, Hours: a.Hours}
	const points = 50
	for i := range points {
		q := (float64(i) + .5) / points
		out.Sample = append(out.Sample, a.Hours*math.Exp(a.Spread*math.Sqrt2*math.Erfinv(2*q-1)))
	}
	out.Lo, out.Hi = score.SortedQuantile(out.Sample, .1), score.SortedQuantile(out.Sample, .9)
	return out, true
}

// How long people took from a core: ln of the hours to go is lineLevel +
// lineSlope·ln(K to go + 4), with a standard deviation of lineSpread. Fitted on 57 moments
// of about 30 cooks of as many people (public notes).
const lineLevel, lineSlope, lineSpread = -.5, .66, .45

// fromCore returns the prediction of that line from the last reading, given that the
// meat is still on.
func fromCore(m moment) (Answer, bool) {
	core, aim, ok := coldest(m)
	if !ok {
		return Answer{}, false
	}
	since := m.now.Sub(core.Time).Hours()
	centre := lineLevel + lineSlope*math.Log(math.Max(0, aim-core.C)+4)
	gone := 0.0
	if since > 0 {
		gone = .5 * math.Erfc(-(math.Log(since)-centre)/lineSpread/math.Sqrt2)
	}
	gone = math.Min(gone, .995)
	out := Answer{Method: FromCore}
	const points = 50
	for i := range points {
		q := gone + (1-gone)*(float64(i)+.5)/points
		out.Sample = append(out.Sample, math.Max(least, math.Exp(centre+lineSpread*math.Sqrt2*math.Erfinv(2*q-1))-since))
	}
	out.Lo, out.Hours, out.Hi = score.SortedQuantile(out.Sample, .1), score.SortedQuantile(out.Sample, .5), score.SortedQuantile(out.Sample, .9)
	return out, true
}

// why returns what may explain a wrong forecast: what was known at the moment, what was
// done later, and what the forecast noted as missing, doubted or ignored.
func (m moment) why(units measure.System, notes []string) string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	temp := func(celsius float64) string { return measure.FormatTemperature(celsius, units) }
	core, aim, ok := coldest(m)
	if !ok {
		say("no core read")
	} else {
		say("core %s of %s, read %s before", measure.FormatTemperatureNumber(core.C, units), temp(aim), measure.FormatDuration(m.now.Sub(core.Time)))
		if core.C >= 60 && core.C <= 78 {
			say("in the stall")
		}
	}
	end, _ := m.cook.Finish()
	last := moment{m.known, end.Add(-time.Minute), 0}
	if off, aim, ok := coldest(last); ok && end.Sub(off.Time) < time.Hour {
		if short := aim - off.C; math.Abs(short) > 4 {
			say("came off %s from its aim", measure.FormatDifference(-short, 0, units))
		}
	}
	if pit, ok := m.cook.AimPit(m.now); ok {
		if later, _ := m.cook.AimPit(end); math.Abs(later-pit) > 5 {
			say("pit set from %s to %s later", measure.FormatTemperatureNumber(pit, units), temp(later))
		}
	}
	for _, w := range m.cook.Wrappings() {
		if w.From.After(m.now) {
			say("wrapped later")
			break
		}
	}
	return strings.Join(append(all, notes...), "; ")
}
