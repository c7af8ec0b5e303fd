package attribution

import (
	"math"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

// cause is one thing that can be of one side or the other.
type cause uint8

const (
	byPit cause = iota
	byWrap
	byPieces
	byThickness
	byStart
	byOff
	byLids
	byNature
	causes
)

// stretch is a part of the course for which the pit is told on its own.
type stretch uint8

const (
	beforeStall stretch = iota
	inStall
	afterStall
	stretches
)

// choice says which side every cause is of: bit set, this cook's.
type choice uint16

func (c choice) has(k cause) bool { return c>>k&1 == 1 }

// Times of the simulations and of the pit laid out for them.
const (
	stepHours = 1. / 20 // of the engine
	gridHours = 1. / 4
)

// An opened lid (chosen): a pit falls by 30 K and is back within a quarter of
// an hour, as those with a probe in them show; each costs five to ten degree
// hours.
const (
	lidDip     = 30.0 // K
	lidRecover = .2   // h
)

// held is what a cook is held against.
type held uint8

const (
	toUsual held = iota
	toPlan
	toPhysics
	toAnother
)

// coalition answers how long a cook takes that is in part this one and in part the
// other.
type coalition struct {
	sides  [2]scenario // the other, this
	held   held        // what the other is
	middle float64     // h that the person's cooks took in the middle; 0: not held against them
	world  model.Context
	base   model.State // what no cause touches
	cut    string
	stall  [2]float64 // h after on of this cook; where its stretches part
	names  [stretches]string
	fires  map[fireKey]model.Pit
	curves map[curveKey][]float64
	// longest is how many hours of the engine a simulation is waited for; never
	// is set once one was not done by then.
	longest float64
	never   bool
}

type fireKey struct {
	pits uint8 // by stretch, bit set: this cook's
	lids bool
}

type curveKey struct {
	of    choice
	pits  uint8
	wrap  int8 // −1 bare, else the side's
	piece int
}

// nudge is how far one draw puts the inputs from what was written down.
type nudge struct {
	pit    [2]float64   // K
	start  [2]float64   // K
	target [2]float64   // K
	thick  [2]float64   // ln
	weight [2]float64   // ln
	pace   [2]float64   // ln
	nature [2][]float64 // parameters of the fit; nil: its mean
	fires  map[fireKey]model.Pit
	curves map[curveKey][]float64
}

// fire lays a pit out: this cook's in the stretches of pits, else the other's.
func (g *coalition) fire(key fireKey, n *nudge) model.Pit {
	laid, shift := g.fires, [2]float64{}
	if n != nil {
		laid, shift = n.fires, n.pit
	}
	if p, ok := laid[key]; ok {
		return p
	}
	const length = model.Longest
	this := &g.sides[1].pit
	on := this.on
	k := journal.Cook{Cut: g.cut, Pieces: []journal.Piece{{}}}
	k.Entries = []journal.Entry{{Time: on, Items: []journal.Item{{Act: journal.On}}}}
	asSetting := this.setting && (g.sides[0].pit.setting || g.sides[0].pit.cook == nil)
	if asSetting {
		k.Pit = g.base.Cook.Pit
	}
	lids := g.sides[0].lids
	if key.lids {
		lids = g.sides[1].lids
	}
	last := math.NaN()
	for h := 0.0; h <= length; h += gridHours {
		which := key.pits >> g.stretch(h) & 1
		celsius := g.sides[which].pit.at(h) + shift[which]
		at := on.Add(time.Duration(h * float64(time.Hour)))
		if asSetting {
			if h == 0 {
				k.Aim.Pit = measure.Temperature{Base: celsius, Known: true}
			} else if celsius != last {
				k.Entries = append(k.Entries, journal.Entry{Time: at, Items: []journal.Item{{Act: journal.SetPit, Temp: measure.Temperature{Base: celsius, Known: true}}}})
			}
			last = celsius
			continue
		}
		for _, lid := range lids {
			if since := h - lid; since > -gridHours/2 && since < 1 {
				celsius -= lidShare(since)
			}
		}
		k.Entries = append(k.Entries, journal.Entry{Time: at, Items: []journal.Item{{Act: journal.ReadPit, Temp: measure.Temperature{Base: celsius, Known: true}}}})
	}
	w := g.world
	if !asSetting {
		w.Pits = nil
	}
	p := w.Read(&k, on.Add(time.Duration(length*float64(time.Hour)))).Pit
	laid[key] = p
	return p
}

// lidShare is the mean dip over the grid's step round a moment since the lid
// was opened, h.
func lidShare(since float64) float64 {
	from, to := math.Max(0, since-gridHours/2), since+gridHours/2
	return lidDip * lidRecover * (math.Exp(-from/lidRecover) - math.Exp(-to/lidRecover)) / gridHours
}

func (g *coalition) stretch(h float64) stretch {
	switch {
	case h < g.stall[0]:
		return beforeStall
	case h < g.stall[1]:
		return inStall
	}
	return afterStall
}

const wholePit uint8 = 1<<stretches - 1

// value is how long the cook of that choice takes, h, the inputs nudged if n is
// not nil.
func (g *coalition) value(of choice, n *nudge) float64 {
	pits := uint8(0)
	if of.has(byPit) {
		pits = wholePit
	}
	return g.hours(of, pits, n)
}

// hours is value with the stretches of the pit chosen one by one.
func (g *coalition) hours(of choice, pits uint8, n *nudge) float64 {
	pick := func(k cause) int {
		if of.has(k) {
			return 1
		}
		return 0
	}
	weight, wrap := &g.sides[pick(byPieces)], pick(byWrap)
	longest := 0.0
	for i := range weight.pieces {
		p := weight.pieces[i]
		of1 := func(k cause) *piece {
			other := g.sides[pick(k)].pieces
			return &other[min(i, len(other)-1)]
		}
		p.thick, p.target, p.wrapAt = of1(byThickness).thick, of1(byOff).target-of1(byNature).ahead, of1(byWrap).wrapAt
		p.meat.Start = of1(byStart).meat.Start
		if n != nil {
			p.thick *= math.Exp(n.thick[pick(byThickness)])
			p.target += n.target[pick(byOff)]
			p.meat.Start += n.start[pick(byStart)]
			p.meat.Mass *= math.Exp(n.weight[pick(byPieces)])
		}
		longest = math.Max(longest, p.lag+g.piece(of, pits, i, p, wrap, n))
	}
	nature := pick(byNature)
	pace := g.sides[nature].pace * model.Longer(g.meanPit(of, pits, longest, n), g.level(nature, longest))
	if n != nil {
		pace *= math.Exp(n.pace[nature])
	}
	return pace * longest
}

// meanPit is the pit of that choice over the first hours.
func (g *coalition) meanPit(of choice, pits uint8, hours float64, n *nudge) float64 {
	p := g.fire(fireKey{pits, of.has(byLids)}, n)
	return p.Mean(hours)
}

// level is the pit at which a side's times have the right level, °C: its own
// where they were fitted to readings.
func (g *coalition) level(side int, hours float64) float64 {
	if !g.sides[side].read {
		return model.MiddlePit
	}
	return g.meanPit(choice(side<<byLids), wholePit*uint8(side), hours, nil)
}

// piece simulates one piece until its target, h after it went on.
func (g *coalition) piece(of choice, pits uint8, i int, p piece, wrap int, n *nudge) float64 {
	wraps := g.sides[wrap].wraps
	most := p.target // a run serves every target
	for s := range g.sides {
		for _, q := range g.sides[s].pieces {
			to := q.target + math.Max(0, -q.ahead)
			if n != nil {
				to += n.target[s]
			}
			most = math.Max(most, to)
		}
	}
	bare := g.curve(of, pits, i, -1, p, nil, most, n)
	if len(wraps) == 0 {
		return g.crossing(bare, p.target)
	}
	// Wrapped when its core is where it was then.
	step := 0
	for step < len(bare) && bare[step] < p.wrapAt {
		step++
	}
	at := float64(step+1) * stepHours
	var changes []heat.Change
	for _, w := range wraps {
		changes = append(changes, heat.Change{At: (at + w.after) * 3600, Cover: w.cover})
	}
	return g.crossing(g.curve(of, pits, i, int8(wrap), p, changes, most, n), p.target)
}

func (g *coalition) crossing(curve []float64, target float64) float64 {
	h, ok := model.Crossing(curve, target)
	if !ok || h > g.longest {
		g.never = true
		return g.longest
	}
	return h
}

// curve runs one piece; runs that differ in target only are one.
func (g *coalition) curve(of choice, pits uint8, i int, wrap int8, p piece, wraps []heat.Change, most float64, n *nudge) []float64 {
	key := curveKey{of &^ (1<<byOff | 1<<byWrap | 1<<byPit), pits, wrap, i}
	run := g.curves
	if n != nil {
		run = n.curves
	}
	if c, ok := run[key]; ok {
		return c
	}
	j := g.base
	j.Pit = g.fire(fireKey{pits, of.has(byLids)}, n)
	j.Elapsed, j.Plan = model.Longest, heat.Bare
	m := p.meat
	m.Thickness = p.thick * byWeight(m)
	j.Pieces = []model.Piece{{Meat: m, Start: p.lag, Target: most}}
	spray := &g.sides[0]
	if of.has(byLids) {
		spray = &g.sides[1]
	}
	j.Changes = merge(spray.sprays, p.lag, wraps)
	run[key] = model.New(&j).Run(g.factors(of, i, n), 0, most, 0, model.MaxSteps)
	return run[key]
}

// spraying is how much water a spritz leaves on the surface, kg/m² (as the
// engine has it).
const spraying = .07

// merge puts sprays among the wraps by time; times of wraps are h after the
// piece went on, and come out after the first piece did.
func merge(sprays []float64, lag float64, wraps []heat.Change) []heat.Change {
	var out []heat.Change
	cover := heat.Bare
	k := 0
	take := func(before float64) {
		for k < len(wraps) && wraps[k].At <= before {
			cover = wraps[k].Cover
			out = append(out, heat.Change{At: wraps[k].At + lag*3600, Cover: cover})
			k++
		}
	}
	for _, h := range sprays {
		take((h - lag) * 3600)
		out = append(out, heat.Change{At: h * 3600, Cover: cover, Spritz: spraying})
	}
	take(math.Inf(1))
	return out
}

// factors are what was inferred of the chosen side, for its piece i.
func (g *coalition) factors(of choice, i int, n *nudge) heat.Factors {
	k := 0
	if of.has(byNature) {
		k = 1
	}
	s := &g.sides[k]
	if s.engine == nil {
		return heat.Usual
	}
	z := s.fitted.Mean
	if n != nil && n.nature[k] != nil {
		z = n.nature[k]
	}
	return s.engine.Factors(z, s.pieces[min(i, len(s.pieces)-1)].index)
}
