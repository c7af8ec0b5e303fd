// Package attribution says why a cook was early or late, in minutes that add up:
// from the person's usual cook, the plan or another cook to this one, a share
// for every cause, and what no cause explains as a line of its own.
//
// The shares are exact Shapley values of simulated times: what each cause adds,
// averaged over all orders of bringing in the causes, so that none is favoured
// by being named first.
package attribution

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"ashbook/journal"
	"ashbook/report/forecast/model"
)

// Options of an account.
type Options struct {
	Against *journal.Cook // a cook to hold this one against; nil: the usual one
	Plan    bool          // hold it against its plan rather than the usual cook
	Draws   int           // for the doubts; 0 = 10
}

// Line is one cause.
type Line struct {
	Cause   string  // a name that stays: "pit before the stall", "wrap" …
	Says    string  // what was different
	Minutes float64 // later; negative: earlier
	Doubt   float64 // 8 in 10 within ± this, minutes
}

// Account is why a cook took as long as it did.
type Account struct {
	Cook    *journal.Cook
	Known   bool    // the rest can be told; otherwise Says tells why not
	Against string  // "your usual pork shoulder, 9 cooks"
	Usual   bool    // and that it is
	From    float64 // h that took, or would have
	Took    float64 // h this one took
	Lines   []Line  // the largest first; with Unexplained they sum to Took − From
	// Unexplained is what the causes leave.
	Unexplained Line
	Alike       []string // causes that were not different
	Missing     []string // what was not noted, and what stood in for it
	RestsOn     string   // what in the notes it rests on
	Mostly      string   // what most of it is, a sentence; empty where no one thing is
	Says        []string // what else is to be said, whole sentences
}

const usualDraws = 10

var causeNames = [causes]string{
	byPit: "pit", byWrap: "wrap", byPieces: "weight and pieces", byThickness: "thickness", byStart: "core when it went on",
	byOff: "core when it came off", byLids: "spritz and lids", byNature: "this piece and the air in the pit",
}

// Explain accounts for a finished cook. All are the person's cooks; the cook
// itself among them is left out.
func Explain(c *journal.Cook, all []journal.Cook, w model.Context, opt Options) Account {
	a := Account{Cook: c}
	took, ok := c.Took()
	a.Took = took.Hours()
	switch {
	case !ok:
		a.Says = append(a.Says, "Not off yet, or the times it went on and came off were not noted: there is nothing to account for.")
		return a
	case a.Took < .5 || a.Took > model.Longest:
		a.Says = append(a.Says, fmt.Sprintf("It took %.1f h by the notes, which no cook does: one of the times is wrong.", a.Took))
		return a
	}
	g := &coalition{world: w, cut: c.Cut, fires: map[fireKey]model.Pit{}, curves: map[curveKey][]float64{}}
	this, job, missing := sideOf(c, &w)
	g.sides[1], g.base, a.Missing = this, *job, missing
	o := g.other(c, all, opt, &a)
	if o.engine == nil {
		// When a usual hand would have lifted the lid is not known: only how often.
		if len(o.lids) == len(this.lids) {
			o.lids = this.lids
		}
		if len(o.sprays) == len(this.sprays) {
			o.sprays = this.sprays
		}
	}
	g.sides[0] = o
	g.stall, g.names = stallOf(c, a.Took, job)
	a.Known, a.Usual = true, g.held == toUsual
	active := g.differing(&a)
	g.patience(a.Took, active)
	g.settle(active)
	g.share(&a, active, opt.Against)
	rough := g.never
	g.doubts(&a, active, cmp.Or(opt.Draws, usualDraws))
	a.gather()
	a.words(g, job, rough)
	return a
}

// settled is how near the middle of the person's cooks the usual one is the
// middle itself, h: told in minutes, half of one must not turn on rounding.
const settled = 1e-9

// share fills the lines.
func (g *coalition) share(a *Account, active []cause, against *journal.Cook) {
	values := make([]float64, 1<<len(active))
	for set := range values {
		values[set] = g.value(expand(active, set), nil)
	}
	if math.Abs(values[0]-g.middle) < settled {
		values[0] = g.middle
	}
	shares := Shares(values)
	none, whole := values[0], values[len(values)-1]
	a.From = none
	a.Unexplained = Line{Cause: "not explained", Says: "not explained", Minutes: 60 * (a.Took - whole)}
	if g.sides[0].engine != nil {
		// What the other cook left unexplained counts too.
		theirs, _ := against.Took()
		a.From = theirs.Hours()
		a.Unexplained.Minutes = 60 * ((a.Took - whole) - (theirs.Hours() - none))
	}
	for i, k := range active {
		if k != byPit || g.sides[1].pit.setting {
			a.Lines = append(a.Lines, Line{Cause: causeNames[k], Says: g.says(k, shares[i]), Minutes: 60 * shares[i]})
			continue
		}
		for s, part := range g.split(active, shares[i]) {
			if part.in {
				a.Lines = append(a.Lines, Line{Cause: "pit " + g.names[s], Says: part.says, Minutes: 60 * part.hours})
			}
		}
	}
}

// expand turns a set of active causes into a choice; causes that do not differ
// are this cook's.
func expand(active []cause, set int) choice {
	of := choice(1<<causes - 1)
	for i, k := range active {
		if set>>i&1 == 0 {
			of &^= 1 << k
		}
	}
	return of
}

type part struct {
	in    bool
	hours float64
	says  string
}

// split shares the pit's part out among its stretches: Shapley values among
// these, half with all other causes the other's, half with all this cook's;
// what that leaves of the whole goes evenly to all.
func (g *coalition) split(active []cause, whole float64) [stretches]part {
	var parts [stretches]part
	rest := whole
	for _, context := range []choice{expand(active, 0), expand(active, 1<<len(active)-1)} {
		values := make([]float64, 1<<stretches)
		for set := range values {
			values[set] = g.hours(context|1<<byPit, uint8(set), nil)
		}
		for s, v := range Shares(values) {
			parts[s].hours += v / 2
			rest -= v / 2
		}
	}
	n := 0.0
	for s := range parts {
		parts[s].says, parts[s].in = g.pitSays(stretch(s))
		if parts[s].in {
			n++
		} else {
			rest += parts[s].hours
			parts[s].hours = 0
		}
	}
	if n == 0 { // no stretch is long enough to tell apart
		parts[inStall] = part{true, whole, "pit, the whole course"}
		return parts
	}
	for s := range parts {
		if parts[s].in {
			parts[s].hours += rest / n
		}
	}
	return parts
}

// Standard deviations of what was written down, beyond what both sides have in
// common since the same probe and the same scale read them (chosen).
const (
	sdPit, sdPitSetting = 1.0, 1.5 // K
	sdStart, sdTarget   = 1.0, .6  // K
	sdThick, sdWeight   = .04, .02 // ln
)

// modelShare is how far the physics itself may be off in what a cause does: one
// standard deviation, as a share of it (chosen: from what it says of invented
// cooks that follow another physics, the table in DEVELOPERS.md). How far a lid
// lets a pit fall is known least.
var modelShare = [causes]float64{byPit: .3, byWrap: .4, byPieces: .35, byThickness: .3, byStart: .5, byOff: .25, byLids: .7}

// What the physics leaves out, in standard deviations of ln time (chosen): how
// one wrap really differs from another, and what another piece in the pit does.
const (
	modelWrap   = .05
	modelPieces = .06 // per ln of their number
)

// modelTime is how far the physics misses a whole time whose inputs are all
// known, in standard deviations of its ln: a finite-element model of roasting
// beef in measured shapes missed by 3.9 % on the mean (Goñi & Salvadori 2010,
// Journal of Food Engineering 100:1, abstract). It is a mean size, so the
// standard deviation is a quarter more.
const modelTime = .0391 * 1.2533

// model is the standard deviation of what the physics has wrong in a line,
// minutes.
func (g *coalition) model(k cause, l Line, took float64) float64 {
	x, y := &g.sides[0], &g.sides[1]
	unseen := 0.0
	switch {
	case k == byWrap && (len(x.wraps) != len(y.wraps) || len(x.wraps) > 0 && x.wraps[0].cover != y.wraps[0].cover):
		unseen = modelWrap
	case k == byPieces:
		unseen = modelPieces * math.Abs(math.Log(float64(len(y.pieces))/float64(len(x.pieces))))
	}
	return math.Hypot(modelShare[k]*l.Minutes, unseen*60*took)
}

// doubts redraws what was inferred and what was written down; a cause's doubt
// is the spread of what it adds, midway between first and last to join, and
// what the physics may have wrong in it. What that is, is laid to the piece and
// its air instead, so it is in the doubt of that line, too, and so is what the
// physics has wrong in the whole.
func (g *coalition) doubts(a *Account, active []cause, draws int) {
	source := rand.New(rand.NewPCG(4, 8)) // fixed: the same cook gives the same answer
	all := 1<<len(active) - 1
	var of []cause // of the lines
	for _, k := range active {
		of = append(of, k)
		if k == byPit && !g.sides[1].pit.setting {
			of = of[:len(of)-1]
			for s := range stretches {
				if g.told(a, s) {
					of = append(of, byPit)
				}
			}
		}
	}
	lines := make([][]float64, len(of))
	var left []float64
	for range draws {
		n := g.nudge(source)
		none, whole := g.value(expand(active, 0), n), g.value(expand(active, all), n)
		var d []float64
		for i, k := range active {
			first := g.value(expand(active, 1<<i), n) - none
			last := whole - g.value(expand(active, all&^(1<<i)), n)
			if k != byPit || g.sides[1].pit.setting {
				d = append(d, 30*(first+last))
				continue
			}
			for s := range stretches {
				if g.told(a, s) {
					d = append(d, 60*(whole-g.hours(expand(active, all), wholePit&^(1<<s), n)))
				}
			}
		}
		for i := range d {
			lines[i] = append(lines[i], d[i])
		}
		left = append(left, 60*whole)
	}
	wrong := modelTime * 60 * a.Took
	byCause := [causes]Line{}
	for i, k := range of {
		byCause[k].Minutes += a.Lines[i].Minutes
	}
	for _, k := range active {
		if k != byNature {
			wrong = math.Hypot(wrong, g.model(k, byCause[k], a.Took))
		}
	}
	for i, k := range of {
		more := wrong
		if k != byNature {
			more = g.model(k, a.Lines[i], a.Took)
		}
		a.Lines[i].Doubt = inEight * math.Hypot(spread(lines[i]), more)
	}
	a.Unexplained.Doubt = inEight * spread(left)
}

// inEight is half of the range that holds 8 in 10 of a normal, in standard
// deviations.
const inEight = 1.2816

// spread is the standard deviation.
func spread(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	mean, sum := 0.0, 0.0
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sum += (v - mean) * (v - mean)
	}
	return math.Sqrt(sum / float64(len(x)-1))
}

// told reports whether a stretch of the pit has a line.
func (g *coalition) told(a *Account, s stretch) bool {
	return slices.ContainsFunc(a.Lines, func(l Line) bool { return l.Cause == "pit "+g.names[s] })
}

func (g *coalition) nudge(source *rand.Rand) *nudge {
	n := &nudge{fires: map[fireKey]model.Pit{}, curves: map[curveKey][]float64{}}
	for k := range g.sides {
		s := &g.sides[k]
		sd := sdPit
		if s.pit.setting {
			sd = sdPitSetting
		}
		n.pit[k] = sd * source.NormFloat64()
		n.start[k] = sdStart * source.NormFloat64()
		n.target[k] = sdTarget * source.NormFloat64()
		n.thick[k] = sdThick * source.NormFloat64()
		n.weight[k] = sdWeight * source.NormFloat64()
		n.pace[k] = s.paceSD * source.NormFloat64()
		if s.engine != nil {
			normals := make([]float64, len(s.fitted.Mean))
			for i := range normals {
				normals[i] = source.NormFloat64()
			}
			n.nature[k] = make([]float64, len(normals))
			s.fitted.Draw(normals, n.nature[k])
		}
	}
	return n
}

// smallest is the part of a line that is told on its own, minutes (chosen: no
// one plans by less).
const smallest = 3.0

// gather puts the lines in order and the small ones into one, so that the sum
// stays whole.
func (a *Account) gather() {
	var kept []Line
	small := Line{Cause: "smaller things", Says: "smaller things together"}
	n := 0
	for _, l := range a.Lines {
		if math.Abs(l.Minutes) >= smallest {
			kept = append(kept, l)
			continue
		}
		n++
		small.Minutes += l.Minutes
		small.Doubt = math.Hypot(small.Doubt, l.Doubt)
	}
	slices.SortStableFunc(kept, func(x, y Line) int { return cmp.Compare(math.Abs(y.Minutes), math.Abs(x.Minutes)) })
	if n > 0 {
		kept = append(kept, small)
	}
	a.Lines = kept
}
