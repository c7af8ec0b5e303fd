package account

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/finish/course"
	"ashbook/report/frame"
	"ashbook/report/numeric/heat"
)

// Differences below these are none (chosen: what hands and probes repeat).
const (
	leastPit, leastCore  = 1.0, 1.0 // K
	leastWeight          = .05      // kg
	leastThick, leastLog = .02, 1e-6
)

// differing lists the causes in which the sides differ; the others are noted as
// alike.
func (g *game) differing(a *Account) []cause {
	x, y := &g.sides[0], &g.sides[1]
	differs := [causes]bool{byNature: true}
	for s := range stretches {
		if _, in := g.pitSays(s); in && !y.pit.setting {
			differs[byPit] = true
		}
	}
	if y.pit.setting {
		differs[byPit] = math.Abs(g.settingBy()) >= leastPit
	}
	differs[byWrap] = len(x.wraps) != len(y.wraps)
	for i := range min(len(x.wraps), len(y.wraps)) {
		differs[byWrap] = differs[byWrap] || x.wraps[i] != y.wraps[i]
	}
	differs[byPieces] = len(x.pieces) != len(y.pieces)
	for i := range max(len(x.pieces), len(y.pieces)) {
		p, q := x.pieces[min(i, len(x.pieces)-1)], y.pieces[min(i, len(y.pieces)-1)]
		differs[byPieces] = differs[byPieces] || math.Abs(p.meat.Mass-q.meat.Mass) >= leastWeight || p.lag != q.lag
		differs[byThickness] = differs[byThickness] || math.Abs(p.thick-q.thick) >= leastThick
		differs[byStart] = differs[byStart] || math.Abs(p.meat.Start-q.meat.Start) >= leastCore
		differs[byOff] = differs[byOff] || math.Abs(p.target-q.target) >= leastCore
		differs[byWrap] = differs[byWrap] || len(y.wraps) > 0 && math.Abs(p.wrapAt-q.wrapAt) >= leastCore
	}
	differs[byLids] = !slices.Equal(x.sprays, y.sprays) || !slices.Equal(x.lids, y.lids)
	var active []cause
	for k, d := range differs {
		if d {
			active = append(active, cause(k))
		} else {
			a.Alike = append(a.Alike, causeNames[k])
		}
	}
	return active
}

func (g *game) units() measure.System { return g.world.Settings.Units }

// pitSays tells how a stretch of the pit differed; in is false when it did not,
// or is too short to speak of.
func (g *game) pitSays(s stretch) (says string, in bool) {
	from, to := 0.0, g.stall[0]
	switch s {
	case inStall:
		from, to = g.stall[0], g.stall[1]
	case afterStall:
		from, to = g.stall[1], g.sides[1].pit.hours
	}
	if to-from < gridHours {
		return "", false
	}
	var mean [2]float64
	for k := range g.sides {
		f := &g.sides[k].pit
		n := 0.0
		for h := from; h < to; h += gridHours {
			mean[k] += f.at(h)
			n++
		}
		mean[k] /= n
	}
	by := mean[1] - mean[0]
	if math.Abs(by) < leastPit {
		return "", false
	}
	word := "hotter"
	if by < 0 {
		word = "cooler"
	}
	return fmt.Sprintf("pit %s %s, %s for %s", word, g.names[s], measure.FormatDifference(by, 0, g.units()), frame.FormatHours(to-from)), true
}

// settingBy is by how much the settings differ as the meat feels them, K.
func (g *game) settingBy() float64 {
	var celsius [2]float64
	for k := range g.sides {
		celsius[k] = g.sides[k].pit.steady
		if c := g.sides[k].pit.cook; c != nil {
			celsius[k], _ = felt(c)
		}
	}
	return celsius[1] - celsius[0]
}

// says tells how the sides differ in a cause.
func (g *game) says(k cause) string {
	x, y := &g.sides[0], &g.sides[1]
	p, q := heaviest(x.pieces), heaviest(y.pieces)
	sys := g.units()
	switch k {
	case byPit:
		by := g.settingBy()
		return fmt.Sprintf("pit set %s, by %s as the meat feels it", than(by > 0, "higher", "lower"), strings.TrimPrefix(measure.FormatDifference(math.Abs(by), 0, sys), "+"))
	case byWrap:
		return fmt.Sprintf("%s, against %s", wrapSays(y, sys), wrapSays(x, sys))
	case byPieces:
		if len(x.pieces) != len(y.pieces) {
			return fmt.Sprintf("%s, the heaviest %s, against %d of %s", course.Count(len(y.pieces), "piece", "pieces"), measure.FormatMass(q.meat.Mass, sys), len(x.pieces), measure.FormatMass(p.meat.Mass, sys))
		}
		return fmt.Sprintf("%s, %s against %s", than(q.meat.Mass > p.meat.Mass, "heavier", "lighter"), measure.FormatMass(q.meat.Mass, sys), measure.FormatMass(p.meat.Mass, sys))
	case byThickness:
		return fmt.Sprintf("%s for its weight, by %.0f %%", than(q.thick > p.thick, "thicker", "thinner"), 100*math.Abs(q.thick/p.thick-1))
	case byStart:
		return fmt.Sprintf("meat %s when it went on, %s against %s", than(q.meat.Start > p.meat.Start, "warmer", "colder"), measure.FormatTemperature(q.meat.Start, sys), measure.FormatTemperature(p.meat.Start, sys))
	case byOff:
		to, by := hottest(y.pieces), hottest(y.pieces)-hottest(x.pieces)
		if math.Abs(by) < leastCore {
			return "the pieces off at other cores, the hottest alike at " + measure.FormatTemperature(to, sys)
		}
		return fmt.Sprintf("off at a %s core, %s (%s)", than(by > 0, "hotter", "cooler"), measure.FormatTemperature(to, sys), measure.FormatDifference(by, 1, sys))
	case byLids:
		says := fmt.Sprintf("lid up %s, against %d", course.Count(len(y.lids), "time", "times"), len(x.lids))
		if len(x.sprays)+len(y.sprays) > 0 {
			says += fmt.Sprintf("; spritzed %s, against %d", course.Count(len(y.sprays), "time", "times"), len(x.sprays))
		}
		return says
	}
	return g.natureSays()
}

func than(more bool, a, b string) string {
	if more {
		return a
	}
	return b
}

func heaviest(p []piece) piece {
	return slices.MaxFunc(p, func(a, b piece) int { return cmp.Compare(a.meat.Mass, b.meat.Mass) })
}

// hottest is the highest core at which a piece came off.
func hottest(p []piece) float64 {
	most := math.Inf(-1)
	for i := range p {
		most = math.Max(most, p[i].target)
	}
	return most
}

var coverNames = map[heat.Cover]string{heat.Bare: "bare", heat.Foil: "foil", heat.Paper: "paper", heat.LoosePaper: "loose paper", heat.Boat: "boat", heat.Pan: "pan"}

func wrapSays(s *side, sys measure.System) string {
	if len(s.wraps) == 0 {
		return "bare"
	}
	return fmt.Sprintf("%s at %s", coverNames[s.wraps[0].cover], measure.FormatTemperature(s.pieces[0].wrapAt, sys))
}

// natureSays tells what the readings say beyond the notes. Shape and the air's
// heat of opposite sign cannot be told apart, so they are one line; what the
// physics itself has wrong is in it too.
func (g *game) natureSays() string {
	y := &g.sides[1]
	n := 0
	for _, p := range y.pieces {
		n += len(g.base.Pieces[p.index].Readings)
	}
	if n == 0 {
		return "what is usual of your cooks beyond the physics (no core was read)"
	}
	f := y.engine.Factors(y.fitted.Mean, y.pieces[0].index)
	var all []string
	if d := f.Transfer/(f.Shape*f.Shape) - 1; math.Abs(d) > .05 {
		all = append(all, than(d > 0, "took up heat faster", "took up heat more slowly"))
	}
	if d := f.Supply - 1; math.Abs(d) > .1 {
		all = append(all, than(d > 0, "gave off more water", "gave off less water"))
	}
	if len(all) == 0 {
		return "this piece and its air, as the core tells"
	}
	return "this piece and its air, as the core tells: " + strings.Join(all, ", ")
}

// earlyBy is how far below the usual core a cook came off early, K (chosen).
const earlyBy = 4.0

// alikeHours is what two cooks of the same length may differ by (chosen).
const alikeHours = 1. / 12

// gapFrom is how long without a core reading is told as a gap (chosen).
const gapFrom = 2 * time.Hour

// words adds the sentences of the whole.
func (a *Account) words(g *game, j *course.Job) {
	by := a.Took - a.From
	size := frame.FormatHours(math.Abs(by))
	first := fmt.Sprintf("It took %s, %s %s than %s.", frame.FormatHours(a.Took), size, than(by > 0, "more", "less"), a.Against)
	if math.Abs(by) < alikeHours {
		first = fmt.Sprintf("It took %s, as long as %s.", frame.FormatHours(a.Took), a.Against)
	}
	a.Says = append([]string{first}, a.Says...)
	if len(a.Lines) > 0 && math.Abs(a.Unexplained.Minutes) > math.Max(30, math.Abs(a.Lines[0].Minutes)) {
		a.Says = append(a.Says, "Most of it none of these explains.")
	}
	if g.never {
		a.Says = append(a.Says, fmt.Sprintf("In part of the comparisons the core would not have got there within %.0f h; these count as that long.", course.Longest))
	}
	if to := hottest(g.sides[1].pieces); course.UsualOff(a.Cook.Cut)-to > earlyBy {
		a.Says = append(a.Says, fmt.Sprintf("It came off at %s, before the core such a cut usually has.", measure.FormatTemperature(to, g.units())))
	}
	for _, e := range a.Cook.Entries {
		if it, ok := e.Item(journal.SetPit); ok && e.Time.After(j.On) && it.Temp.Base > g.sides[0].pit.steady+leastPit {
			a.Says = append(a.Says, "The pit was raised on the way: people do that because a cook is late, so it is not why it was late.")
			break
		}
	}
	pits, cores := len(a.Cook.PitReadings()), 0
	var gap time.Duration
	var gapAt time.Time
	for i := range j.Pieces {
		readings := a.Cook.CoreReadings(i)
		cores += len(readings)
		for k := 1; k < len(readings); k++ {
			if d := readings[k].Time.Sub(readings[k-1].Time); d > gap && i == 0 {
				gap, gapAt = d, readings[k-1].Time
			}
		}
	}
	a.RestsOn = fmt.Sprintf("%s, %s", course.Count(pits, "pit reading", "pit readings"), course.Count(cores, "core reading", "core readings"))
	if gap >= gapFrom {
		a.RestsOn += fmt.Sprintf("; no core between %s and %s", gapAt.Format("15:04"), gapAt.Add(gap).Format("15:04"))
	}
	if pits == 0 {
		a.RestsOn += "; the pit by its setting"
	}
}
