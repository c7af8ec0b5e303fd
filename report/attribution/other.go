package attribution

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/score"
)

// What is asked of past cooks (chosen).
const (
	usualFrom   = 3   // cooks that make a usual one, where there is a plan
	pacePrior   = 2.0 // cooks' worth of the physics alone, in what a plan would take
	paceScatter = .17 // of ln time among cooks of one person
)

// other is what the cook is held against.
func (g *coalition) other(c *journal.Cook, all []journal.Cook, opt Options, a *Account) scenario {
	if opt.Against != nil {
		if took, ok := opt.Against.Took(); ok && took.Hours() <= model.Longest {
			s, _, missing := sideOf(opt.Against, &g.world)
			for _, m := range missing {
				a.Missing = append(a.Missing, opt.Against.Name()+": "+m)
			}
			a.Against, g.held = opt.Against.Name()+", "+opt.Against.Date().Format("2 Jan 2006"), toAnother
			return s
		}
		a.Says = append(a.Says, fmt.Sprintf("%s is not off, or its times were not noted: held against the usual cook instead.", opt.Against.Name()))
	}
	like := baseline.Like(c, all)
	var s scenario
	pace, sd := 1.0, paceScatter
	if len(like) > 0 {
		u := g.usualCook(c, like)
		s = g.planSide(&u)
		s.pieces[0].thick = usualThick(like, &g.world)
		g.usualHands(&s, like)
		pace, sd = g.pace(&s, like)
		g.held, g.middle = toUsual, middle(like)
		a.Against = fmt.Sprintf("your usual %s, %s", c.Cut, model.Count(len(like), "cook", "cooks"))
		if len(like) == 1 {
			a.Against = "your one other " + c.Cut
		}
	}
	asked := opt.Plan || len(like) < usualFrom
	switch u := *c; {
	case asked && c.Aim.Pit.Known:
		u.Entries, u.Series = nil, journal.Series{}
		s = g.planSide(&u)
		a.Against, g.held, g.middle = "the plan", toPlan, 0
		n := float64(len(like))
		pace = math.Pow(pace, n/(n+pacePrior))
	case len(like) == 0:
		u.Entries, u.Series = nil, journal.Series{}
		s = g.planSide(&u)
		s.pit = g.sides[1].pit
		a.Against, g.held = "what the physics gives such a cook", toPhysics
		a.Says = append(a.Says, "No plan, and no other finished cook of the cut: it is held against the physics alone.")
	case opt.Plan:
		a.Says = append(a.Says, "No pit was planned: held against the usual cook instead.")
	}
	s.pace, s.paceSD = pace, sd
	return s
}

// planSide makes a side of a cook that has not gone on, of as many pieces as are
// followed of this one.
func (g *coalition) planSide(u *journal.Cook) scenario {
	j := g.world.Read(u, time.Time{})
	s := scenario{pit: fire{steady: j.Pit.Future, setting: j.Pit.Setting || g.sides[1].pit.setting}}
	for _, followed := range g.sides[1].pieces[:min(len(j.Pieces), len(g.sides[1].pieces))] {
		i := min(followed.index, len(j.Pieces)-1)
		p := piece{meat: j.Pieces[i].Meat, thick: 1, target: j.Pieces[i].Target, wrapAt: j.PlanAt}
		p.meat.Thickness = 0
		if t := j.Pieces[i].Meat.Thickness; t > 0 {
			p.thick = t / byWeight(p.meat)
		}
		s.pieces = append(s.pieces, p)
	}
	if j.Plan != heat.Bare {
		s.wraps = []wrapping{{cover: j.Plan}}
	}
	return s
}

// usualCook is the plan that the person's cooks of a cut amount to: medians,
// and what was done most often. What none of them noted is as in c.
func (g *coalition) usualCook(c *journal.Cook, like []*journal.Cook) journal.Cook {
	number := func(name string, otherwise float64) measure.Temperature {
		u := baseline.Of(columnNamed(name), like)
		if u.N == 0 {
			return measure.Temperature{Base: otherwise, Known: !math.IsNaN(otherwise)}
		}
		return measure.Temperature{Base: u.Median, Known: true}
	}
	own := func(name string) float64 {
		if v := columnNamed(name).Of(c); v.Known {
			return v.Number
		}
		return math.NaN()
	}
	out := journal.Cook{Cut: c.Cut, Pit: c.Pit, Pan: c.Pan}
	one := journal.Piece{Core: number("core when it went on", own("core when it went on"))}
	if w := number("heaviest piece", own("heaviest piece")); w.Known {
		one.Trimmed = measure.Kilograms(w.Base)
	}
	for range max(1, int(math.Round(baseline.Of(columnNamed("pieces"), like).Median))) {
		out.Pieces = append(out.Pieces, one)
	}
	var pits []float64
	for _, o := range append(like, c) {
		if v, ok := felt(o); ok && (o != c || len(pits) == 0) {
			pits = append(pits, v)
		}
	}
	if len(pits) > 0 {
		out.Aim.Pit = measure.Temperature{Base: score.Quantile(pits, .5), Known: true}
	}
	out.Aim.Core = number("core when it came off", own("core when it came off"))
	counts := map[journal.Wrap]int{}
	best := journal.NoWrap
	for _, o := range like {
		kind := journal.NoWrap
		if w := o.Wrappings(); len(w) > 0 {
			kind = w[0].Kind
		}
		counts[kind]++
	}
	for _, k := range append([]journal.Wrap{journal.NoWrap}, journal.Wraps...) {
		if counts[k] > counts[best] {
			best = k
		}
	}
	if best != journal.NoWrap {
		out.Aim.Wrap = journal.WrapPlan{Kind: best, At: number("wrapped at core", math.NaN())}
	}
	return out
}

// felt is the mean pit of a cook as the meat felt it: of one known by its
// settings alone, later changes count by the share that reaches the grate.
func felt(c *journal.Cook) (celsius float64, ok bool) {
	mean, ok := frame.MeanPit(c, time.Time{}, time.Time{})
	if !ok || !frame.PitIsSetting(c) {
		return mean, ok
	}
	on, _ := c.OnAt()
	if first, known := c.AimPit(on); known {
		mean = first + model.Raised*(mean-first)
	}
	return mean, true
}

// usualThick is the usual thickness over what the weight alone gives.
func usualThick(like []*journal.Cook, w *model.Context) float64 {
	var ratios []float64
	for _, o := range like {
		for _, p := range w.Read(o, time.Time{}).Pieces {
			if p.Meat.Thickness > 0 {
				m := p.Meat
				ratios = append(ratios, m.Thickness/byWeight(m))
			}
		}
	}
	if len(ratios) == 0 {
		return 1
	}
	return score.Quantile(ratios, .5)
}

// usualHands gives a usual cook as many sprays and openings of the lid as the
// person's cooks have, spread over the hours in which people look.
func (g *coalition) usualHands(s *scenario, like []*journal.Cook) {
	var sprays, lids, hours []float64
	for _, o := range like {
		on, _ := o.OnAt()
		off, _ := o.Finish()
		sprayed, opened := 0.0, 0.0
		for _, e := range o.Entries {
			if e.Time.Before(on) || e.Time.After(off) {
				continue
			}
			if _, ok := e.Item(journal.Spritz); ok {
				sprayed++
			}
			if opensLid(e) {
				opened++
			}
		}
		sprays, lids, hours = append(sprays, sprayed), append(lids, opened), append(hours, off.Sub(on).Hours())
	}
	length := score.Quantile(hours, .5)
	spreadOver := func(n float64) []float64 {
		var out []float64
		for i := range int(n) {
			out = append(out, length*(.2+.5*(float64(i)+.5)/math.Floor(n)))
		}
		return out
	}
	s.sprays = spreadOver(score.Quantile(sprays, .5))
	if this := &g.sides[1]; this.pit.cook != nil && this.pit.cook.Series.Pit == nil && !this.pit.setting {
		s.lids = spreadOver(score.Quantile(lids, .5))
	}
}

// pace is how much longer the person's cooks of a cut take than the physics
// gives their usual one, and the standard deviation of its ln.
func (g *coalition) pace(s *scenario, like []*journal.Cook) (factor, sd float64) {
	sd = paceScatter / math.Sqrt(float64(len(like)+1))
	try := *g
	try.sides[0] = *s
	try.sides[0].pace = 1
	try.fires, try.curves, try.never, try.longest = map[fireKey]model.Pit{}, map[curveKey][]float64{}, false, model.Longest
	simulated := try.value(0, nil)
	if try.never {
		return 1, sd
	}
	return middle(like) / simulated, sd
}

// middle is what cooks took in the middle, h.
func middle(cooks []*journal.Cook) float64 {
	var hours []float64
	for _, o := range cooks {
		took, _ := o.Took()
		hours = append(hours, took.Hours())
	}
	return score.Quantile(hours, .5)
}

// waitFor is how much longer than the longer of the two cooks one in between is
// waited for that is not done (chosen: by then anyone has taken it off).
const waitFor = 1.5

// patience finds how long that is.
func (g *coalition) patience(took float64, active []cause) {
	g.longest = model.Longest
	none := g.value(expand(active, 0), nil)
	if g.never || g.middle > 0 {
		none = g.middle
	}
	g.longest = math.Min(model.Longest, waitFor*math.Max(took, none))
	g.never = false
}

// settle makes the usual cook take what the person's did in the middle, with
// what is not different as in this cook.
func (g *coalition) settle(active []cause) {
	none := g.value(expand(active, 0), nil)
	if g.middle > 0 && !g.never {
		g.sides[0].pace *= g.middle / none
	}
}

// stallOf is where the stall of a cook begins and ends, h after on, and what
// the stretches it parts are called; thirds where no stall was seen.
func stallOf(c *journal.Cook, took float64, j *model.State) (at [2]float64, names [stretches]string) {
	off, _ := c.Finish()
	for i := range j.Pieces {
		if from, lasted, ok := c.Stall(i, off); ok {
			begin := from.Sub(j.On).Hours()
			return [2]float64{begin, math.Min(took, begin+lasted.Hours())}, [stretches]string{"before the stall", "in the stall", "after the stall"}
		}
	}
	return [2]float64{took / 3, 2 * took / 3}, [stretches]string{"in the first third", "in the middle third", "in the last third"}
}

func columnNamed(name string) frame.Column {
	i := slices.IndexFunc(frame.Columns, func(c frame.Column) bool { return c.Name == name })
	return frame.Columns[i]
}
