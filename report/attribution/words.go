package attribution

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/forecast/model"
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
func (g *coalition) differing(a *Account) []cause {
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

func (g *coalition) units() measure.System { return g.world.Settings.Units }

// pitSays tells how a stretch of the pit differed; in is false when it did not,
// or is too short to speak of.
func (g *coalition) pitSays(s stretch) (says string, in bool) {
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
	return fmt.Sprintf("pit %s %s, %s for %s", word, g.names[s], measure.FormatDifference(by, 0, g.units()), baseline.Range(to-from, to-from)), true
}

// settingBy is by how much the settings differ as the meat feels them, K.
func (g *coalition) settingBy() float64 {
	var celsius [2]float64
	for k := range g.sides {
		celsius[k] = g.sides[k].pit.steady
		if c := g.sides[k].pit.cook; c != nil {
			celsius[k], _ = felt(c)
		}
	}
	return celsius[1] - celsius[0]
}

// says tells how the sides differ in a cause that made so many minutes.
func (g *coalition) says(k cause, minutes float64) string {
	x, y := &g.sides[0], &g.sides[1]
	p, q := heaviest(x.pieces), heaviest(y.pieces)
	sys := g.units()
	switch k {
	case byPit:
		by := g.settingBy()
		return fmt.Sprintf("pit set %s, by %s as the meat feels it", than(by > 0, "higher", "lower"), strings.TrimPrefix(measure.FormatDifference(math.Abs(by), 0, sys), "+"))
	case byWrap:
		this, other := wrapSays(y, sys), wrapSays(x, sys)
		if g.held == toUsual {
			return than(len(y.wraps) > 0, this, "left bare") + ", " + than(len(x.wraps) > 0, "you usually take "+other, "you usually leave it bare")
		}
		return this + ", " + [...]string{toPlan: "the plan was ", toPhysics: "against ", toAnother: "the other was "}[g.held] + other
	case byPieces:
		if len(x.pieces) != len(y.pieces) {
			return many(len(y.pieces), measure.FormatMass(q.meat.Mass, sys)) + ", against " + many(len(x.pieces), measure.FormatMass(p.meat.Mass, sys))
		}
		if math.Abs(q.meat.Mass-p.meat.Mass) < leastWeight {
			return "the lighter pieces, or when they went on"
		}
		return fmt.Sprintf("%s, %s against %s", than(q.meat.Mass > p.meat.Mass, "heavier", "lighter"), measure.FormatMass(q.meat.Mass, sys), measure.FormatMass(p.meat.Mass, sys))
	case byThickness:
		return fmt.Sprintf("%s for its weight, by %.0f %%", than(q.thick > p.thick, "thicker", "thinner"), 100*math.Abs(q.thick/p.thick-1))
	case byStart:
		return fmt.Sprintf("meat %s when it went on, %s against %s", than(q.meat.Start > p.meat.Start, "warmer", "colder"), measure.FormatTemperature(q.meat.Start, sys), measure.FormatTemperature(p.meat.Start, sys))
	case byOff:
		to, by := coolest(y.pieces), coolest(y.pieces)-coolest(x.pieces)
		if math.Abs(by) < leastCore {
			to, by = hottest(y.pieces), hottest(y.pieces)-hottest(x.pieces)
			return fmt.Sprintf("the hottest piece off at %s, against %s", measure.FormatTemperature(to, sys), measure.FormatTemperature(to-by, sys))
		}
		return fmt.Sprintf("off at %s in the middle, against %s", measure.FormatTemperature(to, sys), measure.FormatTemperature(to-by, sys))
	case byLids:
		var says []string
		if len(x.lids)+len(y.lids) > 0 {
			says = append(says, fmt.Sprintf("lid %s, against %d", times("up", len(y.lids)), len(x.lids)))
		}
		if len(x.sprays)+len(y.sprays) > 0 {
			says = append(says, fmt.Sprintf("%s, against %d", times("spritzed", len(y.sprays)), len(x.sprays)))
		}
		return strings.Join(says, "; ")
	}
	return g.natureSays(minutes)
}

func many(n int, heaviest string) string {
	if n == 1 {
		return "1 piece of " + heaviest
	}
	return fmt.Sprintf("%d pieces, the heaviest %s", n, heaviest)
}

func times(what string, n int) string {
	if n == 0 {
		return "never " + what
	}
	return what + " " + model.Count(n, "time", "times")
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

// coolest is the lowest core at which a piece came off.
func coolest(p []piece) float64 {
	least := math.Inf(1)
	for i := range p {
		least = math.Min(least, p[i].target)
	}
	return least
}

var coverNames = map[heat.Cover]string{heat.Bare: "bare", heat.Foil: "foil", heat.Paper: "paper", heat.LoosePaper: "loose paper", heat.Boat: "boat", heat.Pan: "pan"}

func wrapSays(s *scenario, sys measure.System) string {
	if len(s.wraps) == 0 {
		return "bare"
	}
	return fmt.Sprintf("%s at %s", coverNames[s.wraps[0].cover], measure.FormatTemperature(s.pieces[0].wrapAt, sys))
}

// natureSays tells what the readings say beyond the notes, as far as it goes
// with the sign of what they came to. Shape and the air's heat of opposite sign
// cannot be told apart, so they are one line; what the physics itself has wrong
// is in it too.
func (g *coalition) natureSays(minutes float64) string {
	y := &g.sides[1]
	n := 0
	for _, p := range y.pieces {
		n += len(g.base.Pieces[p.index].Readings)
	}
	if n == 0 {
		return "what is usual of your cooks beyond the physics (no core was read)"
	}
	f := y.engine.Factors(y.fitted.Mean, y.pieces[0].index)
	slow := minutes > 0
	var all []string
	if d := f.Transfer/(f.Shape*f.Shape) - 1; math.Abs(d) > .05 && d < 0 == slow {
		all = append(all, than(slow, "slow to take up heat", "quick to take up heat"))
	}
	if d := f.Supply - 1; math.Abs(d) > .1 && d > 0 == slow {
		all = append(all, than(slow, "giving off much water", "giving off little water"))
	}
	return "this piece and the air round it" + strings.Join(append([]string{""}, all...), ", ")
}

// earlyBy is how far below the usual core a cook came off early, K (chosen).
const earlyBy = 4.0

// alikeHours is what two cooks of the same length may differ by (chosen).
const alikeHours = 1. / 12

// gapFrom is how long without a core reading is told as a gap (chosen).
const gapFrom = 2 * time.Hour

// short names a cause in a sentence.
var short = [causes]string{
	byPit: "the pit", byWrap: "the wrap", byPieces: "the weight", byThickness: "the thickness", byStart: "how cold it went on",
	byOff: "the core at which it came off", byLids: "the lid", byNature: "the piece itself and the air round it, which nothing you noted explains",
}

// mostly tells which one cause makes at least half of the difference, if one
// does and it is surer than not.
func (a *Account) mostly() string {
	by := 60 * (a.Took - a.From)
	if math.Abs(by) < 60*alikeHours {
		return ""
	}
	sums, doubts := [causes]float64{}, [causes]float64{}
	for _, l := range a.Lines {
		for k, name := range causeNames {
			if l.Cause == name || cause(k) == byPit && strings.HasPrefix(l.Cause, name+" ") {
				sums[k] += l.Minutes
				doubts[k] = math.Hypot(doubts[k], l.Doubt)
			}
		}
	}
	longer, shorter := 0.0, 0.0
	for _, l := range append(slices.Clone(a.Lines), a.Unexplained) {
		longer, shorter = longer+math.Max(0, l.Minutes), shorter+math.Max(0, -l.Minutes)
	}
	if math.Min(longer, shorter) > math.Abs(by) {
		return "Things pulled both ways, and most of it cancels."
	}
	for k, sum := range sums {
		if sum/by >= .5 && math.Abs(sum) > doubts[k] {
			return fmt.Sprintf("Most of it is %s.", short[k])
		}
	}
	switch {
	case a.Unexplained.Minutes/by >= .5:
		return "Most of it none of these explains."
	case math.Abs(by) < a.doubt():
		return "The lines are in doubt by more than the difference: it may have no reason at all."
	}
	return ""
}

// doubt is that of the whole: what one line has too much another has too
// little, so it is the largest.
func (a *Account) doubt() float64 {
	most := a.Unexplained.Doubt
	for _, l := range a.Lines {
		most = math.Max(most, l.Doubt)
	}
	return most
}

// words adds the sentences of the whole; rough, that some cook in between was
// not waited for.
func (a *Account) words(g *coalition, j *model.State, rough bool) {
	a.Mostly = a.mostly()
	if rough {
		a.Says = append(a.Says, fmt.Sprintf("Some of the cooks in between that these minutes are worked out from would not have got to their core in %.0f h; they count as that long, so take the lines as rough.", g.longest))
	}
	if to := coolest(g.sides[1].pieces); model.UsualOff(a.Cook.Cut)-to > earlyBy {
		a.Says = append(a.Says, fmt.Sprintf("It came off early, at %s: such a cut usually goes on to about %s.", measure.FormatTemperature(to, g.units()), measure.FormatTemperature(model.UsualOff(a.Cook.Cut), g.units())))
	}
	for _, e := range a.Cook.Entries {
		if it, ok := e.Item(journal.SetPit); ok && e.Time.After(j.On) && it.Temp.Base > g.sides[0].pit.steady+leastPit {
			a.Says = append(a.Says, "The pit was raised on the way: people do that because a cook is late, so it is not why it was late.")
			break
		}
	}
	a.RestsOn = restsOn(a.Cook, len(j.Pieces))
}

// restsOn tells which readings there are, and the longest gap in those of the
// core.
func restsOn(c *journal.Cook, pieces int) string {
	pits, cores := len(c.PitReadings()), 0
	var gap time.Duration
	var gapAt time.Time
	for i := range pieces {
		readings := c.CoreReadings(i)
		cores += len(readings)
		for k := 1; k < len(readings); k++ {
			if d := readings[k].Time.Sub(readings[k-1].Time); d > gap && i == 0 {
				gap, gapAt = d, readings[k-1].Time
			}
		}
	}
	pit := model.Count(pits, "pit reading", "pit readings")
	if pits == 0 {
		pit = "the pit by its setting alone"
	}
	core := model.Count(cores, "core reading", "core readings")
	if cores == 0 {
		core = "no core reading"
	}
	if gap >= gapFrom {
		core += fmt.Sprintf(", none between %s and %s", gapAt.Format("15:04"), gapAt.Add(gap).Format("15:04"))
	}
	return pit + "; " + core
}
